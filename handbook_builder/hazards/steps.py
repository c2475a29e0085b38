"""At which loads a class, a pictogram or a statement of a candle appears or falls away.

The loads are solved, not scanned: every share is (a · load + b) / (1 + dye + load), every rule
holds a sum of shares against a limit, and which shares count changes only at their own cut-offs.
Between these a rule is reached at one load at most, which is the solution of a linear equation.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from handbook_builder.hazards.classify import Rulebook
from handbook_builder.hazards.component import Component, shares_by_key, substances
from handbook_builder.hazards.label import pictogram_of, statement_of
from handbook_builder.hazards.threshold import UNKNOWN_UP_TO, Threshold, counts, unknown_share


@dataclass(frozen=True, slots=True)
class Mixture:
    """A candle but for its load: one oil, or several at fixed proportions, and fixed dyes.

    `oil` holds components at their share of the oil (`blend` makes one oil of several); `dyes`
    holds those of the dyes at their share of the wax's mass, and `dye_on_wax` all dye there is on
    the wax, its harmless part too. `accounted_for` as `classify` takes it.
    """

    oil: tuple[Component, ...]
    dyes: tuple[Component, ...] = ()
    dye_on_wax: Fraction = Fraction(0)
    accounted_for: bool = True

    def at(self, load: Fraction) -> tuple[Component, ...]:
        """Return the components of the finished candle at a load of oil on the wax's mass."""
        whole = 1 + self.dye_on_wax + load
        of_oil = (_thinned(part, load / whole) for part in self.oil)
        of_dye = (_thinned(part, 1 / whole) for part in self.dyes)
        return (*of_oil, *of_dye)


@dataclass(frozen=True, slots=True)
class Step:
    """What changes at a load, as a share of the wax's mass: something appears, or falls away.

    `kind` is "class", "pictogram", "statement" or "euh208"; of the last, the name in it is told.
    From `at` on it is so, or only beyond `at` where `beyond` is True. `through` names the
    components that bring about what appears or brought about what falls away, the weightiest
    first, and `cas` their CAS numbers.
    """

    at: Fraction
    beyond: bool
    kind: str
    appears: str | None
    falls_away: str | None
    through: tuple[str, ...]
    cas: tuple[str, ...]


class _Line(NamedTuple):
    """A share as it goes with the load: (by_load · load + fixed) / (base + load)."""

    by_load: Fraction
    fixed: Fraction


_Item = tuple[str, str]
_Carriers = tuple[tuple[str, str], ...]


def blend(oils: Iterable[tuple[Fraction, Sequence[Component]]]) -> tuple[Component, ...]:
    """Return the components of several oils as those of one, from each oil's share of all oil."""
    return tuple(
        _thinned(part, proportion) for proportion, components in oils for part in components
    )


def _thinned(component: Component, portion: Fraction) -> Component:
    """Return a component of a whole as one of the candle that holds a portion of it."""
    return replace(component, share=component.share * portion)


def steps(mixture: Mixture, up_to: Fraction = Fraction(1)) -> tuple[Step, ...]:
    """Return what changes between no oil at all and a load of `up_to` on the wax, in its order.

    What a candle is at no load, through its dyes, is no step.
    """
    book = Rulebook.of(substances((*mixture.oil, *mixture.dyes)))
    edges = _edges(mixture, book, up_to)
    # Without any oil only what the dyes' sheets say is known.
    here = _items(mixture, Rulebook.of(substances(mixture.dyes)), edges[0])
    found: list[Step] = []
    for low, high in pairwise(edges):
        between = _items(mixture, book, (low + high) / 2)
        there = _items(mixture, book, high)
        found += _changes(low, here, between, beyond=True)
        found += _changes(high, between, there, beyond=False)
        here = there
    return tuple(found)


def _edges(mixture: Mixture, book: Rulebook, up_to: Fraction) -> list[Fraction]:
    """Return every load at which something may change, and both ends."""
    lines = _lines(mixture)
    base = 1 + mixture.dye_on_wax
    ends = {Fraction(0), up_to}
    solved = set(ends)
    for family in book.families:
        for threshold in family:
            solved |= _solutions(threshold, lines, base, ends)
    for elicited in book.elicitations:
        solved |= _crossing(lines[elicited.key], elicited.limit, base)
    return sorted(load for load in solved if 0 <= load <= up_to)


