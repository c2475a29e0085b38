"""How long a candle lasts, judged from the few that were burned to their end."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.student import t_quantile

_UPPER: Final = 0.975  # two-sided 95 %
_WHOLE_HOURS_UP_TO: Final = 20
_STEP_H: Final = 5
# Burns are noted to the minute; minutes added up as fractions of an hour may end a hair below the
# whole hour. This is 4 ms.
_HAIR_H: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Life:
    """Hours from first light to the end, over a product's candles.

    `low_h` to `high_h` is the 95 % prediction interval for one more candle. It and the standard
    deviation are None with one candle: one says nothing of the spread.
    """

    mean_h: float
    sd_h: float | None
    shortest_h: float
    low_h: float | None
    high_h: float | None


def life(hours: Sequence[float]) -> Life:
    """Return the life of a product from the `hours` that each of its candles burned.

    Interval: mean ± t(0.975, n - 1) · s · √(1 + 1/n), no lower than 0 (textbook; it takes lives to
    be normally distributed). ValueError without a candle, or for hours that are no duration.
    """
    for one in hours:
        _check_hours(one)
    if not hours:
        msg = "a life needs at least one candle"
        raise ValueError(msg)
    # Exact sums: candles that burned equally long have that very mean, and no spread.
    mean = statistics.mean(float(one) for one in hours)
    if len(hours) == 1:
        return Life(mean, None, min(hours), None, None)
    sd = statistics.stdev(float(one) for one in hours)
    reach = t_quantile(_UPPER, len(hours) - 1) * sd * math.sqrt(1 + 1 / len(hours))
    return Life(mean, sd, min(hours), max(0.0, mean - reach), mean + reach)


def claimable_life_h(shortest_h: float) -> int:
    """Return the whole hours that a label may claim, from the shortest life measured.

    Rounded down: to whole hours, and above 20 h to steps of five (this project's own rule).
    ValueError for hours that are no duration.
    """
    _check_hours(shortest_h)
    whole = math.floor(shortest_h + _HAIR_H)
    return max(min(whole, _WHOLE_HOURS_UP_TO), whole - whole % _STEP_H)


def _check_hours(hours: float) -> None:
    if not 0 <= hours < math.inf:
        msg = f"{hours} h is not a duration"
        raise ValueError(msg)
