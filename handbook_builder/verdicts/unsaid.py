"""What a test candle's record leaves unsaid, or contradicts: it might have been a failure.

To take a bad reading out of a record must not do away with it. So whatever is due and not there
holds the candle's make-up until it is said: that it was read, or that it was not (`unread`,
`untried`, `unseen`). It is asked of a candle from the day that it is seen on, so that a later one
casts no doubt on an older batch; counts are of the whole record, since what is gone may have
stood anywhere.
"""

from collections.abc import Iterator
from datetime import date, datetime
from itertools import pairwise
from typing import Final

from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.balance import burned_g, poured_g
from handbook_builder.verdicts.cycles import Grounds, due_readings, grounds_of, reading_of
from handbook_builder.verdicts.doubts import DIAMETER_SLACK, first_mass
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason, quantity
from handbook_builder.verdicts.seen import Seen, seen_on

# Of what was poured: a candle with less than this left has all but ended.
ALL_BUT_BURNED: Final = 0.05


def left_in_doubt(studio: Studio, burn: Burn, day: date) -> Iterator[Reason]:
    """Yield all that a record leaves unsaid, or contradicts, on `day`, so that it holds."""
    seen = seen_on(burn, day)
    if seen is None:
        return
    yield from _end_state(seen)
    yield from _cut(burn)
    yield from _end(studio, seen)
    if burn.is_misuse:
        return
    yield from _readings(studio, seen)
    yield from _tilt(studio, seen)
    yield from _reversed(burn)
    yield from _width(studio, burn)
    yield from _mass(studio, seen)


def _named(burn: Burn, **more: object) -> dict[str, object]:
    return {"burn": burn.source.id, "candle": burn.candle, **more}


def _end_state(seen: Seen) -> Iterator[Reason]:
    """Yield what the end should say: of a misuse burn, only how its vessel came through."""
    burn = seen.burn
    if seen.end is None:
        return
    due = ("vessel",) if burn.is_misuse else ("vessel", "tilt")
    for key in due:
        if getattr(seen.end, key) is None:
            yield Reason("end_state_unsaid", burn.source.place("end"), _named(burn, key=key))


def _cut(burn: Burn) -> Iterator[Reason]:
    """Yield when a record has another number of cycles than it says."""
    found = len(burn.cycles)
    for path, stated in (("end.cycles", burn.end and burn.end.cycles), ("lit", burn.lit)):
        if stated is not None and stated != found:
            details = _named(burn, stated=stated, found=found)
            yield Reason("record_cut", burn.source.place(path), details)


def _end(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield when a record does not count its cycles, or reads as if its end were gone."""
    burn, counted = seen.burn, "cycles" in studio.protocol.needs
    if seen.end is not None:
        if seen.end.cycles is None and counted and not burn.is_misuse:
            details = _named(burn, found=len(burn.cycles))
            yield Reason("count_missing", burn.source.place("end"), details)
        return
    if burn.end is not None or not seen.cycles:
        return
    place = burn.source.place(f"cycles[{len(seen.cycles) - 1}]")
    if burn.lit is None and counted:
        yield Reason("lit_unsaid", place, _named(burn, found=len(burn.cycles)))
    gone_g, poured = burned_g(seen), poured_g(burn.made)
    if gone_g is not None and not exceeds(poured - gone_g, ALL_BUT_BURNED * poured):
        yield Reason("end_unsaid", place, _named(burn))


def _readings(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield each cycle in which a reading is due that is neither there nor said to be unread."""
    grounds, burn = grounds_of(studio, seen), seen.burn
    for at in range(len(seen.cycles)):
        words = lacking(grounds, at)
        if words:
            details = _named(burn, cycle=at + 1, reading=words)
            yield Reason("reading_unsaid", burn.source.place(f"cycles[{at}]"), details)


def lacking(grounds: Grounds, at: int) -> tuple[str, ...]:
    """Return what is due in a cycle and neither read nor said to be unread."""
    cycle = grounds.seen.cycles[at].cycle
    return tuple(
        word
        for word in due_readings(grounds, at)
        if reading_of(grounds.seen.burn, cycle, word) is None and word not in cycle.unread
    )


def _tilt(studio: Studio, seen: Seen) -> Iterator[Reason]:
    burn = seen.burn
    if burn.made.tilt is None and seen.cycles and "tilt" in studio.protocol.needs:
        yield Reason("tilt_unsaid", burn.source.place("made"), _named(burn))


def _reversed(burn: Burn) -> Iterator[Reason]:
    for index, (last, cycle) in enumerate(pairwise(burn.cycles), 1):
        if _is_before(cycle, last):
            place = burn.source.place(f"cycles[{index}].on")
            yield Reason("dates_reversed", place, _named(burn, cycle=index + 1))


def _is_before(cycle: Cycle, last: Cycle) -> bool:
    one, other = cycle.on, last.on
    if one.at is None or other.at is None:
        return one.day < other.day
    return datetime.combine(one.day, one.at) < datetime.combine(other.day, other.at)


def _width(studio: Studio, burn: Burn) -> Iterator[Reason]:
    """Yield when the width that the pool is judged by is unsaid, or is not the vessel's."""
    its_mm = studio.vessels[burn.made.vessel].inside_diameter_mm
    burn_mm = burn.made.inside_diameter_mm
    if burn_mm is None or exceeds(abs(burn_mm - its_mm), DIAMETER_SLACK * its_mm):
        details = _named(burn, measured=quantity(burn_mm, "mm"), inside=quantity(its_mm, "mm"))
        yield Reason("width_in_doubt", burn.source.place("made.inside_diameter"), details)


def _mass(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield when what went in is not what the first weight shows: it may be another candle."""
    for reason in first_mass(studio, seen):
        details = _named(seen.burn, before=reason.details["before"], due=reason.details["due"])
        yield Reason("mass_in_doubt", reason.place, details)
