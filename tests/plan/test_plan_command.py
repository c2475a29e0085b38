"""`handbook plan`: what it says, and what it refuses."""

import json
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.derived.account import account_of
from handbook_builder.derived.board import board_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.words import Words
from tests.bench.calls import called, spaced
from tests.pages.conftest import catalogue
from tests.records_in_text import (
    BASE,
    OIL,
    RECIPE,
    STUDIO,
    SUPPLIER,
    VESSEL,
    WICK,
    burn,
    linked,
    proven,
    whole_life,
    write,
)

DAY = "2026-05-01"
Say = Callable[..., str]
TIMES = "\N{MULTIPLICATION SIGN}"


def wicks() -> dict[str, str]:
    """Return a series of five sizes, the third of which is `cotton-8`."""
    return {
        f"wicks/cotton-{size}.md": WICK.replace('"8"', f'"{size}"').replace(
            "step: 3", f"step: {at}"
        )
        for at, size in enumerate((4, 6, 8, 10, 12), start=1)
    }


def fitting() -> dict[str, str]:
    """Return the same, of which two say that they fit a vessel of 72 mm."""
    fits = {6: "50 mm, at_most: 65 mm", 8: "60 mm, at_most: 72 mm", 10: "72 mm, at_most: 80 mm"}
    return wicks() | {
        f"wicks/cotton-{size}.md": wicks()[f"wicks/cotton-{size}.md"].replace(
            "---\n", f"---\nfits: {{at_least: {said}}}\n", 1
        )
        for size, said in fits.items()
    }


def untested(**more: str) -> dict[str, str]:
    """Return a studio that has burned nothing."""
    return {**BASE, **wicks(), **{f"{name}.md": text for name, text in more.items()}}


@pytest.fixture
def told(tmp_path: Path) -> Say:
    """Return what a call says, in a studio with these files."""

    def say(files: dict[str, str], *words: str, status: int = 0) -> str:
        shutil.rmtree(tmp_path / "records", ignore_errors=True)
        write(tmp_path / "records", files)
        found = called(tmp_path, "plan", *words, "--as-of", DAY)
        assert found.exit_code == status, found.output
        return spaced(found.output)

    return say


def test_no_idea_begins_in_the_middle(told: Say) -> None:
    """Nothing burned, nothing stated: the third of five, and plainly so."""
    said = told(untested(), "tumbler", "--wax", "soy", "--oil", "fig-oil")
    assert "Tumbler, Soy, cotton, with Fig oil at 8 % of the wax" in said
    assert "Light Cotton 8, one candle." in said
    assert "no idea which size is right: begin in the middle" in said
    assert "for 3 cycles of 4 h each, 12 h in all" in said
    assert "Each record says 'as: ladder', and 'rungs: 1' under 'made'" in said


def test_what_wicks_state_is_the_next_best(told: Say) -> None:
    """The ends of a range belong to it."""
    said = told({**BASE, **fitting()}, "vessels/tumbler", "--wax", "waxes/soy")
    assert "Light Cotton 8 and Cotton 10, one candle each." in said
    assert "plain wax" in said
    assert "these sizes are made for vessels of 72 mm" in said


def test_five_candles_tell(told: Say) -> None:
    """By their pools: 60 mm, short of the wall, with the third size; the fourth fills."""
    files = {**BASE, **wicks()}
    for at, letter in enumerate("ABCDEF"):
        life = [line.replace("pool: 70 mm", f"pool: {59 + at % 3} mm") for line in whole_life(at)]
        files[f"burns/fig-{letter.lower()}.md"] = burn(letter, cycles=life, candles=6)
    said = told(files, "tumbler", "--wax", "soy", "--series", "Cotton")
    assert "6 candles with Soy and this series told of their pool" in said
    light = next(line for line in said.splitlines() if "Light" in line)
    assert "Cotton 10" in light
    assert "Cotton 4" not in light
    assert "Mind:" in said  # cotton 8 failed too cold in just this vessel, if it is on the ladder
    assert "Fig, candle A: Cotton 8, 72 mm, 82 %" in said


def test_the_order_of_several_oils(told: Say) -> None:
    """The oil whose candle came nearest to a limit is proven first."""
    files = {**proven(), **wicks(), "fragrances/mild-oil.md": OIL}
    said = told(files, "tumbler", "--wax", "soy", "--oil", "mild-oil", "--oil", "fig-oil")
    first = said.index("1. Fig oil")
    assert first < said.index("2. Mild oil: nothing read yet")
    assert "no reason to skip one" in said


