"""The page of a product's labels: drawings for what is approved, reasons for what is not."""

import re
from functools import cache
from typing import Final

import pytest

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.label import LabelPage, page_of_label
from handbook_builder.publish.views import Surroundings, environment, render
from handbook_builder.verdicts.approval import Status
from handbook_builder.workshop import account_in, press_of, words_for, words_text_for
from tests.label.kit import AQUATIC, HARMLESS, NAMED, UNKNOWN, desk_of, shipped, studio
from tests.label.test_refused import NOT_APPROVED
from tests.pages.conftest import DAY, GUIDES, RECORDS, ROOT, VIEWS, shown

FACE: Final = "label-face"
DRAWN: Final = re.compile(
    r'<svg (?!class="square__code")[^>]*width="([0-9.]+)mm" height="([0-9.]+)mm"'
)


@cache
def _demo() -> Desk:
    account, problems = account_in(RECORDS, DAY)
    assert account is not None, problems
    press, faults = press_of(account, ROOT)
    assert faults == ()
    return Desk(account, words_for(account.studio, words_text_for(ROOT)), own_press=press)


def _html(desk: Desk, ident: str = "fig") -> str:
    return _drawn(page_of_label(desk, ident)).replace("\N{NO-BREAK SPACE}", " ")


def _drawn(page: Page) -> str:
    """Return the HTML of the page of a label, which links to its product and to its index."""
    product = page.path.replace("labels/", "products/")
    indexes = {"approved/index", "not-approved/index"}
    around = Surroundings({page.path, product, *indexes, *GUIDES}, frozenset(), DAY)
    return render(environment([VIEWS]), page, around)


def _content(desk: Desk, ident: str = "fig") -> LabelPage:
    content = page_of_label(desk, ident).content
    assert isinstance(content, LabelPage)
    return content


@pytest.mark.parametrize("status", NOT_APPROVED, ids=str)
def test_what_is_not_approved_has_no_drawing(status: Status) -> None:
    """No face, no drawing, no call to print one; each market has its reasons."""
    desk = desk_of({**studio(), **NOT_APPROVED[status]})
    page = _content(desk)
    assert [market.faces for market in page.markets] == [()] * 3
    assert [market.command for market in page.markets] == [None] * 3
    assert all("It is not approved" in market.refused[0] for market in page.markets)
    html = _html(desk)
    assert FACE not in html
    assert DRAWN.search(html) is None
    assert "handbook label" not in html
    assert html.count("It is not approved (") == 3


def test_no_product_of_the_demo_has_a_drawing_but_those_that_are_approved() -> None:
    """Asked of every page of the whole handbook: a label is on no other page either."""
    desk = _demo()
    pages = {page.path: page for page in pages_of(desk.account, desk.words, press=desk.own_press)}
    approved = {
        f"labels/{ident}"
        for ident, product in desk.judged.products.items()
        if product.status is Status.APPROVED
    }
    drawn = {path for path, html in shown(pages).items() if FACE in html or DRAWN.search(html)}
    assert drawn == approved
    assert {path for path in pages if path.startswith("labels/")} == {
        f"labels/{ident}" for ident in desk.judged.products
    }


def test_a_drawing_is_as_large_as_its_panel() -> None:
    """In millimetres, which a printer takes as they are; its words are read out in order."""
    html = _html(desk_of(studio()))
    assert DRAWN.findall(html) == [("70", "45"), ("140", "90")] * 3
    assert "Front, 70 mm by 45 mm, on the vessel." in html
    assert "Cautions, 140 mm by 90 mm, on Caution." in html
    assert "<desc" in html
    assert "May cause an allergic skin reaction." in html


def test_no_two_drawings_share_an_id() -> None:
    """A page has six of them, and each refers to its own letters."""
    html = _html(desk_of(studio()))
    ids = re.findall(r' id="([^"]+)"', html)
    assert len(ids) == len(set(ids)) > 200
    for target in re.findall(r'href="#([^"]+)"', html):
        assert target in ids


def test_how_it_is_printed_and_what_it_is() -> None:
    """The command of each market, and that all of it is a working aid."""
    html = _html(desk_of(studio()))
    for market in ("eu", "gb", "us"):
        assert f"handbook label fig --market {market}" in html
    assert "A working aid, and no legal advice." in html
    assert "For the United States no hazard classes are reckoned" in html
    assert "no hazard classes are reckoned" not in _html(desk_of(studio(markets="[eu]")))


def test_a_studio_in_the_united_states_alone_has_no_hazards_reckoned() -> None:
    """The page says that nothing else was looked at."""
    html = _html(desk_of(studio(markets="[us]")))
    assert "Hazards of the finished candle" not in html
    assert "nothing else was looked at" in html


def test_an_unknown_composition_is_told_as_incomplete() -> None:
    """Never as no hazard, nor as a table that looks whole."""
    html = _html(desk_of(studio(UNKNOWN)))
    assert "nobody can say that it has none" in html
    assert "These hazards are incomplete." in html
    assert "The hazards of tea absolute are not known." in html
    assert "No class was found." not in html


