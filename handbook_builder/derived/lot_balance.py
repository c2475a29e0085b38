"""What was taken from each lot against what was bought of it."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.derived.money.bills import quantity_of
from handbook_builder.problems import Place
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.trade import Batch, Line
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.readings import exceeds

_WEIGHED: Final = ("waxes", "fragrances", "colorants")


@dataclass(frozen=True, slots=True)
class Taken:
    """What one batch or test candle took from a lot, in grams or pieces; `place` names the lot."""

    item: str
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

    item: str
    lot: str
    taken: tuple[Taken, ...]
    bought: float
    tolerance: float

    @property
    def unit(self) -> str:
        """Return what is counted: grams, or pieces."""
        return "g" if is_weighed(self.item) else "pieces"

    @property
    def amount(self) -> float:
        """Return all that was taken."""
        return math.fsum(one.amount for one in self.taken)

    @property
    def is_overdrawn(self) -> bool:
        """Return whether more was taken than was bought, by more than weighing explains."""
        return exceeds(self.amount, self.bought * (1.0 + self.tolerance))


def is_weighed(item: str) -> bool:
    """Return whether an item is used by its mass, and not by the piece."""
    return item.partition("/")[0] in _WEIGHED


def lot_balances(studio: Studio, day: date) -> Mapping[tuple[str, str], LotBalance]:
    """Return the balance of every lot that was bought by `day`, by item and lot."""
    used: dict[tuple[str, str], list[Taken]] = defaultdict(list)
    for one in _taken(studio, day):
        used[one.item, one.lot].append(one)
    return {
        (item, lot): LotBalance(
            item,
            lot,
            tuple(sorted(used[item, lot], key=lambda one: (one.on, one.place))),
            math.fsum(float(quantity_of(studio, one)) for one in lines),
            studio.info.lot_tolerance,
        )
        for (item, lot), lines in sorted(_lines(studio, day).items())
    }


def _lines(studio: Studio, day: date) -> dict[tuple[str, str], list[Line]]:
    found: dict[tuple[str, str], list[Line]] = defaultdict(list)
    for one in studio.purchases.values():
        for line in one.lines if one.on <= day else ():
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


def _by_batch(studio: Studio, batch: Batch, item: str) -> float | None:
    """Return what a batch took of an item, or None when that was not weighed."""
    if is_weighed(item):
        return batch.weighed_g.get(item)
    folder, _, ident = item.partition("/")
    recipe = studio.recipes[batch.recipe]
    if folder == "wicks" and ident == recipe.wick:
        return float(batch.made * recipe.wicks)
    return float(
        batch.made * recipe.packaging.get(ident, 1) if folder == "packaging" else batch.made
    )


def _by_burn(burn: Burn, item: str) -> float:
    """Return what a test candle took of an item: what was weighed into it, or its pieces."""
    folder, _, ident = item.partition("/")
    made = burn.made
    weighed = {"waxes": made.wax, "fragrances": made.fragrance, "colorants": made.colorant}
    if folder in weighed:
        return weighed[folder].get(ident, 0.0)
    return float(made.wicks if folder == "wicks" else 1)
