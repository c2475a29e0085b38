"""What ails a test candle, from its readings: findings by code, each with what led to it.

A finding is no verdict: verdicts hold readings against limits, one by one; this looks at the whole
candle. The bounds that are not the studio's own limits stand below. They are this project's own,
chosen to be told from the scatter of readings; there is no published source for them.
"""

import statistics
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Final

from handbook_builder.figures.pool import hours_to_wall, rule_of_thumb_h
from handbook_builder.figures.trend import Interval, Trend, trend

# A pool at the wall in less than half the rule of thumb is early.
EARLY_SHARE: Final = 0.5
# Wax left at the end: more than this share of the fill was not reached by the pool.
LEFT_SHARE: Final = 0.10
# A flame that sinks to half of what it was drowns.
SUNK_SHARE: Final = 0.5
# The rate changes when it does so by this share over the life, and not by chance.
CHANGED_SHARE: Final = 0.15
CONFIDENCE: Final = 0.99
# Fewer points settle no line along a life.
FEWEST_CYCLES: Final = 4
# A cap on the wick once in a life is the rule rather than a finding.
RECURRING: Final = 2

_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleRead:
    """What was read in one cycle; None was not. `is_full` is false for the one it went out in.

    `start_h` are the hours burned before it; `pools_mm` are (hour in the cycle, width), sorted.
    """

    number: int
    is_full: bool
    start_h: float
    burned_h: float | None = None
    rate_g_per_h: float | None = None
    pool_mm: float | None = None
    depth_mm: float | None = None
    flame_mm: float | None = None
    wall_c: float | None = None
    pools_mm: tuple[tuple[float, float], ...] = ()
    seen: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CandleRead:
    """What was read of one candle.

    `left_share` is the share of the fill that was left; None unless the candle went out by itself.
    """

    inside_diameter_mm: float
    cycles: tuple[CycleRead, ...]
    left_share: float | None = None

    @property
    def full(self) -> tuple[CycleRead, ...]:
        """Return the full cycles: those in which the candle was not going out."""
        return tuple(cycle for cycle in self.cycles if cycle.is_full)


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """The studio's own limits that a candle is held against; None where it has none."""

    full_share: float
    full_pool_by: int
    flame_mm: float | None = None
    depth_mm: float | None = None
    wall_c: float | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a cycle, its `name` ending in its unit; a word that was seen has no value."""

    cycle: int
    name: str
    value: float | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that ails a candle, the readings that led to it, and the numbers they came to."""

    code: str
    readings: tuple[Reading, ...]
    numbers: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Shared:
    """A finding that candles of one series have: which of them, of how many."""

    code: str
    candles: tuple[str, ...]
    of: int

    @property
    def is_common(self) -> bool:
        """Return whether every candle of a series of two or more has it."""
        return len(self.candles) == self.of > 1


def diagnose(candle: CandleRead, marks: Marks) -> tuple[Finding, ...]:
    """Return what ails a candle, in the order of `CODES`; a sound candle has no finding."""
    found = (find(candle, marks) for find in _FINDERS.values())
    return tuple(one for one in found if one is not None)


def shared(series: Mapping[str, Sequence[Finding]]) -> tuple[Shared, ...]:
    """Return what the candles of a series have: what most of them have first, then by `CODES`."""
    codes = {candle: {finding.code for finding in findings} for candle, findings in series.items()}
    having = {code: tuple(one for one in codes if code in codes[one]) for code in CODES}
    found = [Shared(code, candles, len(series)) for code, candles in having.items() if candles]
    return tuple(sorted(found, key=lambda one: -len(one.candles)))


_Pairs = tuple[tuple[int, float], ...]
_Finder = Callable[[CandleRead, Marks], Finding | None]


def _pairs(cycles: Iterable[CycleRead], name: str) -> _Pairs:
    """Return the number of each cycle in which `name` was read, and the reading."""
    read = ((cycle.number, getattr(cycle, name)) for cycle in cycles)
    return tuple((number, value) for number, value in read if value is not None)


def _readings(pairs: Iterable[tuple[int, float]], name: str) -> tuple[Reading, ...]:
    return tuple(Reading(number, name, value) for number, value in pairs)


def _sights(candle: CandleRead, *words: str) -> tuple[Reading, ...]:
    return tuple(
        Reading(cycle.number, word)
        for cycle in candle.cycles
        for word in cycle.seen
        if word in words
    )


def _over(code: str, name: str, candle: CandleRead, marks: Marks) -> Finding | None:
    """Find readings above the studio's limit of that name."""
    limit: float | None = getattr(marks, name)
    if limit is None:
        return None
    above = [pair for pair in _pairs(candle.cycles, name) if pair[1] > limit + _SLACK]
    return Finding(code, _readings(above, name), {f"limit_{name}": limit}) if above else None


def _soot(candle: CandleRead, _: Marks) -> Finding | None:
    """Find that soot or smoke was seen, once is enough."""
    seen = _sights(candle, "sooting", "smoking")
    return Finding("soot", seen) if seen else None


def _mushrooming(candle: CandleRead, _: Marks) -> Finding | None:
    """Find a cap on the wick that comes again."""
    seen = _sights(candle, "mushrooming")
    return Finding("mushrooming", seen) if len(seen) >= RECURRING else None


def _pool_short(candle: CandleRead, marks: Marks) -> Finding | None:
    """Find a pool that had the cycles that it may take, and was at the wall in none."""
    pools = _pairs(candle.full, "pool_mm")
    if len(pools) < marks.full_pool_by:
        return None
    full_mm, widest_mm = _full_mm(candle, marks), max(value for _, value in pools)
    if widest_mm >= full_mm - _SLACK:
        return None
    numbers = {"full_mm": full_mm, "widest_mm": widest_mm}
    return Finding("pool_short", _readings(pools, "pool_mm"), numbers)