def test_a_proof_forward_and_backward(told: Say) -> None:
    """Three candles, cured in 14 days, of a life of 13 h by their sisters' rate: 4 cycles."""
    lead = SUPPLIER.replace("---\n", "---\nlead_time: 2 weeks\n", 1)
    twin = RECIPE.replace("Fig", "Fig, more").replace("fig-oil: 8 %", "fig-oil: 7 %")
    files = {**proven(), "recipes/more.md": twin, "suppliers/jar-house.md": lead}
    said = told(files, "more", "--by", "2026-06-30")
    assert "3 candles are to be poured." in said
    assert "by the rate of 3 candles in like vessels: 5 cycles each" in said
    assert (
        "may be lit from 2026-05-15 on, and the last cycle of the plan can be burned on 2026-05-19"
        in said
    )
    # 30 June less four days of burning less fourteen of cure
    assert "pour no later than 2026-06-12" in said
    assert f"Order 3 {TIMES} Tumbler no later than 2026-05-29: Jar house takes 14 days." in said
    assert "Soy: how long an order takes is not on file." in said
    assert "ordered today, the earliest is 2026-06-02" in said
    late = told(files, "more", "--by", "2026-05-18")
    assert "It cannot be done by 2026-05-18: the earliest is 2026-05-19" in late
    soon = told(files, "more", "--by", "2026-05-20")
    assert f"3 {TIMES} Tumbler must be on the shelf already" in soon


def test_places_hold_a_plan_up(told: Say) -> None:
    """One place, three candles of five cycles: fifteen days instead of five."""
    twin = RECIPE.replace("Fig", "Fig, more").replace("fig-oil: 8 %", "fig-oil: 7 %")
    files = {**proven(), "recipes/more.md": twin}
    files["studio.md"] = STUDIO.replace("protocol:", "places: 1\nprotocol:")
    said = told(files, "more")
    assert "can be burned on 2026-05-29" in said
    assert "There is 1 place to burn at" in said


def test_pourings_are_spread(told: Say) -> None:
    """Three different days of pouring: the last candle two days later."""
    files = {**BASE, "protocols/house.md": "---\npourings: 3\n---\n"}
    files["studio.md"] = STUDIO.replace("default", "house")
    said = told({**files, **{f"burns/fig-{one.lower()}.md": burn(one) for one in "ABC"}}, "fig")
    assert "2 candles are to be poured." in said
    assert "They must come from 2 days of pouring" in said


def test_what_needs_no_candle_says_so(told: Say) -> None:
    """Approved, held for a paper, or past testing."""
    assert "It is approved." in told(proven(), "fig")
    bare = {**proven(), "fragrances/fig-oil.md": OIL.replace("certificate: {on: 2025-11-01}\n", "")}
    assert "Enough candles passed. What is missing is no candle." in told(bare, "fig")
    heavy = {**BASE, "fragrances/fig-oil.md": OIL.replace("9 %", "7 %")}
    assert "No test candle brings it on as it stands." in told(heavy, "fig", "--by", "2026-06-01")


def test_without_a_name_all_that_waits(told: Say) -> None:
    """And that nothing does."""
    assert "Fig (Untested): not known yet" in told(untested())
    assert "No product waits for test candles" in told(proven())


