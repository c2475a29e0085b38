"""What was taken from each lot against what was bought of it."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.money.bills import quantity_of
from handbook_builder.once import once
from handbook_builder.problems import Place
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.trade import Batch, Line
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.readings import exceeds


@dataclass(frozen=True, slots=True)
class Taken:
    """What one batch or test candle took from a lot, in grams or pieces; `place` names the lot."""

    item: Ref
    lot: str
    amount: float
    on: date
    place: Place
    burn: str | None = None


@dataclass(frozen=True, slots=True)
class LotBalance:
    """A lot's goods in grams (`unit` g) or pieces (`unit` pieces).

    What a batch did not weigh is not in `taken`, which so is what was taken at the least.
    """

    item: Ref
    lot: str
    taken: tuple[Taken, ...]
    bought: float
    tolerance: float

    @property
    def unit(self) -> str:
        """Return what is counted: grams, or pieces."""
        return "g" if self.item.is_weighed else "pieces"

    @property
    def amount(self) -> float:
        """Return all that was taken."""
        return math.fsum(taking.amount for taking in self.taken)

    @property
    def is_overdrawn(self) -> bool:
        """Return whether more was taken than was bought, by more than weighing explains."""
        return exceeds(self.amount, self.bought * (1.0 + self.tolerance))


@once
def lot_balances(studio: Studio, day: date) -> Mapping[tuple[Ref, str], LotBalance]:
    """Return the balance of every lot that was bought by `day`, by item and lot."""
    used: dict[tuple[Ref, str], list[Taken]] = defaultdict(list)
    for taking in _taken(studio, day):
        used[taking.item, taking.lot].append(taking)
    return {
        (item, lot): LotBalance(
            item,
            lot,
            tuple(sorted(used[item, lot], key=lambda one: (one.on, one.place))),
            math.fsum(float(quantity_of(studio, line)) for line in lines),
            studio.info.lot_tolerance,
        )
        for (item, lot), lines in sorted(_lines(studio, day).items())
    }


def _lines(studio: Studio, day: date) -> dict[tuple[Ref, str], list[Line]]:
    found: dict[tuple[Ref, str], list[Line]] = defaultdict(list)
    for purchase in studio.purchases.values():
        for line in purchase.lines if purchase.on <= day else ():
            if line.lot is not None:
                found[line.item, line.lot].append(line)
    return found


def _taken(studio: Studio, day: date) -> Iterator[Taken]:
    for batch in studio.batches.values():
        for item, lot in batch.lots.items() if batch.on <= day else ():
            amount = _by_batch(studio, batch, item)
            if amount is not None:
                yield Taken(item, lot, amount, batch.on, batch.source.place(f"lots.{item}"))
    for burn in studio.burns.values():
        for item, lot in burn.lots.items() if burn.made.on <= day else ():
            place = burn.source.place(f"lots.{item}")
            yield Taken(item, lot, _by_burn(burn, item), burn.made.on, place, burn.source.id)


def _by_batch(studio: Studio, batch: Batch, item: Ref) -> float | None:
    """Return what a batch took of an item, or None when that was not weighed."""
    if item.is_weighed:
        return batch.weighed_g.get(item)
    recipe = studio.recipes[batch.recipe]
    if item == Ref.to("wicks", recipe.wick):
        return float(batch.made * recipe.wicks)
    is_packed = item.folder == "packaging"
    return float(batch.made * recipe.packaging.get(item.id, 1) if is_packed else batch.made)


def _by_burn(burn: Burn, item: Ref) -> float:
    """Return what a test candle took of an item: what was weighed into it, or its pieces."""
    made = burn.made
    weighed = {"waxes": made.wax, "fragrances": made.fragrance, "colorants": made.colorant}
    if item.folder in weighed:
        return weighed[item.folder].get(item.id, 0.0)
    return float(made.wicks if item.folder == "wicks" else 1)
