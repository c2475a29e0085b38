"""The blocks of a face under one another, drawings also beside words: the lowest way there is."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Final

from handbook_builder.labels.content import Block, Field, Pictograms, Signs, Text
from handbook_builder.labels.pieces import Scale, centred, marks_piece, moved, words_piece
from handbook_builder.labels.placed import Piece
from handbook_builder.labels.typeface import Typefaces

_SLACK_MM: Final = 1e-6  # what rounding may make wider; no printer sees it
_BESIDE_GAP_MM: Final = 1.2  # between drawings and the words beside them
_GAP_MM: Final = 0.7  # between two blocks at their smallest
_GAP_GROWS_MM: Final = 0.6


@dataclass(frozen=True, slots=True)
class Flow:
    """What the blocks are set with: the faces, the scale, the width, and where lines begin."""

    faces: Typefaces
    scale: Scale
    width_mm: float
    is_centred: bool

    @property
    def gap_mm(self) -> float:
        """Return how far two blocks are apart."""
        return _GAP_MM + self.scale.grown * _GAP_GROWS_MM


def _stacked(pieces: Sequence[Piece], gap: float) -> Piece:
    """Return pieces under one another."""
    top, placed = 0.0, []
    for piece in pieces:
        placed.append(moved(piece, 0.0, top))
        top += piece.height_mm + gap
    return _joined(placed, max((piece.width_mm for piece in pieces), default=0.0), top - gap)


def _joined(pieces: Sequence[Piece], width: float, height: float) -> Piece:
    return Piece(
        width,
        max(0.0, height),
        tuple(run for piece in pieces for run in piece.runs),
        tuple(mark for piece in pieces for mark in piece.marks),
        tuple(frame for piece in pieces for frame in piece.frames),
    )


@dataclass(frozen=True, slots=True)
class Way:
    """One way to set the first blocks: how wide and high, how many of them, and how it is made.

    It is made only when it was chosen: most ways are not.
    """

    width_mm: float
    height_mm: float
    along: int
    make: Callable[[], Piece]


def _beside(left: Piece, right: Sequence[Piece], gap: float) -> Way:
    """Return drawings with words beside them."""
    offset = left.width_mm + _BESIDE_GAP_MM
    width = offset + max(piece.width_mm for piece in right)
    high = fsum(piece.height_mm for piece in right) + gap * (len(right) - 1)
    height = max(left.height_mm, high)

    def make() -> Piece:
        return _joined((left, moved(_stacked(right, gap), offset, 0.0)), width, height)

    return Way(width, height, 1 + len(right), make)


def _columns(count: int) -> list[int]:
    """Return how many drawings may stand in a row, the most first; no two give as many rows."""
    return sorted({-(-count // rows) for rows in range(1, count + 1)}, reverse=True)


def _words_after(blocks: Sequence[Block]) -> list[Text | Field]:
    words: list[Text | Field] = []
    for block in blocks:
        if isinstance(block, Signs | Pictograms):
            break
        words.append(block)
    return words


def _with_words(
    block: Signs | Pictograms, words: Sequence[Text | Field], flow: Flow
) -> Iterator[Way]:
    """Yield the drawings in every number of rows, with every number of the words beside them."""
    count = len(block.signs if isinstance(block, Signs) else block.pictograms)
    for columns in _columns(count):
        drawn = marks_piece(block, flow.scale, columns)
        yield _alone(_placed(drawn, flow))
        room = flow.width_mm - drawn.width_mm - _BESIDE_GAP_MM
        beside: tuple[Piece, ...] = ()
        for words_block in words if room > 0 else ():
            beside = (*beside, words_piece(words_block, flow.faces, flow.scale, room))
            yield _beside(drawn, beside, flow.gap_mm)


def _alone(piece: Piece) -> Way:
    return Way(piece.width_mm, piece.height_mm, 1, lambda: piece)


def _placed(piece: Piece, flow: Flow) -> Piece:
    return centred(piece, flow.width_mm) if flow.is_centred else piece


def _ways(blocks: Sequence[Block], flow: Flow) -> Iterator[Way]:
    """Yield each way to set what comes first."""
    first = blocks[0]
    if isinstance(first, Signs | Pictograms):
        yield from _with_words(first, _words_after(blocks[1:]), flow)
    else:
        words = words_piece(first, flow.faces, flow.scale, flow.width_mm)
        is_narrow = words.width_mm <= flow.width_mm + _SLACK_MM
        yield _alone(_placed(words, flow) if is_narrow else words)


def flowed(blocks: Sequence[Block], flow: Flow) -> Piece | None:
    """Return all blocks in the lowest way, or None where something is wider than the width.

    Of two ways that are as low the first is taken: fewer words beside, more drawings in a row. The
    height never falls when the width does, nor when a pictogram grows.
    """
    lowest: list[tuple[Way, ...] | None] = [()]
    heights = [0.0]
    for start in range(len(blocks) - 1, -1, -1):
        best: tuple[Way, ...] | None = None
        least = float("inf")
        for way in _ways(blocks[start:], flow):
            rest = lowest[len(blocks) - start - way.along]
            height = way.height_mm + flow.gap_mm + heights[len(blocks) - start - way.along]
            is_narrow = way.width_mm <= flow.width_mm + _SLACK_MM
            if is_narrow and rest is not None and height < least - _SLACK_MM:
                best, least = (way, *rest), height
        lowest.append(best)
        heights.append(least)
    chosen = lowest[-1]
    return None if chosen is None else _stacked([way.make() for way in chosen], flow.gap_mm)