def _full_mm(candle: CandleRead, marks: Marks) -> float:
    return marks.full_share * candle.inside_diameter_mm


def _to_wall(candle: CandleRead, marks: Marks) -> _Pairs:
    """Return the hours to the wall of each full cycle that was looked at on its way.

    A pool that was at the wall at the first look was there at that hour at the latest.
    """
    looked = [one for one in candle.full if len(one.pools_mm) > 1]
    hours = [(one.number, _reached_h(one.pools_mm, candle, marks)) for one in looked]
    return tuple((number, hour) for number, hour in hours if hour is not None)


def _reached_h(
    pools_mm: tuple[tuple[float, float], ...], candle: CandleRead, marks: Marks
) -> float | None:
    first_h, first_mm = pools_mm[0]
    if first_mm >= _full_mm(candle, marks) - _SLACK:
        return first_h
    return hours_to_wall(pools_mm, candle.inside_diameter_mm, marks.full_share)


def _pool_early(candle: CandleRead, marks: Marks) -> Finding | None:
    """Find a pool that is at the wall early, by the middle of the cycles that were looked at."""
    reached = _to_wall(candle, marks)
    if not reached:
        return None
    middle_h = statistics.median(hours for _, hours in reached)
    rule_h = rule_of_thumb_h(candle.inside_diameter_mm)
    if middle_h >= EARLY_SHARE * rule_h - _SLACK:
        return None
    numbers = {"middle_h": middle_h, "rule_h": rule_h}
    return Finding("pool_early", _readings(reached, "to_wall_h"), numbers)


def _tunnelling(candle: CandleRead, marks: Marks) -> Finding | None:
    """Find that it was seen, or that a pool never at the wall left its wax behind."""
    seen, short = _sights(candle, "tunnelling"), _pool_short(candle, marks)
    left = candle.left_share
    if short is not None and left is not None and left > LEFT_SHARE:
        return Finding("tunnelling", (*seen, *short.readings), {"left_share": left})
    return Finding("tunnelling", seen) if seen else None


@dataclass(frozen=True, slots=True)
class _Along:
    """A reading along the life: cycle by cycle, and as a line from the first to the last."""

    readings: tuple[Reading, ...]
    line: Trend
    mean: float
    first_h: float
    last_h: float

    @property
    def ends(self) -> tuple[float, float]:
        """Return the heights of the line at the first reading and at the last."""
        return self.line.at(self.first_h), self.line.at(self.last_h)

    def change(self) -> Interval:
        """Return by how much it changes from the first to the last, with `CONFIDENCE`."""
        slope, hours = self.line.slope_interval(CONFIDENCE), self.last_h - self.first_h
        return Interval(slope.low * hours, slope.high * hours)


def _along(cycles: Iterable[CycleRead], name: str) -> _Along | None:
    """Return a reading along the cycles, taken at the middle of each; None when too few have it."""
    points = [
        (cycle.start_h + cycle.burned_h / 2, cycle.number, value)
        for cycle in cycles
        if cycle.burned_h is not None and (value := getattr(cycle, name)) is not None
    ]
    if len(points) < FEWEST_CYCLES:
        return None
    hours, values = [point[0] for point in points], [point[2] for point in points]
    line = trend(hours, values)
    if line is None:
        return None
    readings = _readings([point[1:] for point in points], name)
    return _Along(readings, line, statistics.fmean(values), hours[0], hours[-1])


def _drowning(candle: CandleRead, _: Marks) -> Finding | None:
    """Find that it was seen, or that the flame sinks along the life to half of what it was."""
    seen, flame = _sights(candle, "drowning"), _along(candle.full, "flame_mm")
    if flame is not None and flame.change().high < 0:
        first, last = flame.ends
        if last <= SUNK_SHARE * first:
            numbers = {"first_mm": first, "last_mm": last}
            return Finding("drowning", (*seen, *flame.readings), numbers)
    return Finding("drowning", seen) if seen else None


def _rate_changes(code: str, sign: int, candle: CandleRead, _: Marks) -> Finding | None:
    """Find a rate that rises (`sign` 1) or falls (-1) along the life.

    The first cycle stays out: its flame has the pool still to make.
    """
    rate = _along([one for one in candle.full if one.number > 1], "rate_g_per_h")
    if rate is None or rate.mean <= 0:
        return None
    first, last = rate.ends
    low, high = rate.change().low / rate.mean, rate.change().high / rate.mean
    if sign * (last - first) < CHANGED_SHARE * rate.mean or low <= 0 <= high:
        return None
    ends = {"first_g_per_h": first, "last_g_per_h": last}
    return Finding(code, rate.readings, {**ends, "low_share": low, "high_share": high})


_FINDERS: Final[Mapping[str, _Finder]] = {
    "pool_short": _pool_short,
    "pool_early": _pool_early,
    "pool_deep": partial(_over, "pool_deep", "depth_mm"),
    "flame_high": partial(_over, "flame_high", "flame_mm"),
    "soot": _soot,
    "mushrooming": _mushrooming,
    "tunnelling": _tunnelling,
    "drowning": _drowning,
    "wall_hot": partial(_over, "wall_hot", "wall_c"),
    "rate_falling": partial(_rate_changes, "rate_falling", -1),
    "rate_rising": partial(_rate_changes, "rate_rising", 1),
}
CODES: Final = tuple(_FINDERS)
