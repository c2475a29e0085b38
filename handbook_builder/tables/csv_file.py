"""Tables as text, one line a row: CSV in the encodings and with the signs that are in use."""

import csv
import io
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from typing import Final

from handbook_builder.tables.table import Cell, NoTableError, Table, no_table, trimmed

DELIMITERS: Final = (";", "\t", ",")
_MARKED: Final = (
    (b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"),
)  # fmt: skip
WINDOWS: Final = "windows-1252"
_LOOKED_AT: Final = 50  # rows
ENCODINGS: Final = ("utf-8", "utf-16", WINDOWS)
_RUNS: Final = frozenset("=+-@")
SAID: Final = "sep="  # a first line that says the delimiter


def read_csv(data: bytes, encoding: str = "", delimiter: str = "") -> Table:
    """Return the table of a CSV file; raises NoTableError.

    Without an encoding it is what the file's mark says, UTF-8, or else Windows-1252, which is
    told. Without a delimiter it is the one of the first line that has any.
    """
    found, text = decoded(data, encoding)
    first = text.partition("\n")[0].strip().lower()
    said = first.removeprefix(SAID) if first.startswith(SAID) else ""
    sign = delimiter or (said if len(said) == 1 else "") or _delimiter(text)
    rows = list(_rows(text, sign))
    if said and rows:
        rows[0] = []
    told: tuple[tuple[str, dict[str, object]], ...] = (
        (("windows", {}),) if found == WINDOWS and not encoding else ()
    )
    return Table(trimmed(rows), encoding=found, delimiter=sign, told=told)


def decoded(data: bytes, encoding: str = "") -> tuple[str, str]:
    """Return the encoding and the text of a file, its lines ended alike; raises NoTableError.

    The encoding is what the file's mark says, UTF-8, or else Windows-1252, unless it is given.
    """
    marked = next((name for mark, name in _MARKED if data.startswith(mark)), "")
    known = {"utf-8": "utf-8-sig"}.get(encoding, encoding)
    tried = [known] if known else [marked] if marked else ["utf-8", WINDOWS]
    for name in tried:
        try:
            text = data.decode(name)
        except UnicodeError:
            continue
        if "\0" in text:
            break
        return name.removesuffix("-sig"), text.replace("\r\n", "\n").replace("\r", "\n")
    raise NoTableError(no_table("not_text", tried=", ".join(tried)))


def _delimiter(text: str) -> str:
    """Return the sign that parts most of the rows into one number of cells, and that the greatest.

    A comma in numbers parts some rows and others not; commas within quotes part none.
    """

    def evenness(sign: str) -> tuple[float, int]:
        try:
            rows = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
            widths = [len(row) for row in islice(rows, _LOOKED_AT) if any(map(str.strip, row))]
        except csv.Error:
            return (0.0, 0)
        width, times = Counter(widths).most_common(1)[0] if widths else (1, 0)
        return (times / len(widths), width) if width > 1 else (0.0, 0)

    return max(reversed(DELIMITERS), key=evenness)


def _rows(text: str, delimiter: str) -> Iterator[list[Cell]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for row in reader:
            yield [Cell(_unmarked(written)) for written in row]
    except csv.Error as error:
        raise NoTableError(no_table("not_csv", line=reader.line_num, reason=error)) from error


def runs(text: str) -> bool:
    """Return whether a spreadsheet may take a text for a formula, and run it."""
    return text[:1] in {"\t", "\r"} or text.lstrip("' \t\r\n")[:1] in _RUNS


def marked(text: str) -> str:
    """Return a text with an apostrophe before it, where a spreadsheet would run it else."""
    return f"'{text}" if runs(text) else text


def _unmarked(written: str) -> str:
    """Return a cell without the apostrophe that keeps a spreadsheet from running it."""
    return written[1:] if written[:1] == "'" and runs(written[1:]) else written
