"""One block of a label at one size and one width: its lines, its drawings, its frame."""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil, sqrt
from typing import Final

from handbook_builder.labels.content import Field, Pictogram, Pictograms, Sign, Signs, Text
from handbook_builder.labels.placed import MM_PER_POINT, Frame, Mark, Piece, Run
from handbook_builder.labels.signs import DRAWINGS
from handbook_builder.labels.sizes import Minimum
from handbook_builder.labels.typeface import Font, Typeface, Typefaces

MARK_GAP_MM: Final = 0.8  # between two drawings
_LEAD_GAP: Final = 0.3  # between the sign before a heading and its words, of the size
_FRAME: Final = 1.6  # the height of an empty frame, of the size
_SPACES: Final = re.compile(r"[ \t]+")  # never the one that does not break
_STEPS: Final = 100  # a size is a whole number of these in a point, as a PDF writes it


@dataclass(frozen=True, slots=True)
class Scale:
    """How far a block has grown from its smallest size, 0, to the preferred, 1.

    `side_mm` is the smallest side of a pictogram on the panel.
    """

    grown: float
    side_mm: float

    def between(self, least: float, preferred: float) -> float:
        """Return a length between both; where less is preferred than must be, the least."""
        return least + self.grown * max(0.0, preferred - least)


def composed(text: str) -> str:
    """Return a text with its accents joined to their letters, as the font has them."""
    return unicodedata.normalize("NFC", text)


def _font(block: Text | Field) -> Font:
    return Font.BOLD if isinstance(block, Text) and block.is_bold else Font.REGULAR


def _least_mm(minima: Sequence[Minimum], face: Typeface) -> float:
    return max(minimum.mm / face.part(minimum.measure) for minimum in minima)


def _size_pt(block: Text | Field, face: Typeface, scale: Scale) -> float:
    """Return the size of a block's words, rounded up so that no minimum is undercut."""
    least = _least_mm(block.minima, face)
    preferred = isinstance(block, Text) and block.preferred_x_mm
    size = scale.between(least, preferred / face.x_height if preferred else least)
    return ceil(size / MM_PER_POINT * _STEPS) / _STEPS


@lru_cache(maxsize=4096)
def _paragraphs(text: str) -> tuple[tuple[str, ...], ...]:
    """Return the words of each paragraph of a text, which is tried in many widths."""
    paragraphs = composed(text).split("\n")
    return tuple(tuple(_SPACES.split(paragraph.strip(" \t"))) for paragraph in paragraphs)


def _lines(text: str, face: Typeface, first: float, width: float) -> Iterator[tuple[str, float]]:
    """Yield each line and its width, all of the size; the first may be as wide as `first`.

    A word that is wider than the line stands alone on it.
    """
    space, room = face.advances[" "], first
    for paragraph in _paragraphs(text):
        line, wide = "", 0.0
        for word in paragraph:
            word_wide = face.width(word)
            if line and wide + space + word_wide > room:
                yield line, wide
                line, wide, room = "", 0.0, width
            line, wide = (f"{line} {word}", wide + space + word_wide) if line else (word, word_wide)
        yield line, wide
        room = width


def _lead_piece(sign: Sign, size: float, line: float) -> Piece:
    wide = DRAWINGS[sign].width * size
    mark = Mark(sign, 0.0, (line - size) / 2, wide, size)
    return Piece(wide + _LEAD_GAP * size, line, marks=(mark,))


def _words(block: Text | Field, text: str, face: Typeface, scale: Scale, width: float) -> Piece:
    """Return a text in lines from the left; it is wider than `width` where a word is."""
    size_pt = _size_pt(block, face, scale)
    size = size_pt * MM_PER_POINT
    step = face.line * size
    above = (step - (face.ascent + face.descent) * size) / 2 + face.ascent * size
    sign = block.lead if isinstance(block, Text) else None
    lead = _lead_piece(sign, size, step) if sign else Piece(0.0, 0.0)
    lines = list(_lines(text, face, (width - lead.width_mm) / size, width / size))
    runs = tuple(
        Run(
            block.role,
            line,
            _font(block),
            size_pt,
            lead.width_mm if number == 0 else 0.0,
            number * step + above,
            wide * size,
        )
        for number, (line, wide) in enumerate(lines)
        if line
    )
    whole = max((run.x_mm + run.width_mm for run in runs), default=0.0)
    return Piece(whole, len(lines) * step, runs, lead.marks)