@pytest.mark.parametrize(("oil", "said"), [
    (HARMLESS, "No class was found. Everything that the sheets list was looked at."),
    (NAMED, "Contains linalool. May produce an allergic reaction."),
    (AQUATIC, "Harmful to aquatic life with long lasting effects."),
])  # fmt: skip
def test_what_the_hazards_come_to(oil: str, said: str) -> None:
    """In words, with how surely each was read."""
    html = _html(desk_of(studio(oil)))
    assert said in html
    if oil is not HARMLESS:
        assert "read in its own text" in html


def test_a_statement_that_the_studios_english_lacks_keeps_its_number() -> None:
    """A row that fell away would look like a hazard that is not there."""
    own = "".join(
        line for line in shipped("en").splitlines(keepends=True) if not line.startswith("  H317:")
    )
    html = _html(desk_of(studio(), catalogues={"en": own}))
    assert "H317" in html
    assert "not in your statements/en.yml" in html


def test_the_demo_shows_each_side_of_a_threshold() -> None:
    """One oil at 6 % and at 11 %: what the stronger candle has and the weaker has not."""
    weak, strong = (_content(_demo(), f"{one}-vanilla-tin").hazards for one in ("smoked", "strong"))
    assert weak is not None
    assert strong is not None
    assert weak.is_complete
    assert strong.is_complete
    lighter, heavier = ({one.name for one in each.classes} for each in (weak, strong))
    assert lighter < heavier
    assert any("appears" in step for step in weak.steps)


def test_the_demo_shows_a_composition_that_is_incomplete() -> None:
    """Black tea: what is not known is named."""
    page = _content(_demo(), "black-tea")
    assert page.hazards is not None
    assert not page.hazards.is_complete
    assert page.hazards.lead[1:]
    assert all("tea" in each for each in page.hazards.lead[1:])


def test_the_demo_shows_a_label_on_a_box() -> None:
    """The gift's front stays bare; on the same candle without a box the label is on the jar."""
    gift = _content(_demo(), "cedar-fig-gift").markets
    assert [face.on for market in gift for face in market.faces] == ["on Gift box"] * 3
    assert [face.name for market in gift for face in market.faces] == ["Front and cautions"] * 3
    plain = _content(_demo(), "cedar-fig").markets
    assert {(face.name, face.on) for market in plain for face in market.faces} == {
        ("Front", "on the vessel"),
        ("Cautions", "on Caution label"),
    }


def test_the_demo_shows_two_languages_and_a_panel_that_is_too_small() -> None:
    """The European Union's label is in English and German; the small tin's front does not fit."""
    words = {
        market.market: " ".join(face.words for face in market.faces)
        for market in _content(_demo(), "cedar-fig").markets
    }
    assert "Warning / Achtung" in words["the European Union"]
    assert "Achtung" not in words["Great Britain"]
    small = {market.market: market for market in _content(_demo(), "unscented-tin").markets}
    refused = " ".join(small["the European Union"].refused)
    assert "is too small. What would do: " in refused
    assert small["Great Britain"].faces


PROVISO = r'<span class="proviso".*?</span>'


def test_the_floor_edition_has_the_same_labels() -> None:
    """Nothing on a label is of money, and a helper prints them."""
    desk = _demo()
    floor = pages_of(desk.account, desk.words, Edition.FLOOR, press=desk.own_press)
    found = {page.path: page for page in floor if page.path.startswith("labels/")}
    assert set(found) == {f"labels/{ident}" for ident in desk.judged.products}
    for path, page in found.items():
        own = _drawn(page_of_label(desk, path.removeprefix("labels/")))
        # A lot is called by the day of its delivery there.
        assert re.sub(PROVISO, "", _drawn(page)) == re.sub(PROVISO, "", own)
    assert "Do not use lot CS-0452" in _drawn(page_of_label(desk, "lemon-verbena-pot"))
    assert "delivery of 2025-11-20" in _drawn(found["labels/lemon-verbena-pot"])


def test_every_sentence_of_a_label_is_asked_for() -> None:
    """None is left over in the catalogue, and none that the source names is missing."""
    source = "".join(file.read_text("utf-8") for file in (ROOT / "handbook_builder").rglob("*.py"))
    asked = set(re.findall(r"label\.([a-z_]+)", source))
    known = _demo().words.phrases["pages"]["label"]
    # Why a component is left aside, what a change at a load is about, the heads of a paper's lines.
    by_value = {
        "below_cut_off", "solid_candle", "named", "pictogram", "signal", "pictograms", "contains",
    }  # fmt: skip
    assert set(known) - asked == by_value
    assert {f'"{key}"' in source for key in by_value} == {True}


def test_every_note_on_a_component_has_a_sentence() -> None:
    """And no other has: what is unclear is told in words, whichever rule found it."""
    rooms = [ROOT / "handbook_builder" / room for room in ("hazards", "derived")]
    source = "".join(file.read_text("utf-8") for room in rooms for file in room.rglob("*.py"))
    notes = set(_demo().words.phrases["pages"]["label"]["notes"])
    assert {note for note in notes if f'"{note}"' not in source} == set()
    assert set(re.findall(r'Note\(\s*"([a-z_]+)"', source)) <= notes
