"""What the pages of batches, lots and incidents have in common."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from handbook_builder.derived.batches import BatchFigures, given_by
from handbook_builder.derived.buyers import buyer_key
from handbook_builder.derived.lots import lot_key, open_about_lot
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.edition import Edition
from handbook_builder.reading.kinds.trade import Batch, Given, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.batches import BatchState, cured_on
from handbook_builder.words import Word

_MINUS: Final = "\N{MINUS SIGN}"
NOTHING: Final = 0.05  # a tenth of a gram or of a piece, rounded
_MAY_GO: Final = (BatchState.CURING, BatchState.AS_PROVEN)


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One batch in a table; the link is called by the product, since its day stands beside it.

    `until` is the day on which its cure is over, while that is still to come.
    """

    link: Link
    poured: date
    word: Word
    made: int
    out: int
    left: int
    until: date | None


@dataclass(frozen=True, slots=True)
class Handed:
    """Candles that left the studio or came back.

    `to` is None in the edition that names no recipient, else `path` is their page.
    """

    on: date
    count: int
    how: str
    to: str | None
    path: str
    batch: Link


@dataclass(frozen=True, slots=True)
class IncidentLine:
    """One incident in a list."""

    link: Link
    on: date
    about: Link
    lot: Link | None
    what: str
    closed: date | None


def batch_link(desk: Desk, ident: str) -> Link:
    """Return the link to a batch, called by its product and its day."""
    batch = desk.studio.batches[ident]
    product = desk.studio.recipes[batch.recipe].title
    title = desk.phrase("titles.batch", product=product, on=desk.words.day(batch.on))
    return Link(title, f"batches/{ident}")


def lot_link(item: Ref, lot: str) -> Link:
    """Return the link to a lot, called as its supplier wrote it."""
    return Link(lot, f"lots/{lot_key(item, lot)}")


def incident_link(desk: Desk, incident: Incident) -> Link:
    """Return the link to an incident."""
    title = desk.phrase("titles.incident", number=incident.number)
    return Link(title, f"incidents/{incident.source.id}")


def about_link(desk: Desk, about: Ref) -> Link:
    """Return the link to whatever an incident is about."""
    if about.folder == "recipes":
        return desk.product(desk.studio.recipes[about.id])
    return batch_link(desk, about.id) if about.folder == "batches" else ref_link(about)


def state_word(desk: Desk, figures: BatchFigures) -> Word:
    """Return the word for how a batch stands."""
    return Word(**desk.words.phrases["batches"][figures.verdict.state])


def lot_word(desk: Desk, item: Ref, lot: str) -> Word | None:
    """Return that a lot is suspended, or None: a lot has no other word."""
    if not open_about_lot(desk.studio, desk.day, item, lot):
        return None
    return Word(**desk.words.phrases["batches"]["suspended"])


def batch_lines(desk: Desk, idents: Iterable[str]) -> tuple[BatchLine, ...]:
    """Return the batches, the newest first."""
    lines = [_batch_line(desk, ident) for ident in idents]
    return tuple(sorted(lines, key=lambda one: (one.poured, one.link.path), reverse=True))


def _batch_line(desk: Desk, ident: str) -> BatchLine:
    figures = desk.account.batches[ident]
    return BatchLine(
        link=replace(batch_link(desk, ident), title=_product(desk, ident)),
        poured=desk.studio.batches[ident].on,
        word=state_word(desk, figures),
        made=figures.made,
        out=figures.given,
        left=figures.left,
        until=cures_until(desk, ident),
    )


def held_lines(desk: Desk, idents: Iterable[str]) -> tuple[BatchLine, ...]:
    """Return the batches that are not the candle that was proven, while any of them is here."""
    known = (ident for ident in idents if ident in desk.account.batches)
    held = [ident for ident in known if desk.account.batches[ident].verdict.state not in _MAY_GO]
    return tuple(line for line in batch_lines(desk, held) if line.left)


def cures_until(desk: Desk, ident: str) -> date | None:
    """Return the day on which a batch is cured, or None once it is."""
    until = cured_on(desk.studio, desk.studio.batches[ident])
    return until if desk.day < until else None


def _product(desk: Desk, ident: str) -> str:
    return desk.studio.recipes[desk.studio.batches[ident].recipe].title


def handed_from(desk: Desk, batches: Iterable[Batch]) -> tuple[Handed, ...]:
    """Return where the candles of some batches went, the oldest first."""
    found = [
        handed_row(desk, batch, handed)
        for batch in batches
        for handed in given_by(desk.judged, batch)
    ]
    return tuple(sorted(found, key=lambda one: (one.on, one.batch.path)))


def handed_row(desk: Desk, batch: Batch, handed: Given) -> Handed:
    """Return candles of a batch that went out or came back, with a name for whoever may see it."""
    named = desk.edition is Edition.OWNER
    return Handed(
        on=handed.on,
        count=handed.count,
        how=desk.phrase(f"give.{handed.how}"),
        to=handed.to if named else None,
        path=f"buyers/{buyer_key(handed.to)}" if named else "",
        batch=batch_link(desk, batch.source.id),
    )


def incident_line(desk: Desk, incident: Incident) -> IncidentLine:
    """Return one incident as it was known on the day."""
    closed = incident.closed
    of_item = incident.lot is not None
    return IncidentLine(
        link=incident_link(desk, incident),
        on=incident.on,
        about=about_link(desk, incident.about),
        lot=lot_link(incident.about, incident.lot or "") if of_item else None,
        what=incident.what,
        closed=closed.on if closed is not None and closed.on <= desk.day else None,
    )


def item_name(item: Ref) -> str:
    """Return an item as a name: "waxes/soy-blend" is the Soy blend."""
    return name_of(item.id)


def amount_shown(desk: Desk, item: Ref, amount: float) -> str:
    """Return grams in one unit, or a bare number of pieces, with a minus sign below 0."""
    near = 0.0 if abs(amount) < NOTHING else amount
    grams, count = round(abs(near), 1), f"{abs(near):.0f}"
    bare = desk.terse.quantity(grams, "g") if item.is_weighed else count
    return f"{_MINUS}{bare}" if near < 0 else bare
