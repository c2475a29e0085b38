"""The book bound: title, contents with page numbers, sections, and an index of codes and lots."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from handbook_builder.labels.pdf import Imprint
from handbook_builder.labels.typeface import Font
from handbook_builder.publish.book.blocks import Item, Run, Style, Words
from handbook_builder.publish.book.leaf import Jump, Leaf, Letters, Line, Paper
from handbook_builder.publish.book.measure import lacking, lines_of, settable, text_of, width_mm
from handbook_builder.publish.book.press import Mark, pdf_of
from handbook_builder.publish.book.sections import Section
from handbook_builder.publish.book.setter import Setter

_ENTRY_MM: Final = 5.0
_ENTRY_PT: Final = 8.6
_SMALL_PT: Final = 7.2
_SCALES: Final = (1.0, 0.93, 0.86)
_MOST_TO_SHRINK: Final = 2  # pages: what takes more is no sheet
_DOT: Final = " \N{MIDDLE DOT} "


@dataclass(frozen=True, slots=True)
class Term:
    """A code or a lot that the index names.

    It stands on a page where a line tells `term` and, unless that is empty, `also`, or in the
    section `home`.
    """

    term: str
    meaning: str
    also: str = ""
    home: str = ""


@dataclass(frozen=True, slots=True)
class Colophon:
    """What the book says of itself: `said` are its phrases in words.yml."""

    studio: str
    edition: str
    as_of: date
    void_after: date
    own_tests: str
    said: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the contents."""

    title: str
    page: int
    is_part: bool


@dataclass(frozen=True, slots=True)
class Bound:
    """The book as a PDF, how many pages it has, and the signs that its fonts lack."""

    pdf: bytes
    pages: int
    lacking: str


