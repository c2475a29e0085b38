"""One page a supplier, for the owner: terms, what is bought there, what is open with them."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.letter import supplier_of
from handbook_builder.pages.beside import Beside, beside_each, beside_of
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.items.letters import AskedRow, unanswered_rows
from handbook_builder.pages.page import Page
from handbook_builder.pages.trade.parts import IncidentLine, incident_line, lot_link, lot_word
from handbook_builder.reading.kinds.house import Supplier
from handbook_builder.reading.kinds.trade import Purchase
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class BoughtLine:
    """One line of a bill: the item, how much, and its lot with its word while it is suspended."""

    on: date
    item: Link
    quantity: str
    price: str
    lot: Link | None
    word: Word | None


@dataclass(frozen=True, slots=True)
class SupplierPage:
    """What the page of a supplier shows; None of the terms is not on file."""

    kind: str
    distance: str | None
    lead_time: str | None
    minimum_order: str | None
    items: tuple[Link, ...]
    lines: tuple[BoughtLine, ...]
    asked: tuple[AskedRow, ...]
    incidents: tuple[IncidentLine, ...]
    notes: str
    more: Beside | None
    bills: tuple[Beside, ...]


def supplier_pages(desk: Desk) -> Iterator[Page]:
    """Yield a page for each supplier, and none in the edition that names none."""
    if desk.edition is Edition.OWNER:
        for ident, supplier in sorted(desk.studio.suppliers.items()):
            content = _content(desk, ident, supplier)
            yield Page(f"suppliers/{ident}", name_of(ident), "supplier", content, 1.1, (ident,))


def _content(desk: Desk, ident: str, supplier: Supplier) -> SupplierPage:
    lines = tuple(_lines(desk, ident))
    items = tuple(dict.fromkeys((*_sold(desk, ident), *(line.item.path for line in lines))))
    return SupplierPage(
        kind=desk.phrase(f"supplier_kinds.{supplier.kind}"),
        distance=supplier.distance,
        lead_time=desk.maybe(supplier.lead_time_days, "days"),
        minimum_order=supplier.minimum_order,
        items=tuple(ref_link(Ref(item)) for item in sorted(items)),
        lines=lines,
        asked=tuple(row for row in unanswered_rows(desk) if row.item.path in _sold(desk, ident)),
        incidents=tuple(_incidents(desk, ident)),
        notes=supplier.source.body,
        more=beside_of(desk, supplier.source),
        bills=beside_each(desk, (one.source for one in _bills(desk, ident))),
    )


def _sold(desk: Desk, ident: str) -> tuple[str, ...]:
    """Return the items that are asked of a supplier: what they sell, or sent last."""
    items = (Ref.to(folder, one) for folder in ITEM_FOLDERS for one in getattr(desk.studio, folder))
    return tuple(item for item in items if supplier_of(desk.account, item) == ident)


def _bills(desk: Desk, ident: str) -> list[Purchase]:
    """Return the bills of a supplier by the day, the newest first."""
    bills = [
        one
        for one in desk.studio.purchases.values()
        if one.supplier == ident and one.on <= desk.day
    ]
    return sorted(bills, key=lambda one: (one.on, one.source.id), reverse=True)


def _lines(desk: Desk, ident: str) -> Iterator[BoughtLine]:
    for bill in _bills(desk, ident):
        for line in bill.lines:
            yield BoughtLine(
                on=bill.on,
                item=ref_link(line.item),
                quantity=line.quantity.written,
                price=desk.words.money(line.price),
                lot=None if line.lot is None else lot_link(line.item, line.lot),
                word=None if line.lot is None else lot_word(desk, line.item, line.lot),
            )


def _incidents(desk: Desk, ident: str) -> Iterator[IncidentLine]:
    """Yield the incidents about what came from a supplier, the newest first."""
    brought = {
        (line.item, line.lot)
        for bill in desk.studio.purchases.values()
        if bill.supplier == ident and bill.on <= desk.day
        for line in bill.lines
    }
    items = {item for item, _ in brought}
    known = sorted(desk.studio.incidents.values(), key=lambda one: -one.number)
    for one in known:
        is_theirs = (one.about, one.lot) in brought if one.lot else one.about in items
        if one.on <= desk.day and is_theirs:
            yield incident_line(desk, one)
