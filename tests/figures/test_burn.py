"""How fast a candle burns, how well that is known, and the line of its life."""

import math
import statistics
from dataclasses import FrozenInstanceError
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handbook_builder.figures.burn import (
    consumed_g,
    expanded,
    flame_power_w,
    hours_left,
    mass_slope,
    mean_rate,
    rate_g_per_h,
    rate_uncertainty_g_per_h,
)

MASSES = st.floats(0.0, 1000.0)
HOURS = st.floats(0.1, 12.0)

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


def test_consumed() -> None:
    """What is gone from the scale was burned; a candle that grew heavier comes out negative."""
    assert consumed_g(512.6, 489.9) == pytest.approx(22.7, rel=1e-12)
    assert consumed_g(489.9, 512.6) == pytest.approx(-22.7, rel=1e-12)
    assert consumed_g(0.0, 0.0) == 0.0


@pytest.mark.parametrize("odd", [-0.1, math.nan, math.inf])
def test_impossible_readings(odd: float) -> None:
    """A scale shows no negative and no endless mass."""
    with pytest.raises(ValueError, match=r"^before_g must be a finite number, 0 or above"):
        consumed_g(odd, 1.0)
    with pytest.raises(ValueError, match=r"^after_g must be a finite number, 0 or above"):
        consumed_g(1.0, odd)


# 0.105 g/min for a candle of 2 cm: Hamins, Bundy and Dillon 2005, J. Fire Prot. Eng. 15(4),
# 265-285, as a reader of it reports; 6.3 g/h is computed from it. Pillar candles in a chamber:
# 4.7 to 7.1 g/h in the stable phase (abstract of "Emissions of ultrafine particles from five
# types of candles during steady burn conditions").
def test_rate() -> None:
    """0.105 g in a minute are 6.3 g/h, among the rates that a chamber study measured."""
    rate = rate_g_per_h(0.105, 1 / 60)
    assert rate == pytest.approx(6.3, rel=1e-14)
    assert 4.7 <= rate <= 7.1


def test_no_time_no_rate() -> None:
    """Nothing burns at a rate in no time."""
    with pytest.raises(ValueError, match=r"^burned_h must be a finite number above 0, not 0.0$"):
        rate_g_per_h(1.0, 0.0)


# Rectangular distributions, JCGM 100:2008; the figures are computed by hand from d/√6 = 0.0408248
# g and 1 min/√12 = 0.00481125 h. For 22.7 g in 4 h: 0.0408248/4 = 0.0102062 and
# 22.7 x 0.00481125/16 = 0.00682596, together 0.0122784.
def test_uncertainty_by_hand() -> None:
    """The mass alone, the duration alone, and both together for a usual cycle."""
    assert rate_uncertainty_g_per_h(0.0, 4.0, 0.1) == pytest.approx(0.0102062, rel=1e-5)
    assert rate_uncertainty_g_per_h(22.7, 4.0, 1e-12) == pytest.approx(0.00682596, rel=1e-5)
    assert rate_uncertainty_g_per_h(22.7, 4.0, 0.1) == pytest.approx(0.0122784, rel=1e-5)


@given(st.floats(1.0, 100.0), HOURS, st.floats(0.001, 1.0))
def test_uncertainty_is_the_propagated_one(mass: float, hours: float, step: float) -> None:
    """Partial derivatives taken by differences give the same sum of squares (JCGM 100:2008)."""
    nudge = 1e-6
    by_mass = rate_g_per_h(mass + nudge, hours) - rate_g_per_h(mass - nudge, hours)
    by_time = rate_g_per_h(mass, hours + nudge) - rate_g_per_h(mass, hours - nudge)
    parts = by_mass / 2e-6 * step / math.sqrt(6), by_time / 2e-6 / 60 / math.sqrt(12)
    found = rate_uncertainty_g_per_h(mass, hours, step)
    assert found == pytest.approx(math.sqrt(parts[0] ** 2 + parts[1] ** 2), rel=1e-5)


@given(MASSES, HOURS, st.floats(0.001, 1.0), st.floats(1.01, 3.0))
def test_uncertainty_falls_with_time_and_rises_with_the_step(
    mass: float, hours: float, step: float, times: float
) -> None:
    """A longer cycle is known better, a coarser scale worse; a loss and a gain are known alike."""
    known = rate_uncertainty_g_per_h(mass, hours, step)
    assert rate_uncertainty_g_per_h(mass, hours * times, step) < known
    assert rate_uncertainty_g_per_h(mass, hours, step * times) >= known
    assert rate_uncertainty_g_per_h(-mass, hours, step) == known


