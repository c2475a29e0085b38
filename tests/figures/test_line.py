"""A straight line by least squares, against a reference data set, SciPy, exact sums and by hand."""

import math
import statistics
from dataclasses import FrozenInstanceError
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handbook_builder.figures.line import least_squares

# NIST StRD, data set Norris: data as in SciPy's and GSL's own tests, certified values as in
# SciPy's test and a GAMS test.
NORRIS = (
    (0.2, 0.1), (337.4, 338.8), (118.2, 118.1), (884.6, 888.0), (10.1, 9.2), (226.5, 228.1),
    (666.3, 668.5), (996.3, 998.5), (448.6, 449.1), (777.0, 778.9), (558.2, 559.2), (0.4, 0.3),
    (0.6, 0.1), (775.5, 778.1), (666.9, 668.8), (338.0, 339.3), (447.5, 448.9), (11.6, 10.8),
    (556.0, 557.7), (228.1, 228.3), (995.8, 998.0), (887.6, 888.8), (120.2, 119.6), (0.3, 0.3),
    (0.3, 0.6), (556.8, 557.6), (339.1, 339.3), (887.2, 888.0), (999.0, 998.5), (779.0, 778.9),
    (11.1, 10.2), (118.3, 117.6), (229.2, 228.9), (669.1, 668.4), (448.9, 449.2), (0.5, 0.2),
)  # fmt: skip


def test_norris() -> None:
    """The certified values of the Norris data set, to the digits that floats allow.

    The slope's standard error is certified as in SciPy's test to ten digits; the digits beyond
    are from memory, unconfirmed, and so are those of the residual standard deviation beyond
    0.8847963961, which was recomputed. R² is 1 less the squares left over those of the masses.
    """
    line = least_squares([x for x, _ in NORRIS], [y for _, y in NORRIS])
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-14)
    assert line.intercept == pytest.approx(-0.262323073774029, rel=2e-13)
    assert line.slope_se == pytest.approx(0.0004297968482, rel=1e-10)
    assert line.slope_se == pytest.approx(0.429796848199937e-3, rel=1e-14)
    assert line.residual_sd == pytest.approx(0.884796396144373, rel=1e-14)
    off = [y - math.fsum(y for _, y in NORRIS) / 36 for _, y in NORRIS]
    left = 34 * line.residual_sd**2
    assert 1 - left / math.fsum(y * y for y in off) == pytest.approx(0.999993745883712, rel=1e-15)


POINTS = st.lists(st.tuples(st.integers(0, 2000), st.integers(0, 20000)), min_size=3, max_size=30)


def varied(points: list[tuple[int, int]]) -> bool:
    """Return whether neither the hours nor the masses are all the same."""
    return len({x for x, _ in points}) > 1 and len({y for _, y in points}) > 1


@given(POINTS.filter(varied))
def test_line_agrees_with_scipy(points: list[tuple[int, int]]) -> None:
    """SciPy's regression gives the same line with the same errors.

    SciPy works its errors from 1 - r², so squares are compared, to the digits that this leaves.
    """
    hours, mass = [x / 10 for x, _ in points], [y / 10 for _, y in points]
    line, oracle = least_squares(hours, mass), stats.linregress(hours, mass)
    steepest = statistics.pstdev(mass) / statistics.pstdev(hours)
    far = max(hours) + 1
    near, tall = 1e-9 * steepest, 1e-9 * (steepest * far + max(mass))
    assert line.slope == pytest.approx(oracle.slope, abs=near)
    assert line.intercept == pytest.approx(oracle.intercept, abs=tall)
    assert line.slope_se**2 == pytest.approx(oracle.stderr**2, abs=near * steepest)


@given(POINTS.filter(lambda points: len({x for x, _ in points}) > 1), st.integers(0, 10**6))
def test_heavy_vessels_cost_no_digits(points: list[tuple[int, int]], heavier: int) -> None:
    """A vessel of a tonne under the candle changes the intercept only (exact sums as oracle)."""
    hours, mass = [float(x) for x, _ in points], [float(y) for _, y in points]
    line = least_squares(hours, [one + heavier for one in mass])
    n, sx, sy = len(points), sum(x for x, _ in points), sum(y for _, y in points)
    sxx, sxy = sum(x * x for x, _ in points), sum(x * y for x, y in points)
    slope = Fraction(n * sxy - sx * sy, n * sxx - sx * sx)
    assert line.slope == pytest.approx(float(slope), rel=1e-9, abs=1e-9)
    exact = float((sy - slope * sx) / n + heavier)
    assert line.intercept == pytest.approx(exact, rel=1e-9, abs=1e-6)


def test_a_perfect_line() -> None:
    """A candle that loses 6 g every hour, from 200 g, is explained wholly."""
    line = least_squares([0.0, 4.0, 8.0, 12.0], [200.0, 176.0, 152.0, 128.0])
    assert line.slope == -6.0
    assert line.intercept == 200.0
    assert line.residual_sd == line.slope_se == 0.0


def test_three_points_by_hand() -> None:
    """(0, 0), (1, 1), (2, 0): slope 0 about 1/3, residual √(2/3); worked by hand.

    The slope's standard error: √(2/3)/√2 = 1/√3.
    """
    line = least_squares([0.0, 1.0, 2.0], [0.0, 1.0, 0.0])
    assert line.slope == pytest.approx(0.0, abs=1e-16)
    assert line.intercept == pytest.approx(1 / 3, rel=1e-15)
    assert line.residual_sd == pytest.approx(math.sqrt(2 / 3), rel=1e-15)
    assert line.slope_se == pytest.approx(1 / math.sqrt(3), rel=1e-15)


def test_a_line_stays_as_it_was_drawn() -> None:
    """A line's figures belong together: none can be changed alone."""
    line = least_squares([0.0, 1.0, 2.0], [0.0, 1.0, 0.0])
    with pytest.raises(FrozenInstanceError):
        line.slope = -6.0  # type: ignore[misc]


@pytest.mark.parametrize("mass", [200.0, 0.1])
def test_nothing_burned(mass: float) -> None:
    """Masses all the same have a level line."""
    line = least_squares([0.0, 4.0, 8.0], [mass] * 3)
    assert line.slope == pytest.approx(0.0, abs=1e-15)
    assert line.intercept == pytest.approx(mass, rel=1e-15)


@pytest.mark.parametrize(("hours", "masses"), [(2, 2), (3, 2), (2, 3), (4, 3), (0, 0)])
def test_too_few_points(hours: int, masses: int) -> None:
    """A line needs three points, each with an hour and a mass."""
    says = rf"^a line needs three points or more, as many x \({hours}\) as y \({masses}\)$"
    with pytest.raises(ValueError, match=says):
        least_squares([float(x) for x in range(hours)], [1.0] * masses)


@pytest.mark.parametrize("hour", [4.0, 0.1])
def test_points_at_one_hour(hour: float) -> None:
    """Three weighings at one hour draw no line, though the mean of three 0.1 is not 0.1."""
    says = rf"^a line needs points that differ in x, not all at {hour}$"
    with pytest.raises(ValueError, match=says):
        least_squares([hour] * 3, [1.0, 2.0, 3.0])
