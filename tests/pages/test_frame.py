"""What stays in sight around a page, what its head names of what stands below, and its lists."""

import re
from collections import defaultdict
from pathlib import Path

import pytest

from handbook_builder.pages.page import Page

ROOT = Path(__file__).resolve().parents[2]
LINK = re.compile(r'<a\b[^>]*\bhref="([^"]+)"[^>]*>(.*?)</a>', re.DOTALL)
TAG = re.compile(r"<[^>]+>")
INDEXES = ("tests", "batches", "approved", "not-approved", "materials", "vessels")


def told_by(markup: str) -> str:
    """Return the words of a piece of HTML, those for screen readers too."""
    return " ".join(TAG.sub("", markup).split())


@pytest.mark.parametrize("folder", ["products", "pour", "labels"])
def test_a_product_and_its_sheets_are_in_the_room_of_its_status(
    pages: dict[str, Page], folder: str
) -> None:
    """Lavender and pine is approved in the demo; the bigger wick failed."""
    assert pages[f"{folder}/lavender-pine"].room == "approved"
    assert pages[f"{folder}/cedar-fig-big-wick"].room == "not-approved"


def test_the_bar_says_how_a_product_stands_and_which_it_is(pages: dict[str, Page]) -> None:
    """The first four letters of its code; where a lot must not go in, the word is not left alone.

    Incident 3 of the demo is open about a lot of coconut soy, which the soapstone pot is made of.
    """
    plain, held = (pages[f"pour/{one}"].stands for one in ("lavender-pine", "lemon-verbena-pot"))
    assert plain is not None
    assert held is not None
    assert plain.word is not None
    assert (plain.word.word, plain.tail, plain.limits) == ("Approved", "X45L", "")
    assert held.limits == "not with every lot"


def test_sisters_and_former_make_ups_are_beside(pages: dict[str, Page]) -> None:
    """Candles D to F prove the stoneware cup; A to C were poured in its first specification."""
    named = {
        group.title: [near.link.title for near in group.near]
        for group in pages["products/lavender-pine"].beside
    }
    assert named["Its test candles"] == ["Candle D", "Candle E", "Candle F"]
    assert named["Former make-ups"] == ["Candle A", "Candle B", "Candle C"]
    sisters = pages["tests/cedar-fig-big-wick-b"].beside[1].near
    told = [(one.link.title, one.word and one.word.word) for one in sisters]
    assert told == [("Candle A", "Incomplete"), ("Candle B", "Failed"), ("Candle C", "Incomplete")]


def test_a_batch_to_keep_is_named_at_the_head_and_on_the_first_page(
    pages: dict[str, Page], html: dict[str, str]
) -> None:
    """The batch of 25 April holds too much oil, and its four are here; that of 7 March is fine."""
    heed = [one.title for one in pages["products/lavender-pine"].content.heed]
    assert heed[0] == "Not as proven: the batch of 2026-04-25, 4 still here."
    assert not any("2026-03-07" in one for one in heed)
    page = html["products/lavender-pine"]
    assert page.index(heed[0]) < page.index('id="pour-sheet"') < page.index('id="evidence"')
    kept = [one.link.path for one in pages["index"].content.minded.keep]
    assert "batches/lavender-pine-2026-04-25" in kept
    assert "batches/lavender-pine-2026-03-07" not in kept
    assert html["index"].index('id="keep"') < html["index"].index('id="pour"')


def test_no_batch_is_kept_of_which_none_is_here(pages: dict[str, Page]) -> None:
    """What is gone cannot be kept: it is told of as a recall, elsewhere."""
    gone = {one.link.path for one in pages["batches/index"].content.batches if one.left == 0}
    assert gone
    assert not gone & {one.link.path for one in pages["index"].content.minded.keep}


