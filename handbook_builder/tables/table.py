"""A table as it stands in a file: cells by row and column, and what was odd about the file."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

LARGEST: Final = 20_000_000  # bytes of a file
MOST_ROWS: Final = 100_000
MOST_COLUMNS: Final = 1_000
_LETTERS: Final = 26


class Sort(StrEnum):
    """What a cell holds by the file's own word; a CSV file knows texts alone."""

    TEXT = "text"
    NUMBER = "number"
    DAY = "day"
    MOMENT = "moment"
    CLOCK = "clock"  # hours and minutes, of a day or of a stretch of time


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell. `text` is as typed; of a number all its digits, with a point; of a day ISO.

    `fault` is the code of why there is no value, empty where there is one.
    """

    text: str = ""
    sort: Sort = Sort.TEXT
    fault: str = ""

    @property
    def is_blank(self) -> bool:
        """Return whether there is nothing in it, and nothing wrong with that."""
        return not self.text.strip() and not self.fault


BLANK: Final = Cell()


@dataclass(frozen=True, slots=True)
class Table:
    """All rows of one sheet, the first is row 1; a blank row is an empty one.

    `told` are codes with details of what was decided while reading, such as an encoding.
    """

    rows: tuple[tuple[Cell, ...], ...]
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    encoding: str = ""
    delimiter: str = ""
    told: tuple[tuple[str, Mapping[str, object]], ...] = ()

    def cell(self, row: int, column: int) -> Cell:
        """Return a cell by its row and column, counted from 1; beyond the table it is blank."""
        cells = self.rows[row - 1] if row <= len(self.rows) else ()
        return cells[column - 1] if column <= len(cells) else BLANK

    def is_blank(self, row: int) -> bool:
        """Return whether a row, counted from 1, holds nothing."""
        return all(one.is_blank for one in self.rows[row - 1])

    def said_in(self, row: int) -> str:
        """Return all that stands in a row, counted from 1, on one line."""
        texts = (" ".join((one.text or one.fault).split()) for one in self.rows[row - 1])
        return "; ".join(text for text in texts if text)

    @property
    def width(self) -> int:
        """Return how many columns the widest row has."""
        return max(map(len, self.rows), default=0)


@dataclass(frozen=True, slots=True)
class TableFault:
    """Why a file is no table: a code, and what its sentence needs."""

    code: str
    details: Mapping[str, object] = field(default_factory=dict)


class NoTableError(Exception):
    """Stops the reading of a file; it leaves this room as a `TableFault`."""

    def __init__(self, fault: TableFault) -> None:
        """Keep the fault."""
        super().__init__(fault.code)
        self.fault = fault


def no_table(code: str, **details: object) -> TableFault:
    """Return why a file is no table."""
    return TableFault(code, details)


def letters(column: int) -> str:
    """Return the name that a spreadsheet gives to a column, counted from 1: A, Z, AA."""
    name = ""
    while column:
        column, rest = divmod(column - 1, _LETTERS)
        name = chr(ord("A") + rest) + name
    return name


def trimmed(rows: list[list[Cell]]) -> tuple[tuple[Cell, ...], ...]:
    """Return rows without the blanks at their ends, and without blank rows at the end."""
    if len(rows) > MOST_ROWS or any(len(row) > MOST_COLUMNS for row in rows):
        raise NoTableError(no_table("too_big"))
    found = [_trimmed(row) for row in rows]
    while found and not found[-1]:
        found.pop()
    return tuple(found)


def _trimmed(row: list[Cell]) -> tuple[Cell, ...]:
    end = len(row)
    while end and row[end - 1].is_blank:
        end -= 1
    return tuple(row[:end])
