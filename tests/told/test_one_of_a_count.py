"""A count of one is told as one, and a reason that nobody gave as not recorded."""

import re
from pathlib import Path

import pytest

from tests.records_in_text import RECIPE, burn, proven, whole_life
from tests.told.rig import html, plain, run

INCIDENT = "---\nnumber: %d\non: 2026-04-01\nabout: recipes/fig\nwhat: soot\n---\n"


@pytest.mark.parametrize(("incidents", "words"), [(1, "1 open incident"), (2, "2 open incidents")])
def test_one_open_incident_is_one(incidents: int, words: str) -> None:
    """The tally of Today has a word for one."""
    files = {**proven()}
    files.update({f"incidents/{n}.md": INCIDENT % n for n in range(1, incidents + 1)})
    assert words in _tally(html(files)["index"])


@pytest.mark.parametrize(
    ("others", "words"), [(1, "1 product not approved"), (2, "2 products not approved")]
)
def test_one_product_not_approved_is_one(others: int, words: str) -> None:
    """The tally of Today has a word for one."""
    untested = RECIPE.replace("fill: 108 g", "fill: 150 g")
    files = {**proven(), **{f"recipes/other-{n}.md": untested for n in range(others)}}
    assert words in _tally(html(files)["index"])


def _tally(page: str) -> list[str]:
    """Return the counts of Today, each with its words."""
    items = re.findall('<li class="tally__item.*?</li>', page)
    return [plain(re.sub("<[^>]+>", "", one)) for one in items]


def test_a_test_that_was_stopped_without_a_reason_says_so(tmp_path: Path) -> None:
    """No empty brackets: why it was stopped is not recorded."""
    end = "{how: stopped, left: 56 g, vessel: sound, tilt: steady, cycles: all}"
    files = {**proven(), "burns/fig-a.md": burn("A", cycles=whole_life()[:2], end=end)}
    told = plain(run(tmp_path / "one", files, "why", "fig", "--as-of", "2026-05-01").output)
    assert "was stopped before the candle went out (why: not recorded)." in told
    files["burns/fig-a.md"] = files["burns/fig-a.md"].replace("stopped,", "stopped, why: a leak,")
    told = plain(run(tmp_path / "two", files, "why", "fig", "--as-of", "2026-05-01").output)
    assert "was stopped before the candle went out (why: a leak)." in told


def test_one_test_candle_that_nothing_counts_is_one(tmp_path: Path) -> None:
    """The number stands behind what it counts, so that one reads as well as many."""
    files = {**proven(), "recipes/fig.md": RECIPE.replace("test_candles: as filed\n", "")}
    for letter in "bc":
        del files[f"burns/fig-{letter}.md"]
    told = plain(run(tmp_path, files, "check").output)
    assert "test candles of this recipe on file: 1; nothing counts them" in told
