"""What leaves a test candle in doubt: how wide, how heavy, how steady, how many cycles.

The slacks are common practice, no published source; each case has its arithmetic beside it.
"""

from datetime import date

import pytest

from handbook_builder.verdicts.candles import CandleVerdict
from tests.records_in_text import BASE, STUDIO, VESSEL, burn, proven, whole_life
from tests.verdicts.told import candle, codes, judged, told

END = "{how: went_out, left: 4.0 g, vessel: sound, tilt: steady%s}"


def changed(old: str, new: str, files: dict[str, str] | None = None) -> CandleVerdict:
    """Return the verdict on a candle whose record has one piece replaced."""
    text = burn()
    assert old in text
    laid_over = {**(files or BASE), "burns/fig-a.md": text.replace(old, new)}
    return judged(laid_over).burns["fig-a"].candle


def house(protocol: str) -> dict[str, str]:
    """Return the base studio under a protocol of its own."""
    studio = STUDIO.replace("default", "house")
    return {**BASE, "studio.md": studio, "protocols/house.md": f"---\n{protocol}---\n"}


def test_a_width_that_is_unsaid() -> None:
    """A burn bears the measure that it is judged by; without it the vessel's is used, and told."""
    verdict = changed("  inside_diameter: 72 mm\n", "")
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps) == [("diameter_unsaid", 3, {"vessel": "tumbler", "inside_mm": 72.0})]
    narrow = [whole_life()[0], whole_life()[1], whole_life()[2].replace("70 mm", "60 mm")]
    text = burn(cycles=[*narrow, whole_life()[3]]).replace("  inside_diameter: 72 mm\n", "")
    judged_by_vessel = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert codes(judged_by_vessel.failures) == ["coverage_under"]


@pytest.mark.parametrize(
    ("width", "disagrees"),
    # 2 % of 72 mm is 1.44 mm.
    [("73.44 mm", False), ("73.45 mm", True), ("70.56 mm", False), ("70.55 mm", True)],
)
def test_a_width_that_is_not_the_vessels(width: str, *, disagrees: bool) -> None:
    """Vessels of one make differ a little; more than that is a contradiction that names both."""
    verdict = changed("inside_diameter: 72 mm", f"inside_diameter: {width}")
    assert verdict.verdict == ("incomplete" if disagrees else "pass")
    details = {
        "vessel": "tumbler", "inside_mm": 72.0, "measured_mm": float(width.split(maxsplit=1)[0]),
        "where": "records/vessels/tumbler.md:5",
    }  # fmt: skip
    assert told(verdict.gaps) == ([("diameter_disagrees", 10, details)] if disagrees else [])


def test_a_vessel_measured_anew_rejudges_no_candle_in_silence() -> None:
    """The candle keeps its width, and so its coverage; that the two disagree is told of each."""
    files = {**proven(), "vessels/tumbler.md": VESSEL.replace("72 mm", "62 mm")}
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace("70 mm", "60 mm")
    tunnelled = [one.replace("pool: 70 mm", "pool: 60 mm") for one in whole_life(2)]
    files["burns/fig-c.md"] = burn("C", cycles=tunnelled)
    found = judged(files)
    assert found.products["fig"].status == "failed"
    assert codes(found.burns["fig-c"].candle.failures) == ["coverage_under"]
    assert codes(found.burns["fig-a"].candle.gaps) == ["diameter_disagrees"]


def test_the_width_of_the_burn_decides_coverage_and_contradiction() -> None:
    """95 % of 73 mm is 69.35 mm, 102 % is 74.46 mm."""
    for pool, verdict, code in (
        ("69.35 mm", "pass", []),
        ("69.34 mm", "fail", []),
        ("74.46 mm", "pass", []),
        ("74.47 mm", "incomplete", ["pool_too_wide"]),
    ):
        life = [*whole_life()[:2], whole_life()[2].replace("70 mm", pool), whole_life()[3]]
        text = burn(cycles=life).replace("inside_diameter: 72 mm", "inside_diameter: 73 mm")
        found = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle
        assert (found.verdict, codes(found.gaps)) == (verdict, code), pool


def test_a_candle_that_was_not_tilted_new() -> None:
    """The shipped protocol asks for it; one that does not is content."""
    verdict = changed("  tilt: steady\n", "")
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps) == [("tilt_missing", 3, {})]
    needs = "needs: [before, after, burned, pool, flame, wall, cycles]\n"
    assert changed("  tilt: steady\n", "", house(needs)).verdict == "pass"


