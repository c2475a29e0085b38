"""What must be bought so that what is wanted can be poured: from whom, how much, and by when."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.bills import Prices, breakage_of
from handbook_builder.derived.plan.needs import Need, together
from handbook_builder.derived.stock import ItemInStore
from handbook_builder.figures.price import up_to_coin
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio

_SLACK: Final = 1e-6  # of a gram or a piece: what adding up floats may blur is not short
_TENTHS: Final = 10  # masses are ordered in whole tenths of a gram: no scale of a shop shows less


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be poured, a proof or a batch of a recipe or a ladder in a vessel: its needs."""

    what: Ref
    candles: int
    needs: tuple[Need, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """An item of which there is too little: grams of what is weighed, else pieces.

    `need` is all that is wanted of it, by what (`wanted`), and `usable` what may be poured of the
    store; `buy` is what to order, with the share of vessels that break. `comes_on` is the day on
    which it is here if ordered on the day of the account, None where no lead time is on file.
    `buy_by` is the last day to order it for a given day, and may have gone by.
    """

    item: Ref
    wanted: tuple[tuple[Ref, float], ...]
    need: float
    usable: float
    buy: float
    supplier: str | None
    lead_days: int | None
    comes_on: date | None
    buy_by: date | None

    @property
    def short(self) -> float:
        """Return how much is missing, in grams or pieces."""
        return self.need - self.usable


def lacking(
    stock: Mapping[Ref, ItemInStore], wanted: Sequence[Wanted]
) -> tuple[tuple[Need, ...], ...]:
    """Return what the store lacks for each, once those before it took what they need.

    What all of them lack of an item together is what is wanted of it less what may be poured.
    """
    left = {item: one.usable for item, one in stock.items()}
    return tuple(tuple(_lacks(left, one.needs)) for one in wanted)


def _lacks(left: dict[Ref, float], needs: Sequence[Need]) -> Iterator[Need]:
    for need in needs:
        there = left.get(need.item, 0.0)
        left[need.item] = max(0.0, there - need.amount)
        if need.amount - there > _SLACK:
            yield Need(need.item, need.amount - there, need.supplier, need.lead_days)


def orders_of(
    account: Account,
    stock: Mapping[Ref, ItemInStore],
    wanted: Sequence[Wanted],
    by: date | None = None,
) -> tuple[Order, ...]:
    """Return what to order so that all that is `wanted` can be poured, supplier by supplier.

    With `by`, the day on which it must be here, also the last day to order it.
    """
    whole = together(tuple(one.needs for one in wanted))
    found = [_order(account, stock, wanted, need, by) for need in whole]
    short = [one for one in found if one.short > _SLACK]
    return tuple(sorted(short, key=_by_supplier))


def _by_supplier(order: Order) -> tuple[bool, str, Ref]:
    return (order.supplier is None, order.supplier or "", order.item)


def _order(
    account: Account,
    stock: Mapping[Ref, ItemInStore],
    wanted: Sequence[Wanted],
    need: Need,
    by: date | None,
) -> Order:
    store, lead = stock.get(need.item), need.lead_days
    usable = 0.0 if store is None else store.usable
    day = account.judged.as_of
    return Order(
        item=need.item,
        wanted=tuple(_by_what(wanted, need.item)),
        need=need.amount,
        usable=usable,
        buy=to_buy(account.studio, need.item, need.amount - usable),
        supplier=need.supplier,
        lead_days=lead,
        comes_on=None if lead is None else day + timedelta(days=lead),
        buy_by=None if lead is None or by is None else by - timedelta(days=lead),
    )


def _by_what(wanted: Sequence[Wanted], item: Ref) -> Iterator[tuple[Ref, float]]:
    amounts: dict[Ref, float] = defaultdict(float)
    for one in wanted:
        for need in one.needs:
            if need.item == item:
                amounts[one.what] += need.amount
    yield from amounts.items()


def to_buy(studio: Studio, item: Ref, short: float) -> float:
    """Return how much to order of what is short: whole pieces, or whole tenths of a gram.

    Of vessels so many more that enough are whole: n = short / (1 - the share that breaks).
    """
    if item.is_weighed:
        return math.ceil(max(short, 0.0) * _TENTHS - _SLACK) / _TENTHS
    whole = 1.0
    if item.folder == "vessels":
        whole -= float(breakage_of(studio, item.id))
    return float(math.ceil(max(short, 0.0) / whole - _SLACK))


def price_of(order: Order, prices: Prices, costing: str, decimals: int) -> Decimal | None:
    """Return what an order comes to at the price that the studio reckons with, freight included.

    In whole coins, rounded up; None of what was never bought and never offered.
    """
    price = prices.by_item.get(order.item)
    if price is None:
        return None
    return up_to_coin(Decimal(str(order.buy)) * price.chosen(costing), decimals)
