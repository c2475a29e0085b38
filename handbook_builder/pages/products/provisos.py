"""What limits an approval: it is said beside the word, wherever a product is called approved."""

from dataclasses import dataclass

from handbook_builder.derived.lots_held_back import HeldBack, lots_held_back
from handbook_builder.pages.desk import Desk, ref_link
from handbook_builder.pages.edition import Edition
from handbook_builder.verdicts.approval import Product, Status


@dataclass(frozen=True, slots=True)
class Provisos:
    """The sentences that limit an approval, and whether they leave nothing to pour today."""

    sentences: tuple[str, ...]
    forbids: bool


def provisos_of(desk: Desk, product: Product) -> Provisos:
    """Return what limits the approval of a product; a product that is not approved has none."""
    if product.status is not Status.APPROVED:
        return Provisos((), forbids=False)
    held = lots_held_back(desk.studio, product.recipe, desk.day)
    return Provisos(stops_of(desk, product), any(held_back.is_only for held_back in held))


def meaning_of(desk: Desk, product: Product) -> str:
    """Return what the status of a product means, without promising more than holds."""
    if provisos_of(desk, product).sentences:
        return desk.phrase("provisos.meaning")
    return desk.words.status(product.status).meaning


def stops_of(desk: Desk, product: Product) -> tuple[str, ...]:
    """Return which lots must not go into the product as long as an incident about them is open."""
    held = lots_held_back(desk.studio, product.recipe, desk.day)
    return tuple(_stop(desk, held_back) for held_back in held)


def _stop(desk: Desk, one: HeldBack) -> str:
    """Return the sentence about one lot; on the floor, about the whole delivery that it came in.

    There a lot is called by its day, and of two of one day nobody could tell the boxes apart.
    """
    on_floor = desk.edition is Edition.FLOOR
    lot = one.incident.lot or ""
    return desk.phrase(
        f"pour.{'stop_only' if one.is_only else 'stop'}{'_floor' if on_floor else ''}",
        lot=lot[: len("2026-03-15")] if on_floor else lot,
        item=ref_link(one.incident.about).title,
        number=one.incident.number,
        on=desk.words.day(one.incident.on),
    )