def test_a_candle_that_fell_new() -> None:
    """As sold it must stand: it fails before it is ever lit, and fails its product."""
    verdict = changed("  tilt: steady\n", "  tilt: fell\n")
    assert verdict.verdict == "fail"
    assert told(verdict.failures) == [("fell_new", 11, {})]
    unlit = burn("D", cycles=[], end="", candles=1).replace("tilt: steady", "tilt: fell")
    unlit = unlit.replace("on: 2026-03-01", "on: 2026-03-02")
    found = judged({**proven(), "burns/fig-d.md": unlit})
    assert found.products["fig"].status == "failed"
    assert found.burns["fig-d"].candle.verdict == "fail"


def test_an_end_that_does_not_count_its_cycles() -> None:
    """The shipped protocol asks for it; one that does not is content."""
    end = END % ""
    verdict = candle(end=end)
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps) == [("cycle_count_missing", 19, {"found": 4})]
    needs = "needs: [before, after, burned, pool, flame, wall, tilt]\n"
    assert candle(end=end, files=house(needs)).verdict == "pass"


@pytest.mark.parametrize("stated", [3, 5])
def test_an_end_that_counts_other_cycles(stated: int) -> None:
    """Whatever the protocol asks for: a line was cut out, or added."""
    end = END % f", cycles: {stated}"
    for files in (BASE, house("needs: [before]\n")):
        verdict = candle(end=end, files=files)
        assert verdict.verdict == "incomplete"
        assert told(verdict.gaps) == [("cycle_count", 19, {"stated": stated, "found": 4})]
    burning = candle(date(2026, 3, 18), end=end)
    assert "cycle_count" not in codes(burning.gaps)
    assert burning.verdict == "burning"


@pytest.mark.parametrize(
    ("empty", "off"),
    # The first weight is 400 g, with 108 g of wax in it: 292 g of vessel, wick and glue.
    # A tenth of 270 g and 5 g are 32 g: 270 + 108 = 378 is 22 g off.
    # 261 g: 369, 31 g off, 31.1 allowed. 260.9 g: 31.1 off, 31.09 allowed.
    # 330 g: 438, 38 g off, 38 allowed. 330.1 g: 38.1 off, 38.01 allowed.
    [("270 g", False), ("261 g", False), ("260.9 g", True), ("330 g", False), ("330.1 g", True)],
)
def test_the_first_weight_is_of_this_vessel_with_this_wax(empty: str, *, off: bool) -> None:
    """Vessels differ by some hundredths, and a wick with its foot weighs little."""
    vessel = VESSEL.replace("use:", f"empty_mass: {empty}\nuse:")
    verdict = candle(files={**BASE, "vessels/tumbler.md": vessel})
    details = {"before_g": 400.0, "due_g": pytest.approx(float(empty.split(maxsplit=1)[0]) + 108)}
    assert told(verdict.gaps) == ([("first_mass_off", 15, details)] if off else [])
    assert verdict.verdict == ("incomplete" if off else "pass")


def test_a_first_weight_that_was_not_read_is_told_once() -> None:
    """It is missing; nothing more can be said of it."""
    vessel = VESSEL.replace("use:", "empty_mass: 100 g\nuse:")
    life = [whole_life()[0].replace("before: 400.0 g, ", ""), *whole_life()[1:]]
    verdict = candle(files={**BASE, "vessels/tumbler.md": vessel}, cycles=life)
    assert codes(verdict.gaps) == ["reading_missing"]
    unlit = candle(files={**BASE, "vessels/tumbler.md": vessel}, cycles=[], end="")
    assert codes(unlit.gaps) == ["after_smoke_missing", "not_ended"]


@pytest.mark.parametrize(
    ("scale", "coarse"),
    # A hundredth of 108 g is 1.08 g.
    [("0.1 g", False), ("1.08 g", False), ("1.09 g", True), ("5 g", True)],
)
def test_a_scale_that_is_too_coarse(scale: str, *, coarse: bool) -> None:
    """Its steps would explain away a part of a cycle."""
    verdict = changed("scale: 0.1 g", f"scale: {scale}")
    details = {"scale_g": float(scale.split(maxsplit=1)[0]), "most_g": pytest.approx(1.08)}
    assert told(verdict.gaps) == ([("scale_too_coarse", 21, details)] if coarse else [])
    assert verdict.verdict == ("incomplete" if coarse else "pass")


def test_a_candle_that_still_burns_is_weighed_as_finely() -> None:
    """It is asked before first light, and of a misuse burn never."""
    text = burn(cycles=[], end="").replace("0.1 g\n", "2 g\n")
    burning = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert "scale_too_coarse" in codes(burning.gaps)
    misuse = burn(more="as: misuse\nhow: moved\n").replace("scale: 0.1 g", "scale: 2 g")
    assert judged({**BASE, "burns/fig-a.md": misuse}).burns["fig-a"].candle.gaps == ()