def test_a_change_tells_what_falls(told: Say) -> None:
    """One product, its three candles, its papers, its new proof."""
    said = told(proven(), "--change", "fragrances/fig-oil")
    assert "1 approved product falls, of 1 that hold it" in said
    assert "Fig: Approved, would be Untested" in said
    assert "3 candles of its proof would speak of the former make." in said
    assert "certificate" in said
    assert "3 candles must pass anew, 45 h 30 min in all" in said
    assert "1 proof anew: 3 candles" in said
    assert "Nothing must be proven anew." in told(
        {**proven(), "packaging/box.md": "---\nform: box\n---\n"}, "--change", "packaging/box"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("tumbler",), "A ladder in tumbler needs its wax, as in --wax soy."),
        (("tumbler", "--wax", "soi"), "No wax is called 'soi'. Did you mean soy?"),
        (("tumbler", "--wax", "soy", "--oil", "figoil"), "No fragrance is called 'figoil'."),
        (("tumbler", "--wax", "soy", "--series", "hemp"), "No series of wicks is called 'hemp'."),
        (("tumbler", "--wax", "soy", "--by", "2026-06-01"), "--by is for the proof of a recipe"),
        (("tumbler", "--by", "2026-06-01"), "tumbler is a vessel; --by is for the proof"),
        (("fig", "--wax", "soy"), "fig is a recipe, which has its wax, oil and wick"),
        (("tumbbler",), "No product is called 'tumbbler'."),
        (("vessels/none",), "No vessel is called 'vessels/none'."),
        (("--wax", "soy"), "Say of what: the id of a vessel, or of a recipe."),
        (("--by", "2026-06-01"), "Say of what: the id of a vessel, or of a recipe."),
        (("fig", "--change", "waxes/soy"), "--change stands alone"),
        (("--change", "soy"), "No item is called 'soy'. Did you mean waxes/soy?"),
        (("glass", "--wax", "soy"), "glass is not cleared for heat, and nothing is lit in it."),
    ],
)
def test_wrong_calls(told: Say, words: tuple[str, ...], said: str) -> None:
    """Each says what was expected, and ends with 2."""
    glass = VESSEL.replace(
        "heat_evidence:\n  - {kind: sold_for_candles, on: 2026-01-05, by: jar-house}\n", ""
    )
    assert said in told(untested(**{"vessels/glass": glass}), *words, status=2)


def test_a_name_of_both_is_asked_back(told: Say) -> None:
    """A vessel and a recipe of one id."""
    files = untested(**{"recipes/tumbler": RECIPE.replace("test_candles: as filed\n", "")})
    assert "is a vessel and a recipe. Write vessels/tumbler or recipes/tumbler." in told(
        files, "tumbler", status=2
    )
    assert "Fig (Untested)" in told(files, "recipes/tumbler")


def test_the_page_says_the_same_without_money_on_the_floor() -> None:
    """Both editions have the page; the floor's has no sum, and no order."""
    money = STUDIO.replace("protocol:", "labour: 18.00\nminutes_a_cycle: 8 min\nprotocol:")
    account = account_of(linked({**untested(), "studio.md": money}), date.fromisoformat(DAY))
    words = Words.load(catalogue())
    for edition, has_cost in ((Edition.OWNER, True), (Edition.FLOOR, False)):
        page = next(one for one in pages_of(account, words, edition) if one.path == "plan/index")
        assert page.content.has_cost is has_cost
        assert len(page.content.plans) == 1
        assert len(page.content.unfounded) == 1
        assert (page.content.plans[0].cost is not None) is has_cost
    assert board_of(Desk(account, words).account).waiting == ()


def test_json_is_json(tmp_path: Path) -> None:
    """The golden answers hold its shape; this holds that each form names itself."""
    write(tmp_path / "records", untested())
    forms = {
        "proofs": (),
        "proof": ("fig",),
        "ladder": ("tumbler", "--wax", "soy"),
        "change": ("--change", "waxes/soy"),
    }
    for kind, words in forms.items():
        found = called(tmp_path, "plan", *words, "--as-of", DAY, "--json")
        assert json.loads(found.stdout)["kind"] == kind


def test_a_ladder_is_begun_by_one_call(tmp_path: Path) -> None:
    """A record for each wick, each a rung, counted in the recipe; the check finds no fault."""
    write(tmp_path / "records", untested())
    ladder = ("--ladder", "cotton-6", "--ladder", "cotton-8")
    weighed = ("--weighed", "soy=100.0 g, fig-oil=8.0 g") * 2
    more = ("--on", "2026-04-01", "--set", "scale=0.1 g")
    found = called(tmp_path, "new", "burn", "fig", *ladder, *weighed, *more)
    assert found.exit_code == 0, found.output
    assert "A ladder of 2, one candle each." in found.output
    for letter, wick in (("a", "cotton-6"), ("b", "cotton-8")):
        text = (tmp_path / "records" / "burns" / f"fig-{letter}.md").read_text("utf-8")
        assert f"wick: {wick}\n" in text
        assert "  rungs: 2 " in text
        assert "\nas: ladder " in text
    assert "test_candles: 2" in (tmp_path / "records" / "recipes" / "fig.md").read_text("utf-8")
    assert called(tmp_path, "check").exit_code == 0
    wrong = called(tmp_path, "new", "burn", "fig", *ladder, "--candles", "3")
    assert (wrong.exit_code, "takes as many candles" in wrong.output) == (2, True)
    wrong = called(tmp_path, "new", "burn", "fig", "--ladder", "coton-6")
    assert (wrong.exit_code, "did you mean 'cotton-6'" in wrong.output) == (2, True)
