"""One page a lot: where it came from, which batches hold it, and who has the candles."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.lots import Lot
from handbook_builder.pages.beside import Beside, beside_each
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.page import Page, Stands
from handbook_builder.pages.trade.balance import BalanceShown, balance_shown
from handbook_builder.pages.trade.parts import (
    BatchLine,
    Handed,
    IncidentLine,
    batch_lines,
    handed_from,
    incident_line,
    item_name,
    lot_link,
    lot_word,
)
from handbook_builder.reading.shape import Source
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Brought:
    """A delivery; bill and supplier are None in the edition that names neither."""

    on: date
    quantity: str
    supplier: str | None
    bill: str | None


@dataclass(frozen=True, slots=True)
class LotPage:
    """What the page of a lot shows; `word` is None while no incident is open about it."""

    lot: str
    item: Link
    word: Word | None
    incidents: tuple[IncidentLine, ...]
    deliveries: tuple[Brought, ...]
    balance: BalanceShown | None
    batches: tuple[BatchLine, ...]
    out: int
    left: int
    handed: tuple[Handed, ...]
    bills: tuple[Beside, ...]
    own_tests: str


def page_of_lot(desk: Desk, lot: Lot) -> Page:
    """Return the page of one lot; the search finds it as its supplier wrote it."""
    title = desk.phrase("titles.lot", item=item_name(lot.item), lot=lot.lot)
    path = lot_link(lot.item, lot.lot).path
    content = _content(desk, lot)
    stands = Stands(content.word, lot.lot)
    return Page(path, title, "lot", content, 1.2, (lot.lot, lot.item.id), stands=stands)


def _content(desk: Desk, lot: Lot) -> LotPage:
    batches = batch_lines(desk, lot.batches)
    return LotPage(
        lot=lot.lot,
        item=ref_link(lot.item),
        word=lot_word(desk, lot.item, lot.lot),
        incidents=tuple(incident_line(desk, incident) for incident in lot.incidents),
        deliveries=brought(desk, lot),
        balance=balance_shown(desk, lot),
        batches=batches,
        out=sum(batch.out for batch in batches),
        left=sum(batch.left for batch in batches),
        handed=handed_from(desk, [desk.studio.batches[batch] for batch in lot.batches]),
        bills=beside_each(desk, _bills(desk, lot)),
        own_tests=desk.phrase("own_tests"),
    )


def _bills(desk: Desk, lot: Lot) -> Iterator[Source]:
    """Yield where the bills of a lot were written, each once; none where bills are not named."""
    for ident in dict.fromkeys(delivery.purchase for delivery in lot.deliveries):
        if desk.edition is Edition.OWNER:
            yield desk.studio.purchases[ident].source


def brought(desk: Desk, lot: Lot) -> tuple[Brought, ...]:
    """Return the deliveries of a lot, with their bills for whoever may see them."""
    named = desk.edition is Edition.OWNER
    return tuple(
        Brought(
            on=delivery.on,
            quantity=delivery.quantity,
            supplier=name_of(delivery.supplier) if named else None,
            bill=delivery.purchase if named else None,
        )
        for delivery in lot.deliveries
    )
