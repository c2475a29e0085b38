"""What can hardly be in a cycle that is about to be written, and no verdict speaks of."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from handbook_builder.derived.at_bench import AtBench, last_cycle
from handbook_builder.reading.kinds.making import Burn, Made
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason

# How far a first weight may be off: a vessel's own weight varies, and so do wick and sticker.
_VESSEL_VARIES: Final = 0.10
_BESIDE_G: Final = 5.0
# What can hardly be read at a candle: common practice, no published source. All of it is asked
# about and nothing is refused, so each bound stands well beyond what a bad candle shows.
_COOLEST_ROOM_C: Final = 15.0  # the least that a test room should be; a room unsaid may be cooler
_SMALLEST_FLAME_MM: Final = 4.0  # a flame that starves goes out below it
_NARROWEST_POOL: Final = 0.10  # of the inside width: no wider than the wick and its own puddle
# Molten from top to bottom, a pool is as deep as its wax. Without the vessel's height it is held
# to that of a tall one: five times the depth at which a limit is commonly set.
_DEEPEST_MM: Final = 60.0
_LONGEST_SMOKE_S: Final = 120.0  # minutes of smoke are a fire: such a number has another unit
_FASTEST_G_PER_H: Final = 25.0  # for each wick: thrice what a thick one burns
# A scale is begun some minutes before the flame, and its clock may be in another time zone.
_BEGUN_BEFORE: Final = timedelta(minutes=30)
_WIDEST_ZONES: Final = timedelta(hours=14)


Details = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Slip:
    """Something that reads like a slip of the pen: a code, and what its sentence names."""

    code: str
    details: Details


def questions_of(verdict: CandleVerdict) -> tuple[Reason, ...]:
    """Return what is asked about before the newest cycle is written.

    Whatever speaks against the candle, which a slip may well do: all but a reading that was not
    taken, and what is only to be watched.
    """
    watches = verdict.cycles[-1].watches
    return tuple(reason for reason in last_cycle(verdict) if reason not in watches)


def slips(bench: AtBench, burn: Burn, stamped: datetime | None) -> tuple[Slip, ...]:
    """Return what can hardly be in the newest cycle of `burn`; `stamped` is the scale's moment."""
    return (
        *_twice(burn),
        *_first_mass(bench, burn),
        *_unlikely(bench, burn),
        *_stamped(burn.cycles[-1], stamped),
    )


def _twice(burn: Burn) -> Iterator[Slip]:
    """Yield each cycle on file that began at the same time, or still burned then."""
    *earlier, new = burn.cycles
    begun = started(new)
    for number, one in enumerate(earlier, 1):
        its_own, details = started(one), {"cycle": len(burn.cycles), "other": number}
        if one.on == new.on:
            yield Slip("started_twice", details)
        elif begun and its_own and its_own < begun < its_own + timedelta(hours=one.burned_h or 0):
            yield Slip("overlaps", details)


def started(cycle: Cycle) -> datetime | None:
    """Return when a cycle was lit, where its record says the time."""
    return None if cycle.on.at is None else datetime.combine(cycle.on.day, cycle.on.at)


def poured_g(made: Made) -> float:
    """Return the mass of all that was poured into a test candle."""
    return sum(sum(masses.values()) for masses in (made.wax, made.fragrance, made.colorant))


def _first_mass(bench: AtBench, burn: Burn) -> Iterator[Slip]:
    """Yield when the first weight of all cannot be that of this vessel with this fill."""
    before_g = burn.cycles[0].before_g
    if len(burn.cycles) > 1 or before_g is None:
        return
    fill_g, empty_g = poured_g(burn.made), bench.studio.vessels[burn.made.vessel].empty_mass_g
    if exceeds(fill_g, before_g):
        yield Slip("too_light", {"before_g": before_g, "poured_g": fill_g})
    elif empty_g is not None and exceeds(abs(before_g - empty_g - fill_g), _slack_g(empty_g)):
        details = {"before_g": before_g, "poured_g": fill_g, "empty_g": empty_g}
        yield Slip("far_off", {**details, "due_g": empty_g + fill_g})


def _slack_g(empty_g: float) -> float:
    """Return how far a vessel with its wick may be off the empty vessel on file."""
    return _VESSEL_VARIES * empty_g + _BESIDE_G


def _unlikely(bench: AtBench, burn: Burn) -> Iterator[Slip]:
    """Yield each reading of the newest cycle that hardly any candle can show."""
    cycle, vessel = burn.cycles[-1], bench.studio.vessels[burn.made.vessel]
    number = {"cycle": len(burn.cycles)}
    yield from _warmth(burn, cycle, number)
    yield from _pool(cycle, bench.studio.inside_diameter_mm(burn.made), number)
    yield from _depth(cycle, vessel.inside_height_mm, number)
    if vessel.empty_mass_g is not None:
        yield from _below_empty(burn, cycle, vessel.empty_mass_g, number)
    yield from _rate(burn, cycle, number)