def test_the_reading_that_broke_a_limit_is_marked(
    pages: dict[str, Page], html: dict[str, str]
) -> None:
    """Walls of 49, 55, 71, 74 and 84 °C, against 60 (watched) and 75 (fails) of the protocol."""
    content = pages["tests/cedar-fig-big-wick-b"].content
    at = [column.label for column in content.columns].index("Wall")
    assert [row.marks[at] for row in content.cycles] == ["", "", "watched", "watched", "broke"]
    assert [row.cells[at] for row in content.cycles] == ["49", "55", "71", "74", "84"]
    page = html["tests/cedar-fig-big-wick-b"]
    assert page.count('class="broke"') == 1
    assert "84</strong>" in page
    assert page.index('id="cycles"') < page.index('id="picture"') < page.index('id="figures"')


def test_a_reading_that_failed_is_not_told_as_watched_too(pages: dict[str, Page]) -> None:
    """84 °C is over both limits, and stands once."""
    last = pages["tests/cedar-fig-big-wick-b"].content.cycles[-1]
    (told,) = (one.text.replace("\N{NO-BREAK SPACE}", " ") for one in last.failures)
    assert told == (
        "Cycle 5: the outer wall reached 84 °C (183 °F); at most 75 °C (167 °F) is allowed."
    )
    assert not [one for one in last.watches if "wall" in one.text]
    assert [one for one in last.watches if "mushrooming" in one.text]


def test_candles_stand_by_their_last_day_and_as_squares(
    pages: dict[str, Page], html: dict[str, str]
) -> None:
    """The newest on top; each product's in a row, called by name and verdict to a screen reader."""
    content = pages["tests/index"].content
    days = [line.last_lit or line.poured for _, line in content.newest]
    assert days == sorted(days, reverse=True)
    assert len(days) == content.total == sum(count for _, count in content.counts)
    squares = [told_by(inner) for _, inner in LINK.findall(html["tests/index"])]
    assert "Cedar and fig, amber tumbler, bigger wick, candle B: Failed" in squares


@pytest.mark.parametrize("room", INDEXES)
def test_no_two_links_of_a_list_are_called_alike(html: dict[str, str], room: str) -> None:
    """WCAG 2.4.9, and what a list of links in a screen reader is worth: one name, one page."""
    led: dict[str, set[str]] = defaultdict(set)
    for href, inner in LINK.findall(html[f"{room}/index"]):
        led[told_by(inner)].add(href)
    assert {name: found for name, found in led.items() if len(found) > 1} == {}


def test_lists_say_how_many_and_can_be_narrowed(html: dict[str, str]) -> None:
    """Each list has a tally before it and a form that narrows it."""
    for room in INDEXES:
        page = html[f"{room}/index"]
        target = re.search(r'data-filter="([^"]+)"', page)
        assert target, room
        assert f'id="{target[1]}"' in page, room
        assert "data-row" in page, room
        assert 'class="tally"' in page, room


def test_a_suspended_last_lot_is_flagged_where_materials_are_listed(html: dict[str, str]) -> None:
    """The newest lot of coconut soy, CS-0452, is the one that incident 3 is open about."""
    row = next(row for row in html["materials/index"].split("<tr") if "coconut-soy" in row)
    assert "CS-0452</a>" in row
    assert "Suspended" in row


def test_costs_are_told_in_coins(html: dict[str, str]) -> None:
    """Four decimals of a euro would promise a precision that no bill has."""
    table = html["products/lavender-pine"].partition('id="cost"')[2].partition("</table>")[0]
    assert "EUR" in table
    assert not re.search(r"\d\.\d{3,} EUR", table.replace("\N{NO-BREAK SPACE}", " "))


def test_tables_say_no_roles_that_markup_says(html: dict[str, str]) -> None:
    """ARIA in HTML 4.2 (W3C): none on td, th, tr in a table; a script writes them for blocks."""
    for path, page in html.items():
        assert not re.search(r"<(table|thead|tbody|tr|th|td)\b[^>]*\brole=", page), path
