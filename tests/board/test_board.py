"""The board: every day and hour is worked out by hand beside its case.

The studio pours 108 g into a tumbler; soy cures for 14 days; cycles last 4 h, rests 1 h at least,
and the studio burns one cycle a day unless a case says otherwise.
"""

from datetime import date, time

import pytest

from handbook_builder.derived.waiting import OVERDUE_LIT_DAYS, OVERDUE_UNLIT_DAYS, Stage
from handbook_builder.reading.fields import When
from tests.board.rig import account, board, cycle, going_on, habit, outlook, waiting
from tests.records_in_text import OIL, VESSEL, WICK, burn, whole_life

BARE_VESSEL = VESSEL[: VESSEL.index("heat_evidence")] + "---\n"
HALF = cycle("2026-03-30", 400.0, 374.0)  # 26 g in 4 h: 6.5 g/h


@pytest.mark.parametrize(
    ("day", "stage", "may"),
    [
        (date(2026, 3, 14), Stage.CURING, False),
        (date(2026, 3, 15), Stage.CURED, True),
        (date(2026, 3, 16), Stage.CURED, True),
    ],
)
def test_cure(day: date, stage: Stage, may: bool) -> None:  # noqa: FBT001 -- an expected value
    """Poured on 1 March, 14 days: cured on the 15th, not a day sooner."""
    one = waiting(board({"a": going_on("A")}, day))
    assert (one.stage, one.may_be_lit, one.cured_on) == (stage, may, date(2026, 3, 15))
    assert one.next_lit == When(date(2026, 3, 15))
    assert one.last_lit is None


@pytest.mark.parametrize(
    ("day", "stage"), [(date(2026, 3, 30), Stage.RESTING), (date(2026, 3, 31), Stage.BURNING)]
)
def test_rest_without_times(day: date, stage: Stage) -> None:
    """Lit on 30 March without a time, at its end at the latest: rested at 5 in the morning."""
    one = waiting(board({"a": going_on("A", HALF)}, day))
    assert (one.stage, one.next_lit) == (stage, When(date(2026, 3, 31), time(5, 0)))
    assert one.may_be_lit is (stage is Stage.BURNING)
    assert one.last_lit == date(2026, 3, 30)


def test_rest_with_times_and_the_habit() -> None:
    """Lit today at 9:30 for 4 h, rested at 14:30: with two cycles a day it may be lit again then.

    With one a day it is rested, and still waits for tomorrow.
    """
    timed = going_on("A", cycle("2026-04-01 09:30", 400.0, 374.0))
    twice = waiting(board({"a": timed}, studio=habit(2)))
    assert (twice.stage, twice.may_be_lit) == (Stage.BURNING, True)
    assert (twice.next_lit, twice.rested_from) == (When(date(2026, 4, 1), time(14, 30)), None)
    once = waiting(board({"a": timed}))
    assert (once.stage, once.may_be_lit) == (Stage.RESTING, False)
    assert once.next_lit == When(date(2026, 4, 2))
    assert once.rested_from == When(date(2026, 4, 1), time(14, 30))


def test_overdue_unlit() -> None:
    """Cured on 15 March: 14 days later is not yet too long, 15 days later is."""
    assert OVERDUE_UNLIT_DAYS == 14
    candle = {"a": going_on("A")}
    assert waiting(board(candle, date(2026, 3, 29))).waited_days is None
    assert waiting(board(candle, date(2026, 3, 30))).waited_days == 15


def test_overdue_lit() -> None:
    """Last lit on 30 March: 7 days later is not yet too long, 8 days later is."""
    assert OVERDUE_LIT_DAYS == 7
    candle = {"a": going_on("A", HALF)}
    assert waiting(board(candle, date(2026, 4, 6))).waited_days is None
    assert waiting(board(candle, date(2026, 4, 7))).waited_days == 8


def test_what_is_over_is_not_on_the_board() -> None:
    """A candle that ended, that failed or that was set aside waits for nothing."""
    tall = going_on("B", HALF.replace("flame: 22 mm", "flame: 80 mm"), candles=3)
    void = going_on("C", candles=3).replace(
        "scale:", "void: {why: dropped, by: wren, on: 2026-03-20}\nscale:"
    )
    assert board({"a": burn("A"), "b": tall, "c": void}).waiting == ()


