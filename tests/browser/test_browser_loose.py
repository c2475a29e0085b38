"""Pages of the site on paper: a loose one says what it is, and no column is lost."""

import io
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

# Each with what a loose page of it must say; the first page has it in its heading.
LOOSE = {
    "tests/pine-bowl-a.html": ("Pine, concrete bowl, one wick, candle A", "Failed", "LQMP-N426"),
    "products/sandalwood-ribbed.html": ("Warm sandalwood, ribbed jar", "Suspended", "4BL3-B9RK"),
    "compare/lavender-pine.html": ("Lavender and pine, stoneware cup: all test candles",),
    "vessels/amber-tumbler.html": ("Amber tumbler", "Cleared"),
    "guides/running-a-burn-test.html": ("Running a burn test",),
    "papers/pine-bowl/proof.html": ("Pine, concrete bowl, one wick", "Failed", "LQMP-N426"),
}
# The narrower of both papers between its margins, in points of the screen: 210 - 2 * 14 mm.
ROOM = 688
OVER = """() => [...document.querySelectorAll('.leaf :is(table, .scroll)')]
  .filter(one => one.getBoundingClientRect().width && !one.closest('details'))
  .flatMap(one => {
    const here = one.getBoundingClientRect().right;
    const column = one.closest('.columns > *') ?? document.documentElement;
    const over = here - Math.min(column.getBoundingClientRect().right, innerWidth);
    return over > 1 ? [`${Math.round(over)} ${one.innerText.slice(0, 40)}`] : [];
  })"""


def test_each_loose_page_says_what_it_is(browser: "Browser", demo: Path) -> None:
    """Name, word and code on all but the first; day, number and count on every one."""
    page = browser.new_page()
    for path, said in LOOSE.items():
        page.goto((demo / path).as_uri())
        pages = [" ".join(one.extract_text().split()) for one in
                 PdfReader(io.BytesIO(page.pdf(format="A4"))).pages]  # fmt: skip
        assert len(pages) > 1 or path.startswith("vessels"), path
        for number, text in enumerate(pages, 1):
            assert f"Page {number} of {len(pages)}" in text, (path, number)
            assert "As of 2026-05-01" in text, (path, number)
            assert number == 1 or all(one in text for one in said), (path, number, text[:200])
    page.close()


def test_no_column_is_lost_on_paper(browser: "Browser", demo: Path) -> None:
    """Every comparison and candle, and the widest indexes: no table is wider than the paper."""
    page = browser.new_page(viewport={"width": ROOM, "height": 900})
    page.emulate_media(media="print")
    found = [*demo.glob("compare/*.html"), *demo.glob("tests/*.html"), *demo.glob("*/index.html")]
    assert len(found) > 60
    for file in sorted(found):
        page.goto(file.as_uri())
        assert page.evaluate(OVER) == [], file.relative_to(demo)
    page.close()


def test_what_was_watched_is_printed(browser: "Browser", demo: Path) -> None:
    """It is a caution of the sheet, and no further reading."""
    page = browser.new_page()
    page.goto((demo / "products/lavender-pine.html").as_uri())
    page.emulate_media(media="print")
    watched = page.locator(".watched").get_by_text("mushrooming was seen", exact=False)
    assert watched.first.is_visible()
    page.close()
