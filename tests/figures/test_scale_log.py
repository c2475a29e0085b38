"""A logging scale's readings, made from known parameters: what was put in must come out."""

import math
from random import Random
from typing import Any

import numpy as np
import pytest
from scipy import stats

from handbook_builder.figures import scale_log as room
from handbook_builder.figures.scale_log import (
    Gap,
    ScaleLog,
    Spell,
    Unreadable,
    noise_g,
    pooled_slope,
    scale_log,
)

RATE = 6.0  # g/h
STEP_H = 1 / 60


def series(
    *lit: tuple[float, float],
    until_h: float,
    rate: float = RATE,
    step_h: float = STEP_H,
    silent: tuple[float, float] = (0, 0),
) -> tuple[list[float], list[float]]:
    """Return hours and exact masses of a candle of 400 g, with a flame in the times `lit`."""
    hours = [step_h * one for one in range(round(until_h / step_h) + 1)]
    hours = [one for one in hours if not silent[0] + 1e-9 < one < silent[1] - 1e-9]
    burned = [sum(max(0.0, min(hour, end) - begin) for begin, end in lit) for hour in hours]
    return hours, [400.0 - rate * one for one in burned]


def near(value: float) -> Any:  # noqa: ANN401 -- stands where a number does
    """Return what equals `value` but for what floats add."""
    return pytest.approx(value, abs=1e-9)


def read(found: ScaleLog | Unreadable) -> ScaleLog:
    """Return a log that must tell something."""
    assert isinstance(found, ScaleLog), found
    return found


def spells(log: ScaleLog) -> list[tuple[float, float]]:
    """Return the times with a flame as pairs."""
    return [(one.begin_h, one.end_h) for one in log.spells]


def test_one_steady_burn() -> None:
    """An exact line gives its own rate, hours and weights back."""
    log = read(scale_log(*series((0, 4), until_h=4), 0.1))
    assert spells(log) == [pytest.approx((0, 4))]
    assert (log.burned_h, log.before_g, log.after_g) == pytest.approx((4, 400, 376))
    assert log.rate_g_per_h == pytest.approx(RATE, rel=1e-12)
    assert log.rate_se_g_per_h == pytest.approx(0, abs=1e-12)
    assert (log.pauses, log.gaps) == ((), ())


def test_lit_late_and_put_out_early() -> None:
    """What stands still at either end is no burning, and its mass is the weight before and after.

    The edges of a flat and a falling line are found where they are, since a window about the edge
    sees half of each.
    """
    log = read(scale_log(*series((0.5, 4), until_h=5), 0.1))
    assert spells(log)[0] == pytest.approx((0.5, 4), abs=1e-9)
    assert log.burned_h == pytest.approx(3.5)
    assert (log.before_g, log.after_g) == pytest.approx((400, 379))
    assert log.rate_g_per_h == pytest.approx(RATE, rel=1e-9)


def test_a_relight() -> None:
    """A pause is told apart, counts for nothing, and the rate is that of the burning alone."""
    log = read(scale_log(*series((0, 1.5), (2, 4), until_h=4), 0.1))
    assert spells(log) == [pytest.approx((0, 1.5)), pytest.approx((2, 4))]
    assert [(one.begin_h, one.end_h) for one in log.pauses] == [pytest.approx((1.5, 2))]
    assert log.pauses[0].hours_h == pytest.approx(0.5)
    assert log.burned_h == pytest.approx(3.5)
    assert log.rate_g_per_h == pytest.approx(RATE, rel=1e-9)


@pytest.mark.parametrize(("pause_h", "found"), [(0.075, 0), (0.095, 1)])
def test_how_short_a_pause_may_be(pause_h: float, found: int) -> None:
    """Ten steps of 0.1 g burn away in 10 min at 6 g/h: a pause of half of that, 5 min, is seen."""
    hours, masses = series((0, 2), (2 + pause_h, 4), until_h=4, step_h=0.005)
    log = read(scale_log(hours, masses, 0.1))
    assert len(log.pauses) == found
    assert len(log.spells) == found + 1


