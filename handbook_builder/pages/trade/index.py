"""All batches, lots and incidents, and which of them must stop."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial

from handbook_builder.derived.lots import Lot, lots_on
from handbook_builder.pages.desk import Desk, Link, ref_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.trade.batch import page_of_batch
from handbook_builder.pages.trade.incident import known_incidents, page_of_incident
from handbook_builder.pages.trade.lot import page_of_lot
from handbook_builder.pages.trade.parts import (
    BatchLine,
    IncidentLine,
    batch_lines,
    incident_line,
    lot_link,
    lot_word,
)
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class LotLine:
    """One lot in the index; `word` is None while no incident is open about it."""

    link: Link
    item: Link
    word: Word | None
    delivered: date | None
    batches: int


@dataclass(frozen=True, slots=True)
class BatchesPage:
    """What the index of batches and lots shows; what is open comes first."""

    lead: str
    open: tuple[IncidentLine, ...]
    closed: tuple[IncidentLine, ...]
    counts: tuple[tuple[Word, int], ...]
    batches: tuple[BatchLine, ...]
    lots: tuple[LotLine, ...]
    own_tests: str


def pages_of_batches(desk: Desk) -> Iterator[Page]:
    """Yield the index, and the page of every batch, lot and incident known on the day."""
    lots = lots_on(desk.studio, desk.day)
    yield _index(desk, lots)
    yield from (page_of_batch(desk, ident) for ident in desk.account.batches)
    yield from (page_of_lot(desk, lot) for lot in lots)
    yield from (page_of_incident(desk, incident) for incident in known_incidents(desk))


def _index(desk: Desk, lots: tuple[Lot, ...]) -> Page:
    incidents = [incident_line(desk, incident) for incident in known_incidents(desk)]
    batches = batch_lines(desk, desk.account.batches)
    content = BatchesPage(
        lead=desk.phrase("leads.batches"),
        open=tuple(incident for incident in incidents if incident.closed is None),
        closed=tuple(incident for incident in incidents if incident.closed is not None),
        counts=_counts(batches),
        batches=batches,
        lots=tuple(sorted(map(partial(_lot_line, desk), lots), key=_delivered, reverse=True)),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("batches/index", desk.phrase("titles.batches"), "batches", content, 1.1)


def _delivered(lot: LotLine) -> tuple[bool, date]:
    """Return what orders lots: what is suspended, then the newest."""
    return lot.word is not None, lot.delivered or date.min


def _counts(batches: tuple[BatchLine, ...]) -> tuple[tuple[Word, int], ...]:
    """Return how many batches are in each state, those that want an eye first."""
    order = ("bad", "warn", "wait", "pass", "none")
    counts = Counter(batch.word.word for batch in batches)
    words = {batch.word.word: batch.word for batch in batches}
    found = sorted(words.values(), key=lambda word: (order.index(word.tone), word.word))
    return tuple((word, counts[word.word]) for word in found)


def _lot_line(desk: Desk, lot: Lot) -> LotLine:
    return LotLine(
        link=lot_link(lot.item, lot.lot),
        item=ref_link(lot.item),
        word=lot_word(desk, lot.item, lot.lot),
        delivered=min((delivery.on for delivery in lot.deliveries), default=None),
        batches=len(lot.batches),
    )