def test_hours_left_by_its_own_weighing() -> None:
    """400 g at first light less 108 g poured: the vessel and its wick weigh 292 g.

    374 g less 292 g are 82 g; at 6.5 g/h that is 12.615 h, which is 4 cycles of 4 h.
    """
    one = waiting(board({"a": going_on("A", HALF)}))
    assert one.left is not None
    assert one.left.weighed is not None
    assert one.left.hours_h == pytest.approx(82 / 6.5)
    assert one.left.weighed.empty_g == pytest.approx(292.0)
    assert (one.left.weighed.by_record, one.left.weighed.sisters) == (False, 0)
    assert one.cycles_left == 4


def test_hours_left_with_what_sisters_left() -> None:
    """A sister went out with 4 g left: 82 g less 4 g are 78 g, 12 h at 6.5 g/h, 3 cycles."""
    one = waiting(board({"a": going_on("A", HALF, candles=2), "b": burn("B", candles=2)}))
    assert one.left is not None
    assert one.left.weighed is not None
    assert (one.left.weighed.residue_g, one.left.weighed.sisters) == (4.0, 1)
    assert one.left.hours_h == pytest.approx(12.0)
    assert one.cycles_left == 3


def test_hours_left_at_the_last_three_rates() -> None:
    """8, 7, 6.5 and 6 g/h: the mean of the last three is 6.5 g/h.

    32 + 28 + 26 + 24 = 110 g burned, of 108 g poured: no hours are left.
    """
    cycles, mass = [], 420.0
    for day, rate in enumerate((8.0, 7.0, 6.5, 6.0)):
        cycles.append(cycle(f"2026-03-{20 + day}", mass, mass - 4 * rate))
        mass -= 4 * rate
    one = waiting(board({"a": going_on("A", *cycles)}))
    assert one.left is not None
    assert one.left.weighed is not None
    assert one.left.weighed.rate_g_per_h == pytest.approx(6.5)
    assert one.left.hours_h == 0.0
    assert one.cycles_left == 1  # it has not gone out: one more cycle in any case


def test_the_vessels_record_where_the_first_weighing_is_missing() -> None:
    """Not weighed before first light: the 290 g of the vessel's record, 374 - 290 = 84 g."""
    first = "{on: 2026-03-29, burned: 4 h, pool: 70 mm, flame: 22 mm, wall: 52 degC}"
    vessel = VESSEL.replace("inside_diameter", "empty_mass: 290 g\ninside_diameter")
    candle = {"a": going_on("A", first, HALF)}
    one = waiting(board(candle, vessels__tumbler=vessel))
    assert one.left is not None
    assert one.left.weighed is not None
    assert one.left.weighed.by_record
    assert one.left.hours_h == pytest.approx(84 / 6.5)
    assert waiting(board(candle)).left is None


def test_hours_left_by_sisters() -> None:
    """Not lit yet: as long as the sisters that passed, 3 x 4 h and 3 h 10 min."""
    one = waiting(board({"a": going_on("A", candles=2), "b": burn("B", candles=2)}))
    assert one.left is not None
    assert one.left.weighed is None
    assert one.left.hours_h == pytest.approx(12 + 3 + 1 / 6)


def test_a_rate_of_nothing_tells_nothing() -> None:
    """A candle that lost no mass has no rate to reckon with."""
    one = waiting(board({"a": going_on("A", cycle("2026-03-30", 400.0, 400.0))}))
    assert (one.left, one.cycles_left, one.ends_on) == (None, None, None)


@pytest.mark.parametrize(
    ("per_day", "ends"),
    [
        (1, date(2026, 4, 4)),  # 1, 2, 3 and 4 April
        (2, date(2026, 4, 2)),  # two each on 1 and 2 April
        (4, date(2026, 4, 1)),
        (9, date(2026, 4, 1)),  # no more than four fit into a day
    ],
)
def test_the_last_cycle_of_a_candle(per_day: int, ends: date) -> None:
    """Four cycles from 1 April on, at the studio's habit."""
    assert waiting(board({"a": going_on("A", HALF)}, studio=habit(per_day))).ends_on == ends