def _text_piece(block: Text, faces: Typefaces, scale: Scale, width: float) -> Piece:
    return _words(block, block.text, faces[_font(block)], scale, width)


def _field_piece(block: Field, faces: Typefaces, scale: Scale, width: float) -> Piece:
    """Return a caption, and under it a frame for so many of the widest figure."""
    face = faces[_font(block)]
    caption = _words(block, block.caption, face, scale, width)
    size = _size_pt(block, face, scale) * MM_PER_POINT
    wide = block.characters * face.advances["0"] * size
    frame = Frame(block.role, 0.0, caption.height_mm, wide, _FRAME * size)
    height = caption.height_mm + frame.height_mm
    return Piece(max(caption.width_mm, wide), height, caption.runs, (), (frame,))


def words_piece(block: Text | Field, faces: Typefaces, scale: Scale, width: float) -> Piece:
    """Return a text or a field at a scale, in lines no wider than `width` where words allow."""
    if isinstance(block, Text):
        return _text_piece(block, faces, scale, width)
    return _field_piece(block, faces, scale, width)


def _cells(block: Signs | Pictograms, scale: Scale) -> Iterator[tuple[Sign | Pictogram, float]]:
    """Yield each drawing and its height."""
    if isinstance(block, Signs):
        least = block.minimum.mm
        height = scale.between(least, block.preferred_mm or least)
        yield from ((sign, height) for sign in block.signs)
    else:
        height = scale.between(scale.side_mm, block.preferred_mm) * sqrt(2)
        yield from ((pictogram, height) for pictogram in block.pictograms)


def _row(cells: Sequence[tuple[Sign | Pictogram, float]], top: float) -> Iterator[Mark]:
    left = 0.0
    for name, height in cells:
        wide = DRAWINGS[name].width * height
        yield Mark(name, left, top, wide, height)
        left += wide + MARK_GAP_MM


def marks_piece(block: Signs | Pictograms, scale: Scale, columns: int) -> Piece:
    """Return the drawings of a block in rows of so many, in their order."""
    cells = list(_cells(block, scale))
    step = cells[0][1] + MARK_GAP_MM
    starts = range(0, len(cells), columns)
    marks = tuple(
        mark
        for row, start in enumerate(starts)
        for mark in _row(cells[start : start + columns], row * step)
    )
    wide = max(mark.x_mm + mark.width_mm for mark in marks)
    return Piece(wide, len(starts) * step - MARK_GAP_MM, marks=marks)


def moved(piece: Piece, right: float, down: float) -> Piece:
    """Return a piece further to the right and further down."""
    return replace(
        piece,
        runs=tuple(
            replace(run, x_mm=run.x_mm + right, baseline_mm=run.baseline_mm + down)
            for run in piece.runs
        ),
        marks=tuple(
            replace(mark, x_mm=mark.x_mm + right, y_mm=mark.y_mm + down) for mark in piece.marks
        ),
        frames=tuple(
            replace(frame, x_mm=frame.x_mm + right, y_mm=frame.y_mm + down)
            for frame in piece.frames
        ),
    )


def centred(piece: Piece, width: float) -> Piece:
    """Return a piece with each of its lines in the middle of `width`, its drawings as a whole."""
    if not piece.runs or piece.marks or piece.frames:
        return moved(piece, (width - piece.width_mm) / 2, 0.0)
    middle = tuple(replace(run, x_mm=(width - run.width_mm) / 2) for run in piece.runs)
    return replace(piece, runs=middle)
