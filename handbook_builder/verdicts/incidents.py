"""What an open incident suspends."""

from collections.abc import Iterator
from datetime import date, timedelta
from enum import StrEnum
from typing import Final

from handbook_builder.once import once
from handbook_builder.reading.kinds.making import Burn, Recipe, items_of, made_of
from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import batches_by_recipe, lots_first_bought
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.combination import combination_of_recipe, within
from handbook_builder.verdicts.former import formerly_in
from handbook_builder.verdicts.reason import Reason

# Goods come before their bill: how long is common practice, no published source.
BILL_GRACE: Final = timedelta(days=30)


class Touch(StrEnum):
    """How an incident touches a batch.

    It names the batch itself, its recipe, an item in it or a lot that it used; it is about another
    batch of the recipe, or another recipe of the same candle, or a batch of that; or it is about a
    lot that the batch may have used, since the batch does not say which lot it used. What a former
    make-up held is not on file, and may be what its recipe's test candles held by then.
    """

    NAMED = "named"
    SAME_CANDLE = "same_candle"
    LOT_UNKNOWN = "lot_unknown"
    FORMER = "former"


def is_open(incident: Incident, day: date) -> bool:
    """Return whether the incident is known and not yet closed on `day`."""
    closed = incident.closed is not None and incident.closed.on <= day
    return incident.on <= day and not closed


def known_from(incident: Incident) -> date:
    """Return the day from which whoever poured could know of it: its own, unless told later.

    An incident suspends from its own day on, whenever it was told.
    """
    return incident.on if incident.told is None else incident.told


@once
def open_on_file(studio: Studio, day: date) -> tuple[Incident, ...]:
    """Return every incident that is open on `day`, as they stand on file."""
    return tuple(incident for incident in studio.incidents.values() if is_open(incident, day))


@once
def open_incidents(studio: Studio, day: date) -> tuple[Incident, ...]:
    """Return every incident that is open on `day`, by number."""
    return tuple(sorted(open_on_file(studio, day), key=lambda one: one.number))


def burned_from(studio: Studio, burn: Burn, incident: Incident) -> bool:
    """Return whether a test candle was made from the lot of an incident, or may have been.

    One that does not say which lot it was made from may have been made from any lot on the shelf.
    """
    about, lot = incident.about, incident.lot
    if lot is None or (about not in burn.lots and about not in frozenset(made_of(burn.made))):
        return False
    if about in burn.lots:
        return burn.lots[about] == lot
    return _was_there(studio, about, lot, burn.made.on + BILL_GRACE)


def open_about_recipe(studio: Studio, recipe: Recipe, day: date) -> tuple[Incident, ...]:
    """Return the open incidents that suspend the recipe, by number."""
    held = frozenset(held_by(recipe))
    own = batches_by_recipe(studio).get(recipe.source.id, ())
    batches = {Ref.to("batches", batch.source.id) for batch in own}
    return tuple(
        incident
        for incident in open_incidents(studio, day)
        # An incident about one lot of an item speaks of the batches that used it, not of the item.
        if incident.about in batches or (incident.lot is None and incident.about in held)
    )


def open_about_twin(studio: Studio, twin: Recipe, day: date) -> tuple[Incident, ...]:
    """Return the open incidents about another recipe of the same candle, or a batch of it."""
    itself = Ref.to("recipes", twin.source.id)
    return tuple(
        incident
        for incident in open_about_recipe(studio, twin, day)
        if incident.about == itself or incident.about.folder == "batches"
    )


def open_about_lots(studio: Studio, recipe: Recipe, day: date) -> tuple[Incident, ...]:
    """Return the open incidents about one lot of something in the recipe, by number.

    They do not suspend the recipe, but nobody may pour it from that lot.
    """
    held = frozenset(held_by(recipe))
    return tuple(
        incident
        for incident in open_incidents(studio, day)
        if incident.lot is not None and incident.about in held
    )


def open_about_batch(studio: Studio, batch: Batch, day: date) -> tuple[Incident, ...]:
    """Return the open incidents that suspend the batch, by number."""
    return tuple(
        incident
        for incident in open_incidents(studio, day)
        if touch(studio, incident, batch) is not None
    )


def touch(studio: Studio, incident: Incident, batch: Batch) -> Touch | None:
    """Return how `incident` touches `batch`, whether it is open or not, or None."""
    about = incident.about
    if about in (Ref.to("batches", batch.source.id), Ref.to("recipes", batch.recipe)):
        return Touch.NAMED
    if not about.is_item:
        other = studio.batches[about.id].recipe if about.folder == "batches" else about.id
        return Touch.SAME_CANDLE if _same_candle(studio, other, batch) else None
    # What was weighed in is in it, whatever its recipe has come to be since.
    in_it = about in batch.lots or about in batch.weighed_g
    holds = in_it or about in held_by(studio.recipes[batch.recipe])
    if not holds and about not in formerly_in(studio, batch):
        return None
    if incident.lot is None:
        return Touch.NAMED if holds else Touch.FORMER
    if about not in batch.lots:
        may = _was_there(studio, about, incident.lot, batch.on)
        return Touch.LOT_UNKNOWN if may else None
    return Touch.NAMED if batch.lots[about] == incident.lot else None


def _same_candle(studio: Studio, recipe: str, batch: Batch) -> bool:
    """Return whether a recipe was the candle of the batch on the day that this was poured."""
    if recipe == batch.recipe:
        return True
    one, other = (
        combination_of_recipe(studio, studio.recipes[each], batch.on)
        for each in (recipe, batch.recipe)
    )
    return within(one, other, studio.protocol, 1.0)


def _was_there(studio: Studio, item: Ref, lot: str, day: date) -> bool:
    """Return whether a lot had been bought by `day`."""
    first = lots_first_bought(studio).get(item, {}).get(lot)
    return first is not None and first <= day


def open_incident(one: Incident) -> Reason:
    """Return that an incident is open."""
    details = {"number": one.number, "on": one.on, "about": one.about, "what": one.what}
    return Reason("open_incident", one.source.place(), details)


def open_incident_lot(one: Incident, batch: Batch, *, is_known: bool) -> Reason:
    """Return that an incident about a lot is open, which a batch holds, or may hold."""
    details = {
        "number": one.number, "on": one.on, "about": one.about, "lot": one.lot, "what": one.what
    }  # fmt: skip
    if is_known:
        return Reason("open_incident_lot", one.source.place(), details)
    return Reason("open_incident_lot_unknown", batch.source.place("lots"), details)


def held_by(recipe: Recipe) -> Iterator[Ref]:
    """Yield the recipe and everything in it, as incidents name them."""
    yield Ref.to("recipes", recipe.source.id)
    yield from items_of(recipe)
