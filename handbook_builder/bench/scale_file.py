"""The file of a logging scale: a time and a mass in each line, with whatever else it writes."""

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

from handbook_builder import units

_DELIMITERS: Final = (";", "\t", ",")
_NUMBER: Final = re.compile(r"[+-]?\d+(?:\.\d+)?")
_UNIT: Final = re.compile(r"[(\[_ ,/]\s*([A-Za-z]+)\s*[)\]]?\s*$")
_TIMES: Final = ("time", "elapsed", "date", "clock")
_MASSES: Final = ("mass", "weight")


@dataclass(frozen=True, slots=True)
class Readings:
    """Hours since the first reading, and grams; `begun` is its moment, where the file has it."""

    hours: tuple[float, ...]
    mass_g: tuple[float, ...]
    begun: datetime | None


@dataclass(frozen=True, slots=True)
class FileFault:
    """Why a file cannot be read: a code, and what its sentence needs."""

    code: str
    details: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where time and mass stand in a line, and their units where the header or the call says."""

    time: int
    mass: int
    time_unit: str | None
    mass_unit: str | None


class _FaultyError(Exception):
    """Stops the reading of one file at its first fault."""

    def __init__(self, fault: FileFault) -> None:
        super().__init__(fault.code)
        self.fault = fault


def read_scale_file(
    data: bytes, time_unit: str | None = None, mass_unit: str | None = None
) -> Readings | FileFault:
    """Return the readings of a CSV file, or its first fault.

    Times are ISO moments, or numbers in the unit of the header, of the cell, or `time_unit`;
    masses likewise. Semicolons and tabs may part the columns; only then is a comma in a number
    taken for its decimal point.
    """
    try:
        return _read(data, time_unit, mass_unit)
    except _FaultyError as fault:
        return fault.fault


def _read(data: bytes, time_unit: str | None, mass_unit: str | None) -> Readings:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _FaultyError(FileFault("not_text")) from error
    rows = list(_rows(text))
    if not rows:
        raise _FaultyError(FileFault("empty"))
    columns = _Columns(0, 1, time_unit, mass_unit)
    if not any(re.match(r"[-+]?\d", cell) for cell in rows[0][1]):
        columns = _columns(rows.pop(0)[1], columns)
    times = [_time(line, _cell(line, row, columns.time), columns) for line, row in rows]
    masses = [_mass(line, _cell(line, row, columns.mass), columns) for line, row in rows]
    if not times:
        raise _FaultyError(FileFault("empty"))
    begun = times[0] if isinstance(times[0], datetime) else None
    hours = [_since(times[0], one, line) for one, (line, _) in zip(times, rows, strict=True)]
    return Readings(tuple(hours), tuple(masses), begun)


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield each line that holds anything, with its number, its cells trimmed."""
    found = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    delimiter = next((one for one in _DELIMITERS if found and one in found[0]), ",")
    reader = csv.reader(text.splitlines(), delimiter=delimiter)
    for row in reader:
        cells = [cell.strip() for cell in row]
        if any(cells) and not cells[0].startswith("#"):
            commas = delimiter != ","
            yield reader.line_num, [_pointed(one) if commas else one for one in cells]


def _pointed(cell: str) -> str:
    return re.sub(r"^([+-]?\d+),(\d+)", r"\1.\2", cell)


def _columns(header: Sequence[str], given: _Columns) -> _Columns:
    names = [name.lower() for name in header]

    def find(words: Sequence[str]) -> int:
        for at, name in enumerate(names):
            if any(word in name for word in words):
                return at
        details = {"wanted": words[0], "found": ", ".join(header)}
        raise _FaultyError(FileFault("no_column", details))

    time, mass = find(_TIMES), find(_MASSES)
    return _Columns(
        time,
        mass,
        _unit_of(header[time], units.DURATION) or given.time_unit,
        _unit_of(header[mass], units.MASS) or given.mass_unit,
    )


def _unit_of(name: str, dimension: units.Dimension) -> str | None:
    found = _UNIT.search(name)
    known = units.UNITS.get(found[1]) if found else None
    return found[1] if found and known and known[1] is dimension else None


def _cell(line: int, row: Sequence[str], at: int) -> str:
    if at >= len(row) or not row[at]:
        raise _FaultyError(FileFault("short_line", {"line": line}))
    return row[at]


def _time(line: int, cell: str, columns: _Columns) -> datetime | float:
    if re.match(r"\d{4}-\d\d-\d\d", cell):
        try:
            return datetime.fromisoformat(cell)
        except ValueError as error:
            details = {"line": line, "found": cell, "reason": error}
            raise _FaultyError(FileFault("bad_cell", details)) from error
    return _quantity(line, cell, columns.time_unit, units.DURATION)


def _mass(line: int, cell: str, columns: _Columns) -> float:
    return _quantity(line, cell, columns.mass_unit, units.MASS)


def _quantity(line: int, cell: str, unit: str | None, dimension: units.Dimension) -> float:
    """Return a quantity in the base unit, its unit from the cell or else from the column."""
    if _NUMBER.fullmatch(cell):
        if unit is None:
            details = {"line": line, "found": cell, "what": dimension.word}
            raise _FaultyError(FileFault("no_unit", details))
        return units.convert(float(cell), units.UNITS[unit][0], dimension.base)
    found = units.read_quantity(cell, dimension)
    if isinstance(found, units.Fault):
        details = {"line": line, "found": cell, "reason": dimension.word}
        raise _FaultyError(FileFault("bad_cell", details))
    return found


def _since(first: datetime | float, one: datetime | float, line: int) -> float:
    """Return the hours from the first time to this one."""
    if isinstance(first, datetime) and isinstance(one, datetime):
        if (first.tzinfo is None) == (one.tzinfo is None):
            return (one - first) / timedelta(hours=1)
    elif not isinstance(first, datetime) and not isinstance(one, datetime):
        return one - first
    raise _FaultyError(FileFault("mixed_times", {"line": line}))
