"""How far the melt pool reaches, and when it reached the wall."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from handbook_builder.figures.guard import not_negative, positive

MM_PER_INCH: Final = 25.4  # exactly (NIST HB 44, Appendix C)

FULL: Final = 0.95
"""The coverage at which a pool is said to be at the wall."""

# Far below any reading; it only forgives what floats add to a share of a diameter.
_SLACK_MM: Final = 1e-9


def coverage(pool_mm: float, inside_diameter_mm: float) -> float:
    """Return the pool's share of the inside diameter at the wax line."""
    positive(inside_diameter_mm, "inside_diameter_mm")
    return not_negative(pool_mm, "pool_mm") / inside_diameter_mm


def pool_at(share: float, inside_diameter_mm: float) -> float:
    """Return how wide a pool is that covers a share of the inside diameter, in millimetres."""
    return not_negative(share, "share") * positive(inside_diameter_mm, "inside_diameter_mm")


def hours_to_wall(
    readings: Sequence[tuple[float, float]], inside_diameter_mm: float, full: float = FULL
) -> float | None:
    """Return the hour at which the pool reached the wall, between two readings, or None.

    `readings` are (hour, pool in mm), sorted by hour. "At the wall" is a coverage of `full`. The
    hour is interpolated between the last reading short of it and the first that is not; None when
    no pair of readings brackets it, since nothing is extrapolated.
    """
    positive(full, "full")
    wall_mm = full * positive(inside_diameter_mm, "inside_diameter_mm") - _SLACK_MM
    for (hour, pool_mm), (next_hour, next_mm) in pairwise(readings):
        if next_hour <= hour:
            msg = f"readings must be sorted by hour, not {hour} before {next_hour}"
            raise ValueError(msg)
        if pool_mm < wall_mm <= next_mm:
            part = (wall_mm - pool_mm) / (next_mm - pool_mm)
            return hour + part * (next_hour - hour)
    return None


def rule_of_thumb_h(inside_diameter_mm: float) -> float:
    """Return one hour an inch of diameter: common practice, no published source."""
    return positive(inside_diameter_mm, "inside_diameter_mm") / MM_PER_INCH


def pool_asked_for(share: float, inside_diameter_mm: float) -> float:
    """Return the least width of a share as it is told: to the tenth that is no smaller.

    No limit is told too low.
    """
    return math.ceil(round(pool_at(share, inside_diameter_mm) * 10, 6)) / 10
