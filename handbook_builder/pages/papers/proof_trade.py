"""What a proof tells beyond the tests: lots, batches, and the incidents that touched the candle."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.pages.desk import Desk, ref_link
from handbook_builder.pages.papers.places import From, come_from
from handbook_builder.pages.trade.incident import known_incidents
from handbook_builder.pages.trade.parts import state_word
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import batches_by_recipe, lines_by_item
from handbook_builder.verdicts.approval import Evidence, Product
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.incidents import held_by
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece of a line, and where it is written."""

    text: str
    place: From


@dataclass(frozen=True, slots=True)
class ProofLot:
    """One lot: the item, in which candles and batches it is, and the deliveries that brought it."""

    item: str
    lot: str
    used: tuple[Placed, ...]
    brought: tuple[Placed, ...]


@dataclass(frozen=True, slots=True)
class ProofBatch:
    """One batch of the product; it names nobody who has its candles."""

    on: date
    made: int
    out: int
    left: int
    word: Word
    place: From


@dataclass(frozen=True, slots=True)
class ProofIncident:
    """One incident about the candle or anything in it; `end` says how it stands."""

    number: int
    on: date
    about: str
    what: str
    end: str
    place: From


def candles_of(evidence: Evidence) -> tuple[CandleVerdict, ...]:
    """Return every test candle that is of a product's make-up, in the order of their letters."""
    found = (*evidence.passed, *evidence.failed, *evidence.burning, *evidence.incomplete,
             *evidence.void, *evidence.misuse, *evidence.ladder)  # fmt: skip
    return tuple(sorted(found, key=lambda one: (len(one.seen.burn.candle), one.id)))


def batches_of(desk: Desk, product: Product) -> tuple[Batch, ...]:
    """Return the batches of a product that were poured by the day, the oldest first."""
    found = (desk.studio.batches[ident] for ident in desk.account.batches)
    own = (batch for batch in found if batch.recipe == product.recipe.source.id)
    return tuple(sorted(own, key=lambda one: (one.on, one.source.id)))


def lots_told(desk: Desk, product: Product) -> tuple[ProofLot, ...]:
    """Return every lot that went into the test candles or the batches of a product."""
    used: dict[tuple[Ref, str], list[Placed]] = {}
    for item, lot, placed in (*_in_candles(desk, product), *_in_batches(desk, product)):
        used.setdefault((item, lot), []).append(placed)
    return tuple(
        ProofLot(ref_link(item).title, lot, tuple(placed), tuple(_brought(desk, item, lot)))
        for (item, lot), placed in sorted(used.items(), key=lambda pair: pair[0])
    )


def _in_candles(desk: Desk, product: Product) -> Iterator[tuple[Ref, str, Placed]]:
    for candle in candles_of(product.evidence):
        burn = candle.seen.burn
        text = desk.phrase("papers.proof.candle", candle=burn.candle)
        for item, lot in burn.lots.items():
            yield item, lot, Placed(text, come_from(desk, burn.source.place(f"lots.{item}")))


def _in_batches(desk: Desk, product: Product) -> Iterator[tuple[Ref, str, Placed]]:
    for batch in batches_of(desk, product):
        text = desk.phrase("papers.proof.batch", on=desk.words.day(batch.on))
        for item, lot in batch.lots.items():
            yield item, lot, Placed(text, come_from(desk, batch.source.place(f"lots.{item}")))


def _brought(desk: Desk, item: Ref, lot: str) -> Iterator[Placed]:
    """Yield the deliveries of a lot by the day: how much, and when; never of whom."""
    lines = lines_by_item(desk.studio).get(item, ())
    for billed in sorted(lines, key=lambda one: (one.purchase.on, one.purchase.source.id)):
        bill = billed.purchase
        if billed.line.lot == lot and bill.on <= desk.day:
            text = desk.phrase(
                "papers.proof.brought",
                on=desk.words.day(bill.on),
                quantity=billed.line.quantity.written,
            )
            yield Placed(text, come_from(desk, bill.source.place(f"lines[{billed.index}]")))


def batches_told(desk: Desk, product: Product) -> tuple[ProofBatch, ...]:
    """Return the batches of a product."""
    return tuple(_batch(desk, batch) for batch in batches_of(desk, product))


def _batch(desk: Desk, batch: Batch) -> ProofBatch:
    figures = desk.account.batches[batch.source.id]
    return ProofBatch(
        on=batch.on,
        made=figures.made,
        out=figures.given,
        left=figures.left,
        word=state_word(desk, figures),
        place=come_from(desk, batch.source.place("made")),
    )


def incidents_told(
    desk: Desk, product: Product, twins: tuple[Recipe, ...]
) -> tuple[ProofIncident, ...]:
    """Return the incidents about a product, what is in it, or the same candle, by number.

    Those that are closed are told, too.
    """
    about = _named_by(desk, product.recipe, twins)
    known = sorted(known_incidents(desk), key=lambda one: one.number)
    return tuple(_incident(desk, incident) for incident in known if incident.about in about)


def _named_by(desk: Desk, recipe: Recipe, twins: tuple[Recipe, ...]) -> frozenset[Ref]:
    """Return everything by which an incident may name a product: it, its parts, its batches."""
    recipes = {one.source.id for one in (recipe, *twins)}
    filed = batches_by_recipe(desk.studio)
    batches = (batch.source.id for recipe in recipes for batch in filed.get(recipe, ()))
    return frozenset(
        (
            *held_by(recipe),
            *(Ref.to("recipes", ident) for ident in recipes),
            *(Ref.to("batches", ident) for ident in batches),
        )
    )


def _incident(desk: Desk, incident: Incident) -> ProofIncident:
    closed = incident.closed
    is_closed = closed is not None and closed.on <= desk.day
    end = desk.phrase("papers.proof.open")
    if closed is not None and is_closed:
        end = desk.phrase("recall.closed", on=desk.words.day(closed.on), finding=closed.finding)
    lot = "" if incident.lot is None else desk.phrase("papers.candle.lot", lot=incident.lot)
    about = ref_link(incident.about).title
    return ProofIncident(
        number=incident.number,
        on=incident.on,
        about=f"{about}, {lot}" if lot else about,
        what=incident.what,
        end=end,
        place=come_from(desk, incident.source.place()),
    )