def _warmth(burn: Burn, cycle: Cycle, number: Details) -> Iterator[Slip]:
    """Yield when wall, flame or smoke are not those of a candle that burns."""
    said_c = burn.room_c if cycle.room_c is None else cycle.room_c
    room_c = _COOLEST_ROOM_C if said_c is None else said_c
    if cycle.wall_c is not None and exceeds(room_c, cycle.wall_c):
        code = "wall_cold" if said_c is None else "wall_below_room"
        yield Slip(code, {**number, "wall_c": cycle.wall_c, "room_c": room_c})
    if cycle.flame_mm is not None and exceeds(_SMALLEST_FLAME_MM, cycle.flame_mm):
        yield Slip(
            "flame_tiny", {**number, "flame_mm": cycle.flame_mm, "least_mm": _SMALLEST_FLAME_MM}
        )
    if cycle.after_smoke_s is not None and exceeds(cycle.after_smoke_s, _LONGEST_SMOKE_S):
        yield Slip(
            "smoke_long", {**number, "smoke_s": cycle.after_smoke_s, "most_s": _LONGEST_SMOKE_S}
        )


def _pool(cycle: Cycle, inside_mm: float, number: Details) -> Iterator[Slip]:
    """Yield when the pool shrank while it burned, or is hardly one."""
    if cycle.pool_mm is None:
        return
    widest_mm = max(cycle.checks.values(), default=0.0)
    if exceeds(widest_mm, cycle.pool_mm):
        yield Slip("pool_shrank", {**number, "pool_mm": cycle.pool_mm, "widest_mm": widest_mm})
    if exceeds(_NARROWEST_POOL * inside_mm, cycle.pool_mm):
        yield Slip("pool_tiny", {**number, "pool_mm": cycle.pool_mm, "inside_mm": inside_mm})


def _depth(cycle: Cycle, height_mm: float | None, number: Details) -> Iterator[Slip]:
    """Yield when the pool is deeper than its vessel."""
    most_mm = _DEEPEST_MM if height_mm is None else height_mm
    if cycle.depth_mm is not None and exceeds(cycle.depth_mm, most_mm):
        code = "depth_great" if height_mm is None else "depth_beyond"
        yield Slip(code, {**number, "depth_mm": cycle.depth_mm, "most_mm": most_mm})


def _below_empty(burn: Burn, cycle: Cycle, empty_g: float, number: Details) -> Iterator[Slip]:
    """Yield each weight that is less than the vessel alone; the first of all is asked otherwise."""
    for key, mass_g in (("before", cycle.before_g), ("after", cycle.after_g)):
        if mass_g is None or (key == "before" and len(burn.cycles) == 1):
            continue
        if exceeds(empty_g - _slack_g(empty_g), mass_g):
            yield Slip("below_empty", {**number, "key": key, "mass_g": mass_g, "empty_g": empty_g})


def _rate(burn: Burn, cycle: Cycle, number: Details) -> Iterator[Slip]:
    """Yield when more burned in an hour than wicks can burn."""
    if cycle.before_g is None or cycle.after_g is None or not cycle.burned_h:
        return
    rate_g_per_h = (cycle.before_g - cycle.after_g) / cycle.burned_h
    most_g_per_h = _FASTEST_G_PER_H * burn.made.wicks
    if exceeds(rate_g_per_h, most_g_per_h):
        details = {"rate_g_per_h": rate_g_per_h, "most_g_per_h": most_g_per_h}
        yield Slip("rate_great", {**number, **details})


def _stamped(cycle: Cycle, stamped: datetime | None) -> Iterator[Slip]:
    """Yield when the times in a scale's file are those of another burn."""
    if stamped is None:
        return
    moment, begun = stamped.replace(tzinfo=None), started(cycle)
    away = _BEGUN_BEFORE if stamped.tzinfo is None else _WIDEST_ZONES
    if begun is not None:
        fits = abs(begun - moment) <= away
    elif stamped.tzinfo is None:
        fits = cycle.on.day == moment.date()
    else:
        fits = abs((cycle.on.day - moment.date()).days) <= 1
    if not fits:
        on = cycle.on.day if begun is None else f"{begun:%Y-%m-%d %H:%M}"
        yield Slip("stamped", {"on": on, "stamped": f"{moment:%Y-%m-%d %H:%M}"})
