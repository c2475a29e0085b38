"""What a helper of the demo studio types, and what a bench asks: answers in a real browser."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest
import yaml
from conftest import serving, visiting
from demo import ROOT
from visits import Visit

from tests.search_index import FILE, index_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

QUERIES: list[dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("queries.yml").read_text("utf-8")
)
TABLET = {"width": 820, "height": 1180}
FIELD, PANEL, HIT = "[data-find-field]", "[data-find-panel]", "[data-find-list] a"


@pytest.fixture
def visit(browser: "Browser", demo: Path) -> Iterator[Visit]:
    """Return a page over the demo as it is opened from its folder, at the width of a tablet."""
    with visiting(browser, demo.as_uri()) as it:
        it.page.set_viewport_size(TABLET)
        it.open("index.html")
        yield it


def leads_to(found: str, wanted: str) -> bool:
    """Return whether a hit leads to a page, whatever its section; or to the section named."""
    return wanted in {found, found.partition("#")[0]}


def test_the_table_is_one() -> None:
    """At least eighty queries, twenty of them with slips; none stands twice."""
    typed = [one["type"].lower() for one in QUERIES]
    assert len(typed) == len(set(typed)) >= 80
    assert sum(bool(one.get("slip")) for one in QUERIES) >= 20


def test_what_pages_are_called_leads_to_pages(demo: Path) -> None:
    """Each page and section that the file of words names is there, in the owner's edition."""
    told = yaml.safe_load((ROOT / "site_templates/finding.yml").read_text("utf-8"))
    for place in told["pages"]:
        path, _, anchor = place.partition("#")
        assert not anchor or f'id="{anchor}"' in (demo / f"{path}.html").read_text("utf-8"), place
        assert (demo / f"{path}.html").is_file(), place
    heads = {head[0] for head in index_of(demo)["heads"]}
    assert told["sections"].keys() <= heads


def test_the_index_is_small(demo: Path) -> None:
    """Of the demo it weighs a third of what the texts of its pages do."""
    size = (demo / FILE).stat().st_size
    assert size < 300_000
    assert size < 650 * len(index_of(demo)["entries"])


def test_every_query_leads_to_its_page(visit: Visit) -> None:
    """Each query of the table, pasted into the field, has its page among the first three hits."""
    missed = {}
    for one in QUERIES:
        found = visit.search(one["type"])[:3]
        if not any(leads_to(hit, wanted) for hit in found for wanted in one["find"]):
            missed[one["type"]] = found
    assert missed == {}
    assert visit.complaints == []
    assert visit.strangers() == []


def test_a_hit_says_what_it_is_and_how_it_stands(visit: Visit) -> None:
    """Kind, verdict with its mark as on the page, and code come before the title."""
    visit.search("lavender pine")
    first = visit.page.locator(HIT).first
    assert first.locator(".find__kind").inner_text().split() == [
        "Product", "Approved", "X45L-ANGS-QFQX",
    ]  # fmt: skip
    mark = first.locator(".verdict--good .mark").evaluate("mark => mark.innerHTML")
    for words, verdict, tone in [
        ("lavender bubble", "Failed", "bad"), ("lavender tin", "Suspended", "bad"),
        ("gin glass", "Refused", "bad"), ("black tea", "Held", "warn"),
        ("incident 3", "Open", "bad"),
    ]:  # fmt: skip
        visit.search(words)
        hit = visit.page.locator(HIT).first
        assert hit.locator(f".verdict--{tone}").inner_text() == verdict, words
    first_of_page = ".head .verdict--good .mark"
    visit.open("products/lavender-pine.html")
    assert visit.page.locator(first_of_page).evaluate("mark => mark.innerHTML") == mark


def test_no_hit_shows_workings_or_places_of_records(visit: Visit) -> None:
    """What is shown of a page is what it says first, never how a figure came about."""
    for words in ("lavender", "density of the oil", "how the net fill came about"):
        visit.search(words)
        shown = " ".join(visit.page.locator(".find__text").all_inner_texts())
        assert shown
        assert "records/" not in shown
        assert "came about" not in shown


def test_a_slip_is_put_right_in_the_open(visit: Visit) -> None:
    """The nearest is shown and named; one tap makes it the query. What is near nothing says so."""
    visit.search("lavendar gin")
    assert visit.told().startswith("Nothing is called “lavendar”. Did you mean lavender gin?")
    visit.page.get_by_role("button", name="Did you mean lavender gin?").click()
    assert visit.page.locator(FIELD).input_value() == "lavender gin"
    assert "called" not in visit.told()
    assert visit.search("zzyzx") == []
    assert visit.told() == "Nothing found. What is not found here is not approved."
    assert visit.search("29 February") == []
    assert visit.told() == "No page names that day."


def test_what_is_not_all_there_is_told(visit: Visit) -> None:
    """Where no page has all words, it is said, and of each hit which it lacks; hits are counted."""
    visit.search("lavender gin")
    assert "Hardly any page has all of these words" in visit.told()
    assert "Without: lavender" in visit.page.locator(HIT).first.inner_text()
    visit.search("lavender")
    shown = visit.page.locator(HIT).count()
    assert visit.told().startswith(f"The first {shown} of ")


