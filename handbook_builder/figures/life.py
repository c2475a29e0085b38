"""How long a candle lasts, judged from the few that were burned to their end."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.spread import spread

_WHOLE_HOURS_UP_TO: Final = 20
_STEP_H: Final = 5
# Burns are noted to the minute; minutes added up as fractions of an hour may end a hair below the
# whole hour. This is 4 ms.
_HAIR_H: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Life:
    """Hours from first light to the end, over a product's candles.

    `low_h` to `high_h` is the 95 % prediction interval for one more candle, None with one candle:
    one says nothing of the spread.
    """

    mean_h: float
    shortest_h: float
    low_h: float | None
    high_h: float | None


def life(hours: Sequence[float]) -> Life:
    """Return the life of a product from the `hours` that each of its candles burned.

    The interval is that of `spread`. ValueError without a candle, or for hours that are no
    duration.
    """
    for hour in hours:
        _check_hours(hour)
    if not hours:
        msg = "a life needs at least one candle"
        raise ValueError(msg)
    found = spread(hours)
    return Life(found.mean, min(hours), found.low, found.high)


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