def test_a_long_still_end_does_not_hide_the_burn() -> None:
    """A log left running overnight: 2 h of burning in 20 h."""
    log = read(scale_log(*series((0, 2), until_h=20), 0.1))
    assert spells(log)[0] == pytest.approx((0, 2), abs=1e-6)
    assert log.rate_g_per_h == pytest.approx(RATE, rel=1e-6)


def test_a_gap_that_burned_on() -> None:
    """A silent scale is told; the candle burned on, since the mass says so."""
    log = read(scale_log(*series((0, 4), until_h=4, silent=(1, 2)), 0.1))
    assert log.gaps == (Gap(near(1), near(2), near(6), near(1)),)
    assert spells(log) == [pytest.approx((0, 1)), pytest.approx((2, 4))]
    assert log.pauses == ()
    assert log.burned_h == pytest.approx(4)


def test_a_gap_with_the_flame_out_for_a_while() -> None:
    """What was lost in it over the rate is how long it burned in it: 24 of 60 min."""
    log = read(scale_log(*series((0, 1.4), (2, 4), until_h=4, silent=(1, 2)), 0.1))
    assert (log.gaps[0].lost_g, log.gaps[0].burned_h) == pytest.approx((2.4, 0.4))
    assert log.burned_h == pytest.approx(3.4)


def test_a_gap_cannot_burn_for_longer_than_it_lasts() -> None:
    """Nor less than no time: bounded below by 0 and above by the gap."""
    hours, masses = series((0, 4), until_h=4, silent=(1, 2))
    after = hours.index(near(2))
    heavier = [one + 5.8 if at >= after else one for at, one in enumerate(masses)]
    lighter = [one - 0.5 if at >= after else one for at, one in enumerate(masses)]
    assert read(scale_log(hours, lighter, 0.1)).gaps[0].burned_h == pytest.approx(1)
    assert read(scale_log(hours, heavier, 0.1)).gaps[0].burned_h == pytest.approx(0.2 / 6)
    rising = [one + 6.3 if at >= after else one for at, one in enumerate(masses)]
    gap = read(scale_log(hours, rising, 0.1)).gaps[0]
    assert (gap.lost_g, gap.burned_h) == (0, 0)


@pytest.mark.parametrize(("steps", "gaps"), [(5, 0), (6, 1)])
def test_when_a_silence_is_a_gap(steps: int, gaps: int) -> None:
    """More than five times the usual step."""
    hours, masses = series((0, 4), until_h=4, step_h=1 / 64, silent=(1, 1 + steps / 64))
    assert len(read(scale_log(hours, masses, 0.1)).gaps) == gaps


@pytest.mark.parametrize("seed", range(20))
def test_noise_and_the_scales_step(seed: int) -> None:
    """With noise of half a step and readings rounded to the step, all within what that explains.

    An edge is found to about noise · √2 / rate, here 1.5 min; four of them, three deviations each.
    """
    draw = Random(seed)  # noqa: S311 -- draws numbers, keeps no secret
    hours, exact = series((0.25, 1.75), (2.25, 4), until_h=4.25)
    masses = [round((one + draw.gauss(0, 0.05)) * 10) / 10 for one in exact]
    log = read(scale_log(hours, masses, 0.1))
    assert len(log.pauses) == 1
    assert spells(log) == [
        pytest.approx((0.25, 1.75), abs=0.075), pytest.approx((2.25, 4), abs=0.075)
    ]  # fmt: skip
    assert abs(log.rate_g_per_h - RATE) < 5 * log.rate_se_g_per_h + 0.01
    assert (log.before_g, log.after_g) == pytest.approx((400, 380.5), abs=0.1)