def test_impossible_uncertainty() -> None:
    """A scale without a step, and no time, are mistakes."""
    with pytest.raises(ValueError, match=r"^readability_g must be"):
        rate_uncertainty_g_per_h(1.0, 4.0, 0.0)
    with pytest.raises(ValueError, match=r"^burned_h must be"):
        rate_uncertainty_g_per_h(1.0, 0.0, 0.1)


def test_expanded() -> None:
    """The coverage factor is k = 2 (JCGM 100:2008)."""
    assert expanded(0.25) == 0.5
    assert expanded(0.0) == 0.0
    with pytest.raises(ValueError, match=r"^uncertainty must be"):
        expanded(-0.25)


def test_mean_rate() -> None:
    """Cycles count by their length: 24 g in 4 h and 4 g in 1 h are 5.6 g/h, not 5."""
    assert mean_rate([24.0, 4.0], [4.0, 1.0]) == pytest.approx(5.6, rel=1e-15)


@given(st.lists(st.tuples(MASSES, HOURS), min_size=1, max_size=8))
def test_mean_rate_is_between(cycles: list[tuple[float, float]]) -> None:
    """The mean lies between the slowest and the fastest cycle."""
    each = [rate_g_per_h(mass, hours) for mass, hours in cycles]
    mean = mean_rate([mass for mass, _ in cycles], [hours for _, hours in cycles])
    assert min(each) * (1 - 1e-12) <= mean <= max(each) * (1 + 1e-12)


def test_impossible_mean_rate() -> None:
    """Masses without hours, and no cycles at all, have no mean rate."""
    with pytest.raises(ValueError, match=r"^2 masses for 1 durations$"):
        mean_rate([1.0, 2.0], [4.0])
    with pytest.raises(ValueError, match=r"^burned_h must be"):
        mean_rate([], [])


def test_norris() -> None:
    """The certified values of the Norris data set, to the digits that floats allow.

    The slope's standard error is certified as in SciPy's test to ten digits; the digits beyond
    are from memory, unconfirmed, and so are those of the residual standard deviation beyond
    0.8847963961, which was recomputed. R² is 1 less the squares left over those of the masses.
    """
    line = mass_slope([x for x, _ in NORRIS], [y for _, y in NORRIS])
    assert line.slope_g_per_h == pytest.approx(1.00211681802045, rel=1e-14)
    assert line.intercept_g == pytest.approx(-0.262323073774029, rel=2e-13)
    assert line.slope_se_g_per_h == pytest.approx(0.0004297968482, rel=1e-10)
    assert line.slope_se_g_per_h == pytest.approx(0.429796848199937e-3, rel=1e-14)
    assert line.residual_sd_g == pytest.approx(0.884796396144373, rel=1e-14)
    off = [y - math.fsum(y for _, y in NORRIS) / 36 for _, y in NORRIS]
    left = 34 * line.residual_sd_g**2
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
    line, oracle = mass_slope(hours, mass), stats.linregress(hours, mass)
    steepest = statistics.pstdev(mass) / statistics.pstdev(hours)
    far = max(hours) + 1
    near, tall = 1e-9 * steepest, 1e-9 * (steepest * far + max(mass))
    assert line.slope_g_per_h == pytest.approx(oracle.slope, abs=near)
    assert line.intercept_g == pytest.approx(oracle.intercept, abs=tall)
    assert line.slope_se_g_per_h**2 == pytest.approx(oracle.stderr**2, abs=near * steepest)


@given(POINTS.filter(lambda points: len({x for x, _ in points}) > 1), st.integers(0, 10**6))
def test_heavy_vessels_cost_no_digits(points: list[tuple[int, int]], heavier: int) -> None:
    """A vessel of a tonne under the candle changes the intercept only (exact sums as oracle)."""
    hours, mass = [float(x) for x, _ in points], [float(y) for _, y in points]
    line = mass_slope(hours, [one + heavier for one in mass])
    n, sx, sy = len(points), sum(x for x, _ in points), sum(y for _, y in points)
    sxx, sxy = sum(x * x for x, _ in points), sum(x * y for x, y in points)
    slope = Fraction(n * sxy - sx * sy, n * sxx - sx * sx)
    assert line.slope_g_per_h == pytest.approx(float(slope), rel=1e-9, abs=1e-9)
    exact = float((sy - slope * sx) / n + heavier)
    assert line.intercept_g == pytest.approx(exact, rel=1e-9, abs=1e-6)


def test_a_perfect_line() -> None:
    """A candle that loses 6 g every hour, from 200 g, is explained wholly."""
    line = mass_slope([0.0, 4.0, 8.0, 12.0], [200.0, 176.0, 152.0, 128.0])
    assert line.slope_g_per_h == -6.0
    assert line.intercept_g == 200.0
    assert line.residual_sd_g == line.slope_se_g_per_h == 0.0


