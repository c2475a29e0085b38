"""Calendars of a shelf, against an exhaustive search and against the days of a single candle."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.figures.schedule import last_cycle_on
from handbook_builder.figures.shelf import Days, Job, Shelf, days_of, latest_start

FRIDAY = date(2026, 5, 1)


def job(name: str, later: int, cycles: int, on_first: int = 1) -> Job:
    """Return a candle that may be lit so many days after Friday."""
    return Job(name, FRIDAY + timedelta(days=later), cycles, on_first)


def at(days: int) -> date:
    """Return a day so many after Friday."""
    return FRIDAY + timedelta(days=days)


def turns(
    jobs: Sequence[Job], shelf: Shelf, day: date, left: tuple[int, ...]
) -> Iterator[tuple[int, ...]]:
    """Yield every way to deal out a day: any number of cycles to each candle that may have them."""
    room = sum(left) if shelf.places is None else shelf.places * shelf.per_day
    most = [
        0 if one.first > day
        else min(some, shelf.per_day if one.first < day else min(shelf.per_day, one.on_first))
        for one, some in zip(jobs, left, strict=True)
    ]  # fmt: skip
    for dealt in product(*(range(upto + 1) for upto in most)):
        if sum(dealt) <= room:
            yield dealt


def soonest_end(jobs: Sequence[Job], shelf: Shelf) -> date:
    """Return the earliest day on which all can be through, by trying every way of every day."""
    states = {tuple(one.cycles for one in jobs)}
    day = min(one.first for one in jobs)
    while True:
        states = {
            tuple(some - had for some, had in zip(left, dealt, strict=True))
            for left in states
            for dealt in turns(jobs, shelf, day, left)
        }
        if any(not any(left) for left in states):
            return day
        day += timedelta(days=1)


def check(groups: Sequence[Sequence[Job]], shelf: Shelf, found: Days) -> None:
    """Each candle has all of its cycles, no day more than it holds, none before its first day."""
    jobs = {one.name: one for group in groups for one in group}
    assert found.burned.keys() == jobs.keys() == found.last.keys()
    by_day: dict[date, int] = {}
    for name, days in found.burned.items():
        one = jobs[name]
        assert sum(days.values()) == one.cycles
        assert found.last[name] == max(days)
        for day, cycles in days.items():
            assert day >= one.first
            assert 1 <= cycles <= shelf.per_day
            assert cycles <= one.on_first or day > one.first
            by_day[day] = by_day.get(day, 0) + cycles
    if shelf.places is not None:
        assert max(by_day.values()) <= shelf.places * shelf.per_day
        assert 1 <= found.most_at_once <= shelf.places


small_jobs = st.lists(
    st.tuples(st.integers(0, 3), st.integers(1, 3), st.integers(1, 2)), min_size=1, max_size=3
)


@given(drawn=small_jobs, per_day=st.integers(1, 2), places=st.sampled_from([None, 1, 2]))
@settings(max_examples=300)
def test_no_way_of_dealing_out_the_days_ends_sooner(
    drawn: list[tuple[int, int, int]], per_day: int, places: int | None
) -> None:
    """Every way of every day was tried."""
    jobs = [job(f"c{index}", *one) for index, one in enumerate(drawn)]
    shelf = Shelf(per_day, places)
    found = days_of([jobs], shelf)
    check([jobs], shelf, found)
    assert max(found.last.values()) == soonest_end(jobs, shelf)


@given(first=small_jobs, then=small_jobs, per_day=st.integers(1, 2), places=st.integers(1, 2))
@settings(max_examples=200)
def test_what_comes_first_is_not_held_up(
    first: list[tuple[int, int, int]],
    then: list[tuple[int, int, int]],
    per_day: int,
    places: int,
) -> None:
    """A later group gets what is left of the days, and changes nothing for the one before it."""
    ahead = [job(f"a{index}", *one) for index, one in enumerate(first)]
    behind = [job(f"b{index}", *one) for index, one in enumerate(then)]
    shelf = Shelf(per_day, places)
    alone, both = days_of([ahead], shelf), days_of([ahead, behind], shelf)
    check([ahead, behind], shelf, both)
    assert {name: both.burned[name] for name in alone.burned} == dict(alone.burned)


@given(
    later=st.integers(0, 5),
    cycles=st.integers(1, 40),
    per_day=st.integers(1, 4),
    on_first=st.integers(1, 4),
)
def test_with_room_for_all_each_ends_as_if_alone(
    later: int, cycles: int, per_day: int, on_first: int
) -> None:
    """The day is that of the board's formula, for any one candle."""
    slots = min(on_first, per_day)
    jobs = [job("one", later, cycles, slots), job("other", 0, 7)]
    found = days_of([jobs], Shelf(per_day, None))
    assert found.last["one"] == last_cycle_on(at(later), cycles, per_day, slots)