def test_one_run_agrees_with_scipy() -> None:
    """Slope and standard error of one run are those of scipy.stats.linregress."""
    draw = Random(7)  # noqa: S311 -- as above
    points = [(hour / 10, 400 - hour / 2 + draw.gauss(0, 0.2)) for hour in range(30)]
    theirs = stats.linregress(*zip(*points, strict=True))
    assert pooled_slope([points]) == pytest.approx((theirs.slope, theirs.stderr), rel=1e-10)


def test_several_runs_agree_with_least_squares() -> None:
    """An intercept for each run: slope and error by NumPy's least squares on the design matrix."""
    draw = Random(8)  # noqa: S311 -- as above
    groups = [
        [(begin + hour / 10, top - hour / 2 + draw.gauss(0, 0.2)) for hour in range(size)]
        for begin, top, size in ((0, 400, 12), (2, 396, 3), (3, 390, 20))
    ]
    hours, masses = zip(*(point for group in groups for point in group), strict=True)
    columns = [hours] + [
        [float(which == group) for which, one in enumerate(groups) for _ in one]
        for group in range(len(groups))
    ]
    design = np.array(columns).T
    fitted, left, *_ = np.linalg.lstsq(design, np.array(masses), rcond=None)
    variance = left[0] / (len(hours) - len(columns))
    error = math.sqrt(variance * np.linalg.inv(design.T @ design)[0, 0])
    assert pooled_slope(groups) == pytest.approx((fitted[0], error), rel=1e-9)


def test_the_rate_is_that_of_the_readings_within_the_spells() -> None:
    """The regression takes every reading from first light on to the last."""
    hours, masses = series((0, 4), until_h=4)
    bent = [one + 0.02 * math.sin(at) for at, one in enumerate(masses)]
    log = read(scale_log(hours, bent, 0.1))
    (one,) = log.spells
    assert (one.begin_h, one.end_h) == pytest.approx((0, 4), abs=0.002)
    within = [pair for pair in zip(hours, bent, strict=True) if 0 <= pair[0] <= one.end_h]
    theirs = stats.linregress(*zip(*within, strict=True))
    assert log.rate_g_per_h == pytest.approx(-theirs.slope, rel=1e-12)
    assert log.rate_se_g_per_h == pytest.approx(theirs.stderr, rel=1e-9)


def test_noise_is_at_least_the_scales_step() -> None:
    """A steady loss has no noise; then the scale's step stands for it."""
    assert noise_g([5.0, 4.0, 3.0, 2.0], 0.1) == 0.1
    # Second differences 3, 3: 3 / (0.6745 √6) = 1.815809 (computed).
    assert noise_g([0.0, 1.0, 5.0, 12.0], 0.1) == pytest.approx(1.815809, rel=1e-6)


def test_noise_of_normal_readings() -> None:
    """The deviation put in comes out, to what 2,000 readings allow."""
    draw = Random(3)  # noqa: S311 -- as above
    masses = [400 - 0.1 * at + draw.gauss(0, 0.3) for at in range(2000)]
    assert noise_g(masses, 0.01) == pytest.approx(0.3, rel=0.06)


def test_too_few_readings() -> None:
    """Eight are the fewest."""
    hours, masses = series((0, 4), until_h=4, step_h=4 / 7)
    assert len(hours) == 8
    assert isinstance(scale_log(hours, masses, 0.1), ScaleLog)
    assert scale_log(hours[:7], masses[:7], 0.1) == Unreadable("few_readings", 7, 0.0)
    assert scale_log([], [], 0.1) == Unreadable("few_readings", 0, 0.0)


def test_time_must_go_on() -> None:
    """A time that stands still or runs back is named by its reading."""
    hours, masses = series((0, 4), until_h=4)
    still = [*hours[:5], hours[4], *hours[6:]]
    assert scale_log(still, masses, 0.1) == Unreadable("time_backwards", 6, near(-0.1))
    back = [*hours[:5], 0.0, *hours[6:]]
    found = scale_log(back, masses, 0.1)
    assert isinstance(found, Unreadable)
    assert (found.code, found.reading) == ("time_backwards", 6)


