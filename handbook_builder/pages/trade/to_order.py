"""What to order so that what is planned can be poured: supplier by supplier, for the owner.

The floor edition has the same amounts, and neither a supplier nor a price.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby

from handbook_builder.derived.board import board_of
from handbook_builder.derived.money.pricing import decimals_of
from handbook_builder.derived.orders import Order, Wanted, orders_of, price_of
from handbook_builder.derived.plan.planned import planned, wanted_by
from handbook_builder.derived.stock import stock_of
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.trade.parts import amount_shown
from handbook_builder.studio.found import last_line


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One thing to order: how much is needed, what of it is there, and how much to order.

    `last` is how it came the last time. `price` is for the owner, None while none is known.
    """

    item: Link
    needed: str
    usable: str
    buy: str
    last: str | None
    price: str | None


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """What to order from one supplier, None where none is on file; the terms are in words."""

    supplier: Link | None
    title: str
    terms: tuple[str, ...]
    rows: tuple[OrderRow, ...]


@dataclass(frozen=True, slots=True)
class ToOrder:
    """What is to be poured, and what must be ordered for it; without orders all is there."""

    lead: str
    suppliers: tuple[SupplierOrder, ...]
    enough: str
    note: str
    has_price: bool


def proofs_wanted(desk: Desk) -> tuple[Wanted, ...]:
    """Return the proofs that wait, as the plan has them."""
    return wanted_by(planned(desk.account, board_of(desk.account)))


def to_order(desk: Desk, wanted: Sequence[Wanted], by: date | None = None) -> ToOrder:
    """Return what to order for all that is wanted; with `by`, the last day to order it, too."""
    orders = orders_of(desk.account, stock_of(desk.account), wanted, by)
    several = groupby(orders, key=lambda one: one.supplier)
    return ToOrder(
        lead=_lead(desk, wanted),
        suppliers=tuple(_supplier(desk, who, tuple(found), by) for who, found in several),
        enough=desk.phrase("order.enough"),
        note=desk.phrase("order.note"),
        has_price=desk.money is not None,
    )


def _lead(desk: Desk, wanted: Sequence[Wanted]) -> str:
    if not wanted:
        return desk.phrase("order.nothing")
    things = (
        desk.phrase(
            "order.candles",
            count=one.candles,
            product=desk.product(desk.studio.recipes[one.what.id]).title,
        )
        for one in wanted
    )
    return desk.phrase("order.lead", what="; ".join(things))


def _supplier(
    desk: Desk, ident: str | None, orders: tuple[Order, ...], by: date | None
) -> SupplierOrder:
    link = None if ident is None else Link(name_of(ident), f"suppliers/{ident}")
    unknown = desk.phrase("order.nobody" if desk.studio.suppliers else "order.owner")
    return SupplierOrder(
        supplier=link,
        title=unknown if link is None else desk.phrase("order.from", supplier=link.title),
        terms=() if ident is None else tuple(_terms(desk, ident, orders, by)),
        rows=tuple(_row(desk, one) for one in orders),
    )


def _terms(desk: Desk, ident: str, orders: tuple[Order, ...], by: date | None) -> Iterator[str]:
    """Yield when it comes, what the least order is, how far it is, and what it comes to."""
    supplier, first = desk.studio.suppliers[ident], orders[0]
    if first.comes_on is None:
        yield desk.phrase("order.no_lead")
    else:
        lead = desk.words.quantity(float(first.lead_days or 0), "days")
        yield desk.phrase("order.comes", lead=lead, on=first.comes_on)
    if by is not None and first.buy_by is not None:
        late = "late" if first.buy_by < desk.day else "by"
        yield desk.phrase(f"order.{late}", by=by, on=first.buy_by)
    if supplier.minimum_order is not None:
        yield desk.phrase("order.minimum", value=supplier.minimum_order)
    if supplier.distance is not None:
        yield desk.phrase("order.distance", value=supplier.distance)
    yield from _sum(desk, orders)


def _sum(desk: Desk, orders: tuple[Order, ...]) -> Iterator[str]:
    if desk.money is None:
        return
    costing, decimals = desk.studio.info.costing, decimals_of(desk.studio)
    prices = [price_of(one, desk.money.prices, costing, decimals) for one in orders]
    known = [price for price in prices if price is not None]
    if known:
        whole = "sum" if len(known) == len(prices) else "sum_known"
        yield desk.phrase(f"order.{whole}", value=desk.words.money(sum(known, Decimal(0))))


def _row(desk: Desk, one: Order) -> OrderRow:
    return OrderRow(
        item=ref_link(one.item),
        needed=amount_shown(desk, one.item, one.need),
        usable=amount_shown(desk, one.item, one.usable),
        buy=amount_shown(desk, one.item, one.buy),
        last=_last(desk, one),
        price=_price(desk, one),
    )


def _last(desk: Desk, one: Order) -> str | None:
    """Return how the item came the last time: whoever sells it by the slab sells no 90 g."""
    found = last_line(desk.studio, desk.day, one.item)
    if found is None:
        return None
    return desk.phrase("order.last", quantity=found.line.quantity.written, on=found.purchase.on)


def _price(desk: Desk, one: Order) -> str | None:
    if desk.money is None:
        return None
    found = price_of(one, desk.money.prices, desk.studio.info.costing, decimals_of(desk.studio))
    return None if found is None else desk.words.money(found)
