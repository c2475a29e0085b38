"""A straight line through readings, and how well a handful of them settles it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.line import least_squares
from handbook_builder.figures.student import t_quantile

FEWEST_POINTS: Final = 3


@dataclass(frozen=True, slots=True)
class Interval:
    """From `low` to `high`, in the unit of what it is about."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Trend:
    """A line through `count` points by least squares, in the units of the points.

    `spread_x` is the sum of squares of x about its mean; `residual_sd` has count - 2 degrees of
    freedom.
    """

    count: int
    slope: float
    intercept: float
    slope_se: float
    residual_sd: float
    mean_x: float
    spread_x: float

    def at(self, x: float) -> float:
        """Return the height of the line at `x`."""
        return self.intercept + self.slope * x

    def slope_interval(self, confidence: float) -> Interval:
        """Return the confidence interval of the slope: b ± t · se, n - 2 degrees (textbook)."""
        reach = self._t(confidence) * self.slope_se
        return Interval(self.slope - reach, self.slope + reach)

    def one_more(self, x: float, confidence: float) -> Interval:
        """Return the prediction interval for one more reading at `x`.

        ŷ ± t · s · √(1 + 1/n + (x - x̄)² / Σ(x - x̄)²), n - 2 degrees (textbook).
        """
        away = (x - self.mean_x) ** 2 / self.spread_x
        reach = self._t(confidence) * self.residual_sd * math.sqrt(1 + 1 / self.count + away)
        return Interval(self.at(x) - reach, self.at(x) + reach)

    def _t(self, confidence: float) -> float:
        return t_quantile((1 + confidence) / 2, self.count - 2)


def trend(xs: Sequence[float], ys: Sequence[float]) -> Trend | None:
    """Return the line of `ys` against `xs`; None with fewer than three points, or all at one x."""
    if len(xs) < FEWEST_POINTS or max(xs) == min(xs):
        return None
    line, mean_x = least_squares(xs, ys), math.fsum(xs) / len(xs)
    return Trend(
        count=len(xs),
        slope=line.slope,
        intercept=line.intercept,
        slope_se=line.slope_se,
        residual_sd=line.residual_sd,
        mean_x=mean_x,
        spread_x=math.fsum((x - mean_x) ** 2 for x in xs),
    )
