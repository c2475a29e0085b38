"""Candles that left before they were cured are told loudly, and a buyer's name is a way in."""

import json
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.pages.edition import Edition
from tests.records_in_text import proven
from tests.told.rig import html, pages, run

BATCH = """---
recipe: fig
on: 2026-04-20
made: 10
by: wren
lots: {waxes/soy: W-1}
weighed: {waxes/soy: 1000 g, fragrances/fig-oil: 80 g}
given:
  - {on: 2026-04-25, to: The Old  Mill, count: 2, how: sold}
  - {on: 2026-05-04, to: a friend, count: 1, how: gift}
---
"""
BILL = (
    "---\nsupplier: jar-house\non: 2026-01-10\nlines:\n"
    "  - {item: waxes/soy, quantity: 10 kg, price: 60.00, lot: W-1}\n---\n"
)
EARLY = "On 2026-04-25, before it was cured on 2026-05-04, candles left the studio: 2."
LATER = "2026-05-10"


def studio() -> dict[str, str]:
    """Return a proven studio with a batch of which two candles left nine days too early."""
    return {**proven(), "batches/april.md": BATCH, "purchases/one.md": BILL}


@pytest.mark.parametrize("edition", Edition)
def test_candles_given_uncured_are_told_on_the_batch_and_on_today(edition: Edition) -> None:
    """Apart from what is merely worth mending, and first; also once the cure is over."""
    for day in (date(2026, 5, 1), date(2026, 5, 10)):
        shown = html(studio(), day, edition)
        of_batch = "batches/april" if edition is Edition.OWNER else "batches/fig-2026-04-20"
        for path in (of_batch, "index"):
            before = shown[path].partition("<h2")[0]
            assert "Candles left before they were cured" in before, path
            assert EARLY in before, path
    remarks = pages(studio())["batches/april"].content.remarks
    assert EARLY not in [one.text for one in remarks]


def test_a_cured_gift_is_nobodys_trouble() -> None:
    """The one of the day on which the cure is over is not told."""
    late = BATCH.replace("on: 2026-04-25", "on: 2026-05-04")
    shown = html({**studio(), "batches/april.md": late}, date(2026, 5, 10))
    assert "before they were cured" not in shown["index"]
    assert "before they were cured" not in shown["batches/april"]


def test_the_index_says_until_when_a_batch_cures() -> None:
    """14 days after the 20th of April is the 4th of May; from then on nothing is said."""
    line = pages(studio(), date(2026, 5, 3))["batches/index"].content.batches[0]
    assert (line.word.word, line.until) == ("Curing", date(2026, 5, 4))
    assert "cures until <time" in html(studio(), date(2026, 5, 3))["batches/index"]
    cured = pages(studio(), date(2026, 5, 4))["batches/index"].content.batches[0]
    assert (cured.word.word, cured.until) == ("As proven", None)


@pytest.mark.parametrize("what", ["april", "W-1", "waxes/soy", "the old mill"])
def test_trace_tells_what_left_too_early(what: str, tmp_path: Path) -> None:
    """Whichever way one comes to the batch."""
    told = run(tmp_path, studio(), "trace", what, "--as-of", LATER)
    assert told.exit_code == 0
    assert EARLY in told.output


def test_a_buyers_name_is_a_way_in(tmp_path: Path) -> None:
    """However it is spelt as to capitals and gaps; what others have is not told."""
    told = run(tmp_path, studio(), "trace", "THE OLD MILL", "--as-of", LATER).output
    assert "Candles that The Old Mill has: 2" in told
    assert "april: Fig, poured on 2026-04-20 by wren. As proven." in told
    assert "2026-04-25: 2 sold" in told
    assert "a friend" not in told
    plain = json.loads(
        run(tmp_path, studio(), "trace", "a friend", "--json", "--as-of", LATER).output
    )
    assert plain["handed"] == [
        {"batch": "april", "on": "2026-05-04", "to": "a friend", "count": 1, "how": "gift"}
    ]
    assert set(plain["batches"]) == {"april"}
    assert plain["lots"] == {}


def test_a_buyer_of_a_later_day_is_not_known_yet(tmp_path: Path) -> None:
    """And a name that is nearly right is helped along."""
    early = run(tmp_path, studio(), "trace", "a friend", "--as-of", "2026-05-03")
    assert early.exit_code == 2
    near = run(tmp_path, studio(), "trace", "the old mil", "--as-of", LATER)
    assert near.exit_code == 2
    assert "Did you mean The Old Mill?" in near.output
