"""How fast a candle burns: consumption, rates with their uncertainty, what is left."""

import math
from collections.abc import Sequence
from typing import Final

from handbook_builder.figures.guard import not_negative, positive

# A reading lies anywhere within its step: a rectangular distribution of half-width d/2, whose
# standard deviation is d/√12 (JCGM 100:2008); a difference of two readings has √2 of it.
_SD_OF_DIFFERENCE: Final = math.sqrt(6.0)
_DURATION_U_H: Final = 1.0 / 60.0 / math.sqrt(12.0)  # noted to the minute

# Paraffin is given with 42 to 46 kJ/g (encyclopedias). As its readers report, Hamins, Bundy and
# Dillon 2005, J. Fire Prot. Eng. 15(4), 265-285, have about 80 W for a candle of 0.105 g/min.
HEAT_OF_COMBUSTION_J_PER_G: Final = 43_000.0

_SECONDS_PER_HOUR: Final = 3600.0


def consumed_g(before_g: float, after_g: float) -> float:
    """Return what a cycle consumed, in grams: before - after.

    Negative when the candle grew heavier, which is for a verdict to object to.
    """
    return not_negative(before_g, "before_g") - not_negative(after_g, "after_g")


def rate_g_per_h(consumed_g: float, burned_h: float) -> float:
    """Return the rate of consumption, in grams an hour."""
    return consumed_g / positive(burned_h, "burned_h")


def rate_uncertainty_g_per_h(consumed_g: float, burned_h: float, readability_g: float) -> float:
    """Return the standard uncertainty of a rate, in grams an hour.

    The mass is a difference of two readings of readability d (d/√6), the duration is noted to the
    minute (1 min/√12); propagated through m/t by JCGM 100:2008:
    u² = (u_m / t)² + (m u_t / t²)².
    """
    positive(burned_h, "burned_h")
    mass_u_g = positive(readability_g, "readability_g") / _SD_OF_DIFFERENCE
    return math.hypot(mass_u_g, consumed_g / burned_h * _DURATION_U_H) / burned_h


def expanded(uncertainty: float) -> float:
    """Return the expanded uncertainty, k = 2: about 95 % (JCGM 100:2008)."""
    return 2.0 * not_negative(uncertainty, "uncertainty")


def mean_rate(consumed_g: Sequence[float], burned_h: Sequence[float]) -> float:
    """Return the rate over several cycles, in grams an hour: all that burned over all the hours.

    Unequal numbers of masses and hours are a `ValueError`, and so are no hours at all.
    """
    if len(consumed_g) != len(burned_h):
        msg = f"{len(consumed_g)} masses for {len(burned_h)} durations"
        raise ValueError(msg)
    return rate_g_per_h(math.fsum(consumed_g), math.fsum(burned_h))


def hours_left(mass_left_g: float, mass_at_end_g: float, last_rates: Sequence[float]) -> float:
    """Return how many hours a burning candle has left, at the mean of its `last_rates` (g/h).

    `mass_at_end_g` is what is expected to be left when it goes out; a candle already there has 0
    hours. No rates, or rates that are not above 0 in the mean, are a `ValueError`.
    """
    if not last_rates:
        msg = "hours left need a rate"
        raise ValueError(msg)
    rate = positive(math.fsum(last_rates) / len(last_rates), "the mean of the last rates")
    return max(0.0, consumed_g(mass_left_g, mass_at_end_g) / rate)


def flame_power_w(rate_g_per_h: float) -> float:
    """Return the heat of a flame in watts, at 43 kJ a gram of paraffin."""
    joules_per_h = not_negative(rate_g_per_h, "rate_g_per_h") * HEAT_OF_COMBUSTION_J_PER_G
    return joules_per_h / _SECONDS_PER_HOUR
