"""A helper's own page: what they may do, what to read, and what waits for them today."""

import re
from datetime import date

import pytest

from handbook_builder.derived.account import account_of
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.words import Words
from tests.pages.conftest import catalogue, shown
from tests.records_in_text import BASE, DAY, burn, linked, proven, whole_life
from tests.told.rig import plain
from tests.told.test_hands import BOTH, GUIDES, helper

POURS = "  - {page: pouring-a-batch, on: 2026-01-03, edition: CCCCCC}\n"


def page(files: dict[str, str], edition: Edition = Edition.OWNER, day: date = DAY) -> str:
    """Return the text of Wren's page."""
    told = account_of(linked(files), day, GUIDES)
    found = {each.path: each for each in pages_of(told, Words.load(catalogue()), edition)}
    text = shown(found, day)["helpers/wren"]
    return plain(re.sub(r"<[^>]*>", "", text))


@pytest.mark.parametrize("edition", Edition)
def test_what_is_to_be_read_stands_first_and_bars_the_work(edition: Edition) -> None:
    """A guide never read, and one read in another edition, with what to write then."""
    changed = BOTH.replace("AAAAAA", "999999")
    text = page({**BASE, "helpers/wren.md": helper("burn, pour", changed)}, edition)
    assert "read on 2026-01-01 in edition 999999; it is AAAAAA now" in text
    assert "never read, and needed for what they may do" in text  # pouring-a-batch
    assert "handbook sign wren pouring-a-batch" in text
    assert text.count("The guides above come first.") == 2


def test_whoever_has_read_all_sees_what_waits() -> None:
    """The candle that may be lit today with its cycle; no work that they may not do."""
    three = {f"burns/fig-{letter.lower()}.md": burn(letter) for letter in "AB"}
    unlit = burn("C", cycles=[], end="")
    waits = {**BASE, **three, "burns/fig-c.md": unlit, "helpers/wren.md": helper("burn", BOTH)}
    text = page(waits)
    assert "May burn test candles." in text
    assert "Nothing: all that goes with this work was read, as it is now." in text
    assert "The guides above come first." not in text
    assert "Fig, candle C: first light" in text
    assert "To pour" not in text
    lit = burn("C", cycles=[whole_life(2)[0]], end="")
    assert "Fig, candle C: cycle 2" in page({**waits, "burns/fig-c.md": lit})
    early = page(waits, day=date(2026, 3, 10))
    assert "Nothing may be lit today. The next one may on 2026-03-15." in early
    assert "Fig, candle C" not in early


def test_whoever_pours_sees_what_may_be_poured_and_what_a_test_needs() -> None:
    """An approved product for people, and as many test candles as a proof still needs."""
    files = {**proven(), "helpers/wren.md": helper("pour", BOTH + POURS)}
    assert "Fig: approved: may be poured when candles are wanted" in page(files)
    files["burns/fig-c.md"] = burn(
        "C", end="{how: stopped, why: it cracked, left: 4.0 g, vessel: cracked}"
    )
    assert "approved: may be poured" not in page(files)
    wanting = {**BASE, "helpers/wren.md": helper("pour", BOTH + POURS)}
    assert "Fig: 3 test candles are still needed" in page(wanting)


def test_whoever_signs_sees_the_open_incidents_and_nobody_else() -> None:
    """They close them; to others they stand on Today."""
    incident = "---\nnumber: 1\non: 2026-04-10\nabout: waxes/soy\nwhat: It smells sour.\n---\n"
    counted = BASE["studio.md"].replace("protocol:", "incidents: 1\nprotocol:")
    files = {**proven(), "incidents/incident-1.md": incident, "studio.md": counted}
    assert "It smells sour" in page({**files, "helpers/wren.md": helper("sign")})
    assert "It smells sour" not in page({**files, "helpers/wren.md": helper("burn", BOTH)})


def test_whoever_may_do_nothing_is_told_so() -> None:
    """Without `may` in the record."""
    assert "May do nothing of what is asked for by name" in page(
        {**BASE, "helpers/wren.md": helper("")}
    )