@given(
    drawn=small_jobs,
    per_day=st.integers(1, 2),
    places=st.integers(1, 2),
    by=st.integers(0, 12),
)
@settings(max_examples=150)
def test_the_latest_start_is_the_latest(
    drawn: list[tuple[int, int, int]], per_day: int, places: int, by: int
) -> None:
    """From that day on it is in time, and from the next one it is not; every day was tried."""
    shelf, standing = Shelf(per_day, places), [job("standing", 0, 2)]

    def ends_on(day: date) -> date:
        later = (day - FRIDAY).days
        jobs = [job(f"c{index}", later + after, *rest)
                for index, (after, *rest) in enumerate(drawn)]  # fmt: skip
        found = days_of([standing, jobs], shelf)
        return max(found.last[one.name] for one in jobs)

    in_time = [at(days) for days in range(by + 1) if ends_on(at(days)) <= at(by)]
    assert latest_start(ends_on, FRIDAY, at(by)) == max(in_time, default=None)


def test_a_day_before_the_earliest_has_no_start() -> None:
    """Nor one that no calendar holds."""
    assert latest_start(lambda day: day, FRIDAY, at(-1)) is None
    assert latest_start(lambda _day: None, FRIDAY, at(9)) is None
    assert latest_start(lambda day: day + timedelta(days=2), FRIDAY, at(9)) == at(7)


def test_by_hand() -> None:
    """Two places, a cycle a day: the candle with three left goes before those with one."""
    jobs = [job("long", 0, 3), job("a", 0, 1), job("b", 0, 1), job("c", 1, 1)]
    found = days_of([jobs], Shelf(1, 2))
    assert found.burned["long"] == {at(0): 1, at(1): 1, at(2): 1}
    assert max(found.last.values()) == at(2)  # six cycles on two places take three days
    assert found.most_at_once == 2


def test_nothing_to_burn_takes_no_day() -> None:
    """An empty shelf has no days."""
    found = days_of([[]], Shelf(1, 3))
    assert (dict(found.burned), dict(found.last), found.most_at_once) == ({}, {}, 0)


def test_a_life_beyond_ten_years_has_no_calendar() -> None:
    """A rate next to nothing would fill it; ten years are still told."""
    with pytest.raises(OverflowError, match=r"^1 cycles are left after ten years$"):
        days_of([[job("a", 0, 3655)]], Shelf(1, None))
    assert days_of([[job("a", 0, 3654)]], Shelf(1, None)).last["a"] == at(3653)


@pytest.mark.parametrize(
    ("jobs", "shelf", "said"),
    [
        ([job("a", 0, 0)], Shelf(1, 1), "a: 0, which must be 1 or up"),
        ([job("a", 0, 1, 0)], Shelf(1, 1), "a: 0, which must be 1 or up"),
        ([job("a", 0, 1)], Shelf(0, 1), "cycles a day: 0, which must be 1 or up"),
        ([job("a", 0, 1)], Shelf(1, -1), "places: -1, which must be 1 or up"),
    ],
)
def test_numbers_below_one_are_mistakes(jobs: list[Job], shelf: Shelf, said: str) -> None:
    """They would never end, or end before they began."""
    with pytest.raises(ValueError, match=f"^{said}$"):
        days_of([jobs], shelf)
