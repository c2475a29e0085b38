"""The lines of a scale's file: its text in the encodings in use, parted into cells."""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from handbook_builder.tables.csv_file import DELIMITERS, SAID, WINDOWS, decoded
from handbook_builder.tables.table import NoTableError, letters

LARGEST: Final = 20_000_000  # bytes: a reading a second, for three days
BEGINS_A_NUMBER: Final = re.compile(r"[-+]?[0-9]")

Row = tuple[int, list[str]]
"""The number of a line, and its cells, trimmed."""


@dataclass(frozen=True, slots=True)
class FileFault:
    """Why a file cannot be read: a code, and what its sentence needs."""

    code: str
    details: Mapping[str, object] = field(default_factory=dict)


class FaultyError(Exception):
    """Stops the reading of one file at its first fault."""

    def __init__(self, fault: FileFault) -> None:
        """Keep the fault."""
        super().__init__(fault.code)
        self.fault = fault


def fault(code: str, **details: object) -> FileFault:
    """Return why a file cannot be read."""
    return FileFault(code, details)


def text_of(data: bytes) -> tuple[str, bool]:
    """Return the text of a file, and whether it bore no mark and was no UTF-8; raises FaultyError.

    Then it is read as Windows-1252, in which digits and signs are those of any other.
    """
    if len(data) > LARGEST:
        raise FaultyError(fault("too_big"))
    try:
        encoding, text = decoded(data)
    except NoTableError as error:
        raise FaultyError(fault("not_text")) from error
    return text, encoding == WINDOWS


def delimiters(text: str) -> tuple[str, ...]:
    """Return the signs that may part the cells: the one that a first line `sep=;` says, or all.

    The first of them that the first line holds comes first.
    """
    first = text.partition("\n")[0].strip().lower()
    if first.startswith(SAID) and len(first) == len(SAID) + 1:
        return (first[-1],)
    lines = (one for one in text.split("\n") if one.strip() and not one.startswith("#"))
    begin = next(lines, "")
    return tuple(sorted(DELIMITERS, key=lambda sign: sign not in begin))


def rows_of(text: str, delimiter: str) -> list[Row]:
    """Return each line that holds anything and is no remark; raises FaultyError."""
    return list(_rows(text, delimiter))


def _rows(text: str, delimiter: str) -> Iterator[Row]:
    reader = csv.reader(text.removesuffix("\n").split("\n"), delimiter=delimiter)
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            is_said = reader.line_num == 1 and cells[:1] and cells[0].lower().startswith(SAID)
            if any(cells) and not cells[0].startswith("#") and not is_said:
                yield reader.line_num, cells
    except csv.Error as error:
        raise FaultyError(fault("not_csv", line=reader.line_num, reason=error)) from error


def has_number(cells: list[str]) -> bool:
    """Return whether any cell begins as a number or a date of digits does."""
    return any(BEGINS_A_NUMBER.match(cell) for cell in cells)


def named(header: list[str] | None, at: int) -> str:
    """Return what a column is called: by its header, else by its letter."""
    return (header[at] if header and at < len(header) else "") or letters(at + 1)
