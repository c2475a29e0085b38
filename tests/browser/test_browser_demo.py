"""The demo studio's handbook in a real browser: every page, and the searches of a working day."""

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from visits import Visit, pages_of

from tests.search_index import entries_of, places_of

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
CODE = re.compile(r"[0-9A-Z]{4}(-[0-9A-Z]{4}){2}")
SAMPLE = 8


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the demo as a user would; return its site."""
    site = tmp_path_factory.mktemp("demo") / "site"
    command = [sys.executable, "-m", "handbook_builder", "build", "--site", site]
    subprocess.run(command, cwd=ROOT, check=True, timeout=300)
    return site


@pytest.fixture(scope="module")
def docs(site: Path) -> list[dict[str, Any]]:
    """Return what the search knows of each page."""
    return entries_of(site)


def in_room(docs: list[dict[str, Any]], room: str) -> list[dict[str, Any]]:
    """Return the pages of one room, without its list."""
    pages = [doc for doc in docs if doc["location"].startswith(f"{room}/")]
    return [doc for doc in pages if doc["location"] != f"{room}/index.html"]


def rare_words(site: Path) -> list[tuple[str, str]]:
    """Return words that stand in the note of one test candle only, and that candle's page.

    A word that guides or other rooms hold as well, such as "board", is nobody's alone.
    """
    notes = {path.stem: body_of(path) for path in (ROOT / "records/burns").glob("*.md")}
    places = places_of(site)
    found = [
        (min(rare, key=lambda word: (-len(word), word)), f"tests/{ident}.html")
        for ident, words in sorted(notes.items())
        if (rare := {word for word in words if len(places.get(word, {})) == 1 and len(word) > 4})
    ]
    return [(word, page) for word, page in found if (site / page).is_file()]


def body_of(record: Path) -> set[str]:
    """Return the words of a record's note."""
    body = record.read_text(encoding="utf-8").split("\n---\n", 1)[1]
    return set(re.findall(r"[a-z]+", body.lower()))


def test_every_page_of_the_demo_opens_in_silence(visit: Visit, site: Path) -> None:
    """No page makes the console complain, or asks another host for anything."""
    pages = pages_of(site)
    if visit.root.startswith("file:"):
        pages.remove("404.html")  # only a server shows it; it starts from the server's root
    assert "index.html" in pages
    for path in pages:
        visit.open(path)
    assert visit.complaints == []
    assert visit.strangers() == []


@pytest.mark.parametrize("room", ["products", "vessels"])
def test_titles_ids_and_codes(visit: Visit, docs: list[dict[str, Any]], room: str) -> None:
    """Each product and each vessel is first when searched by title, id or code."""
    pages = in_room(docs, room)
    assert pages
    visit.open("index.html")
    for doc in pages:
        names = [doc["title"], Path(doc["location"]).stem]
        names += [word for word in doc["words"] if CODE.fullmatch(word)]
        for name in names:
            assert doc["location"] in visit.search(name)[:3], name
    assert visit.complaints == []


def test_products_have_their_code_in_the_search(docs: list[dict[str, Any]]) -> None:
    """Each product can be found by the code of its combination."""
    for doc in in_room(docs, "products"):
        assert any(CODE.fullmatch(word) for word in doc["words"]), doc["title"]


def test_words_of_notes(visit: Visit, site: Path) -> None:
    """A word that one test note alone holds leads to that test among the first three.

    What the glossary explains is explained first, and what shows it may stand below.
    """
    words = rare_words(site)[:SAMPLE]
    assert words
    visit.open("index.html")
    explained = 0
    for word, page in words:
        found = visit.search(word)
        explained += found[0].startswith("guides/glossary.html#")
        assert page in found[:3] or found[0].startswith("guides/glossary.html#"), word
    assert explained <= SAMPLE // 4
    assert visit.strangers() == []
