"""The sizes of a series of wicks that are worth lighting in a vessel, one candle each.

A plan of what to try, never a verdict: what is lit for a ladder teaches, and proves nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from handbook_builder.figures.reach import PoolRead, Reach, reach

# All of these are this project's own, and said so on the page.
FEWEST_KIN: Final = 5
MOST_RUNGS: Final = 5
FEWEST_RUNGS: Final = 3
SURE: Final = (
    0.98  # the right size is among the rungs with this chance, before neighbours are added
)


class Ground(StrEnum):
    """What a ladder rests on."""

    BURNS = "burns"  # the studio's own burns
    FITS = "fits"  # what the records of the wicks say that they fit
    NONE = "none"  # nothing: begin in the middle


class Doubt(StrEnum):
    """Why burns do not tell the size."""

    FEW = "few"  # too few candles in like vessels
    WIDE = "wide"  # they leave more sizes open than a ladder has rungs
    BEYOND = "beyond"  # by them, most likely no size of the series is large enough


@dataclass(frozen=True, slots=True)
class Ladder:
    """The sizes worth lighting, and what that rests on.

    `rungs` are steps of the series, the smallest first. `likely` are those of them that the burns
    leave open; the others stand beside them. `reach` is there as soon as there are enough `kin`,
    and `doubt` where they do not settle the sizes.
    """

    ground: Ground
    rungs: tuple[int, ...]
    likely: tuple[int, ...]
    kin: int
    reach: Reach | None
    doubt: Doubt | None


def ladder(
    pools: Sequence[PoolRead], sizes: Sequence[int], fitting: Sequence[int], width_mm: float
) -> Ladder:
    """Return the sizes worth lighting for a pool `width_mm` wide, out of the steps `sizes`.

    `pools` are of candles in like vessels; `fitting` are the sizes that say themselves that they
    fit. ValueError without a size.
    """
    steps = sorted(set(sizes))
    if not steps:
        msg = "a ladder needs a size"
        raise ValueError(msg)
    known = reach(pools, steps, width_mm) if len(pools) >= FEWEST_KIN else None
    open_ones = () if known is None else _most_likely(known.chances, steps, known.none)
    doubt = _doubt(known, open_ones, steps)
    if doubt is None:
        rungs = _with_neighbours(open_ones, steps)
        return Ladder(Ground.BURNS, rungs, open_ones, len(pools), known, None)
    stated = [step for step in steps if step in fitting]
    if stated:
        rungs = _around_the_middle(stated, MOST_RUNGS)
        return Ladder(Ground.FITS, rungs, (), len(pools), known, doubt)
    return Ladder(Ground.NONE, _around_the_middle(steps, 1), (), len(pools), known, doubt)


def _doubt(known: Reach | None, open_ones: Sequence[int], steps: Sequence[int]) -> Doubt | None:
    if known is None:
        return Doubt.FEW
    if known.none > max(known.chances.values()):
        return Doubt.BEYOND
    leaves_all = len(open_ones) == len(steps) > FEWEST_RUNGS
    return Doubt.WIDE if len(open_ones) > MOST_RUNGS or leaves_all else None


def _most_likely(
    chances: Mapping[int, float], steps: Sequence[int], none: float
) -> tuple[int, ...]:
    """Return the sizes from the smallest to the largest that cannot be left out.

    What is left out at either end is half of what is not `SURE` at the most. That no size is large
    enough counts as one beyond the largest.
    """
    spare = (1.0 - SURE) / 2
    low, high = 0, len(steps) - 1
    below, above = chances[steps[low]], none
    while low < high and below < spare:
        low += 1
        below += chances[steps[low]]
    while high > low and above + chances[steps[high]] < spare:
        above += chances[steps[high]]
        high -= 1
    return tuple(steps[low : high + 1])


def _with_neighbours(open_ones: Sequence[int], steps: Sequence[int]) -> tuple[int, ...]:
    """Return the sizes with one beside them at each end, until they make a ladder."""
    low, high = steps.index(open_ones[0]), steps.index(open_ones[-1])
    while high - low + 1 < min(FEWEST_RUNGS, len(steps)):
        high = min(high + 1, len(steps) - 1)
        if high - low + 1 < FEWEST_RUNGS:
            low = max(low - 1, 0)
    return tuple(steps[low : high + 1])


def _around_the_middle(steps: Sequence[int], most: int) -> tuple[int, ...]:
    """Return at most so many of the sizes, those in the middle; of two middles the smaller."""
    start = max(0, (len(steps) - most) // 2)
    return tuple(steps[start : start + most])
