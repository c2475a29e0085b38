"""Whether an ended candle was burned: what the masses tell.

The thresholds are common practice, no published source; each case has its arithmetic beside it.
108 g were poured. The whole life burns 99 g of them and leaves 4 g. The shipped protocol lets a
twentieth go missing; one that lets a tenth go shows what is only watched.
"""

import pytest

from handbook_builder.verdicts.balance import balance_of
from handbook_builder.verdicts.candles import CandleVerdict
from tests.records_in_text import BASE, FULL_CYCLE, STUDIO, whole_life
from tests.verdicts.told import candle, codes, told

TENTH = {
    **BASE,
    "studio.md": STUDIO.replace("default", "house"),
    "protocols/house.md": "---\nbalance: 10 %\n---\n",
}


def ended(
    left: str, *, after: str = "301.0 g", files: dict[str, str] | None = None
) -> CandleVerdict:
    """Return a candle that went out with `left`, its last cycle ending at `after`."""
    life = [*whole_life()[:3], whole_life()[3].replace("301.0 g", after)]
    end = f"{{how: went_out, {left}vessel: sound, tilt: steady, cycles: all}}"
    return candle(cycles=life, end=end, files=files or BASE)


def test_a_candle_in_balance() -> None:
    """5 g of 108 g are lost: less than a twentieth, which weighing and the wick explain."""
    verdict = ended("left: 4.0 g, ")
    assert verdict.verdict == "pass"
    assert verdict.cycles[-1].watches == ()
    found = balance_of(verdict.seen)
    assert found is not None
    assert (found.poured_g, found.burned_g, found.left_g) == (108.0, 99.0, 4.0)
    assert found.lost_g == 5.0


def test_one_cycle_is_no_test() -> None:
    """A last cycle may be short; when it is the only one, nothing was burned in full."""
    only = (
        "{on: 2026-03-16, burned: 1 min, before: 400.0 g, after: 399.9 g, flame: 22 mm, "
        "after_smoke: 1 s}"
    )
    verdict = candle(cycles=[only])
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps)[0] == ("no_full_cycle", 14, {})
    assert codes(verdict.gaps) == ["no_full_cycle", "unaccounted"]
    full = FULL_CYCLE % (16, 400.0, 374.0)
    assert candle(cycles=[full]).verdict == "incomplete"
    assert "no_full_cycle" not in codes(candle(cycles=[full], end="").gaps)


@pytest.mark.parametrize(("left", "too_much"), [("27.0 g", False), ("27.1 g", True)])
def test_how_much_may_be_left(left: str, *, too_much: bool) -> None:
    """A quarter of 108 g is 27 g. 381.1 burned down to 319: 81 g burned."""
    verdict = ended(f"left: {left}, ", after="319.0 g")
    details = {"burned_g": 81.0, "left_g": 27.1, "poured_g": 108.0}
    assert told(verdict.gaps) == ([("too_much_left", 19, details)] if too_much else [])


@pytest.mark.parametrize(("left", "too_much"), [("19.8 g", False), ("19.9 g", True)])
def test_more_than_was_poured(left: str, *, too_much: bool) -> None:
    """A tenth more than 108 g is 118.8 g: 99 g burned and 19.8 g left."""
    verdict = ended(f"left: {left}, ")
    details = {"burned_g": 99.0, "left_g": 19.9, "poured_g": 108.0}
    assert told(verdict.gaps) == ([("more_than_poured", 19, details)] if too_much else [])


@pytest.mark.parametrize(("left", "watched"), [("left: 3.6 g, ", False), ("left: 3.5 g, ", True)])
def test_a_loss_is_watched(left: str, *, watched: bool) -> None:
    """A twentieth of 108 g is 5.4 g: 99 g burned and 3.6 g left."""
    verdict = ended(left, files=TENTH)
    assert verdict.verdict == "pass"
    details = {"lost_g": pytest.approx(5.5), "poured_g": 108.0}
    expected = [("unaccounted", 19, details)] if watched else []
    assert told(verdict.cycles[-1].watches) == expected
    assert all(one.watches == () for one in verdict.cycles[:-1])


def test_a_loss_beside_what_was_watched_already() -> None:
    """It is added to what the last cycle has, not put in its place."""
    life = [*whole_life()[:3], whole_life()[3].replace("15 mm", "15 mm, seen: [flickering]")]
    end = "{how: went_out, vessel: sound, tilt: steady, cycles: all}"
    verdict = candle(cycles=life, end=end, files=TENTH)
    assert codes(verdict.cycles[-1].watches) == ["seen", "left_missing"]


