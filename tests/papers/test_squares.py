"""Square codes: read back by another library, large enough for paper, and with their quiet zone."""

import re
import string
from pathlib import Path

import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.pages.edition import Edition
from handbook_builder.publish.addresses import MOST_LETTERS
from handbook_builder.publish.squares import drawing
from tests.papers.rig import papers
from tests.papers.squares import drawn_in, held, picture

LONGEST = "https://" + "a" * (MOST_LETTERS - 8)


def test_what_goes_in_comes_out() -> None:
    """An address, the text that stands in for one, and letters that markup escapes."""
    for text in ("https://bench.example/bench/cedar-fig-a.html", "cedar-fig-a ZYCL-4YLR-6X9V",
                 'https://bench.example/?a=1&b="<x>"'):  # fmt: skip
        (code,) = drawn_in(drawing(text, "A code"))
        assert held(code) == text


@given(st.text(string.ascii_letters + string.digits + "-./:_", min_size=1, max_size=200))
def test_any_address_comes_out(text: str) -> None:
    """However long an address and an id are."""
    (code,) = drawn_in(drawing(text, "A code"))
    assert held(code) == text


def test_it_is_large_enough_for_a_camera() -> None:
    """Modules of half a millimetre or more, and at the longest no wider than a sheet has room for.

    Half a millimetre and 34 mm are this project's own measures.
    """
    for text, most_mm in (("x", 20.0), (f"{LONGEST}/bench/{'b' * 40}-a.html", 34.0)):
        (code,) = drawn_in(drawing(text, "A code"))
        assert code.module_mm >= 0.5
        assert code.width_mm <= most_mm


def test_it_has_a_quiet_zone_of_four_modules() -> None:
    """ISO/IEC 18004 asks for four on each side (from memory)."""
    (code,) = drawn_in(drawing("https://bench.example/pour/cedar-fig.html", "A code"))
    assert min(x for x, _, _ in code.bars) == min(y for _, y, _ in code.bars) == 4
    assert max(x + wide for x, _, wide in code.bars) == code.side - 4
    assert max(y + 1 for _, y, _ in code.bars) == code.side - 4


def test_it_bears_some_wax() -> None:
    """Level M or better: 15 % of the words may be lost (ISO/IEC 18004, from memory)."""
    (code,) = drawn_in(drawing("https://bench.example/bench/cedar-fig-a.html", "A code"))
    (found,) = zxingcpp.read_barcodes(picture(code))
    assert str(found.ec_level) in {"M", "Q", "H"}
    spoiled = picture(code)
    spoiled.paste(255, (160, 160, 184, 184))  # three modules wide: a drop
    (found,) = zxingcpp.read_barcodes(spoiled)
    assert found.text == "https://bench.example/bench/cedar-fig-a.html"


def test_its_title_is_escaped() -> None:
    """A name in it can be a maker's own."""
    assert 'aria-label="&lt;b&gt; &amp; &#34;c&#34;"' in drawing("x", '<b> & "c"')


@pytest.mark.parametrize("edition", Edition)
def test_without_an_address_it_holds_what_the_page_is_looked_up_by(edition: Edition) -> None:
    """The id and the code, and the sheet says what to set; no two sheets hold the same."""
    found = {}
    for path, markup in papers(edition).items():
        for code in drawn_in(markup):
            kind = path.rpartition("/")[2]
            text = held(code)
            ident, _, combination = text.partition(" ")
            assert re.fullmatch(r"[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}", combination), path
            assert combination in markup, path
            assert ident in code.title, path
            assert "To open its page, set &#39;address&#39; in mkdocs.yml." in markup, path
            found.setdefault(kind, []).append(text)
    assert set(found) == {"batch-sheet", "burn-sheet", "burn-sheets"}
    assert len(found["burn-sheet"]) == 3
    assert sorted(found["burn-sheets"]) == sorted(found["burn-sheet"])
    for texts in found.values():
        assert len(set(texts)) == len(texts)


def test_no_template_draws_its_own() -> None:
    """Each code of a view goes through the one filter, so each is read back above."""
    views = Path(__file__).parents[2] / "site_templates" / "views"
    using = {view.name for view in views.glob("*.html") if "| square" in view.read_text("utf-8")}
    assert using == {"_papers.html", "pour.html"}
