"""What the book holds, in which order: finished pages of the site, each a section of its own."""

import posixpath
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from handbook_builder.pages.page import Page
from handbook_builder.publish.book.blocks import Block, Drawn, Style, Words
from handbook_builder.publish.book.reader import article_of, blocks_of, links_of, title_of
from handbook_builder.reading.refs import ITEM_FOLDERS

# The parts by their names in words.yml, each with its pages or with the folders of its pages.
_FIRST: Final = ("index", "approved/index", "not-approved/index", "reference/limits")
_VESSELS: Final = "vessels"
_LAST: Final = ("batches/index",)
_GUIDES: Final = "guides/index"
_HEADS: Final = frozenset({Style.SECOND, Style.THIRD})


@dataclass(frozen=True, slots=True)
class Section:
    """A section: where it stands in the site, its part, its name, and its word and code, if any."""

    path: str
    part: str
    title: str
    word: str
    code: str
    blocks: tuple[Block, ...]


def sections_of(pages: Iterable[Page], folder: Path) -> tuple[Section, ...]:
    """Return the sections of the book, out of the finished pages in `folder`.

    What is approved comes first among the products. A vessel is drawn in section.
    """
    known = {page.path: page for page in pages if not page.is_alone}
    drawn = _drawn(known)
    return tuple(_section(folder, part, path, known.get(path), drawn)
                 for part, path in _order(known, folder))  # fmt: skip


def _order(known: Mapping[str, Page], folder: Path) -> Iterator[tuple[str, str]]:
    yield from (("today", path) for path in _FIRST if path in known)
    yield from (("guides", path) for path in _guides(folder))
    products = [page for path, page in known.items() if path.startswith("products/")]
    products.sort(key=lambda one: (not one.content.is_approved, one.title))
    for page in products:
        yield "approved" if page.content.is_approved else "not_approved", page.path
    for name in ITEM_FOLDERS:
        part = "vessels" if name == _VESSELS else "materials"
        yield from ((part, path) for path in _in_folder(known, name))
    yield from (("lots", path) for path in _LAST if path in known)


def _in_folder(known: Mapping[str, Page], name: str) -> list[str]:
    """Return the pages in a folder, but for its index, by their titles."""
    found = (path for path in known if path.startswith(f"{name}/") and path != f"{name}/index")
    return sorted(found, key=lambda path: known[path].title)


def _guides(folder: Path) -> list[str]:
    """Return the guides in the order in which their index names them, then all others."""
    index = folder / f"{_GUIDES}.html"
    links = links_of(article_of(index.read_text("utf-8"))) if index.is_file() else []
    named = [posixpath.normpath(f"guides/{link.partition('#')[0]}") for link in links]
    there = [f"guides/{file.name}" for file in sorted((folder / "guides").glob("*.html"))]
    order = dict.fromkeys([*(one for one in named if one in there), *there])
    return [one.removesuffix(".html") for one in order if one != f"{_GUIDES}.html"]


def _drawn(known: Mapping[str, Page]) -> dict[str, Drawn]:
    """Return each vessel in section by its page."""
    index = known.get("vessels/index")
    vessels = () if index is None else index.content.drawn
    return {one.link.path: Drawn(one.section, one.size) for one in vessels}


def _section(
    folder: Path, part: str, path: str, page: Page | None, drawn: Mapping[str, Drawn]
) -> Section:
    article = article_of((folder / f"{path}.html").read_text("utf-8"))
    title = title_of(article) or path.rpartition("/")[2]
    word, code = _said(page)
    blocks = tuple(blocks_of(article))
    if path in drawn:
        blocks = _with_drawing(blocks, drawn[path])
    return Section(path, part, title, word, code, blocks)


def _with_drawing(blocks: tuple[Block, ...], drawn: Drawn) -> tuple[Block, ...]:
    """Return the blocks with a drawing behind the verdict, before whatever has a heading."""
    heads = (at for at, one in enumerate(blocks) if isinstance(one, Words) and one.style in _HEADS)
    first = next(heads, len(blocks))
    return (*blocks[:first], drawn, *blocks[first:])


def _said(page: Page | None) -> tuple[str, str]:
    """Return the word and the code of a page, where it has them and is no index."""
    if page is None or page.path.endswith("index"):
        return "", ""
    word = getattr(page.content, "word", None)
    return getattr(word, "word", ""), getattr(page.content, "code", "")
