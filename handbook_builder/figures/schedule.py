"""How many burn cycles a life takes, and on which day the last of them can be burned."""

import math
from datetime import date, timedelta
from typing import Final

from handbook_builder.figures.guard import not_negative, positive

_DAY_H: Final = 24.0
# Hours left are a quotient of floats; a hair over a whole number of cycles is no cycle more. 4 ms.
_HAIR_H: Final = 1e-6


def cycles_for(hours_h: float, cycle_h: float) -> int:
    """Return how many cycles of `cycle_h` burn `hours_h`: at least 1, the last may be short.

    n = ⌈hours / cycle⌉. A candle that has not gone out needs one more cycle in any case.
    """
    needed = not_negative(hours_h, "hours_h") / positive(cycle_h, "cycle_h")
    return max(1, math.ceil(needed - _HAIR_H / cycle_h))


def cycles_a_day(habit: int, cycle_h: float, rest_h: float) -> int:
    """Return how many cycles of one candle fit into a day, at most the studio's `habit`.

    n = ⌊24 h / (cycle + rest)⌋, and at least 1: a candle lit on another day counts as rested.
    """
    step_h = positive(cycle_h, "cycle_h") + not_negative(rest_h, "rest_h")
    return max(1, min(habit, math.floor(_DAY_H / step_h)))


def last_cycle_on(first: date, cycles: int, per_day: int, on_first: int) -> date:
    """Return the day of the last of `cycles`: `on_first` of them on the day `first` at most.

    Every later day takes `per_day`. ValueError for no cycle, or a day that takes none.
    OverflowError for a day beyond the calendar.
    """
    if min(cycles, per_day, on_first) < 1:
        msg = f"{cycles} cycles, {per_day} a day, {on_first} on the first day: each must be 1 or up"
        raise ValueError(msg)
    later = max(0, cycles - on_first)
    return first + timedelta(days=-(-later // per_day))


def starts_from(hour_h: float, cycle_h: float, rest_h: float) -> int:
    """Return how many cycles can still be lit in a day, the first at `hour_h` (0 up to 24).

    They begin a cycle and a rest apart, and each before midnight: n = ⌈(24 - hour) / (cycle +
    rest)⌉.
    """
    step_h = positive(cycle_h, "cycle_h") + not_negative(rest_h, "rest_h")
    return math.ceil(positive(_DAY_H - not_negative(hour_h, "hour_h"), "hours of the day") / step_h)
