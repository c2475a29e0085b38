"""What an open incident suspends."""

from collections.abc import Iterator
from datetime import date

from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.studio.studio import Studio


def is_open(incident: Incident, day: date) -> bool:
    """Return whether the incident is known and not yet closed on `day`."""
    closed = incident.closed is not None and incident.closed.on <= day
    return incident.on <= day and not closed


def open_about_recipe(studio: Studio, recipe: Recipe, day: date) -> tuple[Incident, ...]:
    """Return the open incidents that suspend the recipe, by number."""
    held = frozenset(_held(recipe))
    batches = {
        f"batches/{batch.source.id}"
        for batch in studio.batches.values()
        if batch.recipe == recipe.source.id
    }
    touching = [
        one
        for one in studio.incidents.values()
        if is_open(one, day)
        # An incident about one lot of an item speaks of the batches that used it, not of the item.
        and (one.about in batches or (one.lot is None and one.about in held))
    ]
    return tuple(sorted(touching, key=lambda one: one.number))


def open_about_batch(studio: Studio, batch: Batch, day: date) -> tuple[Incident, ...]:
    """Return the open incidents that suspend the batch, by number."""
    recipe = studio.recipes[batch.recipe]
    about = {one.number: one for one in open_about_recipe(studio, recipe, day)}
    for one in studio.incidents.values():
        used = one.lot is not None and batch.lots.get(one.about) == one.lot
        if is_open(one, day) and used:
            about[one.number] = one
    return tuple(about[number] for number in sorted(about))


def _held(recipe: Recipe) -> Iterator[str]:
    """Yield the recipe and everything in it, as incidents name them."""
    yield f"recipes/{recipe.source.id}"
    yield f"vessels/{recipe.vessel}"
    yield f"wicks/{recipe.wick}"
    yield from (f"waxes/{one}" for one in recipe.wax)
    yield from (f"fragrances/{one}" for one in recipe.fragrance)
    yield from (f"colorants/{one}" for one in recipe.colorant)
    yield from (f"packaging/{one}" for one in recipe.packaging)
