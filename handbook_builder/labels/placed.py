"""What a layout is: words, drawings and frames with their places, or why there is none."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt
from typing import Final

from handbook_builder.labels.content import Pictogram, Role, Sign
from handbook_builder.labels.typeface import Font

MM_PER_POINT: Final = 25.4 / 72
FRAME_LINE_MM: Final = 0.2  # of an empty frame; it lies within the frame


@dataclass(frozen=True, slots=True)
class Panel:
    """What a label may cover: so wide and high, with a margin that stays bare all round.

    A round panel is as wide as it is high, and holds the square within its circle.
    """

    width_mm: float
    height_mm: float
    margin_mm: float = 1.5
    is_round: bool = False

    @property
    def area_mm2(self) -> float:
        """Return the area of the whole panel."""
        whole = self.width_mm * self.height_mm
        return whole * pi / 4 if self.is_round else whole

    @property
    def inner_mm(self) -> tuple[float, float]:
        """Return how wide and high the part is that may be printed on."""
        wide, high = self.width_mm - 2 * self.margin_mm, self.height_mm - 2 * self.margin_mm
        return (wide / sqrt(2), high / sqrt(2)) if self.is_round else (wide, high)

    @property
    def corner_mm(self) -> tuple[float, float]:
        """Return where that part begins, from the left and from the top."""
        wide, high = self.inner_mm
        return (self.width_mm - wide) / 2, (self.height_mm - high) / 2


def round_panel(across_mm: float, margin_mm: float = 1.5) -> Panel:
    """Return a round panel: a foot, a lid or a dust cover."""
    return Panel(across_mm, across_mm, margin_mm, is_round=True)


@dataclass(frozen=True, slots=True)
class Run:
    """Words on one line, from the left end of their baseline; a point is 1/72 inch."""

    role: Role
    text: str
    font: Font
    size_pt: float
    x_mm: float
    baseline_mm: float
    width_mm: float

    @property
    def size_mm(self) -> float:
        """Return the size in millimetres."""
        return self.size_pt * MM_PER_POINT


@dataclass(frozen=True, slots=True)
class Mark:
    """A sign or a pictogram, from its top left corner. A pictogram's height is its diagonal."""

    name: Sign | Pictogram
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Frame:
    """An empty frame to write in, from its top left corner."""

    role: Role
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Piece:
    """Things that are placed together, from a common corner, and how much room they take."""

    width_mm: float
    height_mm: float
    runs: tuple[Run, ...] = ()
    marks: tuple[Mark, ...] = ()
    frames: tuple[Frame, ...] = ()


@dataclass(frozen=True, slots=True)
class Layout:
    """A face of a label. `grown` is how far from its smallest sizes, 0, to the preferred, 1."""

    panel: Panel
    runs: tuple[Run, ...]
    marks: tuple[Mark, ...]
    frames: tuple[Frame, ...]
    grown: float

    def lines(self) -> Iterator[str]:
        """Yield the words as they stand, line by line."""
        yield from (run.text for run in self.runs)


@dataclass(frozen=True, slots=True)
class TooSmall:
    """Not all of it fits at its smallest sizes. The proposals are in whole millimetres.

    `height_mm` is the least height at the width that there is, `width_mm` the least width at that
    height; both are None for a round panel. `good_mm` is a panel of good proportion, width first,
    and `across_mm` the least round one. None stands where nothing up to 16 m would do.
    """

    panel: Panel
    width_mm: int | None
    height_mm: int | None
    good_mm: tuple[int, int] | None
    across_mm: int | None


@dataclass(frozen=True, slots=True)
class Unprintable:
    """Characters that the font does not have, each once, in their order in Unicode."""

    characters: tuple[str, ...]
