"""What a candle may be sold for, what is left of it, and what proving it costs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from handbook_builder.derived.burns import BurnFigures
from handbook_builder.figures.cost import (
    currency_decimals,
    margin,
    markup,
    price_by_margin,
    price_by_multiple,
    proving_cost_each,
)
from handbook_builder.figures.price import cost_an_hour, proving_cost, up_to_coin
from handbook_builder.studio.found import batches_by_recipe
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Offer:
    """A price, and what is left of it: `margin` as a share of the price, `markup` of the cost."""

    price: Decimal
    left: Decimal
    margin: Decimal | None
    markup: Decimal | None


@dataclass(frozen=True, slots=True)
class Proving:
    """What one proof takes: the protocol's test candles, their hours, and their cost.

    `hours_h` and `work_h` are what the candles that passed let expect, None where none has.
    `made` is how many candles were poured in batches so far, and `each` what falls on one of them.
    """

    candles: int
    hours_h: Decimal | None
    work_h: Decimal | None
    cost: Decimal | None
    made: int
    each: Decimal | None


@dataclass(frozen=True, slots=True)
class Burned:
    """What a set of candles burned: mean hours and mean number of cycles; None without any."""

    hours_h: Decimal | None
    cycles: Decimal | None


def burned_by(burns: Sequence[BurnFigures]) -> Burned:
    """Return the means over candles that burned to their end."""
    if not burns:
        return Burned(None, None)
    count = len(burns)
    hours = sum((Decimal(str(burn.hours_h)) for burn in burns), Decimal(0)) / count
    return Burned(hours, Decimal(sum(len(burn.cycles) for burn in burns)) / count)


def an_hour(candle: Decimal | None, burned: Burned) -> Decimal | None:
    """Return what falls on one burning hour, over the mean life; None while either is unknown."""
    if candle is None or not burned.hours_h:
        return None
    return cost_an_hour(candle, burned.hours_h)


def by_multiple(studio: Studio, cost: Decimal | None, multiple: Decimal | None) -> Offer | None:
    """Return the offer at a multiple of the cost, in whole coins."""
    if cost is None or multiple is None:
        return None
    return offer_at(cost, up_to_coin(price_by_multiple(cost, multiple), decimals_of(studio)))


def by_margin(studio: Studio, cost: Decimal | None, target: Decimal) -> Offer | None:
    """Return the offer of which at least the share `target` is left over, in whole coins."""
    if cost is None:
        return None
    return offer_at(cost, up_to_coin(price_by_margin(cost, target), decimals_of(studio)))


def offer_at(cost: Decimal, price: Decimal) -> Offer:
    """Return what is left of a price; no margin of a price of nothing, no markup on no cost."""
    return Offer(
        price,
        price - cost,
        margin(cost, price) if price else None,
        markup(cost, price) if cost else None,
    )


def multiples_of(studio: Studio) -> tuple[Decimal | None, Decimal | None]:
    """Return the studio's multiples for wholesale and for retail, as they are written."""
    written = (studio.info.wholesale_multiple, studio.info.retail_multiple)
    wholesale, retail = (None if one is None else Decimal(str(one)) for one in written)
    return wholesale, retail


def decimals_of(studio: Studio) -> int:
    """Return the decimals of the studio's currency."""
    return currency_decimals(studio.info.currency)


def proving(studio: Studio, cost: Decimal | None, burned: Burned, made: int = 0) -> Proving:
    """Return what one proof of a combination takes and costs.

    The work at the cycles is counted when the studio says how long one takes and what an hour
    costs, and when candles like it have been burned.
    """
    info, candles = studio.info, studio.protocol.test_candles
    work_h = None
    if info.minutes_a_cycle is not None and burned.cycles is not None:
        work_h = candles * burned.cycles * Decimal(str(info.minutes_a_cycle)) / 60
    total = None
    if cost is not None:
        worked = work_h or Decimal(0)
        total = proving_cost(candles, cost, worked, info.labour or Decimal(0))
    return Proving(
        candles,
        None if burned.hours_h is None else candles * burned.hours_h,
        work_h,
        total,
        made,
        proving_cost_each(total, made) if total is not None and made else None,
    )


def made_so_far(studio: Studio, recipe: str, day: date) -> int:
    """Return how many candles of a recipe were poured in batches up to the day."""
    batches = batches_by_recipe(studio).get(recipe, ())
    return sum(batch.made for batch in batches if batch.on <= day)
