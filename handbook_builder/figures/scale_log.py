"""What a logging scale saw of one cycle: when the flame was there, and how fast it burned.

The method is our own. A flame is where the mass falls at more than half the rate of the parts
that burn, seen through a window wide enough to show that over the noise of the scale.
"""

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, median
from typing import Final

from handbook_builder.figures.guard import positive
from handbook_builder.figures.line import least_squares

_FEWEST: Final = 8
_FEWEST_FOR_LINE: Final = 3
# A step this many times the usual one is a gap: the scale was silent.
_GAP_STEPS: Final = 5.0
# What burns away in one window, in units of the noise; half of it must still be told from none.
_WINDOW_NOISES: Final = 10.0
_LEAST_NOISES: Final = 20.0
_JUMP_NOISES: Final = 6.0
# Far above any container candle: it tells a flame from a hand. A guard, no published source.
_FASTEST_G_PER_H: Final = 100.0
# The size of a second difference of normal noise of deviation s is 0.6745 √6 s at the median.
_SIZE_TO_SD: Final = 1.0 / (0.674489750196082 * math.sqrt(6.0))
# The first pass reckons with the mean over the whole log, pauses and all; the others mend that.
_PASSES: Final = 3

Point = tuple[float, float]
Stretch = Sequence[Point]


@dataclass(frozen=True, slots=True)
class Spell:
    """A time with a flame, or a pause without one, in hours of the log."""

    begin_h: float
    end_h: float

    @property
    def hours_h(self) -> float:
        """Return how long it lasted, in hours."""
        return self.end_h - self.begin_h