def test_keys(visit: Visit) -> None:
    """Ctrl+K and / lead to the field, arrows to the hits, Enter to the first one, Escape back."""
    page = visit.page
    way = page.locator(".tally a").first
    way.focus()
    page.keyboard.press("/")
    assert _has_focus(page, FIELD)
    page.keyboard.type("a/b")
    assert page.locator(FIELD).input_value() == "a/b"
    page.keyboard.press("Escape")
    assert page.locator(PANEL).is_hidden()
    assert way.evaluate("link => link === document.activeElement")
    page.keyboard.press("Control+k")
    assert _has_focus(page, FIELD)
    visit.search("amber tumbler")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.locator(HIT).nth(1).evaluate("link => link === document.activeElement")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    page.wait_for_url("**/vessels/amber-tumbler.html")


def test_no_single_key_where_somebody_types_or_turned_it_off(visit: Visit) -> None:
    """A stroke in another field is a letter; whoever turned the key off is left alone for good."""
    visit.open("approved/index.html")
    page = visit.page
    page.locator("[data-filter-text]").click()
    page.keyboard.press("/")
    assert page.locator("[data-filter-text]").input_value() == "/"
    page.keyboard.press("Control+k")
    page.locator("[data-find-slash]").uncheck()
    page.keyboard.press("Escape")
    visit.open("approved/index.html")
    page.locator(".entry a").first.focus()
    page.keyboard.press("/")
    assert not _has_focus(page, FIELD)


def test_without_scripts_it_says_so(browser: "Browser", demo: Path) -> None:
    """In place of a field that would do nothing stands why, and which way leads on."""
    page = browser.new_page(java_script_enabled=False)
    page.goto(f"{demo.as_uri()}/index.html")
    assert page.locator(FIELD).is_hidden()
    assert page.locator(".find__off").inner_text().startswith("Search needs scripts")
    page.close()


def _has_focus(page: "Page", place: str) -> bool:
    found: bool = page.locator(place).evaluate("node => node === document.activeElement")
    return found


# The eight questions of the bench (a to h): what is typed on Today, or what is tapped there, and
# what must stand in the first screen of the tablet when the second page is open. The answers were
# worked out from the records by hand, as the tests of each room do.
BENCH = [
    ("a lavender in gin glass: may I?", "lavender gin glass",
     ("Refused", "1.6 mm", "2.5 mm", "60 mm", "No heat evidence is on file")),
    ("weigh 17 cedar and fig", "17 cedar and fig",
     ("Approved", "ZYCL-4YLR-6X9V", "2934.5", "234.8", "80 °C", "60 °C")),
    ("a buyer of cedar and fig reports a flare: who has that wax?", "W-2307",
     ("spring fair", "bookshop in the lane", "Saturday market")),
    ("what earns most for each burning hour", "earns per burning hour",
     ("Warm sandalwood, concrete bowl, two wicks", "2.10 EUR")),
    ("what must be burned today", "what must be burned today",
     ("No test candle may be lit today", "2026-05-02")),
    ("why did the big wick fail, which one next", "big wick next wick",
     ("84 °C", "75 °C", "Cotton 8")),
    ("what does cedar and fig cost", "cost of cedar and fig",
     ("7.02 EUR", "2.22 EUR", "0.23 EUR")),
    ("a new helper wants to pour", "before pouring",
     ("Hot wax and flame", "Do not melt, pour or light anything alone")),
]  # fmt: skip

SEEN = """async () => {
  for (let last = -1; last !== scrollY;) {  // the way to a section may be a slow one
    last = scrollY;
    await new Promise((done) => setTimeout(done, 120));
  }
  const words = [], edge = document.documentElement.clientHeight;
  const walker = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const range = document.createRange(), text = walker.currentNode;
    range.selectNodeContents(text);
    const shown = [...range.getClientRects()].some((box) =>
      box.width > 1 && box.height > 1 && box.top >= 0 && box.bottom <= edge);
    if (shown && text.parentElement.checkVisibility()) words.push(text.textContent);
  }
  return words.join(" ").replace(/\\s+/g, " ");
}"""


def test_each_question_of_the_bench_is_answered_on_the_second_page(
    browser: "Browser", demo: Path
) -> None:
    """Today, then one tap: the answer stands in the first screen of a tablet, from a server too."""
    unanswered = {}
    with serving(demo) as address, visiting(browser, address) as visit:
        visit.page.set_viewport_size(TABLET)
        visit.page.clock.set_fixed_time(datetime(2026, 5, 1, 9, tzinfo=UTC))  # built that morning
        for question, typed, answers in BENCH:
            visit.open("index.html")
            visit.search(typed)
            with visit.page.expect_navigation():
                visit.page.locator(HIT).first.click()
            seen = visit.page.evaluate(SEEN)
            lacking = [one for one in answers if one not in seen]
            if lacking:
                unanswered[question] = (visit.page.url, lacking, seen)
        assert unanswered == {}
        assert visit.complaints == []


def test_a_query_in_the_address_is_asked_at_once(visit: Visit) -> None:
    """A link with `?q=` opens the search with its hits."""
    visit.open(f"index.html?q={quote('amber tumbler')}")
    visit.page.locator(HIT).first.wait_for()
    assert "amber-tumbler" in (visit.page.locator(HIT).first.get_attribute("href") or "")
