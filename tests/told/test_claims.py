"""What a label may claim: the life to the stop mark, and nothing of what is not approved."""

import math
from pathlib import Path

import pytest

from tests.records_in_text import burn, proven
from tests.told.rig import account, figures, html, pages, plain, run

# 108 g poured; 8 g of oil at 0.98 and 100 g of soy at 0.90 g/mL: 108 / (100/0.9 + 8/0.98) g/mL.
DENSITY = 108 / (100 / 0.90 + 8 / 0.98)
# At 72 mm and 12 mm high.
MARK_G = DENSITY * math.pi * 7.2**2 / 4 * 1.2


def test_a_life_is_read_off_the_burn_down() -> None:
    """26 g in each cycle of 4 h: 108, 82, 56, 30 g left, so the mark lies in the third."""
    expected_h = 8 + 4 * (56 - MARK_G) / 26
    assert 30 < MARK_G < 56
    lives = account(proven()).products["fig"].to_stop.lives_h
    assert lives == {f"fig-{one}": pytest.approx(expected_h, abs=1e-6) for one in "abc"}


def test_the_claim_is_told_beside_the_life_to_the_end() -> None:
    """9.81 h to the mark and no scatter is 9 h; the whole life of 15 h 10 min is the test's."""
    life = pages(proven())["products/fig"].content.life
    assert (life.claim, plain(life.to_stop), plain(life.shortest)) == (
        "9 h",
        "9 h 49 min",
        "15 h 10 min",
    )
    told = figures(proven())["products"]["fig"]
    assert told["claim_h"] == 9
    assert told["life_h"]["shortest"] == pytest.approx(15 + 1 / 6)
    assert "A label may claim" in html(proven())["approved/index"]


def test_no_claim_is_made_of_what_is_not_approved(tmp_path: Path) -> None:
    """Three passed, and the certificate is gone: the lives stand, the claim nowhere."""
    held = proven()
    held["fragrances/fig-oil.md"] = held["fragrances/fig-oil.md"].replace(
        "certificate: {on: 2025-11-01}\n", ""
    )
    life = pages(held)["products/fig"].content.life
    assert (life.claim, life.claim_why) == (None, "it is not approved")
    assert figures(held)["products"]["fig"]["claim_h"] is None
    assert "9 h</" not in html(held)["products/fig"]
    result = run(tmp_path, held, "figures", "--json", "--as-of", "2026-05-01")
    assert '"claim_h": null' in result.output


def test_a_candle_that_never_got_there_leaves_no_claim() -> None:
    """A studio that stops at 2 mm: 7.5 g, and 9 g was left when the candles went out."""
    files = proven()
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: own")
    files["protocols/own.md"] = "---\nstop_at: 2 mm\n---\n"
    found = account(files).products["fig"].to_stop
    assert set(found.lives_h.values()) == {None}
    assert (found.life, found.claim_h) == (None, None)
    why = plain(pages(files)["products/fig"].content.life.claim_why)
    assert "2 mm of wax was left" in why


def test_the_mark_follows_the_candles_own_width() -> None:
    """A candle in a vessel of 71 mm has less wax at the mark, and lasts longer to it."""
    files = proven()
    files["burns/fig-a.md"] = burn("A").replace("inside_diameter: 72 mm", "inside_diameter: 71 mm")
    lives = account(files).products["fig"].to_stop.lives_h
    narrow_h = 8 + 4 * (56 - MARK_G * (71 / 72) ** 2) / 26
    assert lives["fig-a"] == pytest.approx(narrow_h, abs=1e-6)
    assert narrow_h > 8 + 4 * (56 - MARK_G) / 26


def test_the_json_says_its_format_and_nothing_is_missing_from_a_product() -> None:
    """Format 2 has every key that other programs are promised, in whatever state a product is."""
    told = figures(proven())
    assert told["format"] == 2
    due = {
        "pourings", "set_aside", "misuse", "void", "life_h", "life_to_stop_h", "claim_h",
        "passed", "failed", "burning", "incomplete", "status", "code",
    }  # fmt: skip
    assert due <= told["products"]["fig"].keys()
    assert {"protocol", "helpers", "guides", "warnings", "lots", "batches"} <= told.keys()
    assert {"verdict", "misuse", "life_to_stop_h"} <= told["burns"]["fig-a"].keys()
    untested = {path: text for path, text in proven().items() if not path.startswith("burns/")}
    bare = figures(untested)["products"]["fig"]
    assert due <= bare.keys()
    assert (bare["claim_h"], bare["life_to_stop_h"]["shortest"]) == (None, None)