def test_what_is_left_untold_is_all_that_has_not_burned() -> None:
    """9 g of 108 g: too much for the shipped twentieth, and watched where a tenth may go."""
    details = {"lost_g": 9.0, "poured_g": 108.0}
    assert told(ended("").gaps) == [("left_missing", 19, details)]
    assert ended("").verdict == "incomplete"
    allowed = ended("", files=TENTH)
    assert allowed.verdict == "pass"
    assert told(allowed.cycles[-1].watches) == [("left_missing", 19, details)]


@pytest.mark.parametrize(
    ("after", "expected"),
    # 108 g were poured: a twentieth of it is 5.4 g, a tenth 10.8 g, a quarter 27 g.
    [
        ("297.4 g", []),  # 102.6 g burned, 5.4 g not
        ("297.5 g", ["left_missing"]),
        ("319.0 g", ["left_missing"]),  # 81 g burned, 27 g not
        ("319.1 g", ["too_much_left", "left_missing"]),
    ],
)
def test_how_much_may_be_left_untold(after: str, expected: list[str]) -> None:
    """Unsaid, what has not burned is held against both bounds."""
    assert codes(ended("", after=after).gaps) == expected


@pytest.mark.parametrize("after_g", [293.5, 297.4, 297.5, 302.8, 302.9, 319.0, 319.1, 380.0])
@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
@pytest.mark.parametrize("files", [BASE, TENTH])
def test_to_delete_what_is_left_is_never_better_than_to_write_it(
    after_g: float, share: float, files: dict[str, str]
) -> None:
    """Whatever part of the wax that has not burned is said to be left."""
    unburned_g = 108.0 - (400.0 - after_g)
    written = ended(f"left: {share * unburned_g:.2f} g, ", after=f"{after_g} g", files=files)
    unsaid = ended("", after=f"{after_g} g", files=files)
    assert (written.verdict, unsaid.verdict) != ("incomplete", "pass")


def test_what_is_left_untold_is_not_invented() -> None:
    """118.8 g burned of 108 g is just within; 119 g is more than was poured, with nothing left."""
    assert ended("", after="281.2 g").verdict == "pass"
    verdict = ended("", after="281.0 g")
    details = {"burned_g": 119.0, "left_g": 0.0, "poured_g": 108.0}
    assert told(verdict.gaps) == [("more_than_poured", 19, details)]


def test_the_shipped_protocol_bounds_the_loss() -> None:
    """A twentieth of 108 g is 5.4 g: 3.6 g left is enough, 3.5 g is not."""
    assert ended("left: 3.6 g, ").verdict == "pass"
    verdict = ended("left: 3.5 g, ")
    assert verdict.verdict == "incomplete"
    details = {"lost_g": pytest.approx(5.5), "poured_g": 108.0}
    assert told(verdict.gaps) == [("unaccounted", 19, details)]


def test_a_protocol_may_bound_the_loss() -> None:
    """With `balance: 4 %`, 4.32 g may be lost; more keeps the candle from passing."""
    files = {
        **BASE,
        "studio.md": STUDIO.replace("default", "house"),
        "protocols/house.md": "---\nbalance: 4 %\n---\n",
    }
    assert ended("left: 4.7 g, ", files=files).verdict == "pass"
    verdict = ended("left: 4.6 g, ", files=files)
    assert verdict.verdict == "incomplete"
    details = {"lost_g": pytest.approx(4.4), "poured_g": 108.0}
    assert told(verdict.gaps) == [("unaccounted", 19, details)]
    assert verdict.cycles[-1].watches == ()


def test_what_was_trimmed_did_not_burn() -> None:
    """1 g of wick cut between two cycles: 98 g burned."""
    cut = whole_life()[1].replace("before: 374.0 g", "before: 373.0 g, trimmed: 1.0 g")
    verdict = candle(cycles=[whole_life()[0], cut, *whole_life()[2:]])
    found = balance_of(verdict.seen)
    assert found is not None
    assert found.burned_g == 98.0


def test_no_balance_without_its_masses() -> None:
    """A mass that was not read is told as that; a candle that still burns has no balance yet."""
    life = [whole_life()[0].replace("before: 400.0 g, ", ""), *whole_life()[1:]]
    assert codes(candle(cycles=life).gaps) == ["reading_missing"]
    assert balance_of(candle(cycles=life).seen) is None
    life = [*whole_life()[:3], whole_life()[3].replace("after: 301.0 g, ", "")]
    assert codes(candle(cycles=life).gaps) == ["reading_missing"]
    assert balance_of(candle(cycles=whole_life()[:3], end="").seen) is None


def test_oil_and_dye_are_poured_too() -> None:
    """100 g of wax, 8 g of oil and 1 g of dye are 109 g."""
    files = {**BASE, "colorants/red.md": "---\nform: flakes\n---\n"}
    verdict = candle(files=files, made="  colorant: {red: 1.0 g}\n")
    found = balance_of(verdict.seen)
    assert found is not None
    assert found.poured_g == 109.0