def _lines(mixture: Mixture) -> Mapping[str, _Line]:
    """Return the share of each substance as it goes with the load."""
    of_oil, of_dyes = shares_by_key(mixture.oil), shares_by_key(mixture.dyes)
    return {
        key: _Line(of_oil.get(key, Fraction(0)), of_dyes.get(key, Fraction(0)))
        for key in {*of_oil, *of_dyes}
    }


def _crossing(line: _Line, limit: Fraction, base: Fraction) -> set[Fraction]:
    """Return the load at which a share is at a limit: (a · x + b) / (base + x) = limit."""
    if line.by_load == limit:
        return set()
    return {(limit * base - line.fixed) / (line.by_load - limit)}


def _solutions(
    threshold: Threshold, lines: Mapping[str, _Line], base: Fraction, ends: AbstractSet[Fraction]
) -> set[Fraction]:
    """Return the loads between `ends` at which a rule may come out another way.

    A term that stands alone counts from its limit on.
    """
    cut_offs = set(ends)
    for term in (*threshold.terms, *threshold.needs):
        cut_offs |= _crossing(lines[term.key], term.cut_off, base)
    unknown = _total((lines[key], Fraction(1)) for key in threshold.unknown)
    cut_offs |= _crossing(unknown, UNKNOWN_UP_TO, base)
    solved = set(cut_offs)
    if threshold.is_sum:
        for low, high in pairwise(
            sorted(load for load in cut_offs if min(ends) <= load <= max(ends))
        ):
            total = _total_at(threshold, lines, base, (low + high) / 2)
            solved |= {load for load in _crossing(total, Fraction(1), base) if low <= load <= high}
    return solved


def _total_at(
    threshold: Threshold, lines: Mapping[str, _Line], base: Fraction, load: Fraction
) -> _Line:
    """Return what a rule comes to, as it goes with the load, while the same terms count as here."""
    shares = {
        key: (line.by_load * load + line.fixed) / (base + load) for key, line in lines.items()
    }
    counted = [(lines[term.key], term.slope) for term in threshold.terms if counts(term, shares)]
    if unknown_share(threshold, shares) > UNKNOWN_UP_TO:
        counted += [(lines[key], Fraction(1)) for key in threshold.unknown]
    return _total(counted)


def _total(weighed: Iterable[tuple[_Line, Fraction]]) -> _Line:
    total = _Line(Fraction(0), Fraction(0))
    for line, weight in weighed:
        total = _Line(total.by_load + weight * line.by_load, total.fixed + weight * line.fixed)
    return total


def _items(mixture: Mixture, book: Rulebook, load: Fraction) -> Mapping[_Item, _Carriers]:
    """Return all that stands on the label at a load, each with the components that bring it."""
    shares = shares_by_key(mixture.at(load))
    result = book.result(shares, accounted_for=mixture.accounted_for)
    items: dict[_Item, list[tuple[str, str]]] = {}
    for word in result.classes:
        carriers = [(part.name, part.cas) for part in result.working_of(word).through]
        items[("class", word)] = carriers
        for kind, item in (
            ("pictogram", pictogram_of(word, result.classes)),
            ("statement", statement_of(word, result.classes)),
        ):
            if item is not None:
                items.setdefault((kind, item), []).extend(carriers)
    cas_of = {substance.name: substance.cas for substance in book.substances}
    items |= {("euh208", name): [(name, cas_of[name])] for name in result.euh208}
    return {item: tuple(dict.fromkeys(carriers)) for item, carriers in items.items()}


def _changes(
    at: Fraction,
    former: Mapping[_Item, _Carriers],
    now: Mapping[_Item, _Carriers],
    *,
    beyond: bool,
) -> Iterator[Step]:
    """Yield what appears and what falls away between two neighbouring loads."""
    for item in sorted({*former, *now}):
        if (item in former) == (item in now):
            continue
        kind, said = item
        carriers = (now if item in now else former)[item]
        yield Step(
            at=at,
            beyond=beyond,
            kind=kind,
            appears=said if item in now else None,
            falls_away=None if item in now else said,
            through=tuple(name for name, _ in carriers),
            cas=tuple(cas for _, cas in carriers),
        )
