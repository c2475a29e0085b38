"""What is dated after a day, and so is not seen as of it: told, lest a slip of the pen hide it."""

from collections.abc import Iterator
from datetime import date

from handbook_builder.problems import Place
from handbook_builder.studio.studio import Studio


def dated_later(studio: Studio, day: date) -> tuple[tuple[Place, date], ...]:
    """Return the place and date of every event that is dated after `day`, in order."""
    return tuple(sorted((place, on) for place, on in _events(studio) if on > day))


def _events(studio: Studio) -> Iterator[tuple[Place, date]]:
    for burn in studio.burns.values():
        yield burn.source.place("made.on"), burn.made.on
        for index, cycle in enumerate(burn.cycles):
            yield burn.source.place(f"cycles[{index}].on"), cycle.on.day
        if burn.void is not None:
            yield burn.source.place("void.on"), burn.void.on
    for incident in studio.incidents.values():
        yield incident.source.place("on"), incident.on
        if incident.closed is not None:
            yield incident.source.place("closed.on"), incident.closed.on
    for batch in studio.batches.values():
        yield batch.source.place("on"), batch.on
    for purchase in studio.purchases.values():
        yield purchase.source.place("on"), purchase.on
    for vessel in studio.vessels.values():
        for index, evidence in enumerate(vessel.heat_evidence):
            yield vessel.source.place(f"heat_evidence[{index}].on"), evidence.on
