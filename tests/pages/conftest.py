"""The demo studio, told once for all tests of the pages."""

import re
import shutil
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.derived.account import Account
from handbook_builder.pages.handbook import pages_of
from handbook_builder.pages.page import Page
from handbook_builder.publish.views import Surroundings, environment, render
from handbook_builder.words import Words
from handbook_builder.workshop import account_in, words_for

ROOT = Path(__file__).parent.parent.parent
RECORDS = ROOT / "records"
VIEWS = ROOT / "site_templates" / "views"
DAY = date(2026, 5, 1)
GUIDES = frozenset(
    f"guides/{file.stem}" for file in (ROOT / "site_templates" / "guides" / "guides").glob("*.md")
)


# What a page tells its own script: data, in which no character can end the element.
_TOLD_TO_SCRIPT = re.compile(r'<script type="application/json" data-[a-z-]+>[^<]*</script>')


def without_data(html: str) -> str:
    """Return a page without what it tells its own script."""
    return _TOLD_TO_SCRIPT.sub("", html)


def catalogue() -> str:
    """Return the text of the catalogue of words."""
    return (ROOT / "site_templates" / "words.yml").read_text("utf-8")


def told(records: Path, day: date = DAY) -> dict[str, Page]:
    """Return the pages of the records by their path."""
    account, problems = account_in(records, day)
    assert account is not None, problems
    return {page.path: page for page in pages_of(account, words_for(account.studio, catalogue()))}


def shown(pages: Mapping[str, Page], day: date = DAY) -> dict[str, str]:
    """Return the HTML of every page by its path."""
    around = Surroundings({*pages, *GUIDES}, frozenset(), day)
    views = environment([VIEWS])
    return {path: render(views, page, around) for path, page in pages.items()}


@pytest.fixture(scope="session")
def account() -> Account:
    """Return the demo studio, judged and reckoned up."""
    found, problems = account_in(RECORDS, DAY)
    assert found is not None, problems
    return found


@pytest.fixture(scope="session")
def words(account: Account) -> Words:
    """Return the words in the units of the demo studio."""
    return words_for(account.studio, catalogue())


@pytest.fixture(scope="session")
def pages() -> dict[str, Page]:
    """Return the pages of the demo studio."""
    return told(RECORDS)


@pytest.fixture(scope="session")
def html(pages: dict[str, Page]) -> dict[str, str]:
    """Return the HTML of the demo studio."""
    return shown(pages)


@pytest.fixture
def altered(tmp_path: Path) -> Callable[..., Path]:
    """Return a function that copies the demo's records with pieces of one file replaced."""

    def alter(file: str, *changes: tuple[str, str]) -> Path:
        copy = tmp_path / "records"
        if not copy.exists():
            shutil.copytree(RECORDS, copy)
        text = (copy / file).read_text("utf-8")
        for old, new in changes:
            assert old in text, (file, old)
            text = text.replace(old, new)
        (copy / file).write_text(text, "utf-8")
        return copy

    return alter
