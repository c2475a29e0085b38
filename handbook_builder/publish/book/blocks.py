"""What stands in the book, piece by piece, as it was taken out of a finished page."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from handbook_builder.pages.tests.glance import Section


@dataclass(frozen=True, slots=True)
class Run:
    """Words of one kind; framed ones are a verdict."""

    text: str
    bold: bool = False
    framed: bool = False


Runs = Sequence[Run]


class Style(StrEnum):
    """How words are set."""

    BODY = "body"
    LEAD = "lead"
    NOTE = "note"
    SECOND = "h2"
    THIRD = "h3"
    FOURTH = "h4"


@dataclass(frozen=True, slots=True)
class Words:
    """A heading or a paragraph."""

    runs: Runs
    style: Style = Style.BODY


@dataclass(frozen=True, slots=True)
class Item:
    """An entry of a list, `level` deep, after its mark."""

    runs: Runs
    level: int
    mark: str


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing and its value."""

    label: str
    runs: Runs


@dataclass(frozen=True, slots=True)
class Facts:
    """Facts that stand side by side."""

    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table; `numeric` says of each column whether it is set to the right."""

    caption: Runs
    head: tuple[Runs, ...]
    numeric: tuple[bool, ...]
    rows: tuple[tuple[Runs, ...], ...]


@dataclass(frozen=True, slots=True)
class Code:
    """Lines that are set as they are."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A vessel in section, and how large it is in words."""

    section: Section
    size: str


@dataclass(frozen=True, slots=True)
class Box:
    """Blocks that belong together, with a bar beside them."""

    blocks: "tuple[Block, ...]"


Block = Words | Item | Facts | Table | Code | Drawn | Box


def plain(runs: Runs) -> str:
    """Return the words of runs."""
    return "".join(run.text for run in runs)
