"""What clean candles are worth as evidence."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handbook_builder.figures.evidence import failure_upper_bound


# Computed from 1 - 0.05^(1/n).
@pytest.mark.parametrize(
    ("n", "bound"),
    [
        (3, 0.6316),
        (5, 0.4507),
        (6, 0.3930),
        (10, 0.2589),
        (12, 0.2209),
        (20, 0.1391),
        (30, 0.0950),
        (59, 0.0495),
        (100, 0.0295),
        (300, 0.0099),
    ],
)
def test_no_failures(n: int, bound: float) -> None:
    """The bounds for n clean candles, one-sided."""
    assert failure_upper_bound(n) == pytest.approx(bound, abs=5.1e-5)


# Computed from n = ceil(ln(1 - C) / ln R), the form without a prior, at C = 95 %.
@pytest.mark.parametrize(
    ("reliability", "runs"), [(0.80, 14), (0.85, 19), (0.90, 29), (0.95, 59), (0.99, 299)]
)
def test_success_runs(reliability: float, runs: int) -> None:
    """So many clean candles show 80, 85, 90, 95 and 99 % to be good, and one fewer do not."""
    assert failure_upper_bound(runs) <= 1 - reliability < failure_upper_bound(runs - 1)


# The rule of three, 3/n, is an approximation for n of 30 and above; computed.
@pytest.mark.parametrize(("n", "three"), [(30, 0.1), (59, 0.0508), (100, 0.03), (300, 0.01)])
def test_rule_of_three(n: int, three: float) -> None:
    """For many candles the bound is near 3/n, and below it."""
    assert 0.94 * three < failure_upper_bound(n) < three


@given(st.integers(1, 10_000))
def test_clopper_pearson(n: int) -> None:
    """SciPy's quantile of the beta distribution gives the same bound for no failure in n."""
    assert failure_upper_bound(n) == pytest.approx(stats.beta.ppf(0.95, 1, n), rel=1e-9)


@given(st.integers(1, 10_000))
def test_more_candles_tighten(n: int) -> None:
    """Another clean candle lowers the bound."""
    assert failure_upper_bound(n + 1) < failure_upper_bound(n)


def test_no_digits_are_lost_for_a_great_many() -> None:
    """A thousand million candles still leave ln(20) in a thousand million, to twelve digits."""
    assert failure_upper_bound(10**9) == pytest.approx(math.log(20.0) / 1e9, rel=2e-9)


@pytest.mark.parametrize("n", [0, -1])
def test_no_candles_no_bound(n: int) -> None:
    """Nothing is known from no candles."""
    with pytest.raises(ValueError, match=rf"^n must be a finite number above 0, not {n}$"):
        failure_upper_bound(n)
