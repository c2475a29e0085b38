"""The scatter of a few candles, and what one more may do."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t as scipy_t

from handbook_builder.figures.spread import Spread, spread


def test_by_hand() -> None:
    """5.0, 5.5 and 6.0 g/h: mean 5.5, sd 0.5, reach t(0.975, 2) · 0.5 · √(4/3).

    4.302653 (table) · 0.5 · 1.1547005 = 2.484138.
    """
    found = spread([5.5, 5.0, 6.0])
    assert (found.mean, found.sd) == (5.5, 0.5)
    assert (found.low, found.high) == pytest.approx((3.015862, 7.984138), abs=1e-6)


def test_one_value_and_none() -> None:
    """One says nothing of the spread, none says nothing at all."""
    assert spread([5.5]) == Spread(5.5, None, None, None)
    with pytest.raises(ValueError, match=r"^a spread needs at least one value$"):
        spread([])


def test_never_below_nothing() -> None:
    """What is never below 0 is not foretold below it."""
    assert spread([1.0, 9.0]).low == 0.0
    assert spread([0.1, 0.1, 0.1]) == Spread(0.1, 0.0, 0.1, 0.1)
    assert isinstance(spread([2, 2]).mean, float)


@settings(deadline=None)
@given(st.lists(st.floats(0.1, 500), min_size=2, max_size=20))
def test_against_scipy(values: list[float]) -> None:
    """The interval as SciPy's quantiles have it."""
    n, mean = len(values), math.fsum(values) / len(values)
    sd = math.sqrt(math.fsum((one - mean) ** 2 for one in values) / (n - 1))
    high = mean + float(scipy_t.ppf(0.975, n - 1)) * sd * math.sqrt(1 + 1 / n)
    assert spread(values).high == pytest.approx(high, rel=1e-9)
