"""The finished site as a reader's browser meets it."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from synthetic import few_pages, page
from visits import Visit, pages_of

pytestmark = pytest.mark.browser

SEARCHES = [
    ("amber tumbler", "vessels/amber-tumbler.html"),
    ("amber-tumbler", "vessels/amber-tumbler.html"),
    ("Cedar & fig", "products/cedar-fig.html"),
    ("cedar fig", "products/cedar-fig.html"),
    ("K7QM-3FZ2-9TXB", "products/cedar-fig.html"),
    ("k7qm3fz29txc", "products/cedar-fig-clear.html"),
    ("draught", "tests/cedar-fig-a.html"),
    ("draughts", "tests/cedar-fig-a.html"),
    ("hot wax", "guides/hot-wax.html"),
]


def test_every_page_opens_in_silence(visit: Visit, site: Path) -> None:
    """No page of the site makes the console complain, or asks another host for anything."""
    pages = pages_of(site)
    if visit.root.startswith("file:"):
        pages.remove("404.html")  # only a server shows it; it starts from the server's root
    assert "index.html" in pages
    for path in pages:
        visit.open(path)
    assert visit.complaints == []
    assert visit.strangers() == []


@pytest.mark.parametrize(("words", "page"), SEARCHES)
def test_search_finds_the_page(visit: Visit, words: str, page: str) -> None:
    """Names, codes, titles and a word of a note lead to their page among the first three."""
    visit.open("approved.html")
    found = visit.search(words)
    assert page in found[:3]
    assert visit.complaints == []
    assert visit.strangers() == []


def test_enter_opens_the_first_result(visit: Visit) -> None:
    """A code typed or pasted, and Enter: the product is open."""
    visit.open("approved.html")
    visit.search("K7QM-3FZ2-9TXB")
    visit.page.keyboard.press("Enter")
    visit.page.wait_for_url("**/products/cedar-fig.html")
    assert visit.complaints == []


def test_nothing_found_says_so(visit: Visit) -> None:
    """A word that stands nowhere finds nothing, and the search says it in words."""
    visit.open("index.html")
    assert visit.search("xylophone") == []
    assert visit.told() == "Nothing found. What is not found here is not approved."


def test_words_of_several_pages_find_the_fullest(visit: Visit) -> None:
    """Words that no page holds together still find the pages that hold some of them."""
    visit.open("index.html")
    assert "tests/cedar-fig-a.html" in visit.search("draught xylophone")[:3]


Opener = Callable[..., AbstractContextManager[Visit]]


def test_the_page_itself_refuses_other_hosts(
    open_studio: Opener, stranger: tuple[str, list[str]]
) -> None:
    """Even a guide that embeds a file from another host makes no request to it."""
    address, asked = stranger
    guide = f'# Own\n\n<img src="{address}/a.png"><script src="{address}/a.js"></script>\n'
    with open_studio(guide) as visit:
        visit.open("guides/own.html")
        visit.page.wait_for_timeout(300)
        assert any("Content Security Policy" in said for said in visit.complaints)
    assert asked == []


def test_markup_in_a_title_stays_text_in_the_results(open_studio: Opener) -> None:
    """The results list shows a title's markup as text, and runs none of it."""
    title = "Fig & <img src=x onerror=document.title='run'>"
    with open_studio(pages=[*few_pages(), page("vessels/odd", title)]) as visit:
        visit.open("approved.html")
        assert visit.search("fig img")[0] == "vessels/odd.html"
        found = visit.page.locator("[data-find-list]")
        assert title in (found.text_content() or "")
        assert found.locator("img").count() == 0
        assert visit.page.title() != "run"
        assert visit.complaints == []


def test_the_index_is_fetched_when_search_is_opened(visit: Visit) -> None:
    """A page alone costs none of it: in a large studio it is larger than all the page shows."""
    visit.open("approved.html")
    visit.page.wait_for_timeout(1_500)
    assert not [url for url in visit.requests if "search_index" in url]
    assert visit.search("cedar")
    assert [url for url in visit.requests if "search_index" in url]
