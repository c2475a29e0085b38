"""What is in the store: each item and lot, candles, what to order, and for the owner its worth.

The floor edition has the same amounts, neutral lots, and no money.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from handbook_builder.derived.lot_balance import LotBalance
from handbook_builder.derived.money.stock import StockValue
from handbook_builder.derived.stock import (
    ItemInStore,
    LotInStore,
    WhyNot,
    candles_in_store,
    stock_of,
    value_of,
)
from handbook_builder.pages.beside import Beside, beside_each
from handbook_builder.pages.desk import Desk, Link, ref_link
from handbook_builder.pages.money.sums import sum_shown
from handbook_builder.pages.page import Page
from handbook_builder.pages.trade.parts import (
    NOTHING,
    BatchLine,
    amount_shown,
    batch_lines,
    lot_link,
    lot_word,
)
from handbook_builder.pages.trade.to_order import ToOrder, proofs_wanted, to_order
from handbook_builder.reading.refs import ITEM_FOLDERS
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class LotRow:
    """One lot in the store; `all_of_it` stands on the first of several lots of an item alone.

    `lot` is None for what bears none. `counted` is the last count with what it found more or less
    than the papers say. `notes` say what is not as it should be. `value` is for the owner.
    """

    item: Link
    lot: Link | None
    word: Word | None
    left: str
    all_of_it: str | None
    bought: str
    taken: str
    counted_on: date | None
    counted: str | None
    notes: tuple[str, ...]
    value: str | None


@dataclass(frozen=True, slots=True)
class KindInStore:
    """All lots of one kind of item, and what they are worth together."""

    title: str
    anchor: str
    rows: tuple[LotRow, ...]
    value: str | None


@dataclass(frozen=True, slots=True)
class CandleRow:
    """The candles of one batch that are in the studio."""

    batch: BatchLine
    kept: int
    on_hand: int


@dataclass(frozen=True, slots=True)
class StockPage:
    """What is in the store on the day; `value` and what it says of costs are for the owner."""

    lead: str
    kinds: tuple[KindInStore, ...]
    order: ToOrder
    candles: tuple[CandleRow, ...]
    on_hand: int
    over: tuple[str, ...]
    value: str | None
    basis: str
    unpriced: tuple[Link, ...]
    counts: tuple[date, ...]
    how: str
    more: tuple[Beside, ...]
    own_tests: str


def stock_page(desk: Desk) -> Page:
    """Return the page of the store."""
    title = desk.phrase("titles.stock")
    return Page("stock/index", title, "stock", _content(desk), 1.1)


def _content(desk: Desk) -> StockPage:
    stock = stock_of(desk.account)
    money = desk.money
    worth = None if money is None else value_of(desk.account, stock, money.prices)
    candles = tuple(_candles(desk))
    return StockPage(
        lead=desk.phrase("leads.stock"),
        kinds=tuple(_kinds(desk, list(stock.values()), worth)),
        order=to_order(desk, proofs_wanted(desk)),
        candles=candles,
        on_hand=sum(row.on_hand for row in candles),
        over=tuple(_over(desk, list(stock.values()))),
        value=None if worth is None else sum_shown(desk, worth.total),
        basis="" if worth is None else desk.phrase(f"costing.{desk.studio.info.costing}"),
        unpriced=() if worth is None else tuple(map(ref_link, worth.unpriced)),
        counts=_counted_on(desk),
        more=beside_each(desk, (one.source for one in desk.studio.stock.values())),
        how=desk.phrase("stock.how"),
        own_tests=desk.phrase("own_tests"),
    )


def _counted_on(desk: Desk) -> tuple[date, ...]:
    """Return the days of the counts by the day, the newest first."""
    days = {one.on for one in desk.studio.stock.values() if one.on <= desk.day}
    return tuple(sorted(days, reverse=True))


def _kinds(
    desk: Desk, items: Sequence[ItemInStore], worth: StockValue | None
) -> Iterator[KindInStore]:
    for folder in ITEM_FOLDERS:
        of_kind = [one for one in items if one.item.folder == folder]
        rows = tuple(row for one in of_kind for row in rows_of(desk, one, worth))
        if rows:
            value = None if worth is None else sum_shown(desk, _sum_of(worth, of_kind))
            yield KindInStore(desk.phrase(f"rooms.{folder}"), folder, rows, value)


def _sum_of(worth: StockValue, items: Sequence[ItemInStore]) -> Decimal:
    totals = (worth.items[one.item].total for one in items)
    return sum((total for total in totals if total is not None), Decimal(0))


def rows_of(desk: Desk, one: ItemInStore, worth: StockValue | None) -> Iterator[LotRow]:
    """Yield the lots of an item; without `worth`, without a word of money."""
    values = (None,) * len(one.lots) if worth is None else worth.items[one.item].lots
    for at, (lot, value) in enumerate(zip(one.lots, values, strict=True)):
        whole = amount_shown(desk, one.item, one.left) if len(one.lots) > 1 and not at else None
        yield _row(desk, lot, whole, sum_shown(desk, value))


def _row(desk: Desk, one: LotInStore, whole: str | None, value: str | None) -> LotRow:
    balance = one.balance
    item, lot = balance.item, balance.lot
    changed = balance.counted_on is not None and abs(balance.corrected) > NOTHING
    return LotRow(
        item=ref_link(item),
        lot=None if lot is None else lot_link(item, lot),
        word=lot_word(desk, item, lot or "") if one.incidents else None,
        left=amount_shown(desk, item, balance.left),
        all_of_it=whole,
        bought=amount_shown(desk, item, balance.bought),
        taken=amount_shown(desk, item, balance.amount),
        counted_on=balance.counted_on,
        counted=_change(desk, balance) if changed else None,
        notes=tuple(_notes(desk, one)),
        value=value,
    )


def _change(desk: Desk, balance: LotBalance) -> str:
    shown = amount_shown(desk, balance.item, balance.corrected)
    return shown if balance.corrected < 0 else f"+{shown}"


def _notes(desk: Desk, one: LotInStore) -> Iterator[str]:
    """Yield what is not as it should be with a lot."""
    balance = one.balance
    if one.why_not in (WhyNot.FORMER, WhyNot.UNSURE):
        yield desk.phrase(f"stock.{one.why_not}")
    if balance.is_overdrawn:
        yield desk.phrase("stock.overdrawn")
    if balance.lot is None and not balance.bought and balance.taken:
        yield desk.phrase("stock.lot_unsaid")
    if balance.unweighed:
        count = len(balance.unweighed)
        yield desk.phrase("stock.unweighed_one" if count == 1 else "stock.unweighed", count=count)


def _over(desk: Desk, items: Sequence[ItemInStore]) -> Iterator[str]:
    """Yield each lot of which more was taken than was there."""
    for balance in (lot.balance for one in items for lot in one.lots):
        if balance.is_overdrawn:
            yield desk.phrase(
                "stock.over",
                item=ref_link(balance.item).title,
                lot=balance.lot or desk.phrase("stock.no_lot"),
                taken=amount_shown(desk, balance.item, balance.amount),
                there=amount_shown(desk, balance.item, balance.bought - balance.missing),
            )


def _candles(desk: Desk) -> Iterator[CandleRow]:
    known = candles_in_store(desk.account)
    for line in batch_lines(desk, known):
        one = known[line.link.path.rpartition("/")[2]]
        yield CandleRow(line, one.kept, one.on_hand)
