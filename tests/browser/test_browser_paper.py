"""The demo on paper: a sheet is one page, in whatever fonts a machine has."""

import re
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import visiting
from demo import pourable
from fonts import families_to_try
from visits import Visit, pages_in

from handbook_builder.pages.desk import Desk

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

# Paper that is shorter and narrower by some 3 %: what other fonts and another browser may need.
SHORTER = {"A4": ("205mm", "286mm"), "Letter": ("211mm", "270mm")}
# How wide one of the digits of an element is, of the size of its font.
WIDE = """(selector) => {
  const one = document.querySelector(selector);
  one.style.fontSize = '200px';  // a screen has whole points, which must not count
  return one.getBoundingClientRect().width / one.textContent.length / 200;
}"""


def pages_with_text(pdf: bytes) -> int:
    """Return how many of its content streams show text."""
    found = 0
    for packed in re.findall(rb"stream\r?\n(.*?)endstream", pdf, re.DOTALL):
        try:
            plain = zlib.decompress(packed)
        except zlib.error:
            continue
        found += b"BT" in plain and (b"Tj" in plain or b"TJ" in plain)
    return found


@pytest.fixture
def printed(typesetter: "Browser", demo: Path) -> Iterator[Visit]:
    """Open the site from its folder, with one family of fonts."""
    with visiting(typesetter, demo.as_uri()) as visit:
        yield visit


def fonts_of(page: "Page", selector: str) -> set[str]:
    """Return the families that the text of an element is set in."""
    asked = page.context.new_cdp_session(page)
    for domain in ("DOM", "CSS"):
        asked.send(f"{domain}.enable")
    root = asked.send("DOM.getDocument")["root"]["nodeId"]
    node = asked.send("DOM.querySelector", {"nodeId": root, "selector": selector})
    used = asked.send("CSS.getPlatformFontsForNode", node)["fonts"]
    return {font["familyName"] for font in used}


@pytest.mark.parametrize(
    ("here", "tried"),
    [
        ("", ""),
        ("DejaVu Sans", ""),
        ("Alpha, Beta, Gamma", "Alpha, Beta"),
        ("Alpha, P052", "P052, Alpha"),
        ("Alpha, DejaVu Sans, DejaVu Serif", "DejaVu Sans, DejaVu Serif"),
        (
            "P052, DejaVu Serif, Liberation Sans, DejaVu Sans",
            "DejaVu Sans, Liberation Sans, DejaVu Serif",
        ),
    ],
)
def test_which_families_are_tried(here: str, tried: str) -> None:
    """Wide and narrow common ones, else whatever there is, and never one alone."""
    families = {family: [Path(family)] for family in here.split(", ") if family}
    assert families_to_try(families) == [family for family in tried.split(", ") if family]


def test_the_sheet_is_set_in_the_one_family(printed: Visit, family: str) -> None:
    """Heading, text and code alike: the tests below would otherwise all try the same fonts."""
    printed.open("pour/cedar-fig.html")
    printed.page.emulate_media(media="print")
    for selector in ("h1", ".pour__steps span", ".chip code"):
        used = fonts_of(printed.page, selector)  # a weight may be a family of its own, by its name
        assert used, selector
        assert all(name.startswith(family) for name in used), (selector, used)


def test_a_digit_is_as_wide_in_any_family(printed: Visit) -> None:
    """0.53 of its size on paper, as the style asks: no font takes more lines than another."""
    printed.open("pour/cedar-fig.html?count=9999")
    printed.page.emulate_media(media="print")
    assert printed.page.evaluate(WIDE, "[data-told=count]") == pytest.approx(0.53, abs=0.005)
    step = printed.page.locator(".pour__steps span").first
    step.evaluate("one => { one.textContent = '0000'; }")
    assert printed.page.evaluate(WIDE, ".pour__steps span") == pytest.approx(0.53, abs=0.005)


