"""The frame of a page at each width: what stays in sight, what fits, and what an engine finds.

WCAG 2.2 (W3C) is named by its success criteria; axe-core is a general-purpose engine that checks
them and what its makers call best practice.
"""

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from conftest import visiting
from visits import Visit

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

# One of each kind of page; the long run takes further ones of some kinds.
KINDS: Final = (
    "index.html", "approved/index.html", "not-approved/index.html", "products/lavender-pine.html",
    "products/cedar-fig-big-wick.html", "labels/lavender-pine.html", "pour/lavender-pine.html",
    "vessels/index.html", "vessels/amber-tumbler.html", "materials/index.html",
    "waxes/coconut-soy.html", "tests/index.html", "tests/cedar-fig-big-wick-b.html",
    "compare/lavender-pine.html", "board/index.html", "bench/lemon-verbena-tumbler-a.html",
    "batches/index.html", "batches/lavender-pine-2026-04-25.html", "stock/index.html",
    "guides/where-each-limit-comes-from.html", "reference/limits.html", "papers/wall.html",
)  # fmt: skip
MORE: Final = (
    "products/lavender-tin.html", "pour/cedar-fig-big-wick.html",
    "fragrances/lavender-field-oil.html", "wicks/cotton-8.html", "colorants/yellow-dye.html",
    "tests/lavender-pine-a.html",
    "plan/index.html", "helpers/index.html", "helpers/bruno.html", "bench/index.html",
    "bench/incident.html", "money/index.html", "money/prices.html", "incidents/incident-3.html",
    "guides/writing-a-record.html", "guides/glossary.html", "reference/problems.html",
    "labels/cedar-fig-big-wick.html", "suppliers/aroma-counter.html",
)  # fmt: skip
ROOMS: Final = {
    "products/lavender-pine.html": "Approved", "pour/lavender-pine.html": "Approved",
    "products/cedar-fig-big-wick.html": "Not approved", "labels/lavender-pine.html": "Approved",
    "reference/limits.html": "Guides", "guides/where-each-limit-comes-from.html": "Guides",
    "compare/lavender-pine.html": "Tests", "waxes/coconut-soy.html": "Materials",
}  # fmt: skip
SCREEN: Final = 844  # the height of a telephone
TABLET_HEAD: Final = 120


@pytest.fixture(scope="module")
def at(browser: "Browser", demo: Path) -> Iterator[Visit]:
    """Return one page over the demo, from its folder, for all of these tests."""
    with visiting(browser, demo.as_uri()) as it:
        yield it


def sized(page: "Page", width: int, scheme: str = "light") -> None:
    """Show the page as wide as a device, in its light or its dark."""
    page.set_viewport_size({"width": width, "height": SCREEN})
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.wait_for_timeout(60)