def test_a_cycle_today_takes_its_place() -> None:
    """Lit today at 13:00, four more to come, three a day: one more today (18:00), then three.

    Rested at 18:00, at 23:00 a second one could be lit: 1 April holds three, 2 April the rest.
    """
    timed = going_on("A", cycle("2026-04-01 13:00", 400.0, 374.0))
    assert waiting(board({"a": timed}, studio=habit(3))).ends_on == date(2026, 4, 2)
    # At 18:30 it rests until 23:30: one more today, and three on the day after.
    late = going_on("A", cycle("2026-04-01 18:30", 400.0, 374.0))
    assert waiting(board({"a": late}, studio=habit(3))).ends_on == date(2026, 4, 2)
    # Two a day: one more today, two on 2 April, the last on 3 April.
    assert waiting(board({"a": late}, studio=habit(2))).ends_on == date(2026, 4, 3)


def test_earliest_approval_with_candles_on_the_board() -> None:
    """A passed; B has 3 cycles left (see above); C is unlit: 15 h 10 min are 4 cycles.

    B ends on 3 April, C on 4 April: approval on 4 April at the earliest.
    """
    burns = {"a": burn("A"), "b": going_on("B", HALF, candles=3), "c": going_on("C", candles=3)}
    one = outlook(board(burns))
    assert (one.short, one.counted, one.to_pour, one.cured_on) == (2, ("fig-b", "fig-c"), 0, None)
    assert one.through_on == one.approved_on == date(2026, 4, 4)
    assert one.life is not None
    assert (one.life.candles, one.life.measured) == (1, True)


def test_earliest_approval_with_candles_to_pour() -> None:
    """Two passed: poured today, 1 April, cured on the 15th, 4 cycles: through on 18 April."""
    one = outlook(board({"a": burn("A", candles=2), "b": burn("B", candles=2)}))
    assert (one.short, one.counted, one.to_pour) == (1, (), 1)
    assert one.cured_on == one.not_before == date(2026, 4, 15)
    assert one.approved_on == date(2026, 4, 18)


def test_life_at_the_rate_of_sisters_that_burn() -> None:
    """None passed yet; A has burned 4 h and has 12.615 h left: 16.615 h, which is 5 cycles.

    The two that are missing are cured on 15 April and through on 19 April.
    """
    one = outlook(board({"a": going_on("A", HALF)}))
    assert one.life is not None
    assert one.life.hours_h == pytest.approx(4 + 82 / 6.5)
    assert (one.life.candles, one.life.measured) == (1, False)
    assert (one.counted, one.to_pour) == (("fig-a",), 2)
    assert one.approved_on == date(2026, 4, 19)


def test_no_more_than_are_needed_are_counted() -> None:
    """Four burn and three are needed: those that are through first."""
    burns = {letter: going_on(letter.upper(), HALF, candles=4) for letter in "acd"}
    burns["b"] = going_on("B", candles=4)
    assert outlook(board(burns)).counted == ("fig-a", "fig-c", "fig-d")


def test_an_unknown_life_is_said_to_be_unknown() -> None:
    """Nothing was ever lit: no day, only one before which it cannot be."""
    one = outlook(board({}))
    assert (one.short, one.to_pour, one.life) == (3, 3, None)
    assert (one.through_on, one.approved_on) == (None, None)
    assert one.not_before == date(2026, 4, 15)


def test_an_approved_product_waits_for_nothing() -> None:
    """Three passed and nothing is missing."""
    found = board({letter: burn(letter.upper()) for letter in "abc"})
    assert found.outlooks == ()


def test_a_failed_product_gets_no_day() -> None:
    """One failed: its sisters stay unlit, no day is named, and what is missing is told."""
    tall = HALF.replace("flame: 22 mm", "flame: 80 mm")
    found = board({"a": going_on("A", tall, candles=2), "b": going_on("B", candles=2)})
    one = outlook(found)
    assert (one.through_on, one.approved_on, one.not_before, one.to_pour) == (None, None, None, 0)
    assert [reason.code for reason in one.others] == ["candle_failed"]
    sister = waiting(found, "b")
    assert [reason.code for reason in sister.forbidden] == ["candle_failed"]
    assert sister.stage is Stage.CURED
    assert not sister.may_be_lit


