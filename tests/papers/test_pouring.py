"""The chart of what may be poured: every approved product once, nothing else, and no page cut."""

import re
from datetime import date

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.papers.pouring import Card, PouringChart, page_of_pouring
from handbook_builder.words import Words
from tests.pages.conftest import catalogue
from tests.papers.rig import APPROVED, DAY, account, pages, papers, words_in
from tests.records_in_text import proven
from tests.told import rig


def chart(files: dict[str, str], day: date = DAY) -> PouringChart:
    """Return what the chart of a small studio shows."""
    desk = Desk(rig.account(files, day), Words.load(catalogue()))
    content = page_of_pouring(desk).content
    assert isinstance(content, PouringChart)
    return content


def cards_of(shown: PouringChart) -> list[Card]:
    """Return the cards of all its pages."""
    return [card for leaf in shown.leaves for card in leaf.cards]


def stopped_by(shown: PouringChart) -> list[str]:
    """Return every name that must not be poured, on any of its pages."""
    return [name for leaf in shown.leaves for group in leaf.stopped for name in group.names]


def many(approved: int, untested: int, letters: int = 40) -> dict[str, str]:
    """Return a studio with so many products of one proven candle, and so many of another load."""
    files = proven()
    recipe = files["recipes/fig.md"].replace("test_candles: as filed", "test_candles: 0")
    words = ("Cedar wood and dried fig in amber " * 9)[: letters - 4]
    for number in range(approved - 1):
        files[f"recipes/a-{number}.md"] = recipe.replace("Fig", f"{words} {number:03}", 1)
    for number in range(untested):
        other = recipe.replace("Fig", f"Other {number:03}", 1).replace("8 %", "7 %")
        files[f"recipes/u-{number}.md"] = other
    return files


def test_every_approved_product_is_a_card_and_nothing_else_is() -> None:
    """By their titles and codes; all the rest is named among what must not be poured."""
    recipes = account().studio.recipes
    for edition in Edition:
        shown = pages(edition)["papers/pouring"].content
        codes = {card.title: card.code for card in cards_of(shown)}
        assert codes == {recipes[one].title: account().products[one].code for one in APPROVED}, (
            edition
        )
        others = sorted(one.title for ident, one in recipes.items() if ident not in APPROVED)
        assert sorted(one for one in stopped_by(shown) if "lot " not in one) == others
        assert all(card.word.word == "Approved" for card in cards_of(shown))


def test_a_card_has_the_weights_and_heats_of_the_pour_sheet() -> None:
    """Of one candle: read off the pour sheet's own page, with its unit."""
    card = next(c for c in cards_of(pages()["papers/pouring"].content) if c.title.startswith("Lav"))
    sheet = pages()["pour/lavender-pine"].content
    told = {one.label: one.value.replace("\N{NO-BREAK SPACE}", " ") for one in card.facts}
    assert sheet.asked.count == 1
    for one in sheet.ingredients:
        assert told[one.link.title] == f"{one.amount} g"
    assert told["Heat to"] == sheet.work.heats[0].heat_to.replace("\N{NO-BREAK SPACE}", " ")
    assert told["Pour at"] == sheet.work.heats[0].pour_at.replace("\N{NO-BREAK SPACE}", " ")
    assert (told["Net fill"], told["Cure"]) == (sheet.work.net.replace("\xa0", " "), "14 days")


def test_a_lot_that_is_suspended_stands_on_the_card_and_in_the_list() -> None:
    """Incident 3 of the demo is about lot CS-0452 of the coconut soy; on the floor, its day."""
    shown = pages()["papers/pouring"].content
    held = [card.title for card in cards_of(shown) if card.provisos]
    assert held == ["Lemon verbena, soapstone pot", "Warm sandalwood, concrete bowl, two wicks"]
    assert "Coconut soy, lot CS-0452 (incident 3)" in stopped_by(shown)
    assert "CS-0452" not in papers(Edition.FLOOR)["papers/pouring"]
    assert [
        one for one in stopped_by(pages(Edition.FLOOR)["papers/pouring"].content) if "lot" in one
    ]


def test_it_says_its_day_and_when_it_is_void() -> None:
    """On every page of it, in both editions."""
    for edition in Edition:
        text = words_in(papers(edition)["papers/pouring"])
        assert text.count("Void after that day") == text.count("As of 2026-05-01 ") >= 1


def test_nothing_is_cut_however_many_there_are() -> None:
    """Each product stands on one page, each page says which of how many it is."""
    for approved, untested in ((1, 0), (13, 5), (45, 3), (3, 200)):
        shown = chart(many(approved, untested))
        cards = cards_of(shown)
        assert len({card.title for card in cards}) == len(cards) == approved
        assert len(set(stopped_by(shown))) == len(stopped_by(shown)) == untested
        numbers = [leaf.number for leaf in shown.leaves]
        count = len(numbers)
        expected = [f"Page {at} of {count}" for at in range(1, count + 1)] if count > 1 else [""]
        assert numbers == expected
        assert (count > 1) == (approved > 20 or untested > 100), (approved, untested, count)


def test_cards_shrink_before_there_is_a_second_page() -> None:
    """Three in a row, four, five: and never smaller than that."""
    sizes = [chart(many(count, 0)).size for count in (4, 6, 10, 14, 40)]
    assert sizes == ["large", "large", "middle", "small", "small"]


def test_without_an_approved_product_it_says_so() -> None:
    """An empty chart would look like a forgotten one."""
    files = proven()
    del files["burns/fig-c.md"]
    files["recipes/fig.md"] = files["recipes/fig.md"].replace("as filed", "2")
    for name in ("burns/fig-a.md", "burns/fig-b.md"):
        files[name] = files[name].replace("candles: 3", "candles: 2")
    assert cards_of(chart(files)) == []
    text = re.sub(r"\s+", " ", rig.html(files, DAY)["papers/pouring"])
    assert "Nothing is approved, so nothing may be poured" in text
