"""The board against the oracle: nothing is to be lit too soon, and no day is promised too early.

The oracle's own reading of cure and rest (`tests/oracle`) shares no code with the package.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.derived.account import account_of
from handbook_builder.derived.board import Board, board_of
from handbook_builder.derived.waiting import Stage, Waiting
from handbook_builder.reading.fields import When
from tests.board.rig import cycle, going_on, habit
from tests.oracle.candle import cured
from tests.oracle.cycle import places, unrested, visible_cycles
from tests.oracle.generate import studio
from tests.oracle.protocol import protocol_of
from tests.oracle.read import Book, quantity, read
from tests.records_in_text import BASE, burn, linked

POURED = date(2026, 3, 1)


def written(when: When) -> str:
    """Return a time as a record writes it."""
    return f"{when.day}" if when.at is None else f"{when.day} {when.at:%H:%M}"


def moments(one: Waiting, day: date) -> Iterator[str]:
    """Yield when on `day` the board lets the candle be lit: with and without a time of day."""
    if one.next_lit.day == day and one.next_lit.at is not None:
        yield written(one.next_lit)
    else:
        yield f"{day}"
        yield f"{day} 00:00"


def would_spoil(book: Book, one: Waiting, when: str, known: date) -> bool:
    """Tell whether the oracle finds the candle uncured or unrested, lit at `when`.

    `known` is the day of the board: what the record says of later days has not been.
    """
    record = book["burns"][one.id]
    before = visible_cycles(record, known)
    if before:
        vessel = book["vessels"][record["made"]["vessel"]]
        lit = places(record, vessel, protocol_of(book), [*before, {"on": when}], None)
        return bool(unrested(lit[-1]))
    first: dict[str, Any] = {"on": when}
    return not cured(record, book["waxes"], first)


def check_lighting(files: dict[str, str], found: Board) -> int:
    """Hold every candle that may be lit against the oracle; return how many there were."""
    book = read(files)
    ready = [one for one in found.waiting if one.may_be_lit]
    for one in ready:
        for when in moments(one, found.day):
            assert not would_spoil(book, one, when, found.day), (one.id, when)
    return len(ready)


def check_days(files: dict[str, str], found: Board) -> None:
    """See that each earliest day leaves time for every cycle that is still needed."""
    book = read(files)
    needed = int(protocol_of(book)["test_candles"])
    pourings = int(protocol_of(book)["pourings"])
    for one in found.outlooks:
        assert one.approved_on is None or one.product.status in ("in_test", "untested")
        if one.through_on is None:
            continue
        few = needed - len(one.product.evidence.passed)
        assert one.short >= few
        assert one.short == few or pourings > 1  # a further day of pouring takes a further candle
        assert len(one.counted) + one.to_pour == one.short
        assert one.not_before is not None
        assert one.through_on >= one.not_before >= found.day
        for waiting in found.waiting:
            if waiting.id in one.counted and waiting.ends_on is not None:
                assert one.through_on >= waiting.ends_on >= soonest(book, found, waiting)
        if one.to_pour:
            waxes = one.product.recipe.wax
            cure_h = max(quantity(book["waxes"][wax]["cure"]) for wax in waxes)
            assert Fraction((one.through_on - found.day).days * 24) >= cure_h


def soonest(book: Book, found: Board, one: Waiting) -> date:
    """Return the day on which the last cycle can be burned when a day holds `per_day` of them.

    Counted from the first day on which the oracle lets it be lit; today's cycles count as used.
    """
    day, left = found.day, one.cycles_left or 0
    used = sum(seen.cycle.on.day == day for seen in one.burned.candle.seen.cycles)
    while would_spoil(book, one, f"{day} 23:59", found.day):
        day, used = day + timedelta(days=1), 0
    while left > (slots := max(0, found.per_day - used)):
        left -= slots
        day, used = day + timedelta(days=1), 0
    return day


@pytest.mark.parametrize("part", range(4))
def test_generated_studios(part: int) -> None:
    """160 studios as of the day that each is made for, and of two days within their tests."""
    lit = 0
    for seed in range(part * 40, part * 40 + 40):
        files, day = studio(seed)
        for earlier in (0, 20, 45):
            found = board_of(account_of(linked(files), day - timedelta(days=earlier)))
            lit += check_lighting(files, found)
            check_days(files, found)
    assert lit > 5


STARTS = st.lists(
    st.tuples(
        st.integers(0, 4),  # days after the cycle before
        st.sampled_from(["", " 00:00", " 07:30", " 13:00", " 18:59", " 19:00", " 22:15", " 23:59"]),
        st.sampled_from(["4 h", "245 min", "3 h 50 min", "1/3 h"]),
    ),
    max_size=6,
)


def candle(letter: str, first: int, starts: list[tuple[int, str, str]]) -> str:
    """Return a candle that was first lit `first` days after pouring."""
    day, mass, cycles = POURED + timedelta(days=first), 400.0, []
    for later, clock, burned in starts:
        day += timedelta(days=later)
        cycles.append(cycle(f"{day}{clock}", round(mass, 1), round(mass - 24.0, 1), burned))
        mass -= 24.0
    return going_on(letter, *cycles, candles=3)


@settings(max_examples=120, deadline=None)
@given(st.integers(0, 20), STARTS, st.integers(1, 7), st.integers(0, 40))
def test_any_candle(first: int, starts: list[tuple[int, str, str]], per_day: int, at: int) -> None:
    """Cycles at any time of day, in any order of days, on any day of the board, at any habit."""
    files = {
        **BASE,
        "studio.md": habit(per_day),
        "burns/fig-a.md": candle("A", first, starts),
        "burns/fig-b.md": candle("B", 14, []),
        "burns/fig-c.md": burn("C"),
    }
    found = board_of(account_of(linked(files), POURED + timedelta(days=at)))
    check_lighting(files, found)
    check_days(files, found)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 40))
def test_a_stage_for_every_day(at: int) -> None:
    """A candle that is never lit cures, and from the day on which it is cured may be lit."""
    files = {**BASE, "burns/fig-a.md": going_on("A")}
    (one,) = board_of(account_of(linked(files), POURED + timedelta(days=at))).waiting
    assert one.stage is (Stage.CURING if at < 14 else Stage.CURED)
    day = POURED + timedelta(days=at)
    spoils = would_spoil(read(files), one, f"{day}", day)
    assert one.may_be_lit is not spoils
