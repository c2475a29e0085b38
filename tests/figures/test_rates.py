"""The rate of a product: what the readings blur, and how much candles differ."""

import math
import random
import statistics

import pytest

from handbook_builder.figures.burn import rate_uncertainty_g_per_h
from handbook_builder.figures.rates import CandleRate, Rates, candle_rate, rates
from handbook_builder.figures.spread import spread


def test_one_cycle_is_as_before() -> None:
    """A life of one cycle is as uncertain as that cycle (JCGM 100:2008)."""
    found = candle_rate([22.7], [4.0], 0.1)
    assert found.rate_g_per_h == pytest.approx(5.675)
    assert found.reading_u_g_per_h == pytest.approx(rate_uncertainty_g_per_h(22.7, 4.0, 0.1))


def test_by_hand() -> None:
    """22 g in 4 h and 11 g in 2 h: 5.5 g/h; √(2 · 0.0408248² + 5.5² · 2 · 0.00481125²)/6.

    Masses 0.1/√6 = 0.0408248 g, durations 1 min/√12 = 0.00481125 h (rectangular, JCGM 100:2008):
    0.00333333 + 0.00140046 = 0.00473379; √ = 0.0688025; over 6 h 0.0114671.
    """
    found = candle_rate([22.0, 11.0], [4.0, 2.0], 0.1)
    assert found.rate_g_per_h == 5.5
    assert found.reading_u_g_per_h == pytest.approx(0.0114671, abs=1e-7)


def test_by_rounding_on_a_bench() -> None:
    """Weighings rounded to 0.1 g and times to the minute scatter as the formula says.

    4,000 made-up lives of eight cycles at 5.5 g/h, read as a bench reads them.
    """
    chance = random.Random(4)  # noqa: S311 -- not for secrets
    errors = []
    for _ in range(4000):
        masses, hours = [], []
        for _ in range(8):
            burned, before = chance.uniform(3.8, 4.2), chance.uniform(200, 400)
            masses.append(round(before, 1) - round(before - 5.5 * burned, 1))
            hours.append(round(burned * 60) / 60)
        errors.append(candle_rate(masses, hours, 0.1).rate_g_per_h - 5.5)
    assert statistics.fmean(errors) == pytest.approx(0.0, abs=1e-3)
    expected = candle_rate([22.0] * 8, [4.0] * 8, 0.1).reading_u_g_per_h
    assert statistics.stdev(errors) == pytest.approx(expected, rel=0.05)


def test_a_rate_needs_cycles() -> None:
    """No cycles, or masses without durations, give no rate."""
    with pytest.raises(ValueError, match=r"^2 masses for 1 durations$"):
        candle_rate([1.0, 2.0], [4.0], 0.1)
    with pytest.raises(ValueError, match=r"^burned_h must be"):
        candle_rate([], [], 0.1)


def test_a_product() -> None:
    """Three candles: their spread, and the root mean square of their blur: 3, 4, 5 make √(50/3)."""
    found = rates([CandleRate(5.0, 0.03), CandleRate(5.5, 0.04), CandleRate(6.0, 0.05)])
    blur = pytest.approx(math.sqrt(50 / 3) / 100)
    assert found == Rates(3, spread([5.0, 5.5, 6.0]), blur)


def test_no_product_without_candles() -> None:
    """A product of which nothing burned has no rate."""
    with pytest.raises(ValueError, match=r"^a spread needs at least one value$"):
        rates([])
