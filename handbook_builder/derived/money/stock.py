"""What is in the store at cost, for the year's end: line by line, and the lines add up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from types import MappingProxyType
from typing import Final

from handbook_builder.derived.money.bills import Prices
from handbook_builder.figures.cost import MONEY_CONTEXT, currency_decimals
from handbook_builder.reading.refs import Ref

_MICRO: Final = Decimal("0.000001")  # of a gram: what adding up floats may blur is cut off


@dataclass(frozen=True, slots=True)
class ItemValue:
    """What is left of an item at cost: a sum for each of its lots, in their order, and of all.

    They are None where the item has no price: it was never bought.
    """

    unit_cost: Decimal | None
    lots: tuple[Decimal | None, ...]
    total: Decimal | None


@dataclass(frozen=True, slots=True)
class StockValue:
    """What the store is worth at cost; `total` is the sum of all that has a price."""

    items: Mapping[Ref, ItemValue]
    total: Decimal
    unpriced: tuple[Ref, ...]


def stock_value(
    left: Mapping[Ref, Sequence[float]], prices: Prices, costing: str, currency: str
) -> StockValue:
    """Return the value of what is left of the lots of each item, in grams or pieces.

    Each lot is rounded to the coin, half to even, and the sums are of the rounded ones: what
    stands on the page adds up. A lot that was over-drawn is worth less than nothing, since what
    was taken from it is missing from another.
    """
    coin = Decimal(1).scaleb(-currency_decimals(currency))
    items = {item: _item(prices, item, amounts, costing, coin) for item, amounts in left.items()}
    return StockValue(
        MappingProxyType(items),
        sum((one.total for one in items.values() if one.total is not None), Decimal(0)),
        tuple(item for item, one in items.items() if one.total is None),
    )


def _item(
    prices: Prices, item: Ref, amounts: Sequence[float], costing: str, coin: Decimal
) -> ItemValue:
    price = prices.by_item.get(item)
    if price is None or price.is_quote:  # an offer was never paid
        return ItemValue(None, (None,) * len(amounts), None)
    unit = price.chosen(costing)
    lots = tuple(_rounded(amount, unit, coin) for amount in amounts)
    return ItemValue(unit, lots, sum(lots, Decimal(0)))


def _rounded(amount: float, unit: Decimal, coin: Decimal) -> Decimal:
    exact = MONEY_CONTEXT.multiply(Decimal(str(amount)).quantize(_MICRO), unit)
    return exact.quantize(coin, rounding=ROUND_HALF_EVEN, context=MONEY_CONTEXT)
