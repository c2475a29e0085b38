"""A straight line through points by least squares, whatever they measure."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul, sub
from typing import Final

_FEWEST_POINTS: Final = 3


@dataclass(frozen=True, slots=True)
class Line:
    """A line of y against x; `slope_se` is a standard error.

    `residual_sd`, in the unit of y, has n - 2 degrees of freedom.
    """

    slope: float
    intercept: float
    slope_se: float
    residual_sd: float


def _dot(xs: Sequence[float], ys: Sequence[float]) -> float:
    return math.fsum(map(mul, xs, ys))


def least_squares(xs: Sequence[float], ys: Sequence[float]) -> Line:
    """Return the line of `ys` against `xs` by ordinary least squares.

    Sums are taken about the means and residuals one by one, so that points far from the origin
    cost no digits. Fewer than three points, or all at one x, are a `ValueError`.
    """
    count = len(xs)
    if count != len(ys) or count < _FEWEST_POINTS:
        msg = f"a line needs three points or more, as many x ({count}) as y ({len(ys)})"
        raise ValueError(msg)
    if max(xs) == min(xs):  # their spread about the mean may not be 0 in floats
        msg = f"a line needs points that differ in x, not all at {max(xs)}"
        raise ValueError(msg)
    mean_x, mean_y = math.fsum(xs) / count, math.fsum(ys) / count
    off_x, off_y = [x - mean_x for x in xs], [y - mean_y for y in ys]
    spread = _dot(off_x, off_x)
    slope = _dot(off_x, off_y) / spread
    left = list(map(sub, off_y, (slope * x for x in off_x)))
    residual_sd = math.sqrt(_dot(left, left) / (count - 2))
    return Line(
        slope=slope,
        intercept=mean_y - slope * mean_x,
        slope_se=residual_sd / math.sqrt(spread),
        residual_sd=residual_sd,
    )
