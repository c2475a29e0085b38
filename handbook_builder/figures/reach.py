"""How wide a pool a wick of each size melts, from pools that were read, full ones among them.

A pool short of the wall tells its width. One at the wall tells only that the wick reaches so far:
to take it for a width would call every wick of a proven candle just right. So the line
W = a + b · step + scatter is judged with such pools censored (Tobin 1958, Econometrica 26, 24-36),
and all lines that explain the readings are weighed, not only the best.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from handbook_builder.figures.guard import positive
from handbook_builder.figures.trend import Interval

# What is thought possible before anything was burned, in shares of the width that is asked for
# (this project's own, wide on purpose): the pool of the middle size, what a step adds to it, and
# how far candles of one size lie from each other.
_MIDDLES: Final = tuple(0.25 + 0.025 * at for at in range(71))
_STEPS: Final = tuple(0.02 * at for at in range(1, 21))
_SCATTERS: Final = (0.015, 0.025, 0.04, 0.06, 0.09, 0.14)
_SLACK: Final = 1e-9  # what floats take from a line that just fills
_LOW, _HIGH = 0.025, 0.975  # between them lie 95 %
_NEVER: Final = -745.0  # the logarithm of the least positive float


@dataclass(frozen=True, slots=True)
class PoolRead:
    """The pool of one candle: its wick's step, and its width; `is_full` if it met the wall.

    Of a full pool `width_mm` is the least width that would have counted as full.
    """

    step: int
    width_mm: float
    is_full: bool


@dataclass(frozen=True, slots=True)
class Reach:
    """Which size is the smallest that fills a width, weighed.

    `chances` are by step, those of `sizes`; `none` is the chance that none of them does. `widens`
    says what a step adds to the pool, and `scatter` how far candles of one size lie from the line,
    in millimetres, each with 95 %.
    """

    chances: Mapping[int, float]
    none: float
    widens_mm: Interval
    scatter_mm: Interval


def reach(pools: Sequence[PoolRead], sizes: Sequence[int], width_mm: float) -> Reach:
    """Return how likely each of `sizes` is the smallest whose pool is `width_mm` wide or more.

    Each line W = a + b · step of a grid is weighed by how well it explains the pools: the density
    of the normal distribution for a width that was read, its tail for a full one. ValueError
    without a pool or a size.
    """
    if not pools or not sizes:
        msg = "a reach needs at least one pool and one size"
        raise ValueError(msg)
    scale, steps = positive(width_mm, "width_mm"), sorted(set(sizes))
    middle = math.fsum(pool.step for pool in pools) / len(pools)
    lines = list(_weighed(_gathered(pools, middle, scale)))
    total = math.fsum(weight for weight, _, _, _ in lines)
    found: dict[int | None, list[float]] = {step: [] for step in (*steps, None)}
    for weight, base, slope, _ in lines:
        fills = (one for one in steps if base + slope * (one - middle) >= 1.0 - _SLACK)
        found[next(fills, None)].append(weight / total)
    chances = {step: math.fsum(found[step]) for step in steps}
    return Reach(
        chances=MappingProxyType(chances),
        none=math.fsum(found[None]),
        widens_mm=_middle_95([(slope * scale, weight / total) for weight, _, slope, _ in lines]),
        scatter_mm=_middle_95([(apart * scale, weight / total) for weight, _, _, apart in lines]),
    )


_Group = tuple[float, float, bool, int]


def _gathered(pools: Sequence[PoolRead], middle: float, scale: float) -> tuple[_Group, ...]:
    """Return the pools as shares of the width, those that read alike together, with their count."""
    counts: dict[tuple[float, float, bool], int] = {}
    for pool in pools:
        key = (pool.step - middle, pool.width_mm / scale, pool.is_full)
        counts[key] = counts.get(key, 0) + 1
    return tuple((*key, count) for key, count in sorted(counts.items()))


def _weighed(groups: Sequence[_Group]) -> Iterator[tuple[float, float, float, float]]:
    """Yield the weight of each line, its pool at the middle, its slope and its scatter."""
    told = [
        (_likelihood(groups, base, slope, apart), base, slope, apart)
        for apart in _SCATTERS
        for slope in _STEPS
        for base in _MIDDLES
    ]
    best = max(log for log, _, _, _ in told)
    for log, base, slope, apart in told:
        yield math.exp(max(_NEVER, log - best)), base, slope, apart


def _likelihood(groups: Sequence[_Group], base: float, slope: float, apart: float) -> float:
    """Return the logarithm of how likely a line makes what was read."""
    found = 0.0
    for away, width, is_full, count in groups:
        off = (width - base - slope * away) / apart
        one = _log_tail(off) if is_full else -0.5 * off * off - math.log(apart)
        found += count * one
    return found


def _log_tail(off: float) -> float:
    """Return the logarithm of the chance to lie beyond `off` standard deviations."""
    chance = 0.5 * math.erfc(off / math.sqrt(2))
    return math.log(chance) if chance > 0 else _NEVER


def _middle_95(weighed: Sequence[tuple[float, float]]) -> Interval:
    """Return from where to where the middle 95 % of the weight lie."""
    so_far, low, high = 0.0, math.inf, -math.inf
    for value, weight in sorted(weighed):
        if so_far + weight > _LOW and math.isinf(low):
            low = value
        if so_far < _HIGH:
            high = value
        so_far += weight
    return Interval(low, high)
