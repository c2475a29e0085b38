"""How many cycles a life takes, and the day of the last one; every day counted by hand."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.schedule import (
    cycles_a_day,
    cycles_for,
    last_cycle_on,
    starts_from,
)

FRIDAY = date(2026, 5, 1)


@pytest.mark.parametrize(
    ("hours", "cycles"),
    [(0.0, 1), (0.5, 1), (4.0, 1), (4.01, 2), (8.0, 2), (33.9, 9), (36.0, 9), (36.1, 10)],
)
def test_cycles_for(hours: float, cycles: int) -> None:
    """Whole cycles of 4 h, the last one short; a candle at its end needs one more to go out."""
    assert cycles_for(hours, 4.0) == cycles


def test_a_hair_over_is_no_cycle_more() -> None:
    """2 ms over three cycles are float noise; 7 ms over are a fourth."""
    assert cycles_for(12.0 + 0.5e-6, 4.0) == 3
    assert cycles_for(12.0 + 2e-6, 4.0) == 4


def test_cycles_need_durations() -> None:
    """Less than nothing left, or a cycle of no length, is a mistake."""
    with pytest.raises(ValueError, match=r"^hours_h must be"):
        cycles_for(-0.1, 4.0)
    with pytest.raises(ValueError, match=r"^cycle_h must be"):
        cycles_for(1.0, 0.0)


@pytest.mark.parametrize(
    ("habit", "cycle_h", "rest_h", "fits"),
    [
        (1, 4.0, 1.0, 1),
        (2, 4.0, 1.0, 2),
        (9, 4.0, 1.0, 4),  # 4 x 5 h = 20 h; a fifth would end at 25 h
        (9, 4.0, 2.0, 4),  # 4 x 6 h = 24 h, exactly
        (9, 4.0, 0.0, 6),
        (9, 4.0, 22.0, 1),  # another day counts as rested
    ],
)
def test_cycles_a_day(habit: int, cycle_h: float, rest_h: float, fits: int) -> None:
    """The studio's habit, and no more than a day of 24 h holds with the rests."""
    assert cycles_a_day(habit, cycle_h, rest_h) == fits


def test_a_day_needs_durations() -> None:
    """A cycle of no length, or a rest of less than nothing, is a mistake."""
    with pytest.raises(ValueError, match=r"^cycle_h must be"):
        cycles_a_day(1, 0.0, 1.0)
    with pytest.raises(ValueError, match=r"^rest_h must be"):
        cycles_a_day(1, 4.0, -1.0)


@pytest.mark.parametrize(
    ("cycles", "per_day", "on_first", "last"),
    [
        (1, 1, 1, date(2026, 5, 1)),
        (2, 1, 1, date(2026, 5, 2)),
        (9, 1, 1, date(2026, 5, 9)),
        (2, 2, 2, date(2026, 5, 1)),
        (3, 2, 2, date(2026, 5, 2)),
        (3, 2, 1, date(2026, 5, 2)),  # one today, two tomorrow
        (4, 2, 1, date(2026, 5, 3)),
        (1, 2, 2, date(2026, 5, 1)),
    ],
)
def test_last_cycle_on(cycles: int, per_day: int, on_first: int, last: date) -> None:
    """Counted on the fingers from Friday, 1 May 2026."""
    assert last_cycle_on(FRIDAY, cycles, per_day, on_first) == last


@pytest.mark.parametrize("counts", [(0, 1, 1), (1, 0, 1), (1, 1, 0)])
def test_nothing_to_count(counts: tuple[int, int, int]) -> None:
    """No cycle, or a day that takes none, has no last day."""
    says = rf"^{counts[0]} cycles, {counts[1]} a day, {counts[2]} on the first day: each must be 1"
    with pytest.raises(ValueError, match=says + r" or up$"):
        last_cycle_on(FRIDAY, *counts)


def test_beyond_the_calendar() -> None:
    """A life that no calendar holds is an overflow, not a wrong day."""
    with pytest.raises(OverflowError):
        last_cycle_on(FRIDAY, 10**7, 1, 1)


@given(
    st.integers(1, 400), st.integers(1, 6), st.integers(1, 6), st.dates(date(2020, 1, 1), FRIDAY)
)
def test_the_last_day_is_that_of_counting(n: int, per_day: int, first: int, on: date) -> None:
    """The formula agrees with crossing off cycles day by day."""
    day, left = on, n - first
    while left > 0:
        day += timedelta(days=1)
        left -= per_day
    assert last_cycle_on(on, n, per_day, first) == day


@pytest.mark.parametrize(
    ("hour", "starts"),
    [(0.0, 5), (4.0, 4), (3.99, 5), (18.5, 2), (19.0, 1), (23.98, 1)],
)
def test_starts_from(hour: float, starts: int) -> None:
    """4 h and a rest of 1 h: from 0:00 at 0, 5, 10, 15 and 20 o'clock; from 19:00 only then."""
    assert starts_from(hour, 4.0, 1.0) == starts


def test_starts_need_an_hour_of_the_day() -> None:
    """An hour that is none of the day's, and durations that are none, are mistakes."""
    with pytest.raises(ValueError, match=r"^hours of the day must be"):
        starts_from(24.0, 4.0, 1.0)
    with pytest.raises(ValueError, match=r"^hour_h must be"):
        starts_from(-1.0, 4.0, 1.0)
    with pytest.raises(ValueError, match=r"^cycle_h must be"):
        starts_from(1.0, 0.0, 1.0)
    with pytest.raises(ValueError, match=r"^rest_h must be"):
        starts_from(1.0, 4.0, -1.0)
