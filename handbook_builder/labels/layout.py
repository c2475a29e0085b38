"""A face of a label on a panel of an exact size: as large as fits, and never below a minimum."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import floor
from typing import Final

from handbook_builder.labels.content import Block, Field, Label, Pictograms, Signs, Text
from handbook_builder.labels.flow import Flow, flowed
from handbook_builder.labels.pieces import Scale, composed, moved
from handbook_builder.labels.placed import (
    Layout,
    Panel,
    Piece,
    TooSmall,
    Unprintable,
    round_panel,
)
from handbook_builder.labels.sizes import pictogram_side_mm
from handbook_builder.labels.typeface import Font, Typefaces

_SLACK_MM: Final = 1e-6
_STEPS: Final = 20  # between the smallest and the preferred sizes
_GOOD: Final = 1.6  # width by height: near the golden section
_FARTHEST_MM: Final = 1 << 14

Laid = Layout | TooSmall | Unprintable


def _words_of(block: Block) -> str:
    if isinstance(block, Text):
        return block.text
    return block.caption if isinstance(block, Field) else ""


def _unprintable(blocks: Sequence[Block], faces: Typefaces) -> tuple[str, ...]:
    missing: set[str] = set()
    for block in blocks:
        is_bold = isinstance(block, Text) and block.is_bold
        known = faces[Font.BOLD if is_bold else Font.REGULAR].advances
        missing |= set(composed(_words_of(block))) - set(known) - {"\n", "\t"}
    return tuple(sorted(missing))


def _is_empty(block: Block) -> bool:
    if isinstance(block, Signs):
        return not block.signs
    if isinstance(block, Pictograms):
        return not block.pictograms
    return isinstance(block, Text) and not block.text.strip()


class _Face:
    """The blocks of one face, and what room they take on a panel."""

    def __init__(self, blocks: Sequence[Block], faces: Typefaces, *, is_centred: bool) -> None:
        self._blocks = tuple(block for block in blocks if not _is_empty(block))
        self._faces = faces
        self._is_centred = is_centred

    def on(self, panel: Panel, grown: float) -> Piece | None:
        """Return all of it at a scale, or None where it does not fit on the panel."""
        width, height = panel.inner_mm
        piece = self._in(width, panel.area_mm2, grown) if min(width, height) > 0 else None
        return piece if piece and piece.height_mm <= height + _SLACK_MM else None

    def _in(self, width: float, panel_mm2: float, grown: float) -> Piece | None:
        scale = Scale(grown, pictogram_side_mm(panel_mm2))
        return flowed(self._blocks, Flow(self._faces, scale, width, self._is_centred))

    def fits(self, panel: Panel) -> bool:
        """Return whether it fits at its smallest sizes."""
        return self.on(panel, 0.0) is not None


def _least(fits: Callable[[int], bool]) -> int | None:
    """Return a number that fits while the one below it does not; None where none does."""
    high = 1
    while not fits(high):
        high *= 2
        if high > _FARTHEST_MM:
            return None
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(middle) else (middle, high)
    return high


def _tightened(face: _Face, panel: Panel) -> Panel:
    """Return the panel with every millimetre taken off that it can do without."""
    while True:
        smaller = (
            replace(panel, width_mm=panel.width_mm - 1),
            replace(panel, height_mm=panel.height_mm - 1),
        )
        fitting = next((one for one in smaller if face.fits(one)), None)
        if fitting is None:
            return panel
        panel = fitting


def _good_mm(face: _Face, margin_mm: float) -> tuple[int, int] | None:
    def sized(width: int) -> Panel:
        return Panel(float(width), float(floor(width / _GOOD)), margin_mm)

    width = _least(lambda width: face.fits(sized(width)))
    if width is None:
        return None
    good = _tightened(face, sized(width))
    return round(good.width_mm), round(good.height_mm)


def _too_small(face: _Face, panel: Panel) -> TooSmall:
    def wide(width: int) -> bool:
        return face.fits(replace(panel, width_mm=float(width)))

    def high(height: int) -> bool:
        return face.fits(replace(panel, height_mm=float(height)))

    return TooSmall(
        panel,
        width_mm=None if panel.is_round else _least(wide),
        height_mm=None if panel.is_round else _least(high),
        good_mm=_good_mm(face, panel.margin_mm),
        across_mm=_least(lambda across: face.fits(round_panel(float(across), panel.margin_mm))),
    )


def _layout(piece: Piece, panel: Panel, grown: float, *, is_centred: bool) -> Layout:
    left, top = panel.corner_mm
    spare = panel.inner_mm[1] - piece.height_mm if is_centred else 0.0
    placed = moved(piece, left, top + max(0.0, spare) / 2)
    return Layout(panel, placed.runs, placed.marks, placed.frames, grown)


def lay_out(
    blocks: Sequence[Block], panel: Panel, faces: Typefaces, *, is_centred: bool = False
) -> Laid:
    """Return the blocks on a panel, as near to their preferred sizes as all of them fit together.

    Nothing is smaller than its minimum: what does not fit so is `TooSmall`, with the panels that
    would do. A text with a character that the font lacks is `Unprintable`. Lines break at spaces
    alone. The same blocks on the same panel always give the same layout.
    """
    missing = _unprintable(blocks, faces)
    if missing:
        return Unprintable(missing)
    face = _Face(blocks, faces, is_centred=is_centred)
    for step in range(_STEPS, -1, -1):
        piece = face.on(panel, step / _STEPS)
        if piece is not None:
            return _layout(piece, panel, step / _STEPS, is_centred=is_centred)
    return _too_small(face, panel)


@dataclass(frozen=True, slots=True)
class LaidLabel:
    """Both faces of a label; `front` is None where all stands on the one panel."""

    front: Laid | None
    caution: Laid


def lay_out_label(label: Label, front: Panel | None, caution: Panel, faces: Typefaces) -> LaidLabel:
    """Return the front, in the middle of its panel, and the cautions, from the top left of theirs.

    Without a panel for the front, which is to stay bare, all stands on that of the cautions.
    """
    if front is None:
        return LaidLabel(None, lay_out((*label.front, *label.caution), caution, faces))
    return LaidLabel(
        lay_out(label.front, front, faces, is_centred=True),
        lay_out(label.caution, caution, faces),
    )
