"""One cycle of one test candle: whether it behaved, and was burned as the protocol asks."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Final

from handbook_builder.figures.pool import coverage
from handbook_builder.reading.kinds.house import ONCE, Limit
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import (
    AFTER_SMOKE,
    COVERAGE,
    CRITICAL,
    MEAN_AFTER_SMOKE,
    MEASURES,
    POOL,
    READ_AS,
    READINGS,
    ROOM,
    TABLE,
    Cycle,
    Due,
)
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.readings import SLACK, Verdict, against, exceeds
from handbook_builder.verdicts.reason import Reason, quantity
from handbook_builder.verdicts.seen import Numbered, Seen

# What the very last cycle of an ended candle must have: it may be short, and its pool and wall
# are those of a candle going out.
LAST_NEEDS: Final = tuple(reading.key for reading in TABLE if reading.due is Due.EVER)
POOL_SLACK: Final = 1.02


@dataclass(frozen=True, slots=True)
class CycleVerdict:
    """How one cycle was judged: what failed or is lacking, what to watch, what was noted."""

    number: int
    verdict: Verdict
    failures: tuple[Reason, ...]
    gaps: tuple[Reason, ...]
    watches: tuple[Reason, ...]
    notes: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Grounds:
    """What every cycle of one candle is judged with."""

    seen: Seen
    protocol: Protocol
    inside_diameter_mm: float
    material: str

    @property
    def is_misuse(self) -> bool:
        """Return whether the candle is burned as buyers should not: limits are then watched."""
        return self.seen.burn.is_misuse


def grounds_of(studio: Studio, seen: Seen) -> Grounds:
    """Return what the cycles of a candle are judged with."""
    made = seen.burn.made
    material = studio.vessels[made.vessel].material
    return Grounds(seen, studio.protocol, studio.inside_diameter_mm(made), material)


def cycle_verdicts(grounds: Grounds) -> tuple[CycleVerdict, ...]:
    """Return the verdict of each cycle that is seen, in the order of the file."""
    return tuple(_judged(grounds, at) for at in range(len(grounds.seen.cycles)))


def reading_of(burn: Burn, cycle: Cycle, word: str) -> float | None:
    """Return the reading that the record calls `word`, in its base unit.

    A room that was read once holds for every cycle that does not say another.
    """
    value = READINGS[word].of(cycle)
    return burn.room_c if value is None and word == ROOM.key else value


def _judged(grounds: Grounds, at: int) -> CycleVerdict:
    numbered = grounds.seen.cycles[at]
    breaches = list(_breaches(grounds, at))
    sights = list(_sights(grounds, numbered))
    failures = [reason for word, reason in (*breaches, *sights) if word is Verdict.FAIL]
    watches = [reason for word, reason in (*breaches, *sights) if word is Verdict.WATCH]
    notes = [reason for word, reason in sights if word is Verdict.PASS]
    gaps = [] if grounds.is_misuse else [*_gaps(grounds, at)]
    verdict = Verdict.FAIL if failures else Verdict.INCOMPLETE if gaps else Verdict.PASS
    return CycleVerdict(
        numbered.index + 1, verdict, tuple(failures), tuple(gaps), tuple(watches), tuple(notes)
    )


def _gaps(grounds: Grounds, at: int) -> Iterator[Reason]:
    """Yield all that keeps a cycle from passing, though nothing in it failed."""
    yield from _missing(grounds, at)
    yield from _duration(grounds, at)
    yield from _rest(grounds, at)
    yield from _contradicted(grounds, at)


def is_full(seen: Seen, at: int) -> bool:
    """Return whether the cycle is one of the full ones: all but the last of an ended candle."""
    return seen.end is None or at < len(seen.cycles) - 1


def _reason(
    grounds: Grounds, numbered: Numbered, code: str, key: str, /, **details: object
) -> Reason:
    place = grounds.seen.burn.source.place(f"cycles[{numbered.index}].{key}")
    return Reason(code, place, {"cycle": numbered.index + 1, **details})


def _due_limits(grounds: Grounds, at: int) -> Iterator[Limit]:
    """Yield the limits that a cycle is held against; coverage only once the pool is due."""
    for limit in grounds.protocol.limits:
        if limit.measure == MEAN_AFTER_SMOKE or limit.material not in {None, grounds.material}:
            continue
        if limit.measure != COVERAGE or _pool_is_due(grounds, at):
            yield limit


def _pool_is_due(grounds: Grounds, at: int) -> bool:
    """Return whether the pool must have reached the wall by a cycle.

    A small candle may be gone before that cycle comes: then its last full one must show it.
    """
    seen, protocol = grounds.seen, grounds.protocol
    went_out = seen.end is not None and seen.end.how == "went_out"
    if went_out and at == len(seen.cycles) - 2:
        return True
    return _is_whole(grounds, at) and at + 1 >= protocol.full_pool_by


def _is_whole(grounds: Grounds, at: int) -> bool:
    """Return whether a cycle must show all that the protocol asks for.

    A full one must, and so must the last one of a candle that was stopped when it was as long: a
    test is often stopped for just what such a cycle showed.
    """
    seen, protocol = grounds.seen, grounds.protocol
    if is_full(seen, at):
        return True
    burned = seen.cycles[at].cycle.burned_h
    was_stopped = seen.end is not None and seen.end.how == "stopped"
    shortest = protocol.cycle_h - protocol.cycle_tolerance_h
    return was_stopped and burned is not None and not exceeds(shortest, burned)


def measured(grounds: Grounds, cycle: Cycle, measure: str) -> float | None:
    """Return what `measure` came to in this cycle, in the unit of its limit, or None."""
    if measure != COVERAGE:
        return reading_of(grounds.seen.burn, cycle, measure)
    pool = cycle.pool_mm
    return None if pool is None else coverage(pool, grounds.inside_diameter_mm)


def _breaches(grounds: Grounds, at: int) -> Iterator[tuple[Verdict, Reason]]:
    numbered = grounds.seen.cycles[at]
    for limit in _due_limits(grounds, at):
        value = measured(grounds, numbered.cycle, limit.measure)
        word = against(value, limit)
        if word in (Verdict.FAIL, Verdict.WATCH):
            details = breach_details(limit, value)
            reason = _reason(grounds, numbered, breach_code(limit), _read_as(limit), **details)
            yield Verdict.WATCH if grounds.is_misuse else word, reason


def _read_as(limit: Limit) -> str:
    """Return the reading that a limit is held against."""
    return READ_AS.get(limit.measure, limit.measure)


def breach_code(limit: Limit) -> str:
    """Return the code of a reading beyond `limit`."""
    return f"{limit.measure}_{'over' if limit.upper else 'under'}"


def breach_details(limit: Limit, value: float | None) -> Mapping[str, object]:
    """Return what was read and what the limit is, with their unit."""
    unit = MEASURES[limit.measure].name
    return {
        "reading": quantity(value, unit),
        "limit": quantity(limit.bound, unit),
        "source": limit.source,
    }


def _sights(grounds: Grounds, numbered: Numbered) -> Iterator[tuple[Verdict, Reason]]:
    """Yield what was seen, with the protocol's word for it; a mere note passes.

    What buyers do to a candle may make it soot; it may never make it break or flare up.
    """
    words = {"fail": Verdict.FAIL, "watch": Verdict.WATCH, "note": Verdict.PASS}
    for word in numbered.cycle.seen:
        verdict = words[grounds.protocol.observations[word]]
        if grounds.is_misuse and verdict is Verdict.FAIL and word not in CRITICAL:
            verdict = Verdict.WATCH
        yield verdict, _reason(grounds, numbered, "seen", "seen", word=word)


def _missing(grounds: Grounds, at: int) -> Iterator[Reason]:
    numbered = grounds.seen.cycles[at]
    for word in due_readings(grounds, at):
        if reading_of(grounds.seen.burn, numbered.cycle, word) is None:
            yield _reason(grounds, numbered, "reading_missing", "on", reading=word)


def due_readings(grounds: Grounds, at: int) -> tuple[str, ...]:
    """Return what must be read in a cycle.

    A limit that can fail a candle is no limit when nobody reads it.
    """
    limits = [limit for limit in _due_limits(grounds, at) if limit.on_breach == "fail"]
    if not _is_whole(grounds, at):
        return (*LAST_NEEDS, *(POOL.key for limit in limits if limit.measure == COVERAGE))
    failing = [_read_as(limit) for limit in limits]
    if any(limit.on_breach == "fail" for limit in mean_limits(grounds)):
        failing.append(AFTER_SMOKE.key)
    each = (need for need in grounds.protocol.needs if need not in ONCE)
    return tuple(dict.fromkeys((*each, *failing)))


def mean_limits(grounds: Grounds) -> tuple[Limit, ...]:
    """Return the limits on the mean after-smoke time that speak of this candle."""
    return tuple(
        limit
        for limit in grounds.protocol.limits
        if limit.measure == MEAN_AFTER_SMOKE and limit.material in {None, grounds.material}
    )


def _duration(grounds: Grounds, at: int) -> Iterator[Reason]:
    numbered, protocol, end = grounds.seen.cycles[at], grounds.protocol, grounds.seen.end
    burned = numbered.cycle.burned_h
    if burned is None:
        return
    longest = protocol.cycle_h + protocol.cycle_tolerance_h
    shortest = protocol.cycle_h - protocol.cycle_tolerance_h
    details = {
        "burned": quantity(burned, "h"),
        "due": quantity(protocol.cycle_h, "h"),
        "tolerance": quantity(protocol.cycle_tolerance_h, "h"),
    }
    if exceeds(burned, longest):
        yield _reason(grounds, numbered, "too_long", "burned", **details)
    went_out = not is_full(grounds.seen, at) and end is not None and end.how == "went_out"
    if exceeds(shortest, burned) and not went_out:
        yield _reason(grounds, numbered, "too_short", "burned", **details)


def _started(cycle: Cycle) -> datetime | None:
    return None if cycle.on.at is None else datetime.combine(cycle.on.day, cycle.on.at)


def _rest(grounds: Grounds, at: int) -> Iterator[Reason]:
    """Yield why the candle was not surely at rest, or the dates run backwards, if so."""
    if at == 0:
        return
    numbered, last = grounds.seen.cycles[at], grounds.seen.cycles[at - 1].cycle
    begun, last_begun = _started(numbered.cycle), _started(last)
    days = (numbered.cycle.on.day - last.on.day).days
    if days < 0 or (begun and last_begun and begun < last_begun):
        yield _reason(grounds, numbered, "dates_backwards", "on")
    elif begun and last_begun:
        yield from _rested(grounds, numbered, begun - last_begun, last.burned_h)
    elif days == 0 or ((begun or last_begun) and not _surely_rested(grounds, numbered.cycle, last)):
        yield _reason(grounds, numbered, "rest_unknown", "on")


def _surely_rested(grounds: Grounds, cycle: Cycle, last: Cycle) -> bool:
    """Return whether a candle had rested, whenever in its day the cycle without a time began.

    Of two cycles of which one has a time: to leave the other's out must not make up for a rest
    that was too short. Two without any count as rested from one day to the next. A cycle that does
    not say how long it burned may have burned until now.
    """
    if last.burned_h is None:
        return False
    begun = datetime.combine(cycle.on.day, cycle.on.at or time.min)
    last_begun = datetime.combine(last.on.day, last.on.at or time.max)
    rested_h = (begun - last_begun) / timedelta(hours=1) - last.burned_h
    return not exceeds(grounds.protocol.rest_h, rested_h)


def _rested(
    grounds: Grounds, numbered: Numbered, since: timedelta, burned_h: float | None
) -> Iterator[Reason]:
    if burned_h is None:
        yield _reason(grounds, numbered, "rest_unknown", "on")
        return
    rested_h = since / timedelta(hours=1) - burned_h
    if exceeds(grounds.protocol.rest_h, rested_h):
        details = {
            "rested": quantity(rested_h, "h"),
            "rest": quantity(grounds.protocol.rest_h, "h"),
        }
        yield _reason(grounds, numbered, "rest_too_short", "on", **details)


def _contradicted(grounds: Grounds, at: int) -> Iterator[Reason]:
    numbered = grounds.seen.cycles[at]
    cycle, made_on = numbered.cycle, grounds.seen.burn.made.on
    if cycle.on.day < made_on:
        yield _reason(grounds, numbered, "before_pouring", "on", made_on=made_on)
    before, after, pool = cycle.before_g, cycle.after_g, cycle.pool_mm
    if before is not None and after is not None and after > before:
        details = {"before": quantity(before, "g"), "after": quantity(after, "g")}
        yield _reason(grounds, numbered, "mass_went_up", "after", **details)
    if before is not None and after is not None and abs(before - after) <= SLACK:
        yield _reason(grounds, numbered, "nothing_burned", "after", after=quantity(after, "g"))
    if pool is not None and exceeds(pool, POOL_SLACK * grounds.inside_diameter_mm):
        details = {
            "pool": quantity(pool, "mm"),
            "inside": quantity(grounds.inside_diameter_mm, "mm"),
        }
        yield _reason(grounds, numbered, "pool_too_wide", "pool", **details)
    if at > 0:
        yield from _discontinued(grounds, numbered, grounds.seen.cycles[at - 1].cycle.after_g)


def _discontinued(grounds: Grounds, numbered: Numbered, last_g: float | None) -> Iterator[Reason]:
    """Yield when the mass between two cycles changed by more than the scale can explain."""
    before, scale_g = numbered.cycle.before_g, grounds.seen.burn.scale_g
    if before is None or last_g is None:
        return
    trimmed = numbered.cycle.trimmed_g or 0.0
    if exceeds(abs(before + trimmed - last_g), 2 * scale_g):
        details = {
            "before": quantity(before, "g"),
            "last": quantity(last_g, "g"),
            "trimmed": quantity(trimmed, "g"),
            "scale": quantity(scale_g, "g"),
        }
        yield _reason(grounds, numbered, "mass_jumped", "before", **details)
