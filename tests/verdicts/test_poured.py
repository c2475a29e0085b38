"""How a recipe stood on the day of a batch: what its proof lacked, and what speaks against it."""

from datetime import date

import pytest

from handbook_builder.verdicts.poured import Poured, poured_on, whole_tests
from tests.records_in_text import BASE, OIL, VESSEL, WAX, burn, linked, proven, whole_life
from tests.verdicts.told import codes, judged

POURED = date(2026, 4, 5)
CRACKED = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: all}"
INCIDENT = "---\nnumber: 1\non: 2026-04-01\nabout: recipes/fig\nwhat: It smoked.\n{more}---\n"


def stood(day: date = POURED, **files: str) -> Poured:
    """Return how the proven recipe stood on a day, with other records beside its own."""
    return poured_on(linked({**proven(), **files}), "fig", day)


def test_nothing_lacked_and_nothing_speaks_against_it() -> None:
    """From the day on which the last of three candles passed."""
    found = stood()
    assert (found.lacking, found.against, found.incidents) == ((), (), ())
    before = stood(date(2026, 3, 18))
    assert codes(before.lacking) == ["too_few_passed"]
    assert before.against == ()


@pytest.mark.parametrize(
    ("path", "text", "against"),
    [
        ("burns/fig-c.md", burn("C", end=CRACKED), "candle_failed"),
        ("vessels/tumbler.md", VESSEL.replace("glass", "wood"), "vessel_not_cleared"),
        ("fragrances/fig-oil.md", OIL.replace("9 %", "7 %"), "oil_over_max_use"),
        ("waxes/soy.md", WAX.replace("10 %", "7 %"), "load_over_max_load"),
    ],
)
def test_what_speaks_against_it_lacks_nothing(path: str, text: str, against: str) -> None:
    """Each for itself; with a candle missing besides, that lacks all the same."""
    found = stood(**{path: text})
    assert (found.lacking, codes(found.against)) == ((), [against])
    two = {f"burns/fig-{one}.md": burn(one.upper(), candles=2) for one in "ab"}
    files = {**BASE, **two, path: text}
    if path != "burns/fig-c.md":
        assert codes(poured_on(linked(files), "fig", POURED).lacking) == ["too_few_passed"]


def test_an_incident_lacks_nothing_and_has_its_own_place() -> None:
    """While it was open."""
    closed = INCIDENT.format(more="closed: {on: 2026-04-05, finding: fine}\n")
    open_then = INCIDENT.format(more="closed: {on: 2026-04-06, finding: fine}\n")
    found = stood(**{"incidents/one.md": open_then})
    assert (found.lacking, found.against) == ((), ())
    assert [one.number for one in found.incidents] == [1]
    assert stood(**{"incidents/one.md": closed}).incidents == ()


def test_a_vessel_that_lacks_a_word_is_not_refused() -> None:
    """Ask first: that is missing, and nothing speaks against it."""
    found = stood(**{"vessels/tumbler.md": VESSEL.replace("porous: no\n", "")})
    assert (codes(found.lacking), found.against) == (["vessel_not_cleared"], ())


def test_bad_news_is_no_clearing() -> None:
    """A vessel without a word that counts lacks it, and so it does when the first word is a no."""
    word = "  - {kind: sold_for_candles, on: 2026-01-05, by: jar-house}\n"
    no = "  - {kind: makers_word, on: 2026-01-02, by: jar-house, result: failed}\n"
    found = stood(**{"vessels/tumbler.md": VESSEL.replace(word, no)})
    assert codes(found.lacking) == codes(found.against) == ["vessel_not_cleared"]
    told_late = VESSEL.replace(word, f"{word}{no}")
    found = stood(**{"vessels/tumbler.md": told_late})
    assert (found.lacking, codes(found.against)) == ((), ["vessel_not_cleared"])
    silent = told_late.replace("porous: no\n", "")
    found = stood(**{"vessels/tumbler.md": silent})
    assert codes(found.lacking) == codes(found.against) == ["vessel_not_cleared"]


def test_a_doubt_about_a_candle_that_failed_lacks_nothing() -> None:
    """It may have failed, and did; about one that did not fail it lacks."""
    lines = whole_life(3)
    lines[0] = lines[0].replace(", wall: 52 degC", "")
    late = "on: 2026-03-02"
    fair = burn("D", candles=1, cycles=lines).replace("on: 2026-03-01", late)
    assert codes(stood(**{"burns/fig-d.md": fair}).lacking) == ["missing_candle"]
    failed = fair.replace("flame: 22 mm", "flame: 80 mm", 1)
    found = stood(**{"burns/fig-d.md": failed})
    assert (found.lacking, codes(found.against)) == ((), ["candle_failed"])
    gone = burn("D", candles=2).replace("on: 2026-03-01", late)
    assert codes(stood(**{"burns/fig-d.md": gone}).lacking) == ["missing_candle"]


@pytest.mark.parametrize(
    ("more", "is_whole"),
    [
        ("", True),
        ("as: ladder\n", False),
        ("as: misuse\nhow: moved\n", False),
        ("void: {why: it fell, by: the maker, on: 2026-04-01}\n", False),
    ],
)
def test_a_failed_candle_is_a_whole_test(more: str, is_whole: bool) -> None:  # noqa: FBT001
    """Unless it was lit for something else, was set aside, or lacks what a pass needs."""
    made = "  rungs: 3\n" if "ladder" in more else ""
    files = {**proven(), "burns/fig-c.md": burn("C", end=CRACKED, more=more, made=made)}
    candle = judged(files).burns["fig-c"].candle
    assert candle.verdict == "fail"
    assert bool(list(whole_tests([candle]))) is is_whole
    short = burn("C", end=CRACKED.replace("went_out", "stopped, why: it cracked"), more=more,
                 made=made)  # fmt: skip
    stopped = judged({**files, "burns/fig-c.md": short}).burns["fig-c"].candle
    assert list(whole_tests([stopped])) == []
