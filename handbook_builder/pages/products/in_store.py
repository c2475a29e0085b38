"""What a pour takes out of the store: which lots reach, which may not be poured, what to order."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.orders import to_buy
from handbook_builder.derived.plan.needs import lead_of
from handbook_builder.derived.reach import ItemReach, LotReach, Reach, reach_of
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.trade.parts import amount_shown
from handbook_builder.reading.refs import Ref


@dataclass(frozen=True, slots=True)
class StoreRow:
    """One thing that a candle takes: for how many candles it reaches, and its lots in words."""

    item: Link
    each: str
    candles: int
    lots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Order:
    """Whom to order an item from again, for the owner; None is not on file."""

    item: Link
    buy: str | None
    supplier: Link
    minimum_order: str | None
    lead_time: str | None
    distance: str | None


@dataclass(frozen=True, slots=True)
class InStore:
    """The store for one product: a line that holds for any count, its rows, and whom to ask."""

    line: str
    rows: tuple[StoreRow, ...]
    orders: tuple[Order, ...]


def in_store(desk: Desk, ident: str) -> InStore:
    """Return what the store holds for a product; whom to order from is for the owner."""
    reach = reach_of(desk.account, ident)
    return InStore(
        line=desk.phrase("store.line", most=reach.most, item=ref_link(reach.first).title),
        rows=tuple(_row(desk, one) for one in reach.items),
        orders=tuple(orders_of(desk, reach, None)),
    )


def _row(desk: Desk, one: ItemReach) -> StoreRow:
    each = amount_shown(desk, one.item, float(one.each))
    lots = tuple(_lot(desk, one.item, lot) for lot in one.lots)
    return StoreRow(ref_link(one.item), each, one.candles, lots)


def _lot(desk: Desk, item: Ref, one: LotReach) -> str:
    """Return one lot in words: for how many candles it reaches, or why it may not be poured."""
    balance, why_not = one.lot.balance, one.lot.why_not
    key = "lot" if why_not is None else why_not.value
    return desk.phrase(
        f"store.{key}",
        lot=balance.lot or desk.phrase("stock.no_lot"),
        left=amount_shown(desk, item, balance.left),
        candles=one.candles,
        numbers=", ".join(map(str, one.lot.incidents)),
    )


def orders_of(desk: Desk, reach: Reach, count: int | None) -> Iterator[Order]:
    """Yield whom to order from, for the owner: all things, or those that are short for a count."""
    if desk.edition is Edition.FLOOR:
        return
    for one in reach.items if count is None else reach.short(count):
        seller, _ = lead_of(desk.studio, desk.day, one.item)
        if seller is None:
            continue
        supplier = desk.studio.suppliers[seller]
        buy = 0.0 if count is None else to_buy(desk.studio, one.item, one.short(count))
        yield Order(
            item=ref_link(one.item),
            buy=None if count is None else amount_shown(desk, one.item, buy),
            supplier=Link(name_of(seller), f"suppliers/{seller}"),
            minimum_order=supplier.minimum_order,
            lead_time=desk.maybe(supplier.lead_time_days, "days"),
            distance=supplier.distance,
        )


def answered(desk: Desk, ident: str, count: int) -> tuple[str, ...]:
    """Return whether so many candles can be poured from the store: a line, then a line a thing."""
    reach = reach_of(desk.account, ident)
    short = reach.short(count)
    lines = [desk.phrase("store.short" if short else "store.enough", count=count, most=reach.most)]
    lines += [_thing(desk, one, count) for one in reach.items]
    lines += [_ordered(desk, order) for order in orders_of(desk, reach, count)]
    return tuple(lines)


def _thing(desk: Desk, one: ItemReach, count: int) -> str:
    """Return how one thing reaches: by a lot alone, by several together, or not."""
    lots = "; ".join(_lot(desk, one.item, lot) for lot in one.lots)
    missing = one.candles < count
    key = "missing" if missing else "alone" if one.alone(count) else "together"
    return desk.phrase(
        f"store.{key}",
        item=ref_link(one.item).title,
        need=amount_shown(desk, one.item, one.need(count)),
        short=amount_shown(desk, one.item, one.short(count)),
        lots=lots or desk.phrase("store.nothing"),
    )


def _ordered(desk: Desk, one: Order) -> str:
    terms = {
        "minimum_order": one.minimum_order,
        "lead_time": one.lead_time,
        "distance": one.distance,
    }
    said = [desk.phrase(f"store.{key}", value=value) for key, value in terms.items() if value]
    return desk.phrase(
        "store.order",
        item=one.item.title,
        buy=one.buy,
        supplier=one.supplier.title,
        terms="; ".join(said) or desk.phrase("store.no_terms"),
    )
