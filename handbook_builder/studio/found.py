"""What is looked up often in a studio, each put in order once: bills by item, batches by recipe."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from handbook_builder.once import once
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.trade import Batch, Line, Purchase
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Billed:
    """One line of a bill, with its place in the bill counted from 0."""

    purchase: Purchase
    index: int
    line: Line


@once
def bills_in_order(studio: Studio) -> tuple[tuple[str, Purchase], ...]:
    """Return every bill with its id, the oldest first."""
    return tuple(sorted(studio.purchases.items(), key=lambda pair: (pair[1].on, pair[0])))


@once
def lines_by_item(studio: Studio) -> Mapping[Ref, tuple[Billed, ...]]:
    """Return the lines of all bills by item, as the bills stand on file."""
    found: dict[Ref, list[Billed]] = defaultdict(list)
    for purchase in studio.purchases.values():
        for index, line in enumerate(purchase.lines):
            found[line.item].append(Billed(purchase, index, line))
    return {item: tuple(lines) for item, lines in found.items()}


def last_line(studio: Studio, day: date, item: Ref) -> Billed | None:
    """Return the newest line by a day that brought an item: whom to order it from again."""
    lines = (one for one in lines_by_item(studio).get(item, ()) if one.purchase.on <= day)
    return max(lines, key=lambda one: (one.purchase.on, one.purchase.source.id), default=None)


@once
def lots_first_bought(studio: Studio) -> Mapping[Ref, Mapping[str, date]]:
    """Return when each lot was first bought, by item and lot."""
    found: dict[Ref, dict[str, date]] = defaultdict(dict)
    for item, lines in lines_by_item(studio).items():
        for billed in lines:
            lot, on = billed.line.lot, billed.purchase.on
            if lot is not None:
                found[item][lot] = min(found[item].get(lot, on), on)
    return dict(found)


@once
def first_in_lots(studio: Studio) -> Mapping[Ref, date]:
    """Return since when each item came in lots; an item that never did is not in it."""
    return {item: min(lots.values()) for item, lots in lots_first_bought(studio).items()}


@once
def batches_by_recipe(studio: Studio) -> Mapping[str, tuple[Batch, ...]]:
    """Return the batches of each recipe that has any, as they stand on file."""
    found: dict[str, list[Batch]] = defaultdict(list)
    for batch in studio.batches.values():
        found[batch.recipe].append(batch)
    return {recipe: tuple(batches) for recipe, batches in found.items()}


@once
def burns_by_recipe(studio: Studio) -> Mapping[str, tuple[Burn, ...]]:
    """Return the test candles of each recipe that has any, as they stand on file."""
    found: dict[str, list[Burn]] = defaultdict(list)
    for burn in studio.burns.values():
        found[burn.recipe].append(burn)
    return {recipe: tuple(burns) for recipe, burns in found.items()}
