"""How fast a product's candles burn: what scale and clock blur, and how much candles differ."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from handbook_builder.figures.burn import mean_rate, rate_uncertainty_g_per_h
from handbook_builder.figures.spread import Spread, spread


@dataclass(frozen=True, slots=True)
class CandleRate:
    """The rate of one candle over its life, and the standard uncertainty of the readings in it."""

    rate_g_per_h: float
    reading_u_g_per_h: float


@dataclass(frozen=True, slots=True)
class Rates:
    """The rates of a product's candles, in grams an hour.

    `spread` is over the candles, and its interval is for one more candle. `reading_u_g_per_h` is
    what the readings alone leave open of one candle's rate; it is part of the spread already.
    """

    candles: int
    spread: Spread
    reading_u_g_per_h: float


def candle_rate(
    consumed_g: Sequence[float], burned_h: Sequence[float], readability_g: float
) -> CandleRate:
    """Return the rate of one candle, all wax over all hours, with its standard uncertainty.

    Each cycle has weighings and a duration of its own, and their uncertainties are independent:
    u² = (Σ u_m² + rate² Σ u_t²) / (Σ t)² (JCGM 100:2008), put together from the u of each cycle.
    ValueError as `mean_rate` and `rate_uncertainty_g_per_h` have it.
    """
    rate = mean_rate(consumed_g, burned_h)
    blurs = [rate_uncertainty_g_per_h(rate * one, one, readability_g) * one for one in burned_h]
    return CandleRate(rate, math.hypot(*blurs) / math.fsum(burned_h))


def rates(candles: Sequence[CandleRate]) -> Rates:
    """Return the rates of a product from those of its candles; ValueError without one.

    The blur of the readings is the root of the mean square over the candles.
    """
    found = spread([candle.rate_g_per_h for candle in candles])
    blur = math.hypot(*(candle.reading_u_g_per_h for candle in candles)) / math.sqrt(len(candles))
    return Rates(len(candles), found, blur)
