"""What was bought of each lot, what was taken, what was counted, and what is left.

There is one arithmetic: a lot that was over-drawn and the stock at the year's end come from it.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.money.bills import quantity_of
from handbook_builder.derived.takings import Taken, takings
from handbook_builder.once import once
from handbook_builder.reading.kinds.trade import Counted, Line
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.readings import exceeds

Key = tuple[Ref, str | None]


@dataclass(frozen=True, slots=True)
class LotBalance:
    """A lot's goods in grams (`unit` g) or pieces (`unit` pieces).

    What a batch did not weigh is not in `taken`, which so is what was taken at the least; the
    batches stand in `unweighed`, unless a later count settled it. A `lot` of None is what bears
    no lot, and what was taken without saying from which. `corrected` is what the last count, of
    `counted_on`, found more than the papers say; below 0 it found less.
    """

    item: Ref
    lot: str | None
    taken: tuple[Taken, ...]
    bought: float
    tolerance: float
    corrected: float = 0.0
    counted_on: date | None = None
    unweighed: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """Return what is counted: grams, or pieces."""
        return "g" if self.item.is_weighed else "pieces"

    @property
    def amount(self) -> float:
        """Return all that was taken."""
        return _sum(self.taken)

    @property
    def left(self) -> float:
        """Return what is left; below 0 more was taken than there was."""
        return math.fsum((self.bought, -self.amount, self.corrected))

    @property
    def missing(self) -> float:
        """Return how much less a count found than the papers say, in grams or pieces."""
        return max(-self.corrected, 0.0)

    @property
    def is_overdrawn(self) -> bool:
        """Return whether more was taken than was there, by more than weighing explains."""
        if self.lot is None and not self.bought:
            return False  # it was taken from some lot, which is not said
        return exceeds(self.amount, (self.bought - self.missing) * (1.0 + self.tolerance))


@dataclass(frozen=True, slots=True)
class _Found:
    """What a count found of a lot, in grams or pieces."""

    on: date
    amount: float


@once
def lot_balances(studio: Studio, day: date) -> Mapping[tuple[Ref, str], LotBalance]:
    """Return the balance of every lot that was bought by `day`, by item and lot."""
    return {
        (item, lot): one
        for (item, lot), one in balances(studio, day).items()
        if lot is not None and one.bought
    }


def balances(studio: Studio, day: date) -> Mapping[Key, LotBalance]:
    """Return the balance of everything that was bought, taken or counted by `day`.

    Goods that bear no lot stand under a lot of None, after those that do.
    """
    lines, taken, counts = _lines(studio, day), _taken(studio, day), _counts(studio, day)
    keys = sorted({*lines, *taken, *counts}, key=lambda key: (key[0], key[1] is None, key[1] or ""))
    store = _Store(studio, lines, taken, counts)
    return {key: store.balance(key) for key in keys}


@dataclass(frozen=True, slots=True)
class _Store:
    """Everything on file by a day, by item and lot; the counts by day, the last one last."""

    studio: Studio
    lines: Mapping[Key, list[tuple[date, Line]]]
    taken: Mapping[Key, list[Taken]]
    counts: Mapping[Key, list[_Found]]

    def balance(self, key: Key) -> LotBalance:
        """Return what is left of one lot, and how it came to that."""
        lines, taken = self.lines.get(key, []), self.taken.get(key, [])
        weighed = [one for one in taken if one.amount is not None]
        found = self.counts.get(key, [])
        last = found[-1] if found else None
        return LotBalance(
            *key,
            tuple(sorted(weighed, key=lambda one: (one.on, one.place))),
            self._bought(lines),
            self.studio.info.lot_tolerance,
            self._corrected(key, last),
            None if last is None else last.on,
            tuple(one.batch or "" for one in self._since(key, last, taken) if one.amount is None),
        )

    def _bought(self, lines: Iterable[tuple[date, Line]]) -> float:
        return math.fsum(float(quantity_of(self.studio, line)) for _, line in lines)

    def _corrected(self, key: Key, last: _Found | None) -> float:
        """Return what was counted less what the papers said on that day; 0 without a count."""
        taken = self.taken.get(key, [])
        if last is None:
            later = self._since(key, last, taken)
            return _sum(taken) - _sum(later)
        until = [pair for pair in self.lines.get(key, []) if pair[0] <= last.on]
        used = [one for one in taken if one.on <= last.on]
        return math.fsum((last.amount, -self._bought(until), _sum(used)))

    def _since(self, key: Key, last: _Found | None, taken: list[Taken]) -> list[Taken]:
        """Return what was taken since the count; what bears no lot, since all lots were counted."""
        if last is not None:
            return [one for one in taken if one.on > last.on]
        if key[1] is not None or self.lines.get(key):
            return taken
        return [one for one in taken if not self._is_settled(one)]

    def _is_settled(self, taking: Taken) -> bool:
        """Return whether every lot that it can have come from was counted on its day or later."""
        lots = [
            key
            for key, lines in self.lines.items()
            if key[0] == taking.item and min(on for on, _ in lines) <= taking.on
        ]
        counted = (self.counts.get(key, []) for key in lots)
        return bool(lots) and all(found and found[-1].on >= taking.on for found in counted)


def _sum(several: Iterable[Taken]) -> float:
    return math.fsum(one.amount for one in several if one.amount is not None)


def _lines(studio: Studio, day: date) -> dict[Key, list[tuple[date, Line]]]:
    found: dict[Key, list[tuple[date, Line]]] = defaultdict(list)
    for purchase in studio.purchases.values():
        for line in purchase.lines if purchase.on <= day else ():
            found[line.item, line.lot].append((purchase.on, line))
    return found


def _taken(studio: Studio, day: date) -> dict[Key, list[Taken]]:
    found: dict[Key, list[Taken]] = defaultdict(list)
    for one in takings(studio, day):
        found[one.item, one.lot].append(one)
    return found


def _counts(studio: Studio, day: date) -> dict[Key, list[_Found]]:
    found: dict[Key, list[_Found]] = defaultdict(list)
    for on, each in sorted(_counted(studio, day), key=lambda pair: pair[0]):
        amount = float(quantity_of(studio, each))
        found[each.item, each.lot].append(_Found(on, amount))
    return found


def _counted(studio: Studio, day: date) -> Iterator[tuple[date, Counted]]:
    for count in studio.stock.values():
        yield from ((count.on, each) for each in count.counted if count.on <= day)
