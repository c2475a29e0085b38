"""What a plan takes: what to have on the shelf, from whom, and how long that takes to come."""

import math
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.takes import takes_of
from handbook_builder.figures.load import Masses
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import last_line
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Need:
    """How much of an item a plan takes: grams of what is weighed, else pieces.

    `supplier` is whom it was bought from last, None when nobody knows; `lead_days` is how long an
    order takes, None when that is not on file.
    """

    item: Ref
    amount: float
    supplier: str | None
    lead_days: int | None


def needs_of(
    studio: Studio, day: date, recipe: Recipe, weights: Masses, candles: int
) -> tuple[Need, ...]:
    """Return what `candles` test candles of a recipe take, the pitcher's share of it included.

    What they would be packed in is left out: a test candle leaves the studio in nothing.
    """
    takes = takes_of(studio, recipe, weights)
    return tuple(
        Need(item, float(each * candles), *lead_of(studio, day, item)) for item, each in takes
    )


def lead_of(studio: Studio, day: date, item: Ref) -> tuple[str | None, int | None]:
    """Return from whom an item comes, and for how many whole days an order is on its way.

    It was bought there last by `day`; a vessel that was never bought comes from its own supplier.
    """
    last = last_line(studio, day, item)
    own = studio.vessels[item.id].supplier if item.folder == "vessels" else None
    supplier = own if last is None else last.purchase.supplier
    if supplier is None or supplier not in studio.suppliers:  # the floor edition knows none
        return None, None
    lead = studio.suppliers[supplier].lead_time_days
    return supplier, None if lead is None else math.ceil(lead)


def together(needs: tuple[tuple[Need, ...], ...]) -> tuple[Need, ...]:
    """Return what several plans take together, each item once."""
    found: dict[Ref, Need] = {}
    for each in (need for plan in needs for need in plan):
        before = found.get(each.item)
        amount = each.amount + (0.0 if before is None else before.amount)
        found[each.item] = Need(each.item, amount, each.supplier, each.lead_days)
    return tuple(found.values())
