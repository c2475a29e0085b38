"""The floor edition is searched, file by file, before it is published.

Pages, titles, addresses, the search index and the data have been cleaned by then. Whatever still
tells a supplier, a recipient or a sum stops the edition: a find here is a leak, whoever made it.
"""

import html
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final
from urllib.parse import unquote

import click

from handbook_builder.pages.private.amounts import Care
from handbook_builder.pages.private.spellings import Hit, folded, replaced
from handbook_builder.pages.private.withheld import Secrets
from handbook_builder.publish import attached, finished
from handbook_builder.publish.pictures import PICTURES
from handbook_builder.publish.refusals import Refusal, refusal
from handbook_builder.publish.search import Entry, page_of
from handbook_builder.publish.search_file import FILE, entries_in
from handbook_builder.reading.records import SHOWN_AS

_ESCAPED: Final = re.compile(r"\\u([0-9a-fA-F]{4})")
_FOLDED_LINE: Final = re.compile(r"\r?\n[ \t]")
_FONTS: Final = frozenset({".woff", ".woff2", ".ttf", ".otf", ".eot"})
_MARKUP: Final = frozenset({".html", ".htm", ".svg", ".xml"})
_PROGRAMS: Final = frozenset({".css", ".js", ".mjs", ".map"})
_DRAWN: Final = re.compile(r"<!--.*?-->|<metadata\b.*?</metadata\s*>", re.DOTALL)
_ELSEWHERE: Final = re.compile(r"https?://[^\s<>()\"']+", re.IGNORECASE)
_MARKED: Final = re.compile(r"<\?(?!xml\b).*?\?>", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Floor:
    """What a floor edition is searched for, and how each of its pages came about.

    `cares` says of a page by its file how much of it is taken for a sum; a page that nobody knows
    was written by another tool, from what people wrote. `ours` says whether a file is the
    program's own, the same in any studio; `guides` holds the text of each shipped guide, and
    `style` is the shipped style sheet as it stands in papers. `attached` are the attachments of
    records, by where they stand in the edition, with their files below the records.
    """

    secrets: Secrets
    cares: dict[str, Care]
    ours: Callable[[Path, str], bool]
    guides: dict[str, str]
    style: str = ""
    attached: Mapping[str, str] = field(default_factory=dict)

    def finds(self, path: str) -> finished.Finds:
        """Return what finds the secrets in the page at `path`."""
        care = self.cares.get(path, Care.HAND)
        if care is Care.NONE:
            return lambda text: self.secrets.beside(text, self.guides[path])
        return lambda text: self.secrets.hits(text, care)


def clean(folder: Path, floor: Floor) -> None:
    """Take what is withheld out of every finished page and drawing."""
    for path, file in _files(folder, floor):
        if file.suffix == ".html":
            old = file.read_text("utf-8")
            new = finished.cleaned(old, floor.finds(path))
            if new != old:
                file.write_text(new, "utf-8")
        elif file.suffix.lower() == ".svg":
            text = file.read_bytes().decode("utf-8", "replace")
            file.write_text(_MARKED.sub("", _DRAWN.sub("", text)), "utf-8")


def clean_guide(markdown: str, secrets: Secrets, care: Care) -> str:
    """Return a guide without what is withheld, but with whole addresses of other places.

    With a part of it taken out, an address would lead to where nobody wanted to go. Where one
    stays a link, the search of the finished page stops at it.
    """
    kept = [found.span() for found in _ELSEWHERE.finditer(markdown)]
    hits = [
        hit
        for hit in secrets.hits(markdown, care)
        if all(hit.end <= start or end <= hit.start for start, end in kept)
    ]
    return replaced(markdown, hits)


def clean_entries(entries: Iterable[Entry], floor: Floor) -> list[Entry]:
    """Return what the search knows, without what is withheld."""

    def cleaned(entry: Entry) -> Entry:
        care = floor.cares.get(page_of(entry.location), Care.HAND)

        def clean(text: str) -> str:
            return floor.secrets.clean(text, care)

        return replace(
            entry, title=clean(entry.title), kind=clean(entry.kind), lead=clean(entry.lead),
            text=clean(entry.text),
            names=tuple(map(clean, entry.names)),
            heads=tuple((anchor, clean(title)) for anchor, title in entry.heads),
        )  # fmt: skip

    return [cleaned(entry) for entry in entries]


def told_by_entries(entries: Iterable[Entry], floor: Floor) -> Iterator[Refusal]:
    """Yield what the search still tells; the words of its file are those of its entries alone."""
    for entry in entries:
        text = "\n".join([entry.title, entry.kind, entry.code, entry.lead, entry.text, *entry.names,
                          *(title for _, title in entry.heads)])  # fmt: skip
        where = f"{FILE} ({entry.location})"
        yield from _told(where, text, "told_text", floor.finds(page_of(entry.location)))


def leaks(folder: Path, floor: Floor) -> tuple[Refusal, ...]:
    """Return what the finished edition still tells, each once, by file."""
    return tuple(sorted({leak for path, file in _files(folder, floor)
                         for leak in _leaks_of(path, file, floor)}))  # fmt: skip


def _files(folder: Path, floor: Floor) -> Iterator[tuple[str, Path]]:
    for file in sorted(folder.rglob("*")):
        path = file.relative_to(folder).as_posix()
        if file.is_file() and not floor.ours(file, path):
            yield path, file


def _leaks_of(path: str, file: Path, floor: Floor) -> Iterator[Refusal]:
    yield from _told(path, path, "told_address", floor.secrets.of_file)
    suffix = file.suffix.lower()
    if path in floor.attached:
        yield from _told_by_attachment(floor.attached[path], file, floor)
        return
    if suffix in _FONTS or suffix in PICTURES:
        return  # a picture holds nothing but its points by now
    data = file.read_bytes().decode("utf-8", "replace")
    if suffix in _MARKUP:
        yield from _told_by_page(path, data, floor)
    elif path == FILE:
        yield from _told_by_index(data, floor)
    elif suffix in _PROGRAMS:
        yield from _told(path, _plain(data), "told_text", floor.secrets.of_program)
    else:
        yield from _told(path, _plain(data), "told_text", floor.secrets.of_data)


def _told_by_page(path: str, markup: str, floor: Floor) -> Iterator[Refusal]:
    finds, program = floor.finds(path), floor.secrets.of_program
    page = finished.without_pictures(markup.replace(floor.style, ""))
    yield from _told(path, finished.told_by(page), "told_text", finds)
    yield from _told(path, finished.addressed_by(page), "told_link", floor.secrets.of_address)
    yield from _told(path, finished.run_by(page), "told_text", program)


def _told_by_attachment(shown: str, file: Path, floor: Floor) -> Iterator[Refusal]:
    """Yield what an attachment of a record tells; nothing is ever taken out of one."""
    for text in attached.told_by(file).texts:
        yield from _told(SHOWN_AS + shown, text, "told_attachment", floor.secrets.in_attachment)


def tell_unsearched(records: Path, floor: Floor) -> None:
    """Name each attachment that goes to helpers, and that no search can look through."""
    for one in attached.unsearched(records, floor.attached):
        click.echo(one.warning, err=True)


def cleaned_paper(path: str, markup: str, floor: Floor) -> str | tuple[Refusal, ...]:
    """Return a paper of the floor edition without what is withheld, or what it still tells."""
    clean = finished.cleaned(markup, floor.finds(path))
    return tuple(sorted(set(_told_by_page(path, clean, floor)))) or clean


def told_in(path: str, text: str, secrets: Secrets) -> tuple[Refusal, ...]:
    """Return what a text of a file tells that is no page's, and that it may not."""
    found = _told(path, text, "told_text", lambda told: secrets.hits(told, Care.PAGE))
    return tuple(sorted(set(found)))


def _told_by_index(data: str, floor: Floor) -> Iterator[Refusal]:
    for location, text in entries_in(data):
        finds = floor.finds(page_of(location))
        yield from _told(f"{FILE} ({location})", text, "told_text", finds)


def _plain(data: str) -> str:
    """Return a file of data with its escapes undone: of JSON, of markup, of an address."""
    unfolded = _FOLDED_LINE.sub("", data)
    letters = _ESCAPED.sub(lambda found: chr(int(found[1], 16)), unfolded)
    return unquote(html.unescape(letters))


def _told(path: str, text: str, code: str, finds: finished.Finds) -> Iterator[Refusal]:
    for hit in finds(text):
        yield refusal(path, code, found=repr(_seen(text, hit)), ordinary=_ordinary(text, hit))


def _seen(text: str, hit: Hit) -> str:
    return " ".join(text[hit.start : hit.end].split())


def _ordinary(text: str, hit: Hit) -> str:
    """Return what to do about a single word that is no secret."""
    word = folded(text[hit.start : hit.end]).text.strip()
    if not word.isalpha():
        return ""
    return (
        f" (If '{word}' is no secret by itself, list it under 'ordinary_words' of the plug-in "
        "'handbook' in mkdocs.yml.)"
    )
