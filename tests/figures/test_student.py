"""Student's t: against SciPy, closed forms, and the factors that inspection rules rest on."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t as scipy_t

from handbook_builder.figures.student import _distance, t_quantile

# A first quantile takes milliseconds; on a busy machine Hypothesis' own limit of time is chance.
unhurried = settings(deadline=None)


@pytest.fixture(autouse=True)
def _reckoned_anew() -> None:
    """Forget earlier answers: a remembered one would hide a function that went wrong since."""
    _distance.cache_clear()


def test_remembered() -> None:
    """The same quantile, of either tail, is worked out once."""
    assert t_quantile(0.75, 3) == t_quantile(0.75, 3) == -t_quantile(0.25, 3)
    assert (_distance.cache_info().misses, _distance.cache_info().hits) == (1, 2)


CHANCES = (1e-9, 1e-6, 1e-3, 0.005, 0.025, 0.05, 0.1, 0.3, 0.45, 0.55, 0.75, 0.9, 0.975, 0.995)
DEGREES = (1, 1.5, 2, 3, 4, 5, 6, 7, 9, 11, 19, 23, 29, 47, 49, 99, 159, 499, 999, 2999, 10_000)


@pytest.mark.parametrize("df", DEGREES)
@pytest.mark.parametrize("p", [*CHANCES, 0.999, 1 - 1e-6, 1 - 1e-9])
def test_against_scipy(p: float, df: float) -> None:
    """The same as SciPy to 1e-10 relative, far out and with many degrees of freedom too."""
    assert t_quantile(p, df) == pytest.approx(float(scipy_t.ppf(p, df)), rel=1e-10, abs=1e-15)


@unhurried
@given(st.floats(1e-9, 1 - 1e-9), st.floats(1, 10_000))
def test_against_scipy_anywhere(p: float, df: float) -> None:
    """The chance that SciPy gives for our quantile is the chance asked for."""
    assert float(scipy_t.cdf(t_quantile(p, df), df)) == pytest.approx(p, rel=1e-9)


@unhurried
@given(st.floats(1e-9, 1 - 1e-9))
def test_against_closed_forms(p: float) -> None:
    """With df 1, tan(pi (p - 1/2)), the Cauchy distribution; 2: (2p - 1) / sqrt(2 p (1 - p))."""
    two = (2 * p - 1) / math.sqrt(2 * p * (1 - p))
    # The tangent is taken of the smaller tail: near 90 degrees it would lose its digits.
    tail = min(p, 1 - p)
    one = math.copysign(1 / math.tan(math.pi * tail), p - 0.5)
    assert t_quantile(p, 2) == pytest.approx(two, rel=1e-10, abs=1e-15)
    assert t_quantile(p, 1) == pytest.approx(one, rel=1e-10, abs=2e-15)


def _chance_within(t: float, df: int) -> float:
    """Return P(|T| < t) for an even df, by its finite sum.

    Abramowitz and Stegun 1964, 26.7.4 (number from memory).
    """
    angle = math.atan(t / math.sqrt(df))
    term, total = 1.0, 1.0
    for k in range(1, df // 2):
        term *= (2 * k - 1) / (2 * k) * math.cos(angle) ** 2
        total += term
    return math.sin(angle) * total


@pytest.mark.parametrize("df", [2, 4, 6, 10, 30, 100])
def test_against_a_finite_sum(df: int) -> None:
    """Nineteen in twenty fall within the two-sided 95 % quantile, by another formula."""
    assert _chance_within(t_quantile(0.975, df), df) == pytest.approx(0.95, rel=1e-13)


SAMPLE_FACTORS = {
    2: 8.9846, 3: 2.4841, 4: 1.5912, 5: 1.2417, 6: 1.0494, 7: 0.9248, 8: 0.8360, 9: 0.7687,
    10: 0.7154, 11: 0.6718, 12: 0.6354, 24: 0.4223, 48: 0.2904,
}  # fmt: skip


@pytest.mark.parametrize(("n", "factor"), SAMPLE_FACTORS.items())
def test_sample_correction_factors(n: int, factor: float) -> None:
    """t(0.975, n - 1) / sqrt(n), computed from the formula, not published."""
    assert round(t_quantile(0.975, n - 1) / math.sqrt(n), 4) == factor


@pytest.mark.parametrize(
    ("n", "printed", "digits"), [(20, 0.640, 0.6397), (30, 0.503, 0.5032), (50, 0.379, 0.3790)]
)
def test_factors_of_the_mean_check(n: int, printed: float, digits: float) -> None:
    """The printed k of Directive 76/211/EEC, Annex II 2.3, is t(0.995, n - 1) / sqrt(n).

    The four-digit values are computed from that formula.
    """
    factor = t_quantile(0.995, n - 1) / math.sqrt(n)
    assert round(factor, 3) == printed
    assert round(factor, 4) == digits


def test_the_median() -> None:
    """Half fall below 0, exactly."""
    assert t_quantile(0.5, 3) == 0.0


@unhurried
@given(st.floats(0.01, 0.49), st.integers(1, 200))
def test_both_sides_alike(tail: float, df: int) -> None:
    """The distribution is symmetric."""
    assert t_quantile(1 - tail, df) == pytest.approx(-t_quantile(tail, df), rel=1e-12)


@unhurried
@given(st.floats(0.5, 0.999), st.integers(1, 200))
def test_more_certain_is_wider(p: float, df: int) -> None:
    """A larger chance needs a longer reach, and a larger sample a shorter one."""
    assert t_quantile(p + 1e-4, df) > t_quantile(p, df) >= t_quantile(p, df + 1)


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, 1.1, 9.9e-10, 1 - 9.9e-10, math.nan, math.inf])
def test_no_such_chance(p: float) -> None:
    """What is no chance, or too close to certainty, is refused."""
    with pytest.raises(ValueError) as told:  # noqa: PT011 -- the whole message is compared
        t_quantile(p, 3)
    assert str(told.value) == f"a chance of {p} is not between 1e-9 and 1 - 1e-9"


@pytest.mark.parametrize("df", [0, 0.99, -1, 10_000.1, math.nan, math.inf])
def test_no_such_degrees(df: float) -> None:
    """Degrees of freedom outside the tested range are refused."""
    with pytest.raises(ValueError) as told:  # noqa: PT011 -- the whole message is compared
        t_quantile(0.975, df)
    assert str(told.value) == f"{df} degrees of freedom are not between 1 and 10000"


# Mutants of student.py that no test can kill, as mutation testing last left them:
# - `square >= _FAR_OUT` for `>` in `_two_sided_tail`: they differ at t * t == 3.0 alone, which no
#   float reaches. 1.7320508075688772 squared is 2.9999999999999996, and its upper neighbour
#   1.7320508075688774 squared is 3.0000000000000004; rounding is monotone, so no other can.
# - `>= outside` for `>` in `_halve`: they differ only where the tail at `middle` is `outside` to
#   the last bit, and then `middle` is an answer. The one returns the least such float, the other
#   the greatest; all of them are within the promised accuracy, and none is more right.