@pytest.mark.parametrize(
    ("change_g", "jumps"),
    # Six steps of 0.1 g, and what 100 g/h burn in a minute: 1.6667 g. In a minute 0.1 g burn.
    [(0.65, False), (0.75, True), (-2.1, False), (-2.2, True)],
)
def test_a_hand_on_the_scale(change_g: float, *, jumps: bool) -> None:
    """A change that no flame and no noise explain stops the reading, and is told."""
    hours, masses = series((0, 4), until_h=4)
    moved = [one + change_g if at >= 100 else one for at, one in enumerate(masses)]
    found = scale_log(hours, moved, 0.1)
    assert isinstance(found, Unreadable) == jumps
    if jumps:
        assert found == Unreadable("mass_jumped", 101, near(change_g - 0.1))


def test_too_little_lost() -> None:
    """Below twenty steps of the scale, a flame cannot be told from none."""
    hours, masses = series((0, 4), until_h=4, rate=0.499)
    assert scale_log(hours, masses, 0.1) == Unreadable("little_lost", 241, near(-1.996))
    assert isinstance(scale_log(*series((0, 4), until_h=4, rate=0.501), 0.1), ScaleLog)


def test_all_lost_while_the_scale_was_silent() -> None:
    """Still before a gap and still after it: there is no run to take a rate from."""
    hours, masses = series((1, 2), until_h=3, silent=(1, 2))
    masses = [400.03, *masses[1:-1], 393.96]
    assert scale_log(hours, masses, 0.1) == Unreadable("little_lost", len(hours), near(-6.07))


def test_wrong_use() -> None:
    """Unequal lists and a scale without a step are mistakes of the program."""
    with pytest.raises(ValueError, match="argument 2"):
        scale_log([1.0, 2.0], [1.0], 0.1)
    with pytest.raises(ValueError, match=r"^readability_g"):
        scale_log([1.0], [1.0], 0.0)


def test_hours_may_count_from_any_moment() -> None:
    """A log whose clock began long ago reads the same."""
    hours, masses = series((0.5, 4), until_h=5)
    log = read(scale_log([hour + 512 for hour in hours], masses, 0.1))
    assert spells(log)[0] == pytest.approx((512.5, 516), abs=1e-9)
    assert log.rate_g_per_h == pytest.approx(RATE, rel=1e-9)


def test_three_readings_make_a_line() -> None:
    """A spell of three readings, an hour apart, has a rate; the others stand still."""
    hours = [float(hour) for hour in range(8)]
    masses = [400.0, 400, 400, 395, 390, 390, 390, 390]
    log = read(scale_log(hours, masses, 0.125))
    assert log.rate_g_per_h == pytest.approx(5)
    assert log.rate_se_g_per_h == pytest.approx(0)


# Steps of 1/64 h and of 0.125 g, which floats hold exactly: 8 g/h are 0.125 g a step.
@pytest.mark.parametrize("change_g", [0.875, 0.125 - 0.75 - 100 / 64])
def test_just_within_what_noise_and_flame_explain(change_g: float) -> None:
    """Six steps up, and six steps below 100 g/h down, are no jump: a limit is within itself."""
    hours, masses = series((0, 4), until_h=4, rate=8, step_h=1 / 64)
    moved = [one + change_g if at >= 100 else one for at, one in enumerate(masses)]
    assert isinstance(scale_log(hours, moved, 0.125), ScaleLog)


def test_just_enough_lost() -> None:
    """Twenty steps of the scale: 0.625 g/h for 4 h are 20 times 0.125 g."""
    hours, masses = series((0, 4), until_h=4, rate=0.625, step_h=1 / 64)
    assert masses[0] - masses[-1] == 20 * 0.125
    assert isinstance(scale_log(hours, masses, 0.125), ScaleLog)


