"""Words broken into lines of a width, in the fonts that come with the program."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

from handbook_builder.labels.fonts import typefaces
from handbook_builder.labels.typeface import Font
from handbook_builder.publish.book.blocks import Run, Runs
from handbook_builder.publish.book.leaf import MM_A_POINT

# What stands for a sign that the fonts lack.
_INSTEAD: Final = {
    "\N{SQUARE ROOT}": "sqrt\N{NO-BREAK SPACE}",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{CHECK MARK}": "yes",
    "\N{BALLOT BOX}": "[ ]",
    "\N{ZERO WIDTH SPACE}": "",
    "\N{SOFT HYPHEN}": "",
    "\N{NARROW NO-BREAK SPACE}": "\N{NO-BREAK SPACE}",
}
UNKNOWN: Final = "?"
_FRAME_MM: Final = 0.9  # between a framed word and its frame


@dataclass(frozen=True, slots=True)
class Piece:
    """Words of one kind within a line, so many mm from its start."""

    x: float
    width: float
    text: str
    font: Font
    framed: bool


LineOfWords = list[Piece]


@cache
def _known() -> frozenset[str]:
    faces = typefaces()
    return frozenset(faces[Font.REGULAR].advances) & frozenset(faces[Font.BOLD].advances)


def lacking(text: str) -> set[str]:
    """Return the signs of a text that the fonts cannot set, and nothing stands for."""
    return {sign for sign in set(text) if sign != UNKNOWN and _sign(sign) == UNKNOWN}


def settable(text: str) -> str:
    """Return a text in signs that the fonts have; what they lack is a question mark."""
    return text if _known().issuperset(text) else "".join(map(_sign, text))


@cache
def _sign(sign: str) -> str:
    if sign in _known():
        return sign
    if sign in _INSTEAD:
        return _INSTEAD[sign]
    plain = unicodedata.normalize("NFKD", sign)
    return plain if _known().issuperset(plain) else UNKNOWN


def width_mm(text: str, font: Font, size_pt: float) -> float:
    """Return how wide a text is that can be set."""
    return typefaces()[font].width(text) * size_pt * MM_A_POINT


def lines_of(runs: Runs, room_mm: float, size_pt: float) -> list[LineOfWords]:
    """Return words in lines no wider than there is room; a word that is wider is broken."""
    lines: list[LineOfWords] = [[]]
    at = 0.0
    for run, word, is_apart in _words(runs):
        font = Font.BOLD if run.bold else Font.REGULAR
        pieces = list(_broken(word, font, size_pt, room_mm))
        for piece in pieces:
            edge = 2 * _FRAME_MM if run.framed else 0.0
            wide = width_mm(piece, font, size_pt) + edge
            begins = piece is pieces[0] and is_apart
            gap = width_mm(" ", font, size_pt) if begins and lines[-1] else 0.0
            if lines[-1] and at + gap + wide > room_mm + 1e-6:
                lines.append([])
                at = gap = 0.0
            lines[-1].append(Piece(at + gap + edge / 2, wide - edge, piece, font, run.framed))
            at += gap + wide
    return [_joined(line, size_pt) for line in lines if line]


def _words(runs: Runs) -> Iterator[tuple[Run, str, bool]]:
    """Yield each word with its run, and whether a space stands before it."""
    is_apart = False
    for run in runs:
        text = settable(run.text)
        if run.framed:
            yield run, text.replace(" ", "\N{NO-BREAK SPACE}"), True
            is_apart = False
            continue
        for number, word in enumerate(text.split(" ")):
            is_apart = is_apart or number > 0
            if word:
                yield run, word, is_apart
                is_apart = False


def _broken(word: str, font: Font, size_pt: float, room_mm: float) -> Iterator[str]:
    """Yield a word, in pieces where it is wider than a line."""
    while width_mm(word, font, size_pt) > room_mm and len(word) > 1:
        fits = next((n for n in range(len(word) - 1, 1, -1)
                     if width_mm(word[:n], font, size_pt) <= room_mm), 1)  # fmt: skip
        yield word[:fits]
        word = word[fits:]
    yield word


def _joined(line: LineOfWords, size_pt: float) -> LineOfWords:
    """Return a line with neighbours of one kind as one text, as a reader of the file finds it."""
    joined: LineOfWords = []
    for piece in line:
        last = joined[-1] if joined else None
        if last is None or last.framed or piece.framed or last.font != piece.font:
            joined.append(piece)
            continue
        gap = piece.x - last.x - last.width
        text = (
            last.text + (" " if gap > 0.2 * width_mm(" ", piece.font, size_pt) else "") + piece.text
        )
        joined[-1] = Piece(last.x, piece.x + piece.width - last.x, text, last.font, framed=False)
    return joined


def text_of(line: LineOfWords) -> str:
    """Return the words of a line."""
    return " ".join(piece.text for piece in line)
