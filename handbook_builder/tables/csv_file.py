"""Tables as text, one line a row: CSV in the encodings and with the signs that are in use."""

import csv
import io
from collections.abc import Iterator
from typing import Final

from handbook_builder.tables.table import Cell, NoTableError, Table, trimmed

DELIMITERS: Final = (";", "\t", ",")
_MARKED: Final = (
    (b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"),
)  # fmt: skip
WINDOWS: Final = "windows-1252"
ENCODINGS: Final = ("utf-8", "utf-16", WINDOWS)
# A spreadsheet would run what begins so; whoever wrote the file put an apostrophe before it.
RUNS: Final = ("=", "+", "-", "@", "\t", "\r")
_SAID: Final = "sep="  # a first line that says the delimiter


def read_csv(data: bytes, encoding: str = "", delimiter: str = "") -> Table:
    """Return the table of a CSV file; raises NoTableError.

    Without an encoding it is what the file's mark says, UTF-8, or else Windows-1252, which is
    told. Without a delimiter it is the one of the first line that has any.
    """
    found, text = _decoded(data, encoding)
    first = text.partition("\n")[0].strip().lower()
    said = first.removeprefix(_SAID) if first.startswith(_SAID) else ""
    sign = delimiter or (said if len(said) == 1 else "") or _delimiter(text)
    rows = list(_rows(text, sign))
    if said and rows:
        rows[0] = []
    told = (("windows", {}),) if found == WINDOWS and not encoding else ()
    return Table(trimmed(rows), encoding=found, delimiter=sign, told=told)


def _decoded(data: bytes, encoding: str) -> tuple[str, str]:
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
    raise NoTableError("not_text", tried=", ".join(tried))


def _delimiter(text: str) -> str:
    """Return the sign that parts the most of the first lines into the most, even, columns."""
    lines = [line for line in text.split("\n") if line.strip()][:20]
    counts = {sign: [line.count(sign) for line in lines] for sign in DELIMITERS}
    return max(DELIMITERS, key=lambda sign: sum(bool(one) for one in counts[sign]))


def _rows(text: str, delimiter: str) -> Iterator[list[Cell]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for row in reader:
            yield [Cell(_unmarked(written)) for written in row]
    except csv.Error as error:
        raise NoTableError("not_csv", line=reader.line_num, reason=error) from error


def _unmarked(written: str) -> str:
    """Return a cell without the apostrophe that keeps a spreadsheet from running it."""
    return written[1:] if written[:1] == "'" and written[1:2] in RUNS and written[1:] else written
