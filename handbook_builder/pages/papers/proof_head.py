"""How a proof begins: what product it is, how it stands, and what stands in its way."""

from dataclasses import dataclass
from datetime import date

from handbook_builder.pages.desk import Desk, Said
from handbook_builder.pages.papers.places import From, come_from, from_record
from handbook_builder.pages.papers.which import sender_of
from handbook_builder.pages.products.in_the_way import said_in_the_way
from handbook_builder.pages.products.product import since_shown
from handbook_builder.pages.products.provisos import meaning_of, provisos_of
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class InTheWay:
    """One thing that stands in the way of an approval, and the line that would mend it."""

    said: Said
    place: From


@dataclass(frozen=True, slots=True)
class ProofHead:
    """What stands over a proof; `not_approved` is empty for an approved product."""

    kicker: str
    studio: str
    sender: str
    code: str
    word: Word
    not_approved: str
    meaning: str
    provisos: tuple[str, ...]
    since: str | None
    missing_title: str
    missing: tuple[InTheWay, ...]
    edition: str
    pages: str
    places: str
    as_of: date
    record: tuple[From, ...]


def head_of(desk: Desk, product: Product) -> ProofHead:
    """Return the head of the proof of a product."""
    recipe, status = product.recipe, product.status
    is_approved = status is Status.APPROVED
    return ProofHead(
        kicker=desk.phrase("papers.kinds.proof"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        code=desk.account.products[recipe.source.id].code,
        word=desk.words.status(status),
        not_approved="" if is_approved else desk.phrase("papers.proof.not_approved"),
        meaning=meaning_of(desk, product),
        provisos=provisos_of(desk, product).sentences,
        since=since_shown(desk, product),
        missing_title=desk.phrase("way.title"),
        missing=_missing(desk, product),
        edition=desk.phrase(f"papers.proof.editions.{desk.edition}"),
        pages=desk.phrase("papers.several_pages"),
        places=desk.phrase("papers.proof.places"),
        as_of=desk.day,
        record=from_record(desk, recipe.source),
    )


def _missing(desk: Desk, product: Product) -> tuple[InTheWay, ...]:
    """Return what stands in the way; the page of the product orders it alike."""
    places = {str(reason.place): come_from(desk, reason.place) for reason in product.missing}
    return tuple(InTheWay(said, places[said.where]) for said in said_in_the_way(desk, product))
