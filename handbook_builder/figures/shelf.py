"""Which candle burns on which day, when only so many may burn at once."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType
from typing import Final

# Ten years of days: a life beyond them is a slip of the pen, and no calendar is made of it.
FURTHEST_DAYS: Final = 3653


@dataclass(frozen=True, slots=True)
class Job:
    """A candle that is to burn `cycles` cycles, from the day `first` on.

    On that day it has at most `on_first` of them.
    """

    name: str
    first: date
    cycles: int
    on_first: int


@dataclass(frozen=True, slots=True)
class Shelf:
    """How many cycles a candle may have in a day, and how many candles burn at once.

    Without a number of `places` there is room for all.
    """

    per_day: int
    places: int | None


@dataclass(frozen=True, slots=True)
class Days:
    """What burns when: cycles by candle and day, the last day of each, and the most at once.

    `last` holds those that come to their end. `most_at_once` is how many places the fullest day
    takes.
    """

    burned: Mapping[str, Mapping[date, int]]
    last: Mapping[str, date]
    most_at_once: int


def days_of(
    groups: Sequence[Sequence[Job]], shelf: Shelf, awaited: Collection[str] | None = None
) -> Days:
    """Return what burns when: the jobs of an earlier group before those of a later one.

    It ends with the last cycle of the jobs that are `awaited`, by name; without it, with the last
    of all.

    Within a group those with most cycles left go first, which ends the group as early as can be
    (longest remaining first, for equal machines and jobs that may be interrupted between cycles).
    `places` · `per_day` cycles fit into a day, at most `per_day` of one candle, since a day of
    `per_day` turns with so many places can always be dealt out like that (McNaughton 1959).
    OverflowError beyond ten years; ValueError for a number below 1.
    """
    jobs = [job for group in groups for job in group]
    _checked(jobs, shelf)
    left = {job.name: job.cycles for job in jobs}
    burned: dict[str, dict[date, int]] = {job.name: {} for job in jobs}
    ends = left.keys() if awaited is None else awaited
    most = 0
    day = min((job.first for job in jobs), default=date.min)
    begun = day
    while any(left[name] for name in ends):
        if (day - begun).days > FURTHEST_DAYS:
            msg = f"{sum(left[name] for name in ends)} cycles are left after ten years"
            raise OverflowError(msg)
        today = _today(groups, shelf, left, day)
        most = max(most, len(today) if shelf.places is None else min(len(today), shelf.places))
        for name, cycles in today.items():
            left[name] -= cycles
            burned[name][day] = cycles
        day += timedelta(days=1)
    return Days(
        burned=MappingProxyType({name: MappingProxyType(days) for name, days in burned.items()}),
        last=MappingProxyType({name: max(burned[name]) for name in burned if not left[name]}),
        most_at_once=most,
    )


def _checked(jobs: Iterable[Job], shelf: Shelf) -> None:
    numbers = [(job.name, min(job.cycles, job.on_first)) for job in jobs]
    numbers += [("cycles a day", shelf.per_day), ("places", shelf.places or 1)]
    for name, number in numbers:
        if number < 1:
            msg = f"{name}: {number}, which must be 1 or up"
            raise ValueError(msg)


def _today(
    groups: Sequence[Sequence[Job]], shelf: Shelf, left: Mapping[str, int], day: date
) -> dict[str, int]:
    """Return the cycles of a day by candle, dealt out one by one."""
    room = sum(left.values()) if shelf.places is None else shelf.places * shelf.per_day
    found: dict[str, int] = {}

    def still(job: Job) -> int:
        return left[job.name] - found.get(job.name, 0)

    def may_burn(job: Job) -> bool:
        most = min(shelf.per_day, job.on_first) if job.first == day else shelf.per_day
        return job.first <= day and still(job) > 0 and found.get(job.name, 0) < most

    for group in groups:
        able = [job for job in group if may_burn(job)]
        while room and able:
            next_job = max(able, key=lambda job: (still(job), job.name))
            found[next_job.name] = found.get(next_job.name, 0) + 1
            room -= 1
            able = [job for job in group if may_burn(job)]
    return found


def latest_start(ends_on: Callable[[date], date | None], earliest: date, by: date) -> date | None:
    """Return the latest day to begin from which the end is no later than `by`; None without one.

    `ends_on` says when it ends if begun on a day, None where no calendar holds it; to begin later
    never ends it earlier, so the day is found by halving.
    """

    def in_time(day: date) -> bool:
        end = ends_on(day)
        return end is not None and end <= by

    if by < earliest or not in_time(earliest):
        return None
    low, high = earliest, by
    while low < high:
        middle = low + (high - low + timedelta(days=1)) // 2
        low, high = (middle, high) if in_time(middle) else (low, middle - timedelta(days=1))
    return low
