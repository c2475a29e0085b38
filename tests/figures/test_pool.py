"""The melt pool: how far it reaches, and when it reached the wall."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.pool import (
    coverage,
    hours_to_wall,
    pool_asked_for,
    pool_at,
    rule_of_thumb_h,
)

READINGS = st.lists(
    st.tuples(st.floats(0.1, 1.0), st.floats(0.0, 100.0)), min_size=1, max_size=6
).map(lambda steps: [(sum(h for h, _ in steps[: at + 1]), mm) for at, (_, mm) in enumerate(steps)])


def test_coverage() -> None:
    """A pool of 57 mm in a vessel of 76 mm covers three quarters of its width."""
    assert coverage(57.0, 76.0) == 0.75
    assert coverage(0.0, 76.0) == 0.0


def test_impossible_coverage() -> None:
    """A pool of less than nothing, and a vessel without width, are mistakes."""
    with pytest.raises(ValueError, match=r"^pool_mm must be"):
        coverage(-1.0, 76.0)
    with pytest.raises(ValueError, match=r"^inside_diameter_mm must be"):
        coverage(1.0, 0.0)


def test_between_two_readings() -> None:
    """From 50 mm at 2 h to 80 mm at 4 h, 76 mm (95 % of 80) came at 3 h 44 min."""
    readings = [(1.0, 30.0), (2.0, 50.0), (4.0, 80.0)]
    assert hours_to_wall(readings, 80.0) == pytest.approx(2.0 + 2.0 * 26.0 / 30.0, rel=1e-9)


def test_the_protocol_says_what_full_is() -> None:
    """With the wall itself as full, 80 mm is reached at the last reading, and not before."""
    readings = [(2.0, 50.0), (4.0, 80.0)]
    assert hours_to_wall(readings, 80.0, full=1.0) == pytest.approx(4.0, rel=1e-9)
    assert hours_to_wall(readings, 80.0, full=0.75) == pytest.approx(2.0 + 2.0 / 3.0, rel=1e-9)


def test_never_beyond_the_readings() -> None:
    """A pool that has not come to the wall is not said to, however near it is."""
    assert hours_to_wall([(2.0, 50.0), (4.0, 75.9)], 80.0) is None


def test_never_before_the_readings() -> None:
    """A pool already at the wall at the first reading came there nobody knows when."""
    assert hours_to_wall([(2.0, 76.0), (4.0, 80.0)], 80.0) is None


@pytest.mark.parametrize("readings", [[], [(4.0, 80.0)]])
def test_too_few_readings(readings: list[tuple[float, float]]) -> None:
    """Nothing lies between fewer than two readings."""
    assert hours_to_wall(readings, 80.0) is None


def test_the_first_time_counts() -> None:
    """A pool that shrinks and comes back reached the wall when it first did."""
    readings = [(1.0, 70.0), (2.0, 80.0), (3.0, 70.0), (4.0, 80.0)]
    assert hours_to_wall(readings, 80.0) == pytest.approx(1.6, rel=1e-9)


def test_the_wall_is_not_missed_by_the_noise_of_floats() -> None:
    """1.1 x 50 is a hair above 55 in floats; a pool of 55 mm is there all the same."""
    assert 1.1 * 50.0 > 55.0
    assert hours_to_wall([(1.0, 5.0), (3.0, 55.0)], 50.0, full=1.1) == pytest.approx(3.0, rel=1e-9)


def test_just_at_the_wall_is_at_the_wall() -> None:
    """The last bit of noise forgiven is at the wall: a last reading there counts, a first not."""
    just_there = 0.95 * 80.0 - 1e-9
    assert hours_to_wall([(2.0, 50.0), (4.0, just_there)], 80.0) == 4.0
    assert hours_to_wall([(2.0, just_there), (4.0, 80.0)], 80.0) is None


def test_only_noise_is_forgiven() -> None:
    """A tenth of a micrometre short of the wall is short of it."""
    assert hours_to_wall([(1.0, 5.0), (3.0, 76.0 - 1e-7)], 80.0) is None


@pytest.mark.parametrize("readings", [[(2.0, 10.0), (1.0, 80.0)], [(2.0, 10.0), (2.0, 80.0)]])
def test_readings_out_of_order(readings: list[tuple[float, float]]) -> None:
    """Readings that are not sorted, or two at one hour, are a mistake."""
    with pytest.raises(
        ValueError, match=r"^readings must be sorted by hour, not 2.0 before [12].0"
    ):
        hours_to_wall(readings, 80.0)


def test_impossible_wall() -> None:
    """A vessel without width, and a wall at nothing, are mistakes."""
    with pytest.raises(ValueError, match=r"^inside_diameter_mm must be"):
        hours_to_wall([], 0.0)
    with pytest.raises(ValueError, match=r"^full must be"):
        hours_to_wall([], 80.0, full=0.0)


@given(READINGS, st.floats(20.0, 120.0), st.floats(0.5, 1.0))
def test_always_between_a_reading_short_and_one_not(
    readings: list[tuple[float, float]], diameter: float, full: float
) -> None:
    """The hour lies within the readings, after one that is short of the wall."""
    found = hours_to_wall(readings, diameter, full)
    wall = full * diameter - 1e-9
    crossed = [b for a, b in pairwise(readings) if a[1] < wall <= b[1]]
    assert (found is None) == (not crossed)
    if found is not None:
        at = readings.index(crossed[0])
        assert readings[at - 1][0] <= found <= readings[at][0] + 1e-9


@given(READINGS, st.floats(20.0, 120.0), st.floats(0.5, 0.9), st.floats(0.0, 0.1))
def test_a_farther_wall_is_reached_later(
    readings: list[tuple[float, float]], diameter: float, full: float, more: float
) -> None:
    """While the pool grows, asking for more coverage never makes it earlier."""
    growing = sorted(mm for _, mm in readings)
    grown = [(hour, mm) for (hour, _), mm in zip(readings, growing, strict=True)]
    near, far = hours_to_wall(grown, diameter, full), hours_to_wall(grown, diameter, full + more)
    if near is not None and far is not None:
        assert far >= near - 1e-9


def test_rule_of_thumb() -> None:
    """One hour an inch: common practice, no published source. 76.2 mm are 3 in exactly."""
    assert rule_of_thumb_h(76.2) == pytest.approx(3.0, rel=1e-15)
    with pytest.raises(ValueError, match=r"^inside_diameter_mm must be"):
        rule_of_thumb_h(-math.inf)


def test_how_wide_a_share_is() -> None:
    """95 % of 72.75 mm is 69.1125 mm, told as 69.2 mm: no limit is told too low."""
    assert pool_at(0.95, 72.75) == pytest.approx(69.1125)
    assert pool_asked_for(0.95, 72.75) == 69.2
    assert pool_asked_for(1.0, 72.0) == 72.0
