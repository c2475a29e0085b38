"""Lots that must not go into a product, and whether another lot of the same thing is on file."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.kinds.trade import Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import lines_by_item
from handbook_builder.studio.studio import Studio, spec_as_of
from handbook_builder.verdicts.incidents import open_about_lots, open_incidents


@dataclass(frozen=True, slots=True)
class HeldBack:
    """An open incident about one lot; `is_only` says that no other lot of the item is on file."""

    incident: Incident
    is_only: bool


def lots_held_back(studio: Studio, recipe: Recipe, day: date) -> tuple[HeldBack, ...]:
    """Return what holds back lots of something in the recipe, by the number of the incident.

    A delivery without a lot counts as no other lot: nobody can see that it is not the bad one.
    """
    return tuple(
        HeldBack(incident, not set(_good_lots(studio, incident.about, day)))
        for incident in open_about_lots(studio, recipe, day)
    )


def _good_lots(studio: Studio, item: Ref, day: date) -> Iterator[str]:
    """Yield the lots of an item, as it is sold on `day`, that no open incident is about."""
    known = studio.item(item)
    bad = {
        incident.lot
        for incident in open_incidents(studio, day)
        if incident.about == item and incident.lot is not None
    }
    for billed in lines_by_item(studio).get(item, ()):
        on, lot = billed.purchase.on, billed.line.lot
        is_as_now = on <= day and spec_as_of(known, on) == spec_as_of(known, day)
        if is_as_now and lot is not None and lot not in bad:
            yield lot
