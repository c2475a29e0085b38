"""What a floor edition must not hold, and everything that a built one does hold."""

import html
import os
import re
import shutil
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

from handbook_builder.publish.papers import shipped_style
from tests.search_index import FILE, entries_of, places_of

ROOT = Path(__file__).parents[2]


def studio_in(folder: Path) -> Path:
    """Return a copy of the demo studio, with everything that a build reads."""
    for name in ("records", "site_templates"):
        shutil.copytree(ROOT / name, folder / name)
    shutil.copy(ROOT / "mkdocs.yml", folder)
    return folder


def build(studio: Path, *words: object) -> subprocess.CompletedProcess[str]:
    """Run `handbook build` in a process of its own."""
    return _run(studio, "handbook_builder", "build", "--studio", studio, *words)


def mkdocs(studio: Path) -> subprocess.CompletedProcess[str]:
    """Run plain `mkdocs build` in a process of its own."""
    return _run(studio, "mkdocs", "build", "--strict")


def _run(folder: Path, *words: object) -> subprocess.CompletedProcess[str]:
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    command = [sys.executable, "-m", *map(str, words)]
    return subprocess.run(
        command, capture_output=True, text=True, timeout=120, env=env, check=False, cwd=folder
    )


class Telling(HTMLParser):
    """Everything that a page tells: words, comments, and attributes outside of drawings."""

    def __init__(self) -> None:
        """Begin with nothing."""
        super().__init__()
        self.told: list[str] = []
        self._drawing = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take the attributes of a tag; the points of a drawing are no words."""
        self._drawing += tag == "svg"
        if not self._drawing:
            self.told += [value for _, value in attrs if value]

    def handle_endtag(self, tag: str) -> None:
        """Note the end of a drawing."""
        self._drawing -= tag == "svg"

    def handle_data(self, data: str) -> None:
        """Take the words."""
        self.told.append(data)

    def handle_comment(self, data: str) -> None:
        """Take a comment, too: it can be read by whoever looks for it."""
        self.told.append(data)


def told_by(page: str) -> str:
    """Return everything that a page tells, piece by piece.

    The style sheets in the head of a paper are those under `assets/`, the same in any studio.
    """
    reader = Telling()
    reader.feed(page.replace(shipped_style(), ""))
    reader.close()
    return "\n".join(reader.told)


_ESCAPED = re.compile(r"\\u([0-9a-f]{4})")  # in the index: \u00a0


def files_of(site: Path) -> Iterator[tuple[str, str]]:
    """Yield every file of a site with its text, pictures too; shipped style sheets left out."""
    for path in sorted(site.rglob("*")):
        if path.is_file():
            text = path.read_bytes().decode("utf-8", "replace").replace(shipped_style(), "")
            yield (
                path.relative_to(site).as_posix(),
                _ESCAPED.sub(lambda it: chr(int(it[1], 16)), text),
            )


def plain(text: str) -> str:
    """Return a text in which every way of writing a name is one: small letters, single spaces."""
    once = unquote(html.unescape(text)).casefold()
    return " ".join(re.sub(r"[\W_]+", " ", once).split())


def tellings(site: Path) -> Iterator[tuple[str, str]]:
    """Yield what each page tells, what the index tells of it, and every other data file."""
    for path, text in files_of(site):
        if path.endswith(".html"):
            yield path, told_by(text)
        elif path == FILE:
            yield from _told_by_search(site)
        elif not path.startswith(("assets/", "search/")):
            yield path, text


def _told_by_search(site: Path) -> Iterator[tuple[str, str]]:
    """Yield what each entry shows, and the words by which it is found.

    They stand apart, since their order is none of a text; numbers among them have lost their units.
    """
    words: dict[str, list[str]] = defaultdict(list)
    for word, places in places_of(site).items():
        for place in places:
            words[place] += [] if word[0].isdigit() else [word, "·x·"]
    for entry in entries_of(site):
        shown = (entry["title"], entry["lead"], entry["heads"], entry["words"])
        yield entry["location"], " ".join(map(str, (*shown, *words[entry["location"]])))


def names_in(text: str, names: list[str]) -> list[str]:
    """Return the names that a text holds, however they are joined or capitalised."""
    found = f" {plain(text)} "
    return [name for name in names if f" {plain(name)} " in found]


# A number with a unit or a doubt behind it was measured, as was the first of two that share it;
# one with a power is a formula's.
_UNIT = r"(?:%|±|°|g/h|g/mL|(?:g|kg|oz|lb|mm|cm|in|mL|fl oz|h|min|s|days|K|W)\b)"
_SHARED = rf"(?:to|and|\u00d7)\s+[\d.]+\s*{_UNIT}"
MEASURED = rf"(?!\d|[.,]\d|\^|\s*(?:{_UNIT}|{_SHARED}))"


def amounts_in(text: str, amounts: list[str]) -> list[str]:
    """Return the amounts of money that a text holds, with a point or a comma."""
    known = set(amounts)
    numbers = re.findall(rf"(?<![\d.,±\-])(?<!±\s)\d+[.,]\d+{MEASURED}", text)
    return [one for one in (found.replace(",", ".") for found in numbers) if one in known]
