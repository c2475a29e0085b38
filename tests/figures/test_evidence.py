"""What clean candles are worth as evidence."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handbook_builder.figures.evidence import failure_upper_bound, success_run


# Computed from 1 - 0.05^(1/n) and, for the two-sided interval of 95 %, 1 - 0.025^(1/n).
@pytest.mark.parametrize(
    ("n", "one_sided", "two_sided"),
    [
        (3, 0.6316, 0.7076),
        (5, 0.4507, 0.5218),
        (6, 0.3930, 0.4593),
        (10, 0.2589, 0.3085),
        (12, 0.2209, 0.2646),
        (20, 0.1391, 0.1684),
        (30, 0.0950, 0.1157),
        (59, 0.0495, 0.0606),
        (100, 0.0295, 0.0362),
        (300, 0.0099, 0.0122),
    ],
)
def test_no_failures(n: int, one_sided: float, two_sided: float) -> None:
    """The bounds for n clean candles, one-sided by default."""
    assert failure_upper_bound(n) == pytest.approx(one_sided, abs=5.1e-5)
    assert failure_upper_bound(n, 0.975) == pytest.approx(two_sided, abs=5.1e-5)


# The rule of three, 3/n, is an approximation for n of 30 and above; computed.
@pytest.mark.parametrize(("n", "three"), [(30, 0.1), (59, 0.0508), (100, 0.03), (300, 0.01)])
def test_rule_of_three(n: int, three: float) -> None:
    """For many candles the bound is near 3/n, and below it."""
    assert 0.94 * three < failure_upper_bound(n) < three


@given(st.integers(1, 10_000), st.floats(0.01, 0.999))
def test_clopper_pearson(n: int, confidence: float) -> None:
    """SciPy's quantile of the beta distribution gives the same bound for no failure in n."""
    oracle = stats.beta.ppf(confidence, 1, n)
    assert failure_upper_bound(n, confidence) == pytest.approx(oracle, rel=1e-9)


@given(st.integers(1, 10_000), st.floats(0.01, 0.98), st.floats(0.001, 0.01))
def test_more_candles_tighten_more_confidence_loosens(n: int, sure: float, surer: float) -> None:
    """Another clean candle lowers the bound; asking for more confidence raises it."""
    assert failure_upper_bound(n + 1, sure) < failure_upper_bound(n, sure)
    assert failure_upper_bound(n, sure + surer) > failure_upper_bound(n, sure)


def test_no_digits_are_lost_for_a_great_many() -> None:
    """A thousand million candles still leave ln(20) in a thousand million, to twelve digits."""
    assert failure_upper_bound(10**9) == pytest.approx(math.log(20.0) / 1e9, rel=2e-9)


@pytest.mark.parametrize("n", [0, -1])
def test_no_candles_no_bound(n: int) -> None:
    """Nothing is known from no candles."""
    with pytest.raises(ValueError, match=rf"^n must be a finite number above 0, not {n}$"):
        failure_upper_bound(n)


@pytest.mark.parametrize("sure", [0.0, 1.0, -0.5, 1.5, math.nan])
def test_impossible_confidence(sure: float) -> None:
    """Confidence and reliability lie between 0 and 1."""
    says = r" must lie between 0 and 1, both excluded, not "
    with pytest.raises(ValueError, match="^confidence" + says):
        failure_upper_bound(3, sure)
    with pytest.raises(ValueError, match="^confidence" + says):
        success_run(sure, 0.9)
    with pytest.raises(ValueError, match="^reliability" + says):
        success_run(0.9, sure)


# Computed from n = ceil(ln(1 - C) / ln R), the form without a prior.
@pytest.mark.parametrize(
    ("confidence", "runs"),
    [
        (0.80, (8, 10, 16, 32, 161)),
        (0.90, (11, 15, 22, 45, 230)),
        (0.95, (14, 19, 29, 59, 299)),
        (0.99, (21, 29, 44, 90, 459)),
    ],
)
def test_success_run(confidence: float, runs: tuple[int, ...]) -> None:
    """How many clean candles show 80, 85, 90, 95 and 99 % to be good."""
    asked = (0.80, 0.85, 0.90, 0.95, 0.99)
    assert tuple(success_run(confidence, one) for one in asked) == runs


# R^n = 1 - C exactly, so that n is the answer; floats alone often say n + 1.
@pytest.mark.parametrize(
    ("confidence", "reliability", "n"),
    [
        (0.9, 0.1, 1),
        (0.99, 0.1, 2),
        (0.999999, 0.1, 6),
        (0.75, 0.5, 2),
        (0.36, 0.8, 2),
        (0.19, 0.9, 2),
        (0.271, 0.9, 3),
        (0.0199, 0.99, 2),
        (0.001999, 0.999, 2),
        (0.002997001, 0.999, 3),
    ],
)
def test_success_run_at_whole_answers(confidence: float, reliability: float, n: int) -> None:
    """At an exact answer no candle too many is asked for, and a hair above it, one more."""
    assert success_run(confidence, reliability) == n
    assert success_run(confidence + 1e-12, reliability) == n + 1


def test_one_candle_at_least() -> None:
    """Even next to no confidence takes a candle."""
    assert success_run(1e-40, 0.5) == 1
    assert success_run(0.01, 0.5) == 1


@given(st.floats(0.01, 0.999), st.floats(0.01, 0.999))
def test_success_run_is_the_least(confidence: float, reliability: float) -> None:
    """That many candles bound the bad ones below 1 - R, and one fewer do not."""
    n = success_run(confidence, reliability)
    assert failure_upper_bound(n, confidence) <= (1 - reliability) * (1 + 1e-9)
    if n > 1:
        assert failure_upper_bound(n - 1, confidence) >= (1 - reliability) * (1 - 1e-9)