def test_three_points_by_hand() -> None:
    """(0, 0), (1, 1), (2, 0): slope 0 about 1/3, residual √(2/3); worked by hand.

    The slope's standard error: √(2/3)/√2 = 1/√3.
    """
    line = mass_slope([0.0, 1.0, 2.0], [0.0, 1.0, 0.0])
    assert line.slope_g_per_h == pytest.approx(0.0, abs=1e-16)
    assert line.intercept_g == pytest.approx(1 / 3, rel=1e-15)
    assert line.residual_sd_g == pytest.approx(math.sqrt(2 / 3), rel=1e-15)
    assert line.slope_se_g_per_h == pytest.approx(1 / math.sqrt(3), rel=1e-15)


def test_a_line_stays_as_it_was_drawn() -> None:
    """A line's figures belong together: none can be changed alone."""
    line = mass_slope([0.0, 1.0, 2.0], [0.0, 1.0, 0.0])
    with pytest.raises(FrozenInstanceError):
        line.slope_g_per_h = -6.0  # type: ignore[misc]


@pytest.mark.parametrize("mass", [200.0, 0.1])
def test_nothing_burned(mass: float) -> None:
    """Masses all the same have a level line."""
    line = mass_slope([0.0, 4.0, 8.0], [mass] * 3)
    assert line.slope_g_per_h == pytest.approx(0.0, abs=1e-15)
    assert line.intercept_g == pytest.approx(mass, rel=1e-15)


@pytest.mark.parametrize(("hours", "masses"), [(2, 2), (3, 2), (2, 3), (4, 3), (0, 0)])
def test_too_few_points(hours: int, masses: int) -> None:
    """A line needs three points, each with an hour and a mass."""
    says = rf"^a line needs three points or more, as many hours \({hours}\) as masses \({masses}\)$"
    with pytest.raises(ValueError, match=says):
        mass_slope([float(x) for x in range(hours)], [1.0] * masses)


@pytest.mark.parametrize("hour", [4.0, 0.1])
def test_points_at_one_hour(hour: float) -> None:
    """Three weighings at one hour draw no line, though the mean of three 0.1 is not 0.1."""
    says = rf"^a line needs weighings at different hours, not all at {hour} h$"
    with pytest.raises(ValueError, match=says):
        mass_slope([hour] * 3, [1.0, 2.0, 3.0])


def test_hours_left() -> None:
    """100 g to go at 4, 5 and 6 g/h in the last three cycles last 20 h."""
    assert hours_left(118.0, 18.0, [4.0, 5.0, 6.0]) == pytest.approx(20.0, rel=1e-15)


def test_no_hours_left() -> None:
    """A candle at or below the mass at which it goes out has none left, never less."""
    assert hours_left(18.0, 18.0, [5.0]) == 0.0
    assert hours_left(17.0, 18.0, [5.0]) == 0.0


@pytest.mark.parametrize("rates", [[0.0], [5.0, -5.0], [-1.0]])
def test_hours_left_without_burning(rates: list[float]) -> None:
    """A candle that does not burn goes on for ever: no figure is made up."""
    with pytest.raises(ValueError, match=r"^the mean of the last rates must be"):
        hours_left(100.0, 18.0, rates)


def test_hours_left_without_rates() -> None:
    """Without a cycle nothing is foretold."""
    with pytest.raises(ValueError, match=r"^hours left need a rate$"):
        hours_left(100.0, 18.0, [])


@given(st.floats(20.0, 500.0), st.lists(st.floats(1.0, 10.0), min_size=1, max_size=3))
def test_hours_left_burn_what_is_left(mass: float, rates: list[float]) -> None:
    """The hours left, at the mean rate, burn down to the mass at the end."""
    hours = hours_left(mass, 18.0, rates)
    assert hours * sum(rates) / len(rates) == pytest.approx(mass - 18.0, rel=1e-9, abs=1e-9)


# About 80 W at 0.105 g/min: Hamins, Bundy and Dillon 2005, J. Fire Prot. Eng. 15(4), 265-285, as a
# reader of it reports. 43 kJ/g lies in the 42 to 46 kJ/g given for paraffin. 75.25 is computed.
def test_flame_power() -> None:
    """6.3 g/h give 75.25 W at 43 kJ/g, within a tenth of the published 80 W."""
    assert flame_power_w(6.3) == pytest.approx(75.25, rel=1e-15)
    assert flame_power_w(6.3) == pytest.approx(80.0, rel=0.1)
    assert flame_power_w(0.0) == 0.0
    with pytest.raises(ValueError, match=r"^rate_g_per_h must be"):
        flame_power_w(-1.0)
