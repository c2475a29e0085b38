"""The file of a logging scale: a time and a mass in each line, with whatever else it writes."""

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Final

from handbook_builder import units
from handbook_builder.conversion import convert

LARGEST: Final = 20_000_000  # bytes: a reading a second, for three days
_DELIMITERS: Final = (";", "\t", ",")
_NUMBER: Final = re.compile(r"[+-]?[0-9]{1,15}(?:\.[0-9]{1,15})?")
_UNIT: Final = re.compile(r"[(\[_ ,/]\s*([A-Za-z]+)\s*[)\]]?\s*$")
_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_CLOCK: Final = re.compile(r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?")
_TIMES: Final = ("time", "elapsed", "date", "clock")
_MASSES: Final = ("mass", "weight", "gross")
# Of these a scale may write columns, too, and none is the mass of candle and vessel.
_OTHER_MASSES: Final = ("tare", "net", "unit")
_LONGEST_H: Final = 1e7  # a thousand years, which no clock that counts its hours has run


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
    day: int | None = None  # of a date whose time of day stands in a column of its own


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
    rows = list(_rows(_text(data)))
    columns = _Columns(0, 1, time_unit, mass_unit)
    header = None
    if rows and not any(re.match(r"[-+]?[0-9]", cell) for cell in rows[0][1]):
        header = rows.pop(0)[1]
        columns = _columns(header, columns)
    if not rows:
        raise _FaultyError(FileFault("empty"))
    _refuse_uneven(header, rows)
    columns = _with_day(header, rows[0][1], columns)
    times = [_time(line, row, columns) for line, row in rows]
    masses = [_mass(line, _cell(line, row, columns.mass), columns) for line, row in rows]
    begun = times[0] if isinstance(times[0], datetime) else None
    hours = [_since(times[0], one, line) for one, (line, _) in zip(times, rows, strict=True)]
    return Readings(tuple(hours), tuple(masses), begun)


def _text(data: bytes) -> str:
    if len(data) > LARGEST:
        raise _FaultyError(FileFault("too_big"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _FaultyError(FileFault("not_text")) from error


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield each line that holds anything, with its number, its cells trimmed."""
    found = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    delimiter = next((one for one in _DELIMITERS if found and one in found[0]), ",")
    reader = csv.reader(text.splitlines(), delimiter=delimiter)
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            if any(cells) and not cells[0].startswith("#"):
                commas = delimiter != ","
                yield (
                    reader.line_num,
                    [_pointed(written) if commas else written for written in cells],
                )
    except csv.Error as error:
        details = {"line": reader.line_num, "reason": error}
        raise _FaultyError(FileFault("not_csv", details)) from error


def _pointed(cell: str) -> str:
    return re.sub(r"^([+-]?[0-9]+),([0-9]+)", r"\1.\2", cell)


def _refuse_uneven(header: Sequence[str] | None, rows: Sequence[tuple[int, list[str]]]) -> None:
    """Refuse a file whose lines are not alike: 416,8 would be read as 416."""
    due = len(rows[0][1] if header is None else header)
    if header is None and due != 2:  # noqa: PLR2004 -- a time and a mass
        raise _FaultyError(FileFault("no_header", {"line": rows[0][0], "found": due}))
    for line, row in rows:
        if len(row) != due:
            details = {"line": line, "found": len(row), "due": due}
            raise _FaultyError(FileFault("uneven", details))
        for name, cell in zip(header or row, row, strict=True):
            if cell and not name:
                raise _FaultyError(FileFault("nameless", {"line": line, "found": cell}))


def _columns(header: Sequence[str], given: _Columns) -> _Columns:
    time, mass = _find(header, _TIMES)[0], _mass_column(header)
    return _Columns(
        time,
        mass,
        _unit_of(header[time], units.DURATION) or given.time_unit,
        _unit_of(header[mass], units.MASS) or given.mass_unit,
    )


def _find(header: Sequence[str], words: Sequence[str], but: Sequence[str] = ()) -> list[int]:
    """Return the columns whose names hold one of `words`, and none of `but`; there is one."""
    names = [name.lower() for name in header]
    found = [
        at
        for at, name in enumerate(names)
        if any(word in name for word in words) and not any(word in name for word in but)
    ]
    if not found:
        details = {"wanted": words[0], "found": ", ".join(header)}
        raise _FaultyError(FileFault("no_column", details))
    return found


def _mass_column(header: Sequence[str]) -> int:
    """Return the column of the mass of all that stands on the scale; it is never guessed."""
    found = _find(header, _MASSES, _OTHER_MASSES)
    gross = [at for at in found if "gross" in header[at].lower()]
    if len(gross) == 1 or len(found) == 1:
        return (gross or found)[0]
    names = ", ".join(header[at] for at in found)
    raise _FaultyError(FileFault("which_mass", {"found": names}))


def _with_day(header: Sequence[str] | None, first: Sequence[str], columns: _Columns) -> _Columns:
    """Return the columns with that of the date, where the time of day has one of its own."""
    names = [name.lower() for name in header or ()]
    days = [at for at, name in enumerate(names) if "date" in name and "time" not in name]
    clocks = [
        at
        for at, name in enumerate(names)
        if at not in days and any(word in name for word in _TIMES) and _CLOCK.fullmatch(first[at])
    ]
    if days and clocks:
        return replace(columns, day=days[0], time=clocks[0])
    if days and columns.time == days[0]:  # a date alone, with the hours that ran beside it
        others = [at for at, name in enumerate(names) if "time" in name or "elapsed" in name]
        if others:
            unit = _unit_of((header or ())[others[0]], units.DURATION) or columns.time_unit
            return replace(columns, time=others[0], time_unit=unit)
    return columns


def _unit_of(name: str, dimension: units.Dimension) -> str | None:
    found = _UNIT.search(name)
    known = units.UNITS.get(found[1]) if found else None
    return found[1] if found and known and known[1] is dimension else None


def _cell(line: int, row: Sequence[str], at: int) -> str:
    if at >= len(row) or not row[at]:
        raise _FaultyError(FileFault("short_line", {"line": line}))
    return row[at]


def _time(line: int, row: Sequence[str], columns: _Columns) -> datetime | float:
    cell = _cell(line, row, columns.time)
    if columns.day is not None:
        cell = f"{_cell(line, row, columns.day)} {cell if cell[1:2] != ':' else f'0{cell}'}"
    if _DAY.match(cell):
        try:
            return datetime.fromisoformat(cell)
        except ValueError as error:
            raise _FaultyError(FileFault("bad_time", {"line": line, "found": cell})) from error
    if not _NUMBER.fullmatch(cell) and isinstance(
        units.read_quantity(cell, units.DURATION), units.Fault
    ):
        raise _FaultyError(FileFault("bad_time", {"line": line, "found": cell}))
    return _quantity(line, cell, columns.time_unit, units.DURATION)


def _mass(line: int, cell: str, columns: _Columns) -> float:
    return _quantity(line, cell, columns.mass_unit, units.MASS)


def _quantity(line: int, cell: str, unit: str | None, dimension: units.Dimension) -> float:
    """Return a quantity in the base unit, its unit from the cell or else from the column."""
    if _NUMBER.fullmatch(cell):
        if unit is None:
            details = {"line": line, "found": cell, "what": dimension.word}
            raise _FaultyError(FileFault("no_unit", details))
        value = convert(float(cell), units.UNITS[unit][0], dimension.base)
        if abs(value) <= (_LONGEST_H if dimension is units.DURATION else dimension.most):
            return value
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
