"""Candles burned as buyers should not: they show what happens, and prove nothing."""

import pytest

from handbook_builder.verdicts.candles import CandleVerdict
from tests.records_in_text import BASE, STUDIO, burn, proven, whole_life
from tests.verdicts.told import candle, codes, judged

AS_MISUSE = "as: misuse\nhow: untrimmed\n"
HOUSE = {
    **BASE,
    "studio.md": STUDIO.replace("default", "house"),
    "protocols/house.md": "---\nobservations: {frosting: fail}\n---\n",
}


def misused(
    index: int = 1, old: str = "", new: str = "", files: dict[str, str] = BASE
) -> CandleVerdict:
    """Return the verdict on a misused candle, one of its cycles changed."""
    life = whole_life()
    assert old in life[index]
    life[index] = life[index].replace(old, new) if old else life[index]
    return candle(cycles=life, more=AS_MISUSE, files=files)


def test_it_has_a_word_of_its_own() -> None:
    """Ended or not: neither passed nor burning nor incomplete."""
    assert misused().verdict == "misuse"
    assert candle(cycles=whole_life()[:1], end="", more=AS_MISUSE).verdict == "misuse"
    assert candle(cycles=[], end="", more=AS_MISUSE).verdict == "misuse"


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("flame: 22 mm", "flame: 90 mm", "flame_over"),
        ("wall: 52 degC", "wall: 95 degC", "wall_over"),
        ("depth: 8 mm", "depth: 20 mm", "depth_over"),
        ("wall: 52 degC", "wall: 52 degC, room: 30 degC", "room_over"),
    ],
)
def test_limits_are_only_watched(old: str, new: str, code: str) -> None:
    """A long wick makes a high flame, whatever the candle is."""
    verdict = misused(1, old, new)
    assert verdict.verdict == "misuse"
    assert code in codes(verdict.cycles[1].watches)
    assert verdict.failures == ()
    assert verdict.cycles[1].verdict == "pass"


def test_the_pool_and_the_mean_smoke_are_only_watched() -> None:
    """Coverage on its cycle, the mean on the last."""
    life = [one.replace("after_smoke: 8 s", "after_smoke: 40 s") for one in whole_life()]
    life[2] = life[2].replace("70 mm", "40 mm")
    verdict = candle(cycles=life, more=AS_MISUSE)
    assert verdict.verdict == "misuse"
    assert codes(verdict.cycles[2].watches) == ["coverage_under", "after_smoke_over"]
    assert codes(verdict.cycles[3].watches) == ["mean_after_smoke_over"]


@pytest.mark.parametrize("word", ["secondary_ignition", "flare_up", "crack", "leak"])
def test_a_critical_sight_fails(word: str) -> None:
    """What buyers do may never make it break or flare up."""
    verdict = misused(1, "flame: 22 mm", f"flame: 22 mm, seen: [{word}]")
    assert verdict.verdict == "fail"
    assert codes(verdict.failures) == ["seen"]
    assert verdict.cycles[1].verdict == "fail"


@pytest.mark.parametrize("word", ["sooting", "drowning", "tunnelling", "mushrooming"])
def test_any_other_sight_is_watched(word: str) -> None:
    """Though it would fail a candle that was burned as it should be."""
    verdict = misused(1, "flame: 22 mm", f"flame: 22 mm, seen: [{word}]")
    assert verdict.verdict == "misuse"
    assert codes(verdict.cycles[1].watches) == ["seen"]


def test_a_note_stays_a_note() -> None:
    """And what the studio's own protocol fails is watched."""
    noted = misused(1, "flame: 22 mm", "flame: 22 mm, seen: [frosting]")
    assert codes(noted.cycles[1].notes) == ["seen"]
    assert noted.cycles[1].watches == ()
    watched = misused(1, "flame: 22 mm", "flame: 22 mm, seen: [frosting]", HOUSE)
    assert watched.verdict == "misuse"
    assert codes(watched.cycles[1].watches) == ["seen"]


@pytest.mark.parametrize(
    ("end", "code"),
    [
        ("{how: stopped, vessel: cracked}", "vessel_unsound"),
        ("{how: stopped, vessel: leaking}", "vessel_unsound"),
        ("{how: stopped, vessel: broken}", "vessel_unsound"),
        ("{how: stopped, tilt: fell}", "fell"),
    ],
)
def test_an_unsound_end_fails(end: str, code: str) -> None:
    """A vessel that breaks in a draught breaks in a buyer's."""
    verdict = candle(end=end, more=AS_MISUSE)
    assert verdict.verdict == "fail"
    assert codes(verdict.failures) == [code]


def test_one_that_fell_new_fails() -> None:
    """As any other."""
    text = burn(more=AS_MISUSE).replace("  tilt: steady\n", "  tilt: fell\n")
    verdict = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert verdict.verdict == "fail"
    assert codes(verdict.failures) == ["fell_new"]


def test_no_gap_is_told() -> None:
    """Nothing is asked of it: it need not be whole, cured, rested, tilted or in balance."""
    life = ["{on: 2026-03-02, burned: 8 h}", "{on: 2026-03-02, burned: 1 h}"]
    text = burn(cycles=life, end="{how: stopped}", more=AS_MISUSE)
    text = text.replace("  inside_diameter: 72 mm\n  tilt: steady\n", "")
    verdict = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert verdict.verdict == "misuse"
    assert verdict.gaps == ()
    assert [one.verdict for one in verdict.cycles] == ["pass", "pass"]
    assert all(one.gaps == () and one.watches == () for one in verdict.cycles)


def test_it_is_never_evidence_for() -> None:
    """Three of them approve nothing; nor do they put anything in test."""
    only = {f"burns/fig-{one.lower()}.md": burn(one, more=AS_MISUSE) for one in "ABC"}
    found = judged({**BASE, **only}).products["fig"]
    assert found.status == "untested"
    assert [one.id for one in found.evidence.misuse] == ["fig-a", "fig-b", "fig-c"]
    assert found.evidence.passed == ()
    one = {**proven(), "burns/fig-c.md": burn("C", more=AS_MISUSE)}
    assert judged(one).products["fig"].status == "in_test"


def test_it_is_evidence_against() -> None:
    """One that cracked fails its product, within twice the tolerances like any failure."""
    cracked = burn("D", candles=1, more=AS_MISUSE, end="{how: stopped, vessel: cracked}")
    cracked = cracked.replace("on: 2026-03-01", "on: 2026-03-02")
    found = judged({**proven(), "burns/fig-d.md": cracked}).products["fig"]
    assert found.status == "failed"
    assert [one.id for one in found.evidence.failed] == ["fig-d"]


def test_it_counts_like_any_record() -> None:
    """In letters and in the recipe's count: one that is gone is missed."""
    more = burn("D", candles=1, more=AS_MISUSE).replace("on: 2026-03-01", "on: 2026-03-02")
    files = {**proven(), "burns/fig-d.md": more}
    assert judged(files).products["fig"].status == "approved"
    counted = files["recipes/fig.md"].replace("as filed", "4")
    gone = {**proven(), "recipes/fig.md": counted}
    assert judged(gone).products["fig"].status == "held"


def test_set_aside_it_is_void() -> None:
    """Void goes before misuse, and failure before both."""
    void = "void: {why: the draught stopped, by: the maker, on: 2026-04-01}\n"
    assert candle(more=AS_MISUSE + void).verdict == "void"
    assert candle(more=AS_MISUSE + void, end="{how: stopped, tilt: fell}").verdict == "fail"
