"""The mean of a few candles, their scatter, and what one more candle may do."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.student import t_quantile

_UPPER: Final = 0.975  # two-sided 95 %


@dataclass(frozen=True, slots=True)
class Spread:
    """Mean, standard deviation and the 95 % prediction interval for one more, in their own unit.

    All but the mean are None for one value: one says nothing of the spread.
    """

    mean: float
    sd: float | None
    low: float | None
    high: float | None


def spread(values: Sequence[float]) -> Spread:
    """Return the spread of `values`, which are of something that is never below 0.

    Interval: mean ± t(0.975, n - 1) · s · √(1 + 1/n), no lower than 0 (textbook; it takes the
    values to be normally distributed). ValueError without a value.
    """
    if not values:
        msg = "a spread needs at least one value"
        raise ValueError(msg)
    # Exact sums: equal values have that very mean, and no spread.
    mean = statistics.mean(float(value) for value in values)
    if len(values) == 1:
        return Spread(mean, None, None, None)
    sd = statistics.stdev(float(value) for value in values)
    reach = t_quantile(_UPPER, len(values) - 1) * sd * math.sqrt(1 + 1 / len(values))
    return Spread(mean, sd, max(0.0, mean - reach), mean + reach)
