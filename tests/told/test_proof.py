"""The odds say what they speak for: pourings, what was set aside, what was loosened."""

import json
from pathlib import Path

import pytest

from handbook_builder.pages.edition import Edition
from handbook_builder.studio.protocol import in_force, looser_than_shipped
from tests.records_in_text import burn, linked, proven
from tests.told.rig import figures, html, pages, run

VOID = "void: {why: the scale was off, by: wren, on: 2026-04-02}\n"
HELPER = "---\nmay: [burn, pour, sign]\n---\n"
ASIDE = "Candle D was set aside on 2026-04-02 by wren: the scale was off."
# Less than the shipped protocol in every rule that can be loosened but the published ones.
LOOSE = """---
test_candles: 2
cycle: 3 h
cycle_tolerance: 1 h
rest: 30 min
trim: 9 mm
load_tolerance: 3 %
fill_tolerance: 9 %
balance: 12 %
stop_at: 6 mm
min_opening: 30 %
thermal_shock: delta 20 degC
full_pool_by: 9
needs: [before, after, burned]
limits:
  - {measure: coverage, at_least: 60 %, source: own, published: no, on_breach: fail}
observations: {sooting: note}
---
"""


def _with_void(*, end: bool = True) -> dict[str, str]:
    files = proven()
    more = {"more": VOID} | ({} if end else {"end": ""})
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), candles=4)
    return {**files, "burns/fig-d.md": burn("D", candles=4, **more), "helpers/wren.md": HELPER}


def _loosened() -> dict[str, str]:
    files = proven()
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: loose")
    return {**files, "protocols/loose.md": LOOSE}


def test_the_odds_say_on_how_many_days_the_proof_was_poured() -> None:
    """One day is said, and so are two."""
    sentence = pages(proven())["products/fig"].content.odds.sentence
    assert sentence.startswith("After 3 of 3 passed, all poured on one day, up to 63 in 100")
    two = proven()
    for one in "abc":
        moved = burn(one.upper(), candles=1 if one == "c" else 2)
        day = "2026-02-20" if one == "c" else "2026-03-01"
        two[f"burns/fig-{one}.md"] = moved.replace("on: 2026-03-01", f"on: {day}")
    assert "3 passed, poured on 2 days, up" in pages(two)["products/fig"].content.odds.sentence
    assert figures(two)["products"]["fig"]["pourings"] == 2
    assert "poured on 2 days" in pages(two)["approved/index"].content.rows[0].odds


def test_what_was_set_aside_is_told_wherever_the_odds_are(tmp_path: Path) -> None:
    """By whom, when and why: in the head, the odds, the index, `why` and the JSON."""
    files = _with_void()
    product = pages(files)["products/fig"].content
    assert product.is_approved
    assert ASIDE in product.odds.sentence
    head = html(files)["products/fig"].partition('id="evidence"')[0]
    assert ASIDE in head
    assert ASIDE in pages(files)["approved/index"].content.rows[0].odds
    assert ASIDE in html(files, edition=Edition.FLOOR)["approved/index"]
    assert ASIDE in run(tmp_path, files, "why", "fig", "--as-of", "2026-05-01").output
    told = json.loads(run(tmp_path, files, "why", "fig", "--json", "--as-of", "2026-05-01").output)
    (aside,) = told["fig"]["set_aside"]
    assert (aside["burn"], aside["by"], aside["stands"]) == ("fig-d", "wren", False)
    assert figures(files)["products"]["fig"]["set_aside"] == [aside]


def test_a_failure_that_was_set_aside_stands_and_says_so() -> None:
    """The page of the candle shows both the void and the failure, and so does the product's."""
    files = _with_void()
    files["burns/fig-d.md"] = files["burns/fig-d.md"].replace("vessel: sound", "vessel: cracked")
    candle = pages(files)["tests/fig-d"].content
    assert candle.word.word == "Failed"
    assert candle.reasons == ("At the end the vessel was cracked.",)
    page = html(files)["tests/fig-d"]
    assert "the scale was off" in page
    assert "never set aside" in page
    assert "At the end the vessel was cracked." in page
    assert "but it failed, and a failure stands" in html(files)["products/fig"]
    (aside,) = figures(files)["products"]["fig"]["set_aside"]
    assert aside["stands"] is True


def test_a_candle_that_fell_before_its_first_light_has_a_day() -> None:
    """It never burned: it failed on the day it was poured, and the page can be told."""
    files = proven()
    fell = burn("A", cycles=[], end="").replace("tilt: steady", "tilt: fell")
    files["burns/fig-a.md"] = fell
    assert pages(files)["products/fig"].content.since == "Failed on 2026-03-01."


def test_every_loosened_rule_is_told_with_both_values(tmp_path: Path) -> None:
    """In the head, the odds, the index, on Today, in `why` and the JSON, each with what it was."""
    files = _loosened()
    product = pages(files)["products/fig"].content
    told = product.proof.loosened.replace("\N{NO-BREAK SPACE}", " ")
    for piece in (
        "'loose', which asks less than the shipped one",
        "2 test candles instead of 3",
        "cycles of 3 h instead of 4 h",
        "12 % of the wax may be missing instead of 5 %",
        "a stop mark of 6 mm instead of 12 mm",
        "'tilt' is not needed of a candle",
        "'cycles' is not needed of a candle",
        "width of the pool, as a share of the inside diameter: 60 % instead of 95 %",
        "sooting is noted only instead of",
    ):
        assert piece in told.replace(
            "room 40 °C instead of 25", "room at most 40 °C instead of at most 25"
        ), piece
    shown = html(files)
    for path in ("products/fig", "index", "approved/index"):
        assert "2 test candles instead of 3" in shown[path], path
    assert product.odds.sentence.endswith(product.proof.loosened)
    output = run(tmp_path, files, "why", "fig", "--as-of", "2026-05-01").output
    assert "2 test candles instead of 3" in output
    loosened = figures(files)["protocol"]["loosened"]
    assert {"key": "test_candles", "what": "", "own": 2, "shipped": 3} in loosened


def test_the_protocol_of_the_test_above_loosens_every_key() -> None:
    """Or a new key that can be loosened would have no words."""
    keys = {one.key for one in looser_than_shipped(linked(_loosened()).protocol)}
    assert keys == {
        "test_candles", "cycle_h", "cycle_tolerance_h", "rest_h", "trim_mm", "load_tolerance",
        "fill_tolerance", "balance", "stop_at_mm", "min_opening", "thermal_shock_k",
        "full_pool_by", "needs", "limits", "observations",
    }  # fmt: skip


@pytest.mark.parametrize("path", ["products/fig", "index", "approved/index"])
def test_the_shipped_protocol_loosens_nothing(path: str) -> None:
    """No word of it where there is nothing to say."""
    assert looser_than_shipped(in_force(None)) == ()
    assert "asks less than the shipped one" not in html(proven())[path]


def test_the_head_says_what_it_was_given_to_say() -> None:
    """Since when a product stands so, and what a candle counts for, reach the page."""
    shown = html(proven())
    head = shown["tests/fig-a"].partition("</header>")[0]
    assert "Counts for" in head
    failed = proven()
    failed["burns/fig-a.md"] = failed["burns/fig-a.md"].replace("vessel: sound", "vessel: broken")
    assert "Failed on 2026-03-19." in html(failed)["products/fig"].partition("</header>")[0]
