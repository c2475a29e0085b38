"""The board's earliest days on a small shelf, against every way of dealing out its days.

All cycles left are worked out by hand: a candle holds 108 g, burns 6.5 g/h in cycles of 4 h, and
its sister that passed left 4 g after 15 h 10 min. Not lit it has 15 h 10 min, 4 cycles; after n
cycles of 26 g it has (108 - 26 n - 4) / 6.5 h: 12 h, 8 h and 4 h, which are 3, 2 and 1.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.board import Outlook, board_of
from handbook_builder.derived.plan.proof import proof_by, proof_plan
from tests.board.rig import cycle, going_on, outlook
from tests.records_in_text import BASE, RECIPE, STUDIO, WAX, burn, linked, whole_life

DAY: Final = date(2026, 4, 1)
LIFE: Final = 4
NEEDED: Final = 3


@dataclass(frozen=True)
class Candle:
    """A candle on a shelf, by hand: it may be lit from so many days after DAY on."""

    later: int
    cycles: int


@dataclass(frozen=True)
class Case:
    """A studio: candles of the recipe on the board, those of another, and how it burns."""

    own: tuple[Candle, ...]
    other: int
    cure: int
    places: int | None
    per_day: int

    @property
    def to_pour(self) -> int:
        """Return how many must be poured: of three one has passed."""
        return max(0, NEEDED - 1 - len(self.own))


def poured_on(one: Candle, cure: int) -> date:
    """Return the day on which a candle was poured: cured on a day to come, or long ago."""
    is_new = one.cycles == LIFE
    return DAY + timedelta(days=one.later - cure if is_new else -20 - cure)


def on_board(letter: str, one: Candle, case: Case) -> str:
    """Return the record of a candle: not lit yet, or lit so often before DAY."""
    lit, poured = LIFE - one.cycles, poured_on(one, case.cure)
    count = sum(poured_on(other, case.cure) == poured for other in case.own)
    days = [DAY - timedelta(days=1 + later) for later in reversed(range(lit))]
    cycles = [
        cycle(f"{day}", 400.0 - 26 * at + 0.1 * ord(letter), 374.0 - 26 * at + 0.1 * ord(letter))
        for at, day in enumerate(days)
    ]
    return going_on(letter, *cycles, candles=count, on=f"{poured}")


def unlit_others(case: Case) -> list[str]:
    """Return the candles of the other recipe that stand on the board."""
    return [going_on(letter, candles=case.other, on="2026-02-01") for letter in "BC"[: case.other]]


def files_of(case: Case) -> dict[str, str]:
    """Return the studio as text."""
    said = f"protocol: default\ncycles_a_day: {case.per_day}"
    if case.places is not None:
        said += f"\nplaces: {case.places}"
    own = {
        f"burns/fig-{letter.lower()}.md": on_board(letter, one, case)
        for letter, one in zip("BC", case.own, strict=False)
    }
    # The other's first candle passed as well: those on the board are its sisters, unlit.
    others = {
        f"burns/more-{letter.lower()}.md": text.replace("recipe: fig\n", "recipe: more\n").replace(
            "8.0 g}", "6.0 g}"
        )
        for letter, text in (
            ("A", burn("A", candles=1, cycles=whole_life(9), oil="6.0 g")),
            *zip("BC", unlit_others(case), strict=False),
        )
    }
    return {
        **BASE,
        "studio.md": STUDIO.replace("protocol: default", said),
        "waxes/soy.md": WAX.replace("cure: 14 days", f"cure: {case.cure} days"),
        "recipes/more.md": RECIPE.replace("Fig", "More").replace("8 %", "6 %"),
        "burns/fig-a.md": burn("A", candles=1),
        **own,
        **others,
    }


def account(case: Case) -> Account:
    """Return the studio as of DAY."""
    return account_of(linked(files_of(case)), DAY)


def ends_in_every_way(jobs: Sequence[Candle], room: Mapping[int, int], per_day: int) -> int:
    """Return the soonest day by which all can be through, by trying every way of every day.

    `room` is how many cycles a day has left, from day 0 on.
    """
    states, day = {tuple(one.cycles for one in jobs)}, 0
    while True:
        most = [per_day if one.later <= day else 0 for one in jobs]
        states = {
            tuple(some - had for some, had in zip(left, dealt, strict=True))
            for left in states
            for dealt in product(
                *(range(min(upto, some) + 1) for upto, some in zip(most, left, strict=True))
            )
            if sum(dealt) <= room.get(day, 99)
        }
        if any(not any(left) for left in states):
            return day
        day += 1


def rest_of(jobs: Sequence[Candle], room: Mapping[int, int], per_day: int) -> dict[int, int]:
    """Return what the days have left once those with most cycles left went first."""
    left, rest = [one.cycles for one in jobs], dict(room)
    for day in sorted(rest):
        had = [0] * len(jobs)
        for _ in range(rest[day]):
            able = [
                at for at, one in enumerate(jobs)
                if one.later <= day and left[at] and had[at] < per_day
            ]  # fmt: skip
            if able:
                at = max(able, key=lambda at: left[at])
                left[at], had[at], rest[day] = left[at] - 1, had[at] + 1, rest[day] - 1
    return rest


def by_hand(case: Case) -> int:
    """Return how many days after DAY the product is through at the earliest.

    What stands on the board goes first, of it what the product counts on; then what is poured.
    """
    room = dict.fromkeys(range(40), 99 if case.places is None else case.places * case.per_day)
    ends = [ends_in_every_way(case.own, room, case.per_day)] if case.own else []
    planned = [Candle(case.cure, LIFE)] * case.to_pour
    if planned:
        rest = rest_of(case.own, room, case.per_day)
        rest = rest_of([Candle(0, LIFE)] * case.other, rest, case.per_day)
        ends.append(ends_in_every_way(planned, rest, case.per_day))
    return max(ends)


def cases_of(cure: int) -> st.SearchStrategy[Case]:
    """Return cases of a wax that cures so many days; no candle is poured after DAY."""
    lit = st.builds(Candle, later=st.just(0), cycles=st.integers(1, LIFE - 1))
    unlit = st.builds(Candle, later=st.integers(0, cure), cycles=st.just(LIFE))
    return st.builds(
        Case,
        own=st.lists(st.one_of(lit, unlit), max_size=2).map(tuple),
        other=st.integers(0, 2),
        cure=st.just(cure),
        places=st.sampled_from([None, 1, 2, 3]),
        per_day=st.integers(1, 2),
    )


CASES = st.integers(1, 4).flatmap(cases_of)


def of_fig(account: Account) -> Outlook:
    """Return what stands between the recipe and its approval."""
    return outlook(board_of(account))


@settings(max_examples=40, deadline=None)
@given(CASES)
def test_no_way_of_dealing_out_the_days_is_sooner(case: Case) -> None:
    """The board's day is that of the search, and so is the plan's, forward and backward."""
    told = account(case)
    found, expected = of_fig(told), DAY + timedelta(days=by_hand(case))
    assert (len(found.counted), found.to_pour) == (len(case.own), case.to_pour)
    assert found.through_on == found.approved_on == expected
    assert found.calendar is not None
    assert case.places is None or found.calendar.most_at_once <= case.places
    board = board_of(told)
    plan = proof_plan(told, board, told.judged.products["fig"])
    assert plan.calendar is not None
    assert plan.calendar.through_on == expected
    just, late = (proof_by(told, board, plan, expected - timedelta(days=one)) for one in (0, 1))
    assert just is not None
    assert late is not None
    assert (just.pour_by is None, late.pour_by) == (False, None)


def test_by_hand() -> None:
    """One place, a cycle a day: 4 cycles of B, of the other 4, then 8 of two that are poured."""
    one = Case((Candle(0, LIFE),), other=1, cure=2, places=1, per_day=1)
    assert by_hand(one) == 4 + 4 + 4 - 1
    assert of_fig(account(one)).through_on == date(2026, 4, 12)
    room_for_all = Case((Candle(0, LIFE),), other=1, cure=2, places=None, per_day=1)
    assert of_fig(account(room_for_all)).through_on == date(2026, 4, 6)  # cured on the 3rd


@pytest.mark.parametrize(("pourings", "through"), [(1, 6), (2, 6), (3, 7)])
def test_days_of_pouring_are_waited_for(pourings: int, through: int) -> None:
    """A passed; two more: both poured today are cured on the 3rd and through on the 6th of April.

    On three days of pouring the second of them is poured, cured and through a day later. Nothing
    but test candles is missing, so that each day is one of approval.
    """
    case = Case((), other=0, cure=2, places=None, per_day=1)
    own = f"---\npourings: {pourings}\n---\n"
    files = {**files_of(case), "protocols/own.md": own}
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: own")
    found = of_fig(account_of(linked(files), DAY))
    assert (found.to_pour, found.pourings) == (2, max(1, pourings - 1))
    assert found.approved_on == date(2026, 4, through)
