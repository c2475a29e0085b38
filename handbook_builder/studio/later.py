"""What is dated after a day, and so is not seen as of it: told, lest a slip of the pen hide it."""

from collections.abc import Iterator, Sequence
from datetime import date

from handbook_builder.problems import Place
from handbook_builder.reading.kinds.house import ReadGuide
from handbook_builder.reading.kinds.items import Dated
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.trade import Given, Kept
from handbook_builder.reading.refs import ITEM_FOLDERS
from handbook_builder.reading.shape import Source
from handbook_builder.studio.studio import Studio


def dated_later(studio: Studio, day: date) -> tuple[tuple[Place, date], ...]:
    """Return the place and date of every event that is dated after `day`, in order."""
    return tuple(sorted((place, on) for place, on in _events(studio) if on > day))


def planned_later(studio: Studio, day: date) -> tuple[tuple[Place, str, date], ...]:
    """Return each day to come of which a record may tell, with its place and its key."""
    return tuple(sorted(plan for plan in _plans(studio) if plan[2] > day))


def _plans(studio: Studio) -> Iterator[tuple[Place, str, date]]:
    for folder in ITEM_FOLDERS:
        for item in getattr(studio, folder).values():
            for on in item.spec_since:
                yield item.source.place("spec_since"), "spec_since", on
    for recipe in studio.recipes.values():
        if recipe.retired is not None:
            yield recipe.source.place("retired"), "retired", recipe.retired


def _events(studio: Studio) -> Iterator[tuple[Place, date]]:
    for burn in studio.burns.values():
        yield from _burned(burn)
    for incident in studio.incidents.values():
        yield incident.source.place("on"), incident.on
        if incident.told is not None:
            yield incident.source.place("told"), incident.told
        if incident.closed is not None:
            yield incident.source.place("closed.on"), incident.closed.on
    for batch in studio.batches.values():
        yield batch.source.place("on"), batch.on
        yield from _dated(batch.source, "given", batch.given)
        yield from _dated(batch.source, "kept", batch.kept)
    for purchase in studio.purchases.values():
        yield purchase.source.place("on"), purchase.on
    for count in studio.stock.values():
        yield count.source.place("on"), count.on
    for helper in studio.helpers.values():
        yield from _dated(helper.source, "read", helper.read)
    yield from _papers(studio)
    yield from _asked(studio)


def _burned(burn: Burn) -> Iterator[tuple[Place, date]]:
    yield burn.source.place("made.on"), burn.made.on
    for index, cycle in enumerate(burn.cycles):
        yield burn.source.place(f"cycles[{index}].on"), cycle.on.day
    if burn.void is not None:
        yield burn.source.place("void.on"), burn.void.on


def amended_later(studio: Studio, day: date) -> Iterator[tuple[Place, date]]:
    """Yield the place and date of each amendment after `day`: its values are seen all the same."""
    for burn in studio.burns.values():
        days = {f"cycles[{index}]": cycle.amended for index, cycle in enumerate(burn.cycles)}
        if burn.end is not None:
            days["end"] = burn.end.amended
        for within, each in days.items():
            place = burn.source.place(f"{within}.amended")
            yield from ((place, on) for on in each if on > day)


def _papers(studio: Studio) -> Iterator[tuple[Place, date]]:
    """Yield what was said or tested of vessels, oils and wicks."""
    for vessel in studio.vessels.values():
        yield from _dated(vessel.source, "heat_evidence", vessel.heat_evidence)
        yield from _dated(vessel.source, "leak_test", vessel.leak_test)
    for oil in studio.fragrances.values():
        yield from _dated(oil.source, "certificate", oil.certificate)
        yield from _dated(oil.source, "safety_sheet", oil.safety_sheet)
    for wick in studio.wicks.values():
        yield from _dated(wick.source, "lead_free", wick.lead_free)


def _asked(studio: Studio) -> Iterator[tuple[Place, date]]:
    """Yield what was asked, reminded of and answered, and what was quoted."""
    for folder in ITEM_FOLDERS:
        for item in getattr(studio, folder).values():
            for index, one in enumerate(item.asked):
                place = item.source.place(f"asked[{index}]")
                yield from ((place, on) for on in (one.on, *one.reminded, one.answered) if on)
    for vessel in studio.vessels.values():
        if vessel.quote is not None:
            yield vessel.source.place("quote.on"), vessel.quote.on


def _dated(
    source: Source, key: str, entries: Sequence[Dated | Given | Kept | ReadGuide]
) -> Iterator[tuple[Place, date]]:
    """Yield the place and date of each entry, written as a list or alone."""
    for index, one in enumerate(entries):
        path = f"{key}[{index}].on"
        yield source.place(path if path in source.places else f"{key}.on"), one.on
