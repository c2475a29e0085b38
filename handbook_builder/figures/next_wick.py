"""Which size of wick is worth pouring next, from what was burned in the same surroundings.

Never a verdict: a suggestion, which the next test candles confirm or refute. It takes it that a
larger step of one series burns faster and wider (common practice, no published source).
"""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from handbook_builder.figures.trend import Interval, Trend, trend

CONFIDENCE: Final = 0.95
# A line is not believed further than this many steps beyond what was burned (this project's own).
FURTHEST: Final = 2
_SLACK: Final = 1e-9


class Way(StrEnum):
    """How the suggestion came about."""

    FITS = "fits"  # a size that was burned to its end, and neither failed hot nor cold
    LARGER = "larger"
    SMALLER = "smaller"
    BETWEEN = "between"
    NO_LARGER = "no_larger"
    NO_SMALLER = "no_smaller"
    NONE_BETWEEN = "none_between"
    CONTRADICTION = "contradiction"  # a size was too cold, and it or a smaller one too hot
    OPEN = "open"  # nothing has come to an end yet
    UNTRIED = "untried"


@dataclass(frozen=True, slots=True)
class Trial:
    """One test candle: its wick's step, its widest pool as a share, its rate, how it came out.

    `coverage` and `rate_g_per_h` are None when they were not read. A candle that is neither
    `passed` nor too cold nor too hot has not come to an answer.
    """

    step: int
    coverage: float | None
    rate_g_per_h: float | None
    passed: bool = False
    too_cold: bool = False
    too_hot: bool = False


@dataclass(frozen=True, slots=True)
class Need:
    """What is asked of the size: its pool, and the evidence that it takes.

    `full_share` is the share of the width at which a pool is full, `burnable_g` the wax of one
    candle that burns, `candles` how many must pass, `step` the size that the recipe has and
    `passed` how many passed of exactly that make-up.
    """

    full_share: float
    burnable_g: float
    candles: int
    step: int
    passed: int = 0


@dataclass(frozen=True, slots=True)
class Relations:
    """How pool and rate go with the step; None where there is too little data for a line.

    The pool's line is of pools short of the wall: one at the wall says only that it got there.
    """

    pool: Trend | None
    rate: Trend | None


@dataclass(frozen=True, slots=True)
class Advice:
    """The size worth pouring next, how that is known, and what it costs to find out.

    `step` is None when there is no such size. `coverage` and `rate_g_per_h` are 95 % prediction
    intervals for one candle of it, None without a line. `hours_h` is for all `candles` together,
    None without any rate.
    """

    way: Way
    step: int | None
    tried: tuple[int, ...]
    trials: int
    relations: Relations
    coverage: Interval | None = None
    rate_g_per_h: Interval | None = None
    candles: int = 0
    hours_h: float | None = None


def next_wick(trials: Sequence[Trial], sizes: Sequence[int], need: Need) -> Advice:
    """Return the size worth pouring next, out of the steps `sizes` that can be had.

    Sizes at or below one that failed too cold are out, and so are those at or above one that
    failed too hot. Of what is left comes first a size that passed; then, by the line of the pools,
    the smallest whose pool should be full; then the nearest to what failed.
    """
    relations = _relations(trials, need)
    way, step = _choice(trials, sizes, need, relations)
    tried = tuple(sorted({trial.step for trial in trials}))
    if step is None:
        return Advice(way, None, tried, len(trials), relations)
    candles = max(0, need.candles - (need.passed if step == need.step else 0))
    rate = _rate_at(step, trials, relations)
    return Advice(
        way=way,
        step=step,
        tried=tried,
        trials=len(trials),
        relations=relations,
        coverage=_interval(relations.pool, step),
        rate_g_per_h=_interval(relations.rate, step),
        candles=candles,
        hours_h=None if rate is None else candles * need.burnable_g / rate,
    )


def _relations(trials: Sequence[Trial], need: Need) -> Relations:
    pools = [
        (float(trial.step), trial.coverage)
        for trial in trials
        if trial.coverage is not None and trial.coverage < need.full_share - _SLACK
    ]
    rates = [
        (float(trial.step), trial.rate_g_per_h)
        for trial in trials
        if trial.rate_g_per_h is not None
    ]
    return Relations(_line(pools), _line(rates))


def _line(points: Sequence[tuple[float, float]]) -> Trend | None:
    return trend([step for step, _ in points], [value for _, value in points])


def _interval(line: Trend | None, step: int) -> Interval | None:
    return None if line is None else line.one_more(float(step), CONFIDENCE)


def _choice(
    trials: Sequence[Trial], sizes: Sequence[int], need: Need, relations: Relations
) -> tuple[Way, int | None]:
    cold = max((trial.step for trial in trials if trial.too_cold), default=None)
    hot = min((trial.step for trial in trials if trial.too_hot), default=None)
    left = sorted(
        size for size in set(sizes) if (cold is None or size > cold) and (hot is None or size < hot)
    )
    passed = {trial.step for trial in trials if trial.passed} & set(left)
    if passed:
        return Way.FITS, min(passed, key=lambda one: (abs(one - need.step), one))
    if not left or (cold is None and hot is None):
        return _no_size(trials, cold, hot), None
    if cold is None:
        return Way.SMALLER, left[-1]
    way = Way.LARGER if hot is None else Way.BETWEEN
    return way, _by_pool(left, cold, relations.pool, need.full_share)


def _no_size(trials: Sequence[Trial], cold: int | None, hot: int | None) -> Way:
    if not trials:
        return Way.UNTRIED
    if cold is None:
        return Way.OPEN if hot is None else Way.NO_SMALLER
    if hot is None:
        return Way.NO_LARGER
    return Way.CONTRADICTION if cold >= hot else Way.NONE_BETWEEN


def _by_pool(left: Sequence[int], cold: int, pool: Trend | None, full_share: float) -> int:
    """Return the smallest size whose pool should be full, but no leap beyond what was burned."""
    near = [one for one in left if one <= cold + FURTHEST] or [left[0]]
    if pool is None or pool.slope <= 0:
        return near[0]
    return next((one for one in near if pool.at(float(one)) >= full_share - _SLACK), near[-1])


def _rate_at(step: int, trials: Sequence[Trial], relations: Relations) -> float | None:
    """Return the rate to reckon with: of that size, else by the line, else of the nearest size."""
    rates = [(trial.step, trial.rate_g_per_h) for trial in trials if trial.rate_g_per_h is not None]
    burning = [(at, rate) for at, rate in rates if rate > 0]
    if not burning:
        return None
    by_line = 0.0 if relations.rate is None else relations.rate.at(float(step))
    nearest = min(abs(at - step) for at, _ in burning)
    if nearest and by_line > 0:
        return by_line
    return statistics.fmean(rate for at, rate in burning if abs(at - step) == nearest)
