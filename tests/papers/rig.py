"""The demo's papers, told once, and what can be read off one."""

import re
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

from handbook_builder.derived.account import Account
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.pages.page import Page
from handbook_builder.workshop import account_in, words_for
from tests.pages.conftest import DAY, RECORDS, ROOT, catalogue, shown

PLACE = re.compile(r"(records/[\w./-]+\.md|shipped default\.md|delivery-\d+):(\d+)")
APPROVED = {
    "cedar-fig", "cedar-fig-gift", "lavender-pine", "lemon-verbena-pot", "sandalwood-bowl",
    "unscented-tin",
}  # fmt: skip
__all__ = ["APPROVED", "DAY", "PLACE", "ROOT", "account", "alone", "lines_of", "papers", "words_in"]


@cache
def account() -> Account:
    """Return the demo studio, judged and reckoned up."""
    found, problems = account_in(RECORDS, DAY)
    assert found is not None, problems
    return found


@cache
def pages(edition: Edition = Edition.OWNER) -> dict[str, Page]:
    """Return all pages of an edition of the demo by their path."""
    told = pages_of(account(), words_for(account().studio, catalogue()), edition)
    return {page.path: page for page in told}


@cache
def papers(edition: Edition = Edition.OWNER) -> dict[str, str]:
    """Return the content of every paper of the demo by its path, with links to the pages."""
    found = pages(edition)
    alone = {path for path, page in found.items() if page.is_alone}
    return {path: text for path, text in shown(found).items() if path in alone}


def alone(edition: Edition = Edition.OWNER) -> set[str]:
    """Return the addresses of the papers of an edition."""
    return {path for path, page in pages(edition).items() if page.is_alone}


def words_in(markup: str) -> str:
    """Return the words of a paper in one line, with ordinary spaces."""
    reader = _Lines()
    reader.feed(markup)
    text = " ".join(line.text for line in reader.ended())
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


@dataclass
class Line:
    """What stands together on a paper: a row, a fact, a paragraph; and in what it stands."""

    tag: str
    within: tuple[str, ...]
    pieces: list[str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """Return its words."""
        return " ".join("".join(self.pieces).replace("\N{NO-BREAK SPACE}", " ").split())


_TOGETHER = {"tbody", "p", "li", "h1", "h2", "h3", "caption", "thead", "figcaption", "footer"}


class _Lines(HTMLParser):
    """Takes a paper apart into its lines; a table of cycles has a body a cycle."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[Line] = []
        self._open: list[str] = []
        self._table = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in {"br", "wbr", "hr", "img", "link", "meta", "path", "circle"}:
            return
        if tag in {"td", "th", "dd", "dt"}:
            self.handle_data(" ")
        kinds = (dict(attrs).get("class") or "").split()
        self._open.append(tag if not kinds else f"{tag}.{'.'.join(kinds)}")
        if tag == "table":
            self._table = "cycles" if "cycles" in kinds else "data"
        one = tag == "div" and "fact" in kinds
        row = tag == "tr" and self._table == "data" and "thead" not in self._open
        if one or row or (tag in _TOGETHER and not (tag == "tbody" and self._table == "data")):
            self.lines.append(Line(tag, tuple(self._open)))

    def handle_endtag(self, tag: str) -> None:
        if tag in {"br", "wbr", "hr", "img", "link", "meta", "path", "circle"}:
            return
        self._open.pop()

    def handle_data(self, data: str) -> None:
        if "svg" not in " ".join(self._open) and self.lines:
            self.lines[-1].pieces.append(data)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Leave what is empty as it is: a stroke of a drawing."""

    def ended(self) -> list[Line]:
        return self.lines


def lines_of(markup: str) -> list[Line]:
    """Return the lines of a paper that say anything."""
    reader = _Lines()
    reader.feed(markup)
    return [line for line in reader.ended() if line.text]


def written_at(root: Path, file: str, line: int) -> str:
    """Return the line of a record that a place names."""
    return (root / file).read_text("utf-8").split("\n")[line - 1]
