"""Which vessel earns its keep: what a candle in it costs, and what is left of its price."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from handbook_builder.derived.burns import BurnFigures
from handbook_builder.derived.money.bills import Price, Prices, breakage_of
from handbook_builder.derived.money.pricing import (
    Offer,
    Proving,
    burned_by,
    by_multiple,
    multiples_of,
    offer_at,
    proving,
)
from handbook_builder.derived.money.products import ProductMoney
from handbook_builder.figures.price import middle
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.judge import Judged


@dataclass(frozen=True, slots=True)
class Span:
    """The least and the most of several values."""

    least: Decimal
    most: Decimal


@dataclass(frozen=True, slots=True)
class VesselMoney:
    """What a vessel costs, and what the candles in it cost and earn.

    `products` are the approved ones in it, or without any those that are on file for it, and then
    `proven` is False. `offer` is reckoned with the middle of their costs, and so is `proving`,
    which is what one more proof takes. `one_price` is the margin of these candles if a burning
    hour of all were sold at the same price (`Keep.hour_price`).
    """

    price: Price | None
    breakage: Decimal
    proven: bool
    products: tuple[str, ...]
    cost: Span | None
    hour: Span | None
    offer: Offer | None
    one_price: Span | None
    proving: Proving


@dataclass(frozen=True, slots=True)
class Keep:
    """All vessels, and the one price of a burning hour that they are compared at.

    It is the middle of what the approved products ask for an hour. Candles differ in size and
    life: one price for a candle would favour the small ones.
    """

    hour_price: Decimal | None
    vessels: Mapping[str, VesselMoney]


def keep(
    judged: Judged,
    prices: Prices,
    products: Mapping[str, ProductMoney],
    burns: Mapping[str, BurnFigures],
) -> Keep:
    """Return what each vessel costs and earns."""
    approved = [
        products[ident].hour_price
        for ident, one in judged.products.items()
        if one.status is Status.APPROVED
    ]
    known = [product for product in approved if product is not None]
    price = middle(known) if known else None
    vessels = {
        ident: _vessel(
            judged, ident, prices.by_item.get(Ref.to("vessels", ident)), products, burns, price
        )
        for ident in judged.vessels
    }
    return Keep(price, MappingProxyType(vessels))


def _vessel(  # noqa: PLR0913, PLR0917 -- one argument a thing that is known
    judged: Judged,
    ident: str,
    price: Price | None,
    products: Mapping[str, ProductMoney],
    burns: Mapping[str, BurnFigures],
    hour_price: Decimal | None,
) -> VesselMoney:
    names, proven = _products(judged, ident)
    totals = [total for name in names if (total := products[name].cost.total) is not None]
    hours = [hour for name in names if (hour := products[name].hour) is not None]
    typical = middle(totals) if totals else None
    _, retail = multiples_of(judged.studio)
    burned = burned_by([burns[candle] for candle in _passed(judged, ident)])
    return VesselMoney(
        price=price,
        breakage=breakage_of(judged.studio, ident),
        proven=proven,
        products=names,
        cost=_span(totals),
        hour=_span(hours),
        offer=by_multiple(judged.studio, typical, retail),
        one_price=_span(_margins(hours, hour_price)),
        proving=proving(judged.studio, typical, burned),
    )


def _products(judged: Judged, ident: str) -> tuple[tuple[str, ...], bool]:
    """Return the approved products in a vessel; without any, all that are not retired."""
    inside = [product for product in judged.products.values() if product.recipe.vessel == ident]
    approved = [life for life in inside if life.status is Status.APPROVED]
    chosen = approved or [life for life in inside if life.status is not Status.RETIRED]
    return tuple(span.recipe.source.id for span in chosen), bool(approved)


def _passed(judged: Judged, ident: str) -> tuple[str, ...]:
    """Return the test candles that passed for the products of a vessel, each once."""
    inside = [
        each_product
        for each_product in judged.products.values()
        if each_product.recipe.vessel == ident
    ]
    return tuple({candle.id: None for product in inside for candle in product.evidence.passed})


def _span(values: list[Decimal]) -> Span | None:
    return Span(min(values), max(values)) if values else None


def _margins(hours: list[Decimal], price: Decimal | None) -> list[Decimal]:
    if price is None:
        return []
    margins = (offer_at(hour, price).margin for hour in hours)
    return [margin for margin in margins if margin is not None]