def opened(page: "Page") -> None:
    """Open all that is folded away, and load the engine."""
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    page.evaluate(files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8") + ";0")


def violations(page: "Page") -> list[str]:
    """Return what the engine finds, best practice included."""
    found: list[dict[str, Any]] = page.evaluate(
        "async () => (await axe.run(document, {resultTypes: ['violations']})).violations"
    )
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


def overflow(page: "Page") -> int:
    """Return by how many pixels the page is wider than the window."""
    wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    return int(page.evaluate(wide))


def test_the_engine_finds_nothing_and_nothing_is_cut(at: Visit) -> None:
    """Each kind once in the light of a telephone and in the dark of a desk; both at once is long.

    Reflow to 320 px (1.4.10) and letters twice as large (1.4.4) need no scrolling sideways.
    """
    found = []
    for path in KINDS:
        at.open(path)
        opened(at.page)
        for width, scheme in ((390, "light"), (1280, "dark")):
            sized(at.page, width, scheme)
            found += [f"{path} {width} {scheme} {one}" for one in violations(at.page)]
        sized(at.page, 320)
        found += [f"{path} is cut at 320"] if overflow(at.page) > 0 else []
        sized(at.page, 640)
        at.page.add_style_tag(content="html { font-size: 225% !important }")
        found += [f"{path} is cut in large letters"] if overflow(at.page) > 0 else []
    assert found == []


@pytest.mark.long
def test_the_engine_finds_nothing_at_any_width(at: Visit) -> None:
    """Every kind at three widths, in light and dark."""
    found = []
    for path in (*KINDS, *MORE):
        at.open(path)
        opened(at.page)
        for width in (390, 820, 1280):
            for scheme in ("light", "dark"):
                sized(at.page, width, scheme)
                found += [f"{path} {width} {scheme} {one}" for one in violations(at.page)]
    assert found == []


def test_where_one_is_is_always_said(at: Visit) -> None:
    """The room is marked on every page; a long page keeps its name in sight, wherever one is.

    Its menu leads to each section without a script, and at the bench's 820 px the head is low.
    """
    page = at.page
    for path in KINDS:
        at.open(path)
        if path.startswith("papers/"):
            continue
        sized(page, 820)
        head = page.locator(".masthead").bounding_box()
        assert head is not None
        assert head["height"] <= TABLET_HEAD, path
        room = page.locator(".rooms [aria-current]").all_text_contents()
        assert len(room) == 1, path
        assert room[0] == ROOMS.get(path, room[0])
        sized(page, 390)
        if page.evaluate("document.documentElement.scrollHeight") <= 12 * SCREEN:
            continue
        page.evaluate("window.scrollTo(0, document.documentElement.scrollHeight / 2)")
        bar = page.locator(".contents summary").bounding_box()
        assert bar is not None, path
        assert 0 <= bar["y"] < SCREEN / 10, path
        assert page.locator(".contents li a").count() > 1, path


def test_the_bar_says_the_verdict_and_leads_on(at: Visit) -> None:
    """On a telephone a tap opens it, a place closes it; at a desk its list stands open beside."""
    page = at.page
    at.open("products/lavender-pine.html")
    sized(page, 390)
    page.emulate_media(reduced_motion="reduce")
    said = page.locator(".contents summary").text_content()
    assert said is not None
    assert "Approved" in said
    assert "Lavender and pine" in said
    assert "X45L" in said
    batches = page.locator(".contents a", has_text="Batches")
    assert not batches.is_visible()
    page.locator(".contents summary").click()
    batches.click()
    assert not batches.is_visible()
    page.wait_for_timeout(60)
    top = page.locator("#batches").bounding_box()
    assert top is not None
    assert 0 < top["y"] < SCREEN / 2  # and not behind the bar
    sized(page, 1280)
    assert batches.is_visible()


def test_without_a_script_the_page_and_its_menu_are_whole(browser: "Browser", demo: Path) -> None:
    """And it is said what is missing then."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{demo.as_uri()}/products/lavender-pine.html")
    page.locator(".contents summary").click()
    assert page.locator(".contents a", has_text="Batches").is_visible()
    assert page.locator(".unscripted").is_visible()
    page.set_viewport_size({"width": 1280, "height": 844})
    page.reload()
    assert page.locator(".contents a", has_text="Batches").is_visible()
    context.close()


def test_the_room_is_seen_in_forced_colours(at: Visit) -> None:
    """Only the current room has a border there: hue alone would not tell it (1.4.1)."""
    at.open("tests/index.html")
    sized(at.page, 1280)
    at.page.emulate_media(forced_colors="active")
    width = "all => all.map(one => getComputedStyle(one).borderBottomWidth)"
    here = at.page.locator(".rooms [aria-current]").evaluate_all(width)
    others = at.page.locator(".rooms a:not([aria-current])").evaluate_all(width)
    at.page.emulate_media(forced_colors="none")
    assert here == ["4px"]
    assert set(others) == {"0px"}


def test_tables_are_rows_and_stops_where_they_must_be(at: Visit) -> None:
    """As blocks they keep their roles (1.3.1); a box is a stop only while it can be scrolled."""
    page = at.page
    at.open("batches/index.html")
    sized(page, 390)
    first = page.locator("table.data--stack").first
    assert first.get_attribute("role") == "table"
    assert first.locator("tbody td").first.get_attribute("role") == "cell"
    sized(page, 1280)
    assert first.get_attribute("role") is None
    assert page.locator(".scroll[tabindex]").count() == 0
    at.open("tests/cedar-fig-big-wick-b.html")
    sized(page, 1280)
    assert page.locator(".scroll:has(tr#cycle-1)[tabindex]").count() == 0  # it fits a desk
    sized(page, 390)
    box = page.locator(".scroll:has(tr#cycle-1)")
    box.and_(page.locator("[tabindex='0'][role='region']")).wait_for()
    assert box.get_attribute("aria-label") == "Cycles of candle B"


# What a validator found of ours, and what it may find again; each by its place in the standard.
# HTML (WHATWG), 4.10.18.7: autocomplete is of no tick box. ARIA in HTML 4.2: no role in a table.
# HTML 3.2.3.1: an id is unique.
BAD_MARKUP: Final = (
    re.compile(r'<input\b(?=[^>]*type="checkbox")[^>]*\bautocomplete='),
    re.compile(r"<(?:table|thead|tbody|tr|th|td)\b[^>]*\srole="),
    re.compile(r"<label\b[^>]*\baria-hidden="),
)
ID: Final = re.compile(r'\sid="([^"]+)"')


def test_markup_is_as_the_standard_has_it(demo: Path) -> None:
    """Every page as it is written, before a script has seen it."""
    found = []
    for file in sorted(demo.rglob("*.html")):
        text = file.read_text("utf-8")
        found += [f"{file.name}: {bad.pattern}" for bad in BAD_MARKUP if bad.search(text)]
        ids = ID.findall(text)
        found += [f"{file.name}: two of {one}" for one in set(ids) if ids.count(one) > 1]
    assert found == []