# The joints below are hard to reach from without; each case is worked by hand.
STRETCH = [(0.0, 10.0), (1.0, 8.0), (2.0, 2.0), (4.0, 0.0)]


@pytest.mark.parametrize(
    ("hour", "mass"), [(-3, 10), (0, 10), (0.5, 9), (1, 8), (1.5, 5), (3, 1), (4, 0), (9, 0)]
)
def test_mass_between_and_beyond_readings(hour: float, mass: float) -> None:
    """Interpolated between two readings; before and after, as if the mass had stood still."""
    assert room._mass(STRETCH, hour) == mass  # noqa: SLF001


def test_rates_through_a_window() -> None:
    """What is lost from half a window before to half a window after, over the window."""
    # Width 2: (10 - 8)/2, (10 - 2)/2, (8 - 1)/2, (1 - 0)/2.
    assert room._rates(STRETCH, 2.0) == [1.0, 4.0, 3.5, 0.5]  # noqa: SLF001


# The whole log loses 1 g/h, so that the first pass takes what is above 0.5 g/h for a flame.
@pytest.mark.parametrize(
    ("rates", "rate"),
    [
        ([2, 4, 6], 5),  # above 0.5: median 4; above 2, which 2 is not: median 5
        ([0.45, 2, 4, 6], 5),  # above 0.5: median 4; above 2: median 5
        ([0.7, 2, 4, 6], 4),  # above 0.5: median 3; above 1.5: median 4
    ],
)
def test_the_window_follows_the_flame(
    rates: list[float], rate: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three passes; the last window is ten times the noise wide, and asks for half of the rate."""
    monkeypatch.setattr(room, "_rates", lambda _stretch, _width: rates)
    window = room._window([[(0.0, 8.0), (4.0, 6.0), (8.0, 0.0)]], 10.0)  # noqa: SLF001
    assert window == room._Window(100.0 / rate, rate / 2)  # noqa: SLF001


def _spelled(monkeypatch: pytest.MonkeyPatch, rates: list[float], width_h: float) -> list[Spell]:
    monkeypatch.setattr(room, "_rates", lambda _stretch, _width: rates)
    stretch = [(float(at), 0.0) for at in range(len(rates))]
    return room._spells(stretch, room._Window(width_h, 1.0))  # noqa: SLF001


@pytest.mark.parametrize(
    ("rates", "width_h", "found"),
    [
        ([2, 2, 0, 0], 2.0, [(0, 1.5)]),
        ([0, 0, 2, 2], 2.0, [(1.5, 3)]),  # lit to its last reading
        ([2, 2, 2, 2], 2.0, [(0, 3)]),
        ([0, 2, 0, 0], 2.0, [(0.5, 1.5)]),  # half a window wide, and so a spell
        ([0, 2, 0, 0], 2.01, []),
        ([2, 2, 0, 2, 2], 2.0, [(0, 1.5), (2.5, 4)]),  # half a window apart, and so a pause
        ([2, 2, 0, 2, 2], 2.01, [(0, 4)]),
        ([0, 1, 5, 0, 0], 1.0, [(1, 2.8)]),  # at the edge is not within
    ],
)
def test_spells_from_rates(
    rates: list[float],
    width_h: float,
    found: list[tuple[float, float]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Edges where the rate passes the flame's; what half a window cannot tell is left out."""
    told = _spelled(monkeypatch, rates, width_h)
    assert [(one.begin_h, one.end_h) for one in told] == found


def test_readings_within_the_spells() -> None:
    """Those at the edges are within."""
    found = list(room._within(STRETCH, [Spell(0.0, 1.0), Spell(1.5, 4.0)]))  # noqa: SLF001
    assert found == [STRETCH[:2], STRETCH[2:]]


# Mutants that are left change nothing that can be seen: `strict` of a `zip` of equal lengths, or
# of one that is meant to stop at the shortest; and the first stretch from None instead of 0.