def test_a_held_product_gets_no_day() -> None:
    """Three passed, but the oil has no certificate: no day, whatever burns."""
    oil = OIL.replace("certificate: {on: 2025-11-01}\n", "")
    passed = {letter: burn(letter.upper()) for letter in "abc"}
    one = outlook(board(passed, **{"fragrances__fig-oil": oil}))
    assert one.product.status == "held"
    assert (one.short, one.approved_on, one.through_on) == (0, None, None)
    assert [reason.code for reason in one.others] == ["certificate_missing"]


def test_tests_can_be_through_and_approve_nothing() -> None:
    """In test, with the certificate missing: the tests have a day, the approval has none."""
    oil = OIL.replace("certificate: {on: 2025-11-01}\n", "")
    one = outlook(board({"a": going_on("A", HALF)}, **{"fragrances__fig-oil": oil}))
    assert one.through_on == date(2026, 4, 19)
    assert one.approved_on is None


def test_no_flame_in_a_vessel_that_is_not_cleared() -> None:
    """A candle in a vessel without heat evidence stays unlit, and none is to be poured."""
    found = board({"a": going_on("A")}, vessels__tumbler=BARE_VESSEL)
    assert not waiting(found).may_be_lit
    assert (outlook(found).to_pour, outlook(found).through_on) == (0, None)


def test_a_load_that_is_too_high_is_not_poured() -> None:
    """8 % of the wax is more than this wax takes: the recipe must change first."""
    wax = "---\nkind: soy\ndensity: 0.90 g/mL\nmax_load: 7 %\ncure: 14 days\n---\n"
    one = outlook(board({}, waxes__soy=wax))
    assert (one.to_pour, one.not_before) == (0, None)
    assert "load_over_max_load" in {reason.code for reason in one.others}


def test_a_spoiled_candle_is_not_counted() -> None:
    """A's first cycle lacks its pool: it may still be lit, but another must be poured for it."""
    spoiled = HALF.replace("pool: 70 mm, ", "")
    found = board({"a": going_on("A", spoiled)})
    assert [reason.code for reason in waiting(found).spoiled] == ["reading_missing"]
    assert waiting(found).may_be_lit
    assert (outlook(found).counted, outlook(found).to_pour) == ((), 3)


def test_a_candle_of_a_former_make_up_is_not_counted() -> None:
    """B was poured with another wick: it is on the board, and no evidence for the recipe."""
    other = going_on("A").replace("wick: cotton-8", "wick: cotton-9")
    found = board({"a": other}, **{"wicks__cotton-9": WICK.replace('"8"', '"9"')})
    assert waiting(found).may_be_lit
    assert (outlook(found).counted, outlook(found).to_pour) == ((), 3)


def test_a_life_that_no_calendar_holds() -> None:
    """99 kg at 0.01 g a cycle are 9.9 million days, beyond the year 9999: no day is named."""
    slow = cycle("2026-03-30", 100000.0, 99999.99)
    vast = going_on("A", slow).replace("soy: 100.0 g", "soy: 99000 g")
    one = waiting(board({"a": vast}))
    assert one.left is not None
    assert one.left.hours_h > 1e7
    assert one.ends_on is None


def test_nothing_later_is_seen() -> None:
    """As of 20 March, the cycle of 30 March has not been: the candle is cured and unlit."""
    one = waiting(board({"a": going_on("A", HALF)}, date(2026, 3, 20)))
    assert (one.stage, one.last_lit) == (Stage.CURED, None)


def test_who_may() -> None:
    """Helpers by what their records let them do."""
    found = board(
        {},
        helpers__ash="---\nmay: [burn]\n---\n",
        helpers__birch="---\nmay: [burn, pour]\n---\n",
        helpers__cedar="---\nmay: []\n---\n",
    )
    assert (found.may_burn, found.may_pour) == (("ash", "birch"), ("birch",))


def test_whole_life_is_what_it_says() -> None:
    """The sisters above burned 12 h and 3 h 10 min, the figure the cases are worked out with."""
    hours = account({"a": burn("A", candles=1)}).burns["fig-a"].hours_h
    assert len(whole_life()) == 4
    assert hours == pytest.approx(15 + 1 / 6)