@dataclass(frozen=True, slots=True)
class Gap:
    """A time in which the scale was silent, what was lost in it, and how long that burns."""

    begin_h: float
    end_h: float
    lost_g: float
    burned_h: float


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Why a log tells nothing: few_readings, time_backwards, mass_jumped or little_lost.

    `reading` is the number of the reading that shows it, counted from 1.
    """

    code: str
    reading: int
    change_g: float


@dataclass(frozen=True, slots=True)
class ScaleLog:
    """One cycle as the scale saw it.

    `burned_h` is the time with a flame, pauses left out. The rate is the slope that all spells
    have in common, by least squares, with its standard error. `pauses` lie between two spells;
    what happened in a gap is not known, and is no pause.
    """

    before_g: float
    after_g: float
    burned_h: float
    rate_g_per_h: float
    rate_se_g_per_h: float
    spells: tuple[Spell, ...]
    pauses: tuple[Spell, ...]
    gaps: tuple[Gap, ...]


def scale_log(
    hours: Sequence[float], mass_g: Sequence[float], readability_g: float
) -> ScaleLog | Unreadable:
    """Return what the readings tell of a cycle, or why they tell nothing.

    `hours` count from any moment. A pause shorter than about half of the time in which ten steps
    of the scale burn away is not found. Unequal numbers of hours and masses are a `ValueError`.
    """
    points = tuple(zip(hours, mass_g, strict=True))
    positive(readability_g, "readability_g")
    fault = _fault(points, readability_g)
    if fault is not None:
        return fault
    stretches = tuple(_stretches(points))
    window = _window(stretches, readability_g)
    found = [_spells(stretch, window) for stretch in stretches]
    spells = tuple(spell for several in found for spell in several)
    groups = [group for group in _within(points, spells) if len(group) >= _FEWEST_FOR_LINE]
    if not groups:
        return Unreadable("little_lost", len(points), points[-1][1] - points[0][1])
    slope, error = pooled_slope(groups)
    gaps = tuple(_gap(first[-1], second[0], -slope) for first, second in pairwise(stretches))
    return ScaleLog(
        before_g=median(mass for hour, mass in points if hour <= spells[0].begin_h),
        after_g=median(mass for hour, mass in points if hour >= spells[-1].end_h),
        burned_h=math.fsum((*(spell.hours_h for spell in spells), *(gap.burned_h for gap in gaps))),
        rate_g_per_h=-slope,
        rate_se_g_per_h=error,
        spells=spells,
        pauses=tuple(Spell(a.end_h, b.begin_h) for several in found for a, b in pairwise(several)),
        gaps=gaps,
    )


def noise_g(mass_g: Sequence[float], readability_g: float) -> float:
    """Return the noise of one reading in grams: its standard deviation, at least the scale's step.

    From the median size of the second differences, which a steady loss does not touch, over
    0.6745 √6. Fewer than three masses are a `StatisticsError`.
    """
    bends = [abs(a - 2 * b + c) for a, b, c in zip(mass_g, mass_g[1:], mass_g[2:], strict=False)]
    return max(readability_g, _SIZE_TO_SD * median(bends))


def pooled_slope(groups: Sequence[Stretch]) -> tuple[float, float]:
    """Return the slope that several runs of (hour, gram) have in common, and its standard error.

    Least squares with an intercept for each run: the line through all points, each taken from
    the mean of its own run, has that slope; its error has n - k - 1 degrees of freedom for k runs.
    """
    hours: list[float] = []
    masses: list[float] = []
    for group in groups:
        hour, mass = fmean(h for h, _ in group), fmean(m for _, m in group)
        hours += [h - hour for h, _ in group]
        masses += [m - mass for _, m in group]
    line = least_squares(hours, masses)
    free = len(hours) - len(groups) - 1
    return line.slope, line.slope_se * math.sqrt((len(hours) - 2) / free)


def _fault(points: Stretch, readability_g: float) -> Unreadable | None:
    if len(points) < _FEWEST:
        return Unreadable("few_readings", len(points), 0.0)
    noise = noise_g([mass for _, mass in points], readability_g)
    for number, ((hour, mass), (next_hour, next_mass)) in enumerate(pairwise(points), 2):
        change = next_mass - mass
        if next_hour <= hour:
            return Unreadable("time_backwards", number, change)
        most = _JUMP_NOISES * noise
        if change > most or change < -most - _FASTEST_G_PER_H * (next_hour - hour):
            return Unreadable("mass_jumped", number, change)
    change = points[-1][1] - points[0][1]
    return (
        Unreadable("little_lost", len(points), change) if -change < _LEAST_NOISES * noise else None
    )


def _stretches(points: Stretch) -> Iterator[Stretch]:
    """Yield the readings between one gap and the next."""
    usual = median(b[0] - a[0] for a, b in pairwise(points))
    begin = 0
    for at, (one, two) in enumerate(pairwise(points), 1):
        if two[0] - one[0] > _GAP_STEPS * usual:
            yield points[begin:at]
            begin = at
    yield points[begin:]


@dataclass(frozen=True, slots=True)
class _Window:
    """How wide to look, in hours, and from which rate on it is a flame."""

    width_h: float
    flame_g_per_h: float


def _window(stretches: Sequence[Stretch], readability_g: float) -> _Window:
    points = [point for one in stretches for point in one]
    noise = noise_g([mass for _, mass in points], readability_g)
    rate = (points[0][1] - points[-1][1]) / (points[-1][0] - points[0][0])
    for _ in range(_PASSES):
        window = _Window(_WINDOW_NOISES * noise / rate, rate / 2)
        rates = [one for stretch in stretches for one in _rates(stretch, window.width_h)]
        lit = [one for one in rates if one > window.flame_g_per_h]
        rate = median(lit) if lit else rate  # everything may have been lost in a gap
    return window


def _rates(stretch: Stretch, width_h: float) -> list[float]:
    """Return the rate about each reading, as if the mass had stood still before and after."""
    half = width_h / 2
    return [(_mass(stretch, h - half) - _mass(stretch, h + half)) / width_h for h, _ in stretch]


def _mass(stretch: Stretch, hour: float) -> float:
    """Return the mass at an hour, interpolated; outside the readings, the nearest of them."""
    at = bisect_right(stretch, hour, key=lambda point: point[0])
    if at in (0, len(stretch)):
        return stretch[max(at - 1, 0)][1]
    (hour_0, mass_0), (hour_1, mass_1) = stretch[at - 1], stretch[at]
    return mass_0 + (mass_1 - mass_0) * (hour - hour_0) / (hour_1 - hour_0)


def _spells(stretch: Stretch, window: _Window) -> list[Spell]:
    """Return the times with a flame; what is too short for the window to tell is left out."""
    rates = _rates(stretch, window.width_h)
    least_h = window.width_h / 2
    joined: list[Spell] = []
    for spell in _runs(stretch, rates, window.flame_g_per_h):
        if joined and spell.begin_h - joined[-1].end_h < least_h:
            joined[-1] = Spell(joined[-1].begin_h, spell.end_h)
        else:
            joined.append(spell)
    return [one for one in joined if one.hours_h >= least_h]


def _runs(stretch: Stretch, rates: Sequence[float], flame: float) -> Iterator[Spell]:
    """Yield each time with a flame, from and to where the rate passes `flame`, interpolated."""
    begin = stretch[0][0] if rates[0] > flame else None
    pairs = zip(pairwise(stretch), pairwise(rates), strict=True)
    for ((hour, _), (next_hour, _)), (rate, next_rate) in pairs:
        if (rate > flame) != (next_rate > flame):
            edge = hour + (next_hour - hour) * (flame - rate) / (next_rate - rate)
            if begin is None:
                begin = edge
            else:
                yield Spell(begin, edge)
                begin = None
    if begin is not None:
        yield Spell(begin, stretch[-1][0])


def _within(points: Stretch, spells: Sequence[Spell]) -> Iterator[Stretch]:
    for spell in spells:
        yield [point for point in points if spell.begin_h <= point[0] <= spell.end_h]


def _gap(last: Point, first: Point, rate_g_per_h: float) -> Gap:
    """Return the gap between two readings; it cannot have burned for longer than it lasted."""
    lost_g = max(0.0, last[1] - first[1])
    return Gap(last[0], first[0], lost_g, min(first[0] - last[0], lost_g / rate_g_per_h))
