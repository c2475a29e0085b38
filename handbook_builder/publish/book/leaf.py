"""A page of the book as it will be printed: letters, lines and areas at their places, in mm."""

from dataclasses import dataclass, field

from handbook_builder.labels.typeface import Font

MM_A_POINT = 25.4 / 72


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper, and the room that is left free around the text, in mm."""

    width: float
    height: float
    left: float = 21.0
    right: float = 16.0
    top: float = 21.0
    bottom: float = 19.0


PAPERS = {"a4": Paper(210.0, 297.0), "letter": Paper(215.9, 279.4)}


@dataclass(frozen=True, slots=True)
class Letters:
    """Words at a place: `y` is their baseline."""

    x: float
    y: float
    size_pt: float
    font: Font
    text: str


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a thickness between two places."""

    x: float
    y: float
    to_x: float
    to_y: float
    thick: float


@dataclass(frozen=True, slots=True)
class Frame:
    """An empty rectangle."""

    x: float
    y: float
    width: float
    height: float
    thick: float


@dataclass(frozen=True, slots=True)
class Jump:
    """An area that leads to another page of the book, counted from 1."""

    x: float
    y: float
    width: float
    height: float
    page: int


@dataclass(frozen=True, slots=True)
class Told:
    """A line or a row as it was told on a page: of which section."""

    section: str
    text: str


@dataclass
class Leaf:
    """One page: what is drawn on it, what it tells, and what stands at its head."""

    head: str = ""
    part: str = ""
    ops: list[Letters | Line | Frame | Jump] = field(default_factory=list)
    told: list[Told] = field(default_factory=list)