def bound(
    sections: Sequence[Section],
    terms: Iterable[Term],
    colophon: Colophon,
    paper: Paper,
    imprint: Imprint,
) -> Bound:
    """Return the book, set on the paper."""
    setter = Setter(paper)
    _title_page(setter, colophon)
    entries = list(_planned(sections, colophon))
    first = len(setter.leaves)
    for _ in range(-(-len(entries) // _per_page(paper))):
        setter.begin(str(colophon.said["contents"]), "", "")
    filled = [*_set_sections(setter, sections, colophon), _set_index(setter, terms, colophon)]
    _fill_contents(setter, first, filled, colophon)
    _heads_and_feet(setter.leaves, paper, colophon)
    marks: list[Mark] = [(settable(one.title), int(not one.is_part), one.page) for one in filled]
    pdf = pdf_of(setter.leaves, paper, marks, imprint)
    signs = lacking("".join(_letters_of(sections)))
    return Bound(pdf, len(setter.leaves), "".join(sorted(signs)))


def _planned(sections: Sequence[Section], colophon: Colophon) -> Iterator[Entry]:
    """Yield the lines of the contents before their pages are known: each part, each section."""
    part = ""
    for section in sections:
        if section.part != part:
            part = section.part
            yield Entry(str(colophon.said["parts"][part]), 0, is_part=True)
        yield Entry(section.title, 0, is_part=False)
    yield Entry(str(colophon.said["index"]), 0, is_part=True)


def _set_sections(
    setter: Setter, sections: Sequence[Section], colophon: Colophon
) -> Iterator[Entry]:
    """Set the sections; yield their lines of the contents."""
    part = ""
    for section in sections:
        called = str(colophon.said["parts"][section.part])
        head = _DOT.join(filter(None, (section.title, section.word, section.code)))
        page = setter.begin(head, called, section.path)
        if section.part != part:
            part = section.part
            yield Entry(called, page, is_part=True)
        yield Entry(section.title, page, is_part=False)
        setter.scale = _scale_of(section, setter.paper)
        _set_section(setter, section)
        setter.scale = 1.0


def _set_section(setter: Setter, section: Section) -> None:
    _heading(setter, section.title)
    setter.blocks(section.blocks)


def _scale_of(section: Section, paper: Paper) -> float:
    """Return in which size a section is set: a little smaller where it then takes one page."""
    for scale in _SCALES:
        setter = Setter(paper, scale=scale)
        setter.turn()
        _set_section(setter, section)
        if len(setter.leaves) == 1:
            return scale
        if len(setter.leaves) > _MOST_TO_SHRINK:
            break
    return 1.0


def _heading(setter: Setter, title: str) -> None:
    setter.lines(setter.wrapped((Run(title, bold=True),), setter.room, 17.0), setter.left, 17.0)
    setter.space(1.5)


def _title_page(setter: Setter, colophon: Colophon) -> None:
    said = colophon.said
    setter.turn()
    setter.y = setter.paper.top + 38
    _heading(setter, colophon.studio)
    setter.lines(lines_of((Run(str(said["title"])),), setter.room, 15.0), setter.left, 15.0)
    setter.space(10)
    for line in (said["as_of"], said["void"], said["edition"][colophon.edition]):
        words = str(line).format(on=colophon.as_of, until=colophon.void_after)
        setter.words(
            Words((Run(words, bold=line is not said["edition"][colophon.edition]),), Style.LEAD)
        )
    setter.space(6)
    setter.words(Words((Run(colophon.own_tests, bold=True),), Style.LEAD))
    setter.words(Words((Run(str(said["how_title"])),), Style.SECOND))
    setter.blocks([Item((Run(str(one)),), 0, "\N{BULLET}") for one in said["how"]])


def _per_page(paper: Paper) -> int:
    return int((paper.height - paper.top - paper.bottom - 12) / _ENTRY_MM)


def _fill_contents(
    setter: Setter, first: int, entries: Sequence[Entry], colophon: Colophon
) -> None:
    """Set the contents on the pages that were left free for them."""
    paper, count = setter.paper, _per_page(setter.paper)
    for at in range(0, len(entries), count):
        leaf = setter.leaves[first + at // count]
        leaf.ops.append(
            Letters(paper.left, paper.top + 6, 17.0, Font.BOLD, str(colophon.said["contents"]))
        )
        for number, entry in enumerate(entries[at : at + count]):
            y = paper.top + 14 + number * _ENTRY_MM
            leaf.ops.extend(_entry(entry, paper, y))


def _entry(entry: Entry, paper: Paper, y: float) -> Iterator[Letters | Line | Jump]:
    """Yield a line of the contents: its title, a fine rule, its page; all of it leads there."""
    font = Font.BOLD if entry.is_part else Font.REGULAR
    left = paper.left + (0 if entry.is_part else 5)
    right = paper.width - paper.right
    number = str(entry.page)
    wide = width_mm(number, font, _ENTRY_PT)
    title = lines_of((Run(entry.title, bold=entry.is_part),), right - left - wide - 6, _ENTRY_PT)
    shown = text_of(title[0]) + ("\N{HORIZONTAL ELLIPSIS}" if len(title) > 1 else "")
    yield Letters(left, y, _ENTRY_PT, font, shown)
    yield Letters(right - wide, y, _ENTRY_PT, font, number)
    yield Line(left + width_mm(shown, font, _ENTRY_PT) + 2, y, right - wide - 2, y, 0.1)
    yield Jump(left, y - 3.4, right - left, _ENTRY_MM, entry.page)


def _set_index(setter: Setter, terms: Iterable[Term], colophon: Colophon) -> Entry:
    """Set the index; what stands on no page is left out of it. Return its line of the contents."""
    found = [(term, pages) for term in sorted(terms, key=lambda one: (one.term, one.meaning))
             if (pages := pages_of(term, setter.leaves))]  # fmt: skip
    title = str(colophon.said["index"])
    page = setter.begin(title, "", "")
    _heading(setter, title)
    setter.words(Words((Run(str(colophon.said["index_lead"])),), Style.NOTE))
    for term, pages in found:
        numbers = ", ".join(map(str, pages))
        runs = (Run(term.term, bold=True), Run(f" {term.meaning}: {numbers}"))
        setter.lines(lines_of(runs, setter.room, 8.0), setter.left, 8.0)
        setter.space(0.5)
    return Entry(title, page, is_part=True)


def pages_of(term: Term, leaves: Sequence[Leaf]) -> list[int]:
    """Return the pages that tell of a code or a lot, counted from 1."""
    alone = re.compile(rf"(?<![\w-]){re.escape(settable(term.term))}(?![\w-])")
    return [
        number
        for number, leaf in enumerate(leaves, 1)
        if any(
            alone.search(told.text)
            and (not term.also or term.also in told.text or told.section == term.home)
            for told in leaf.told
        )
    ]


def _heads_and_feet(leaves: Sequence[Leaf], paper: Paper, colophon: Colophon) -> None:
    """Put on each page but the title what it is part of, its day, and its number."""
    said, right = colophon.said, paper.width - paper.right
    foot = settable(str(said["foot"]).format(
        studio=colophon.studio, edition=said["short"][colophon.edition], on=colophon.as_of,
        until=colophon.void_after))  # fmt: skip
    for number, leaf in enumerate(leaves, 1):
        y = paper.height - 9
        page = str(said["page"]).format(number=number, count=len(leaves))
        leaf.ops.extend(_fitting(foot, paper.left, y, right - paper.left - 24))
        leaf.ops.append(
            Letters(
                right - width_mm(page, Font.REGULAR, _SMALL_PT), y, _SMALL_PT, Font.REGULAR, page
            )
        )
        if leaf.head:
            part = settable(leaf.part)
            wide = width_mm(part, Font.REGULAR, _SMALL_PT)
            leaf.ops.extend(_fitting(leaf.head, paper.left, 12.5, right - paper.left - wide - 6))
            leaf.ops.append(Letters(right - wide, 12.5, _SMALL_PT, Font.REGULAR, part))
            leaf.ops.append(Line(paper.left, 14.2, right, 14.2, 0.2))


def _fitting(text: str, x: float, y: float, room: float) -> Iterator[Letters]:
    """Yield a line of small letters; what is too long goes on above it."""
    lines = lines_of((Run(text),), room, _SMALL_PT)
    for at, line in enumerate(lines):
        up = (len(lines) - 1 - at) * 3.2
        yield Letters(x, y - up, _SMALL_PT, Font.REGULAR, text_of(line))


def _letters_of(sections: Sequence[Section]) -> Iterator[str]:
    yield from (section.title for section in sections)
    yield from (str(section.blocks) for section in sections)
