"""A line through readings: the reference data set, SciPy, and what a handful may foretell."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from handbook_builder.figures.trend import Interval, Trend, trend
from tests.figures.test_line import NORRIS

POINTS = st.lists(
    st.tuples(st.integers(0, 50).map(float), st.integers(-9999, 9999).map(lambda y: y / 100)),
    min_size=3,
    max_size=12,
).filter(lambda points: len({x for x, _ in points}) > 1 and len({y for _, y in points}) > 1)


def fitted(points: list[tuple[float, float]]) -> Trend:
    """Return the line of the points, which must be one."""
    found = trend([x for x, _ in points], [y for _, y in points])
    assert found is not None
    return found


# NIST StRD, Norris: certified slope and intercept with their standard deviations, as SciPy's own
# test has them; the residual standard deviation to the digits that were confirmed.
def test_the_reference_data_set() -> None:
    """Slope, intercept and residuals of Norris to the digits that floats allow."""
    found = fitted(list(NORRIS))
    assert found.slope == pytest.approx(1.00211681802045, rel=1e-13)
    assert found.intercept == pytest.approx(-0.262323073774029, rel=1e-11)
    assert found.slope_se == pytest.approx(0.0004297968482, rel=1e-9)
    assert found.residual_sd == pytest.approx(0.8847963961, rel=1e-9)
    assert found.count == 36


def test_the_interval_of_the_reference_data_set() -> None:
    """The 95 % interval of its slope is the certified slope ± t(0.975, 34) certified deviations.

    t(0.975, 34) = 2.032245 (any table of Student's t).
    """
    slope = fitted(list(NORRIS)).slope_interval(0.95)
    assert slope.low == pytest.approx(1.00211681802045 - 2.032245 * 0.0004297968482, abs=1e-9)
    assert slope.high == pytest.approx(1.00211681802045 + 2.032245 * 0.0004297968482, abs=1e-9)


def test_one_more_at_nothing_of_the_reference_data_set() -> None:
    """At x = 0 one more scatters by the residuals and by the certified error of the intercept.

    0.232818234301152, certified as in SciPy's test to fourteen digits, the last from memory,
    unconfirmed; residuals 0.8847963961; t(0.975, 34) by SciPy.
    """
    more = fitted(list(NORRIS)).one_more(0.0, 0.95)
    t = float(stats.t.ppf(0.975, 34))
    reach = t * math.hypot(0.8847963961, 0.232818234301152)
    assert (more.high - more.low) / 2 == pytest.approx(reach, rel=1e-9)


@settings(deadline=None)
@given(POINTS)
def test_against_scipy(points: list[tuple[float, float]]) -> None:
    """Line and interval as SciPy has them, the prediction interval put together from its parts.

    SciPy works the standard error out from r, which leaves it some 1e-6 on an exact line.
    """
    xs, ys = [x for x, _ in points], [y for _, y in points]
    theirs, ours = stats.linregress(xs, ys), fitted(points)
    t = float(stats.t.ppf(0.975, len(xs) - 2))
    slope = ours.slope_interval(0.95)
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-8, abs=1e-8)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-8, abs=1e-7)
    assert slope.high - slope.low == pytest.approx(2 * t * theirs.stderr, rel=1e-5, abs=1e-4)
    # Var of one more at x: s² + Var(intercept) + x² Var(slope) + 2 x Cov, Cov = -x̄ Var(slope).
    mean, at = sum(xs) / len(xs), 7.0
    left = [y - theirs.intercept - theirs.slope * x for x, y in points]
    s2 = math.fsum(one**2 for one in left) / (len(xs) - 2)
    var = s2 + theirs.intercept_stderr**2 + (at**2 - 2 * at * mean) * theirs.stderr**2
    more = ours.one_more(at, 0.95)
    reach = t * math.sqrt(max(0.0, var))
    assert (more.high - more.low) / 2 == pytest.approx(reach, rel=1e-5, abs=1e-3)
    assert (more.high + more.low) / 2 == pytest.approx(ours.at(at), rel=1e-9, abs=1e-9)


def test_by_hand() -> None:
    """(0, 0), (1, 1), (2, 0), (3, 3): slope 8/10, level -0.2, residual sd √(2.8/2).

    Deviations -1.5, -.5, .5, 1.5 and -1, 0, -1, 2: Σxy = 1.5 + 0 - .5 + 3 = 4, Σx² = 5, slope 0.8;
    Σy² = 6, left 6 - 4²/5 = 2.8, sd √1.4 = 1.183216; se 1.183216/√5 = 0.529150.
    t(0.975, 2) = 4.302653; at 5: 3.8 ± 4.302653 · 1.183216 · √(1 + 1/4 + 3.5²/5) = ± 9.792645.
    """
    found = fitted([(0.0, 0.0), (1.0, 1.0), (2.0, 0.0), (3.0, 3.0)])
    assert (found.slope, found.intercept) == pytest.approx((0.8, -0.2))
    assert (found.mean_x, found.spread_x, found.count) == (1.5, 5.0, 4)
    assert found.slope_se == pytest.approx(0.529150, abs=1e-6)
    reach = 4.302653 * 1.183216 * math.sqrt(1.25 + 12.25 / 5)
    more = found.one_more(5.0, 0.95)
    assert (more.low, more.high) == pytest.approx((3.8 - reach, 3.8 + reach), abs=1e-5)


def test_surer_is_wider() -> None:
    """At 99 % the interval is wider: t(0.995, 2) = 9.924843 against 4.302653 (table)."""
    found = fitted([(0.0, 0.0), (1.0, 1.0), (2.0, 0.0), (3.0, 3.0)])
    slope = found.slope_interval(0.99)
    assert slope == Interval(
        pytest.approx(0.8 - 9.924843 * 0.5291503, abs=1e-5),
        pytest.approx(0.8 + 9.924843 * 0.5291503, abs=1e-5),
    )


@pytest.mark.parametrize(
    ("xs", "ys"), [([], []), ([1.0, 2.0], [1.0, 2.0]), ([3.0, 3.0, 3.0], [1.0, 2.0, 3.0])]
)
def test_no_line(xs: list[float], ys: list[float]) -> None:
    """Two readings, or three at one place, settle no line: nothing is made up."""
    assert trend(xs, ys) is None


def test_three_points_are_a_line() -> None:
    """Three are enough, and an exact line is exact."""
    found = trend([1.0, 2.0, 3.0], [3.0, 5.0, 7.0])
    assert found is not None
    assert found.at(10.0) == pytest.approx(21.0)
    assert found.one_more(10.0, 0.95) == Interval(pytest.approx(21.0), pytest.approx(21.0))


def test_unlike_numbers_of_readings() -> None:
    """A reading without its place is a mistake of the program."""
    with pytest.raises(ValueError, match=r"as many x \(3\) as y \(2\)"):
        trend([1.0, 2.0, 3.0], [1.0, 2.0])
