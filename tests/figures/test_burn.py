"""How fast a candle burns, and how well that is known."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.burn import (
    consumed_g,
    expanded,
    flame_power_w,
    hours_left,
    mean_rate,
    rate_g_per_h,
    rate_uncertainty_g_per_h,
)

MASSES = st.floats(0.0, 1000.0)
HOURS = st.floats(0.1, 12.0)


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
