"""Acute toxicity by each route, from the estimates of the components: Annex I 3.1.3.6.

Categories: Table 3.1.1 (C). Points for a category without an estimate: Table 3.1.2 (read in
Canada's HPR 8.1.7). Formulas: 3.1.3.6.1 and, over 10 % unknown, 3.1.3.6.2.3 (HPR 8.1.6, UN
examples). Components count from 0.1 % (categories 1 to 3) or 1 % on (Table 1.1, S).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from handbook_builder.hazards.component import ROUTES, Note, Substance
from handbook_builder.hazards.threshold import Family, Source, Threshold, percent, term_of

_SOURCE: Final = Source("Annex I 3.1.3.6, Tables 3.1.1 and 3.1.2", "C")


def _doses(text: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(dose) for dose in text.split())


# Upper end of categories 1 to 4, inclusive; mg/kg, ppmV, mg/L.
_UP_TO: Final[Mapping[str, tuple[Fraction, ...]]] = {
    "oral": _doses("5 50 300 2000"),
    "dermal": _doses("50 200 1000 2000"),
    "gas": _doses("100 500 2500 20000"),
    "vapour": _doses("0.5 2 10 20"),
    "mist": _doses("0.05 0.5 1 5"),
}
_POINTS: Final[Mapping[str, tuple[Fraction, ...]]] = {
    "oral": _doses("0.5 5 100 500"),
    "dermal": _doses("5 50 300 1100"),
    "gas": _doses("10 100 700 4500"),
    "vapour": _doses("0.05 0.5 3 11"),
    "mist": _doses("0.005 0.05 0.5 1.5"),
}
_INHALED: Final = ("gas", "vapour", "mist")


@dataclass(frozen=True, slots=True)
class Dose:
    """What a substance does by one route: category 1 to 4, and the estimate to reckon with."""

    route: str
    category: int
    ate: Fraction

    @property
    def cut_off(self) -> Fraction:
        """Return from which share on it counts."""
        return percent(1) if self.category == 4 else percent("0.1")  # noqa: PLR2004 - category 4


@dataclass(frozen=True, slots=True)
class Gap:
    """What is missing about a substance, once it is there at this share or above."""

    key: str
    note: Note
    from_share: Fraction


def acute_families(substances: Sequence[Substance]) -> tuple[Family, ...]:
    """Return the rules for acute toxicity, a family for each route."""
    doses = {substance.key: _doses_of(substance)[0] for substance in substances}
    return tuple(_route_family(substances, doses, route) for route in ROUTES)


def acute_gaps(substances: Sequence[Substance]) -> tuple[Gap, ...]:
    """Return what is unclear or contradictory about acute toxicity.

    It is reckoned on the safe side all the same, see `_doses_of`.
    """
    return tuple(gap for substance in substances for gap in _doses_of(substance)[1])


def acute_told(substances: Sequence[Substance]) -> tuple[Note, ...]:
    """Return the estimates that make a substance toxic although its sheet names no such class."""
    return tuple(
        substance.note("estimate_without_class", dose.route)
        for substance in substances
        for dose in _doses_of(substance)[0]
        if not any(word.startswith("Acute Tox.") for word in substance.words)
    )


def _route_family(
    substances: Sequence[Substance], doses: Mapping[str, Sequence[Dose]], route: str
) -> Family:
    """Return the rules of a route: Σ share / ATE ≥ 1 / upper end of the category."""
    toxic = [
        (substance, dose)
        for substance in substances
        for dose in doses[substance.key]
        if dose.route == route
    ]
    known = {substance.key for substance, _ in toxic}
    unknown = tuple(
        substance.key
        for substance in substances
        if substance.is_unknown and substance.key not in known and route not in substance.ate
    )
    return tuple(
        Threshold(
            rule=f"acute_{route}",
            outcome=f"Acute Tox. {category} ({route})",
            source=_SOURCE,
            terms=tuple(
                term_of(
                    substance,
                    f"Acute Tox. {dose.category} ({route})",
                    Fraction(1),
                    dose.cut_off,
                    weight=up_to / dose.ate,
                )
                for substance, dose in toxic
            ),
            is_sum=True,
            unknown=unknown,
            ate_limit=up_to,
        )
        for category, up_to in enumerate(_UP_TO[route], 1)
    )


def category_of(route: str, ate: Fraction) -> int | None:
    """Return the category of an estimate, or None beyond all categories."""
    return next((category for category, up_to in enumerate(_UP_TO[route], 1) if ate <= up_to), None)


def _doses_of(substance: Substance) -> tuple[tuple[Dose, ...], tuple[Gap, ...]]:
    """Return what a substance does by each route, and what is unclear about it.

    An estimate goes before its category's point. Where the two contradict each other the severer
    is reckoned with; a category whose route nobody said is taken as swallowed (inhaled as vapour,
    where the sheet says inhaled). Both are gaps: they leave the result incomplete.
    """
    said, gaps = _said(substance)
    doses = []
    for route in ROUTES:
        estimated, stated = _estimated(substance, route), said.get(route)
        dose = _severer(estimated, stated)
        if dose is None:
            continue
        doses.append(dose)
        if stated and route in substance.ate and stated.category != _cat(estimated):
            note = substance.note("estimate_contradicts", route)
            gaps.append(Gap(substance.key, note, dose.cut_off))
    return tuple(doses), tuple(gaps)


def _severer(first: Dose | None, second: Dose | None) -> Dose | None:
    """Return the dose of the severer category; the first of two alike."""
    if first is None or second is None:
        return first or second
    return first if first.category <= second.category else second


def _cat(dose: Dose | None) -> int | None:
    return None if dose is None else dose.category


def _estimated(substance: Substance, route: str) -> Dose | None:
    """Return what the estimate for a route says; None without one, or beyond all categories."""
    if route not in substance.ate:
        return None
    category = category_of(route, substance.ate[route])
    return None if category is None else Dose(route, category, substance.ate[route])


def _said(substance: Substance) -> tuple[dict[str, Dose], list[Gap]]:
    """Return what the class words say, by route, at their converted points."""
    said: dict[str, Dose] = {}
    gaps = []
    # In the order of their categories, so that the severest of a route is the first.
    for word in sorted(word for word in substance.words if word.startswith("Acute Tox.")):
        category = int(word.removeprefix("Acute Tox. ")[0])
        routes, is_clear = _routes(substance, word, category)
        for route in routes:
            said.setdefault(route, Dose(route, category, _POINTS[route][category - 1]))
        if not is_clear:
            cut_off = said[routes[0]].cut_off
            gaps.append(Gap(substance.key, substance.note("route_unsaid", word), cut_off))
    return said, gaps


def _routes(substance: Substance, word: str, category: int) -> tuple[tuple[str, ...], bool]:
    """Return the routes that a class word speaks of, and whether that is clear."""
    detail = word.partition("(")[2].rstrip(")")
    if detail in ROUTES:
        return (detail,), True
    possible = _INHALED if detail else ROUTES
    told = tuple(route for route in possible if _cat(_estimated(substance, route)) == category)
    if told:
        return told, True
    unsaid = ("vapour", "mist", "gas") if detail else ("oral", "dermal", "vapour")
    return ((next((route for route in unsaid if route not in substance.ate), unsaid[0]),), False)
