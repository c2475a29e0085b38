"""What ails a candle: each fault found in series made with it, and nothing found in sound ones."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest

from handbook_builder.figures.diagnosis import (
    CODES,
    CandleRead,
    CycleRead,
    Finding,
    Reading,
    Shared,
    diagnose,
    shared,
)
from tests.figures.burn_series import MARKS, Behaviour, burned

SEEDS = range(100)
SOUND = Behaviour()
# What was put in, and what must be found: exactly that.
FAULTS: dict[str, tuple[Behaviour, set[str]]] = {
    "pool_short": (replace(SOUND, pool_share=0.87), {"pool_short"}),
    "pool_early": (replace(SOUND, wall_h=0.9), {"pool_early"}),
    "pool_deep": (replace(SOUND, depth_mm=15.0), {"pool_deep"}),
    "flame_high": (replace(SOUND, flame_mm=44.0), {"flame_high"}),
    "sooting": (replace(SOUND, seen=(("sooting", 0.5),)), {"soot"}),
    "smoking": (replace(SOUND, seen=(("smoking", 0.5),)), {"soot"}),
    "mushrooming": (replace(SOUND, seen=(("mushrooming", 0.6),)), {"mushrooming"}),
    "tunnelling, seen": (
        replace(SOUND, pool_share=0.7, seen=(("tunnelling", 0.5),)), {"pool_short", "tunnelling"},
    ),
    "tunnelling, by what was left": (
        replace(SOUND, pool_share=0.7, left_share=0.3), {"pool_short", "tunnelling"},
    ),
    "drowning, seen": (replace(SOUND, seen=(("drowning", 0.5),)), {"drowning"}),
    "drowning, by the flame": (replace(SOUND, flame_change=-0.75), {"drowning"}),
    "wall_hot": (replace(SOUND, wall_c=55.0), {"wall_hot"}),
    "rate_falling": (replace(SOUND, rate_change=-0.3), {"rate_falling"}),
    "rate_rising": (replace(SOUND, rate_change=0.35), {"rate_rising"}),
    "too large a wick": (
        replace(SOUND, wall_h=0.9, wall_c=58.0, flame_mm=46.0, seen=(("smoking", 0.5),)),
        {"pool_early", "flame_high", "soot", "wall_hot"},
    ),
}  # fmt: skip
SOUND_ONES = {
    "usual": SOUND,
    "short life": replace(SOUND, cycles=4),
    "long life": replace(SOUND, cycles=20),
    "narrow": replace(SOUND, diameter_mm=50.0, wall_h=2.0, rate_g_per_h=3.5),
    "wide": replace(SOUND, diameter_mm=92.0, wall_h=3.0, rate_g_per_h=8.0),
    "a little faster along the life": replace(SOUND, rate_change=0.06),
    "a cap now and then": replace(SOUND, seen=(("mushrooming", 0.01),)),
}


def codes(findings: tuple[Finding, ...]) -> set[str]:
    """Return the codes of the findings."""
    return {one.code for one in findings}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_found_as_what_it_is(name: str) -> None:
    """In at least 95 of 100 series made with the fault exactly it is found."""
    does, expected = FAULTS[name]
    found = Counter(frozenset(codes(diagnose(burned(does, seed), MARKS))) for seed in SEEDS)
    assert found[frozenset(expected)] >= 95, found


@pytest.mark.parametrize("name", SOUND_ONES)
def test_a_sound_candle_raises_nothing(name: str) -> None:
    """In at least 95 of 100 series made without a fault nothing is found."""
    found = Counter(
        frozenset(codes(diagnose(burned(SOUND_ONES[name], seed), MARKS))) for seed in SEEDS
    )
    assert found[frozenset()] >= 95, found


def test_every_code_is_put_in_somewhere() -> None:
    """No code is left out of the series above."""
    assert {code for _, expected in FAULTS.values() for code in expected} == set(CODES)


def cycle(number: int, **more: object) -> CycleRead:
    """Return a full cycle of 4 h in which nothing was read but `more`."""
    given = {"number": number, "is_full": True, "start_h": 4.0 * (number - 1), "burned_h": 4.0}
    return CycleRead(**{**given, **more})  # type: ignore[arg-type]


def candle(*cycles: CycleRead, left: float | None = None) -> CandleRead:
    """Return a candle in a vessel of 80 mm: full at 76 mm, rule of thumb 3 h 9 min."""
    return CandleRead(80.0, cycles, left)


def one_finding(*cycles: CycleRead, left: float | None = None) -> Finding | None:
    """Return the only finding of a candle, or None."""
    found = diagnose(candle(*cycles, left=left), MARKS)
    assert len(found) <= 1
    return found[0] if found else None


def along(name: str, *values: float, first: int = 1) -> tuple[CycleRead, ...]:
    """Return cycles in which `name` was read."""
    return tuple(cycle(at, **{name: value}) for at, value in enumerate(values, start=first))


def test_nothing_read_nothing_found() -> None:
    """A candle of which nothing was read, and one not lit yet, have no finding."""
    assert diagnose(candle(), MARKS) == ()
    assert diagnose(candle(cycle(1), cycle(2), cycle(3), cycle(4)), MARKS) == ()


def test_a_pool_short_of_the_wall() -> None:
    """Three pools of which the widest is 75.9 of 76 mm are short; all three led to it."""
    found = one_finding(*along("pool_mm", 70.0, 75.9, 74.0))
    assert found == Finding(
        "pool_short",
        (Reading(1, "pool_mm", 70.0), Reading(2, "pool_mm", 75.9), Reading(3, "pool_mm", 74.0)),
        {"full_mm": 76.0, "widest_mm": 75.9},
    )


def test_a_pool_has_its_cycles() -> None:
    """Two cycles are too early to say, and one at the wall is enough, floats forgiven."""
    assert one_finding(*along("pool_mm", 60.0, 65.0)) is None
    assert one_finding(*along("pool_mm", 60.0, 76.0, 70.0)) is None
    assert one_finding(*along("pool_mm", 60.0, 76.0 - 1e-10, 70.0)) is None
    assert one_finding(*along("pool_mm", 60.0, 76.0 - 1e-9, 70.0)) is None
    assert one_finding(*along("pool_mm", 60.0, 76.0 - 1e-8, 70.0)) is not None


def test_the_last_cycle_says_nothing_of_the_pool() -> None:
    """While a candle goes out its pool shrinks: only full cycles count."""
    last = cycle(4, is_full=False, pool_mm=76.0)
    found = one_finding(*along("pool_mm", 60.0, 65.0, 66.0), last)
    assert found is not None
    assert [one.cycle for one in found.readings] == [1, 2, 3]


def test_a_pool_at_the_wall_early() -> None:
    """At 76 mm after 1 h, 2 h and 1.5 h, by the middle 1.5 h: under half of 80/25.4 = 3.15 h."""
    looks = [((0.5, 50.0), (hour, 76.0)) for hour in (1.0, 2.0, 1.5)]
    cycles = [cycle(at, pools_mm=one) for at, one in enumerate(looks, start=1)]
    found = one_finding(*cycles)
    assert found is not None
    assert found.code == "pool_early"
    assert [(one.cycle, one.name) for one in found.readings] == [
        (1, "to_wall_h"), (2, "to_wall_h"), (3, "to_wall_h"),
    ]  # fmt: skip
    assert [one.value for one in found.readings] == pytest.approx([1.0, 2.0, 1.5])
    assert found.numbers == pytest.approx({"middle_h": 1.5, "rule_h": 80 / 25.4})


def test_half_the_rule_of_thumb_is_not_early() -> None:
    """A pool that takes exactly half of one hour an inch is in time: 40/25.4 h here."""
    assert one_finding(cycle(1, pools_mm=((0.5, 50.0), (40.0 / 25.4, 76.0)))) is None
    assert one_finding(cycle(1, pools_mm=((0.5, 50.0), (1.57, 76.0)))) is not None


def test_at_the_wall_at_the_first_look() -> None:
    """A pool found at the wall at 1 h was there by then; one look alone shows no way there."""
    found = one_finding(cycle(1, pools_mm=((1.0, 76.0), (4.0, 80.0))))
    assert found is not None
    assert found.readings == (Reading(1, "to_wall_h", 1.0),)
    assert one_finding(cycle(1, pools_mm=((1.0, 76.0 - 1e-9), (4.0, 80.0)))) is not None
    assert one_finding(cycle(1, pools_mm=((1.0, 76.0),))) is None
    assert one_finding(cycle(1, pools_mm=())) is None
    assert one_finding(cycle(1, pools_mm=((1.0, 50.0), (4.0, 60.0)))) is None


def test_the_studio_says_what_full_is() -> None:
    """With a pool full at 90 %, 72 mm of 80, it was there after 1 h: 50 mm at 0.5 h, 94 at 1.5."""
    looks = cycle(1, pools_mm=((0.5, 50.0), (1.5, 94.0)))
    (found,) = diagnose(candle(looks), replace(MARKS, full_share=0.9))
    assert found.readings[0].value == pytest.approx(1.0)


def test_the_early_pool_of_the_last_cycle_is_no_finding() -> None:
    """Only full cycles are looked at."""
    assert one_finding(cycle(1, is_full=False, pools_mm=((1.0, 76.0), (4.0, 80.0)))) is None


@pytest.mark.parametrize(
    ("name", "limit", "code"),
    [
        ("flame_mm", 40.0, "flame_high"),
        ("depth_mm", 13.0, "pool_deep"),
        ("wall_c", 60.0, "wall_hot"),
    ],
)
def test_a_reading_above_the_studios_limit(name: str, limit: float, code: str) -> None:
    """Only the readings above it led to it; equal is within, and the last cycle counts too."""
    cycles = [cycle(1, **{name: limit}), cycle(2), cycle(3, **{name: limit + 1})]
    last = cycle(4, is_full=False, **{name: limit + 2})
    assert one_finding(*cycles, last) == Finding(
        code,
        (Reading(3, name, limit + 1), Reading(4, name, limit + 2)),
        {f"limit_{name}": limit},
    )
    assert one_finding(cycle(1, **{name: limit + 1e-9})) is None
    assert one_finding(cycle(1, **{name: limit + 1e-8})) is not None
    assert diagnose(candle(*cycles), replace(MARKS, **{name: None})) == ()


def test_what_was_seen() -> None:
    """A word leads to its finding, with each cycle in which it was seen; other words do not."""
    found = one_finding(cycle(1, seen=("frosting", "smoking")), cycle(3, seen=("sooting",)))
    assert found == Finding("soot", (Reading(1, "smoking"), Reading(3, "sooting")))
    assert one_finding(cycle(1, seen=("tunnelling",))) == Finding(
        "tunnelling", (Reading(1, "tunnelling"),)
    )
    assert one_finding(cycle(1, seen=("drowning",))) == Finding(
        "drowning", (Reading(1, "drowning"),)
    )
    assert one_finding(cycle(1, seen=("crack", "afterglow"))) is None


def test_one_cap_is_no_finding() -> None:
    """A cap on the wick once is the rule; twice it comes again and again."""
    assert one_finding(cycle(1, seen=("mushrooming",)), cycle(2)) is None
    found = one_finding(cycle(1, seen=("mushrooming",)), cycle(5, seen=("mushrooming",)))
    assert found == Finding("mushrooming", (Reading(1, "mushrooming"), Reading(5, "mushrooming")))


def test_tunnelling_by_what_was_left() -> None:
    """A pool short of the wall that left more than a tenth of the fill has tunnelled."""
    short = along("pool_mm", 60.0, 60.0, 60.0)
    both = diagnose(candle(*short, left=0.11), MARKS)
    assert [one.code for one in both] == ["pool_short", "tunnelling"]
    assert both[1] == Finding("tunnelling", both[0].readings, {"left_share": 0.11})
    assert [one.code for one in diagnose(candle(*short, left=0.10), MARKS)] == ["pool_short"]
    assert [one.code for one in diagnose(candle(*short), MARKS)] == ["pool_short"]
    assert one_finding(*along("pool_mm", 76.0, 76.0, 76.0), left=0.5) is None


def test_tunnelling_seen_and_measured() -> None:
    """What was seen stands before what was measured."""
    short = (*along("pool_mm", 60.0, 60.0), cycle(3, pool_mm=60.0, seen=("tunnelling",)))
    found = diagnose(candle(*short, left=0.2), MARKS)[1]
    assert found.readings[0] == Reading(3, "tunnelling")
    assert len(found.readings) == 4


def test_drowning_by_the_flame() -> None:
    """A flame of 20, 17, 13 and 10 mm sinks along a line from 20.1 to 9.9 mm: to half and less.

    Hours 2, 6, 10, 14: slope (-12·5 - 4·2 - 4·2 - ...)/80 by hand: deviations from 15 are 5, 2,
    -2, -5, so Σ = -6·5 - 2·2 + 2·(-2) + 6·(-5) = -68, over 80 = -0.85 mm/h; 15 ± 6 · 0.85.
    """
    found = one_finding(*along("flame_mm", 20.0, 17.0, 13.0, 10.0))
    assert found is not None
    assert found.code == "drowning"
    assert found.numbers == pytest.approx({"first_mm": 20.1, "last_mm": 9.9})
    assert [one.value for one in found.readings] == [20.0, 17.0, 13.0, 10.0]


def test_a_flame_that_sinks_a_little() -> None:
    """From 20 to 11 mm on a line is not to half; a fall that may be chance is none either."""
    assert one_finding(*along("flame_mm", 20.0, 17.0, 14.0, 11.0)) is None
    assert one_finding(*along("flame_mm", 30.0, 2.0, 25.0, 1.0)) is None
    assert one_finding(*along("flame_mm", 20.0, 14.0, 8.0, 5.0)) is None  # nearly sure is not
    assert one_finding(*along("flame_mm", 10.0, 13.0, 17.0, 20.0)) is None
    assert one_finding(*along("flame_mm", 20.0, 15.0, 10.0)) is None


def test_no_flame_at_all() -> None:
    """A flame of nothing in every cycle does not sink."""
    assert one_finding(*along("flame_mm", 0.0, 0.0, 0.0, 0.0)) is None


def test_a_flame_at_exactly_half_drowns() -> None:
    """On an exact line from 20 to 10 mm the flame is at half."""
    found = one_finding(*along("flame_mm", 20.0, 17.5, 15.0, 12.5, 10.0))
    assert found is not None
    assert found.code == "drowning"


def test_drowning_seen_and_measured() -> None:
    """What was seen stands before what was measured."""
    cycles = (*along("flame_mm", 20.0, 17.0, 13.0), cycle(4, flame_mm=10.0, seen=("drowning",)))
    found = one_finding(*cycles)
    assert found is not None
    assert [one.name for one in found.readings] == ["drowning", *["flame_mm"] * 4]


# Cycles 2 to 5 of 4 h lie at 6, 10, 14 and 18 h; the line of 5.0, 5.5, 6.0, 6.5 is exact.
def test_a_rate_that_rises() -> None:
    """From 5.0 to 6.5 g/h is 26.1 % of the mean 5.75; the first cycle, far below, stays out."""
    cycles = along("rate_g_per_h", 1.0, 5.0, 5.5, 6.0, 6.5)
    found = one_finding(*cycles)
    assert found is not None
    assert found.code == "rate_rising"
    assert [one.cycle for one in found.readings] == [2, 3, 4, 5]
    assert found.numbers == pytest.approx(
        {
            "first_g_per_h": 5.0,
            "last_g_per_h": 6.5,
            "low_share": 1.5 / 5.75,
            "high_share": 1.5 / 5.75,
        }
    )


def test_a_rate_that_falls() -> None:
    """The same the other way, with the interval of the change below 0."""
    found = one_finding(*along("rate_g_per_h", 6.5, 6.0, 5.5, 5.1, first=2))
    assert found is not None
    assert found.code == "rate_falling"
    low, high = found.numbers["low_share"], found.numbers["high_share"]
    # By hand: deviations from 5.775: .725, .225, -.275, -.675; slope -(6·.725 + 2·.225 + 2·.275 +
    # 6·.675)/80 = -0.1175 g/h²; over 12 h -1.41 g/h; residuals .02, -.01, -.04, .03: sd .0387;
    # se .0387/√80 = .00433; t(0.995, 2) = 9.925 (table): ± .516 g/h on 5.775.
    assert (low + high) / 2 == pytest.approx(-1.41 / 5.775, rel=1e-9)
    assert (high - low) / 2 == pytest.approx(0.5158 / 5.775, rel=1e-3)


@pytest.mark.parametrize(
    "rates",
    [
        (5.0, 5.5, 6.0),  # too few
        (5.0, 5.2, 5.4, 5.6),  # 11 % of the mean
        (5.6, 5.4, 5.2, 5.0),
        (4.0, 7.0, 3.0, 9.0),  # by chance
        (9.0, 3.0, 7.0, 4.0),
        (-1.0, 0.0, 0.0, 1.0),  # no mean to speak of
        (0.0, 0.0, 0.0, 0.0),
        (-4.0, -3.0, -2.0, -1.0),
    ],
)
def test_a_rate_that_keeps(rates: tuple[float, ...]) -> None:
    """Too few cycles, too little a change, or one that may be chance: nothing is found."""
    assert one_finding(*along("rate_g_per_h", *rates, first=2)) is None


def test_a_slow_rate_that_rises() -> None:
    """Below 1 g/h a change is a change."""
    found = one_finding(*along("rate_g_per_h", 0.5, 0.55, 0.6, 0.65, first=2))
    assert found is not None
    assert found.code == "rate_rising"


def test_a_rate_that_quadruples() -> None:
    """A change that may be less or more than the mean itself, but never none, is a change."""
    found = one_finding(*along("rate_g_per_h", 2.0, 4.3, 5.7, 8.0, first=2))
    assert found is not None
    assert 0 < found.numbers["low_share"] < 1 < found.numbers["high_share"]


def test_exactly_the_share_is_a_change() -> None:
    """A change of 15 % of the mean counts: 3.7 to 4.3 g/h about 4.0, in binary fractions."""
    marks = 4.0 * 0.15 / 3
    just = [4.0 + marks * (at - 1.5) * (1 + 1e-12) for at in range(4)]
    assert one_finding(*along("rate_g_per_h", *just, first=2)) is not None
    less = [4.0 + marks * (at - 1.5) * (1 - 1e-9) for at in range(4)]
    assert one_finding(*along("rate_g_per_h", *less, first=2)) is None


def test_cycles_that_were_not_timed_draw_no_line() -> None:
    """Without its duration a cycle has no place along the life; with none at all, no line."""
    cycles = [replace(one, burned_h=None) for one in along("rate_g_per_h", 5, 5.5, 6, 6.5, first=2)]
    assert one_finding(*cycles) is None
    still = [replace(one, burned_h=0.0, start_h=0.0)
             for one in along("rate_g_per_h", 5, 5.5, 6, 6.5, first=2)]  # fmt: skip
    assert one_finding(*still) is None


def test_the_last_cycle_is_not_part_of_the_life() -> None:
    """The flame and the rate of a candle going out fall, and are no finding."""
    last = cycle(6, is_full=False, rate_g_per_h=1.0, flame_mm=3.0)
    steady = [replace(one, flame_mm=20.0) for one in along("rate_g_per_h", 5.0, 5.0, 5.0, 5.0, 5.0)]
    assert one_finding(*steady, last) is None


def test_the_place_of_a_reading_is_the_middle_of_its_cycle() -> None:
    """Cycles of unlike length: at 2, 5, 6.5 and 9 h a rate of 4 + h/5 lies on a line."""
    spans = ((0.0, 4.0), (4.0, 2.0), (6.0, 1.0), (7.0, 4.0))
    cycles = [
        cycle(at, start_h=start, burned_h=long, rate_g_per_h=4 + (start + long / 2) / 5)
        for at, (start, long) in enumerate(spans, start=2)
    ]
    found = one_finding(*cycles)
    assert found is not None
    assert found.numbers["low_share"] == pytest.approx(found.numbers["high_share"], rel=1e-9)
    assert found.numbers["last_g_per_h"] == pytest.approx(5.8)


def test_findings_come_in_the_order_of_the_codes() -> None:
    """All that ails a candle is told, in a fixed order."""
    does = FAULTS["too large a wick"][0]
    found = [one.code for one in diagnose(burned(does, 1), MARKS)]
    assert all(CODES.index(a) < CODES.index(b) for a, b in pairwise(found))
    assert len(found) == 4


def test_what_a_series_shares() -> None:
    """What most candles have comes first; common is what all of two or more have."""
    soot, hot, deep = (Finding(code, ()) for code in ("soot", "wall_hot", "pool_deep"))
    found = shared({"a": (hot, soot), "b": (hot,), "c": (hot, deep)})
    assert found == (
        Shared("wall_hot", ("a", "b", "c"), 3),
        Shared("pool_deep", ("c",), 3),
        Shared("soot", ("a",), 3),
    )
    assert [one.is_common for one in found] == [True, False, False]


def test_one_candle_shares_with_nobody() -> None:
    """A single candle has its findings, but nothing in common; no candle has none."""
    (found,) = shared({"a": (Finding("soot", ()),)})
    assert found == Shared("soot", ("a",), 1)
    assert not found.is_common
    assert shared({}) == ()
    assert shared({"a": ()}) == ()


# Left by mutation testing, and equivalent, since no readings lie on that very float: `>` for `>=`
# where hours are held against half the rule of thumb less the slack of 1e-9; `<=` for `<` where a
# change is held against 15 % of the mean; `<` for `<=` at either end of the interval of a change.
