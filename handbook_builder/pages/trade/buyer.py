"""One page a recipient, for the owner: what they have from which batches, what is open first."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.buyers import Handed as Given
from handbook_builder.derived.buyers import buyer_key, handed_to, has_now, recipients
from handbook_builder.pages.desk import Desk, Link, Said
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.page import Page
from handbook_builder.pages.trade.parts import (
    Handed,
    IncidentLine,
    batch_link,
    handed_row,
    incident_line,
    state_word,
)
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class BuyerBatch:
    """What a recipient has of one batch, how it stands, and what is open about it."""

    batch: Link
    word: Word
    has: int
    reasons: tuple[Said, ...]
    handed: tuple[Handed, ...]


@dataclass(frozen=True, slots=True)
class BuyerPage:
    """All that went to a recipient: `incidents` are open about any of it."""

    has: int
    incidents: tuple[IncidentLine, ...]
    batches: tuple[BuyerBatch, ...]
    note: str


def buyer_pages(desk: Desk) -> Iterator[Page]:
    """Yield a page for each recipient, and none in the edition that names none."""
    if desk.edition is Edition.FLOOR:
        return
    for name in sorted(recipients(desk.account).values()):
        path = f"buyers/{buyer_key(name)}"
        content = _content(desk, handed_to(desk.account, name))
        yield Page(path, name, "buyer", content, 1.3, (name,))


def _content(desk: Desk, handed: tuple[Given, ...]) -> BuyerPage:
    idents = tuple(dict.fromkeys(one.batch for one in handed))
    found = {
        incident.source.id: incident
        for ident in idents
        for incident in desk.account.batches[ident].verdict.incidents
    }
    batches = [_batch(desk, ident, handed) for ident in idents]
    open_first = sorted(batches, key=lambda one: not one.reasons)
    return BuyerPage(
        has=has_now(handed),
        incidents=tuple(incident_line(desk, one) for one in found.values()),
        batches=tuple(open_first),
        note=desk.phrase("buyers.note"),
    )


def _batch(desk: Desk, ident: str, handed: tuple[Given, ...]) -> BuyerBatch:
    mine = tuple(one for one in handed if one.batch == ident)
    figures = desk.account.batches[ident]
    batch = desk.studio.batches[ident]
    return BuyerBatch(
        batch=batch_link(desk, ident),
        word=state_word(desk, figures),
        has=has_now(mine),
        reasons=tuple(desk.said(reason) for reason in figures.verdict.reasons),
        handed=tuple(handed_row(desk, batch, one.given) for one in mine),
    )