def test_every_sheet_prints_on_one_page(printed: Visit, desk: Desk) -> None:
    """Of every product of the demo, on A4 and on Letter, in each family, with room to spare."""
    weighed_out = pourable(desk)
    for ident in desk.judged.products:
        printed.open(f"pour/{ident}.html?count=9999")
        if ident in weighed_out:
            assert printed.page.locator("[data-told=count]").text_content() == "9999"
        for paper, (width, height) in SHORTER.items():
            pdf = printed.page.pdf(width=width, height=height)
            assert pages_in(pdf) == 1, (ident, paper)


def test_every_sheet_to_write_on_prints_on_one_page(printed: Visit, demo: Path) -> None:
    """The charts of the wall, burn and batch sheets of the demo, on both papers, in each family."""
    sheets = [
        paper.relative_to(demo).as_posix()
        for name in ("wall.html", "pouring.html", "*/burn-sheet*.html", "*/batch-sheet.html")
        for paper in sorted((demo / "papers").glob(name))
    ]
    assert len(sheets) > 20
    for sheet in sheets:
        printed.open(sheet)
        for paper, (width, height) in SHORTER.items():
            pdf = printed.page.pdf(width=width, height=height)
            assert pages_in(pdf) == 1, (sheet, paper)


def test_the_page_of_a_proven_product_prints_on_one_page(printed: Visit, desk: Desk) -> None:
    """With the table of weights for other counts, on A4 and on Letter, in each family."""
    for ident, product in desk.judged.products.items():
        if product.missing:
            continue
        printed.open(f"products/{ident}.html")
        for paper, (width, height) in SHORTER.items():
            pdf = printed.page.pdf(width=width, height=height)
            assert pages_in(pdf) == 1, (ident, paper)
        printed.page.emulate_media(media="print")
        assert printed.page.get_by_text("Weigh for so many candles").is_visible()
        printed.page.emulate_media(media="null")


def test_the_approved_products_print_on_one_page(printed: Visit) -> None:
    """All six of the demo, on A4 and on Letter, in each family."""
    printed.open("approved/index.html")
    for paper, (width, height) in SHORTER.items():
        assert pages_in(printed.page.pdf(width=width, height=height)) == 1, paper


def test_the_mark_of_a_test_is_on_every_page(printed: Visit) -> None:
    """However many pages a test pour takes, each bears the mark; a sheet of a proven one, none."""
    only = (
        "body * { visibility: hidden !important; }"
        ".pour__watermark, .pour__watermark * { visibility: visible !important; }"
        "@page { @top-left { content: none } @bottom-left { content: none }"
        " @bottom-right { content: none } }"
    )
    for ident, marked in (("pine-bowl", True), ("cedar-fig", False)):
        printed.open(f"pour/{ident}.html?count=4")
        printed.page.add_style_tag(content=only)
        pdf = printed.page.pdf(width="150mm", height="90mm")
        assert pages_in(pdf) > 2
        assert pages_with_text(pdf) == (pages_in(pdf) if marked else 0)


def test_the_mark_of_a_test_is_in_the_middle(printed: Visit) -> None:
    """It is a paragraph as well, and a margin of paragraphs would move it to the foot."""
    printed.open("pour/pine-bowl.html")
    printed.page.emulate_media(media="print")
    above, below = printed.page.locator(".pour__watermark").evaluate(
        "one => [one.getBoundingClientRect().top, innerHeight - one.getBoundingClientRect().bottom]"
    )
    assert above == pytest.approx(below, abs=2)


def test_the_approved_mark_is_on_an_approved_sheet_alone(printed: Visit, desk: Desk) -> None:
    """The one mark that says that it may be poured is on the paper at the scale, too."""
    for ident, product in desk.judged.products.items():
        printed.open(f"pour/{ident}.html")
        printed.page.emulate_media(media="print")
        mark = printed.page.locator(".verdict--good")
        assert mark.count() == (0 if product.missing else 1), ident
        if not product.missing:
            assert mark.is_visible(), ident
            assert (mark.text_content() or "").strip() == "Approved", ident
        printed.page.emulate_media(media="null")
