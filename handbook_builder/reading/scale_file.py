"""The file of a logging scale: a time and a mass in each line, with whatever else it writes."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

from handbook_builder import units
from handbook_builder.conversion import convert
from handbook_builder.reading.scale_columns import (
    Columns,
    by_number,
    columns_of,
    header_at,
    numbered,
    with_day,
    with_units,
)
from handbook_builder.reading.scale_rows import (
    BEGINS_A_NUMBER,
    LARGEST,
    FaultyError,
    FileFault,
    Row,
    delimiters,
    fault,
    has_number,
    named,
    rows_of,
    text_of,
)
from handbook_builder.reading.scale_times import Stamp, is_clock, read_stamps, stamp_of

__all__ = ["LARGEST", "FileFault", "HowRead", "Readings", "read_scale_file"]

_NUMBER: Final = re.compile(r"[+-]?[0-9]{1,15}(?:\.[0-9]{1,15})?")
_COMMA: Final = re.compile(r"^([+-]?[0-9]+),([0-9]+)")
# Three digits behind it: 1,234 may be a thousand, or a little more than one.
_EITHER: Final = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}(?![0-9]).*")
_LONGEST_H: Final = 1e7  # a thousand years, which no clock that counts its hours has run


@dataclass(frozen=True, slots=True)
class HowRead:
    """What the call says of a file: units where the file has none, names of columns, its signs.

    `columns` are names or numbers by what they hold (`scale_columns.ROLES`), `dates` a style of
    dates such as DD/MM/YYYY, `decimal` is point or comma.
    """

    time_unit: str | None = None
    mass_unit: str | None = None
    columns: Mapping[str, str] = field(default_factory=dict)
    dates: str | None = None
    decimal: str | None = None


@dataclass(frozen=True, slots=True)
class Readings:
    """Hours since the first reading, and grams; `begun` is its moment, where the file has it.

    `told` are codes with details of what was decided while reading, and of what was left out.
    """

    hours: tuple[float, ...]
    mass_g: tuple[float, ...]
    begun: datetime | None
    told: tuple[tuple[str, Mapping[str, object]], ...] = ()


@dataclass(frozen=True, slots=True)
class _Parted:
    """A file in cells: the line with the names of its columns, and the lines below it."""

    delimiter: str
    above: tuple[Row, ...]
    header: list[str] | None
    rows: list[Row]


def read_scale_file(
    data: bytes, time_unit: str | None = None, mass_unit: str | None = None,
    how: HowRead | None = None,
) -> Readings | FileFault:  # fmt: skip
    """Return the readings of a CSV file, or its first fault.

    Times are moments, or numbers in the unit of the header, of the cell, or `time_unit`; masses
    likewise. Semicolons and tabs may part the columns; only then is a comma in a number taken for
    its decimal point, unless `how` says so. Lines above the names of the columns and words below
    the last reading are left out, and told.
    """
    given = how or HowRead(time_unit, mass_unit)
    try:
        return _read(data, given)
    except FaultyError as error:
        return error.fault


def _read(data: bytes, how: HowRead) -> Readings:
    text, is_windows = text_of(data)
    told: list[tuple[str, Mapping[str, object]]] = [("windows", {})] if is_windows else []
    parted = _parted(text, how)
    if parted.above:
        lines = {"first": parted.above[0][0], "last": parted.above[-1][0]}
        told.append(("above", lines))
    rows, below = _without_words_below(parted.rows)
    told += [("below", {"line": line, "text": " ".join(cells).strip()}) for line, cells in below]
    if not rows:
        raise FaultyError(fault("empty"))
    columns = _columns(parted.header, rows, how)
    rows = _even(parted.header, rows, is_free=numbered(how.columns))
    rows = _pointed(rows, columns, parted, how)
    times, style = _times(parted.header, rows, columns, how)
    masses = [_mass(parted.header, row, columns) for row in rows]
    begun = times[0] if isinstance(times[0], datetime) else None
    hours = [_since(times[0], one, line) for one, (line, _) in zip(times, rows, strict=True)]
    if style and how.dates is None and style != "YYYY-MM-DD":
        told.append(("dates", {"style": style, "begun": f"{begun:%Y-%m-%d %H:%M}"}))
    return Readings(tuple(hours), tuple(masses), begun, tuple(told))


def _parted(text: str, how: HowRead) -> _Parted:
    """Return the file in cells, by the sign with which a line names its columns.

    Without such a line the first line with a number begins the readings. Raises FaultyError.
    """
    signs = delimiters(text)
    found = (_begun(rows_of(text, sign), sign, how) for sign in signs)
    parted = next((one for one in found if one is not None), None)
    if parted is not None:
        return parted
    rows = rows_of(text, signs[0])
    first = next((at for at, (_, cells) in enumerate(rows) if has_number(cells)), len(rows))
    if first == 0 and not how.columns:
        return _Parted(signs[0], (), None, rows)
    header = rows[max(first - 1, 0)][1] if rows else []
    return _Parted(signs[0], (), header, rows[first:])


def _begun(rows: list[Row], sign: str, how: HowRead) -> _Parted | None:
    """Return the file in cells where a line names its columns, or fits their numbers."""
    if numbered(how.columns):
        at = next((at for at, row in enumerate(rows) if _is_reading(row, how)), None)
        if at is None:
            return None
        return _Parted(sign, tuple(rows[:at]), rows[at - 1][1] if at else None, rows[at:])
    at = header_at(rows, how.columns)
    if at is None:
        return None
    return _Parted(sign, _no_readings(rows[:at], rows[at][1]), rows[at][1], rows[at + 1 :])


def _is_reading(row: Row, how: HowRead) -> bool:
    places = [int(name) - 1 for role, name in how.columns.items() if role != "unit"]
    cells = row[1]
    return all(0 <= at < len(cells) and BEGINS_A_NUMBER.match(cells[at]) for at in places)


def _no_readings(above: Sequence[Row], header: Sequence[str]) -> tuple[Row, ...]:
    """Return the lines above the names of the columns; one that looks like a reading is a fault."""
    for line, cells in above:
        numbers = [cell for cell in cells if BEGINS_A_NUMBER.match(cell)]
        if len(cells) == len(header) and len(numbers) > 1:
            raise FaultyError(fault("reading_above", line=line))
    return tuple(above)


def _without_words_below(rows: list[Row]) -> tuple[list[Row], list[Row]]:
    """Return the rows, and those behind the last reading that hold no number at all."""
    end = len(rows)
    while end and not has_number(rows[end - 1][1]):
        end -= 1
    return rows[:end], rows[end:]


def _columns(header: list[str] | None, rows: Sequence[Row], how: HowRead) -> Columns:
    given = Columns(0, 1, how.time_unit, how.mass_unit)
    if numbered(how.columns):
        return with_units(header or [], by_number(rows[0][1], how.columns, given))
    if header is None:
        return given
    columns = columns_of(header, how.columns, given)
    if how.columns:
        return columns
    first = rows[0][1]
    clocks = [at < len(first) and is_clock(first[at]) for at in range(len(header))]
    return with_day(header, columns, clocks)


def _even(header: list[str] | None, rows: list[Row], *, is_free: bool) -> list[Row]:
    """Return the rows, each as long as the header; another is a fault: 416,8 is one mass."""
    due = len(rows[0][1] if header is None or is_free else header)
    if header is None and due != 2 and not is_free:  # noqa: PLR2004 -- a time and a mass
        raise FaultyError(fault("no_header", line=rows[0][0], found=due))
    nameless = 0 if header is None or is_free else len(header) - len(_trimmed(header))
    even: list[Row] = []
    for line, row in rows:
        cells = _trimmed(row, due)
        if not due - nameless <= len(cells) <= due:
            raise FaultyError(fault("uneven", line=line, found=len(cells), due=due))
        for at, cell in enumerate(cells):
            if header is not None and not is_free and cell and not header[at]:
                raise FaultyError(fault("nameless", line=line, found=cell, column=named(None, at)))
        even.append((line, cells))
    return even


def _trimmed(cells: Sequence[str], least: int = 0) -> list[str]:
    """Return the cells without the blank ones at their end, but for the first `least`."""
    end = len(cells)
    while end > least and not cells[end - 1]:
        end -= 1
    return list(cells[:end])


def _pointed(rows: list[Row], columns: Columns, parted: _Parted, how: HowRead) -> list[Row]:
    """Return the rows with decimal points for their commas, where commas part no columns."""
    commas = how.decimal == "comma" or (parted.delimiter != "," and how.decimal is None)
    if not commas:
        return rows
    if how.decimal is None:
        _refuse_doubtful(rows, columns.mass, parted.header)
    return [(line, [_COMMA.sub(r"\1.\2", cell) for cell in cells]) for line, cells in rows]


def _refuse_doubtful(rows: Sequence[Row], at: int, header: list[str] | None) -> None:
    """Refuse masses that may be thousands or thousandths, whichever sign is the decimal one."""
    found = [(line, cells[at]) for line, cells in rows if at < len(cells) and "," in cells[at]]
    if found and all(_EITHER.fullmatch(cell) for _, cell in found):
        line, cell = found[0]
        raise FaultyError(fault("which_decimal", line=line, found=cell, column=named(header, at)))


def _times(
    header: list[str] | None, rows: Sequence[Row], columns: Columns, how: HowRead
) -> tuple[list[datetime | float], str]:
    """Return the time of each reading, and the style of its dates where they are not ISO."""
    found = [_stamp(header, row, columns) for row in rows]
    read, style = read_stamps([one for one in found if isinstance(one, Stamp)], how.dates)
    later = iter(read)
    times = [next(later) if isinstance(one, Stamp) else one for one in found]
    return times, style


def _stamp(header: list[str] | None, row: Row, columns: Columns) -> Stamp | datetime | float:
    line = row[0]
    column = named(header, columns.time)
    cell = _cell(header, row, columns.time)
    if columns.day is not None:
        cell = f"{_cell(header, row, columns.day)} {cell}"
    stamp = stamp_of(line, column, cell)
    if stamp is not None:
        return stamp
    if not _NUMBER.fullmatch(cell) and isinstance(
        units.read_quantity(cell, units.DURATION), units.Fault
    ):
        raise FaultyError(fault("bad_time", line=line, column=column, found=cell))
    return _quantity(line, column, cell, columns.time_unit, units.DURATION)


def _cell(header: list[str] | None, row: Row, at: int) -> str:
    line, cells = row
    if at >= len(cells) or not cells[at]:
        raise FaultyError(fault("short_line", line=line, column=named(header, at)))
    return cells[at]


def _mass(header: list[str] | None, row: Row, columns: Columns) -> float:
    line, column = row[0], named(header, columns.mass)
    cell, unit = _cell(header, row, columns.mass), columns.mass_unit
    if columns.unit is not None and _NUMBER.fullmatch(cell):
        said = _cell(header, row, columns.unit)
        known = units.UNITS.get(said)
        if known is None or known[1] is not units.MASS or unit not in {None, said}:
            column = named(header, columns.unit)
            raise FaultyError(fault("bad_cell", line=line, column=column, found=said,
                              reason=units.MASS.word))  # fmt: skip
        unit = said
    return _quantity(line, column, cell, unit, units.MASS)


def _quantity(line: int, column: str, cell: str, unit: str | None,
              dimension: units.Dimension) -> float:  # fmt: skip
    """Return a quantity in the base unit, its unit from the cell or else from the column."""
    where = {"line": line, "column": column, "found": cell}
    if _NUMBER.fullmatch(cell):
        if unit is None:
            raise FaultyError(fault("no_unit", **where, what=dimension.word))
        value = convert(float(cell), units.UNITS[unit][0], dimension.base)
        if abs(value) <= (_LONGEST_H if dimension is units.DURATION else dimension.most):
            return value
    found = units.read_quantity(cell, dimension)
    if isinstance(found, units.Fault):
        raise FaultyError(fault("bad_cell", **where, reason=dimension.word))
    return found


def _since(first: datetime | float, one: datetime | float, line: int) -> float:
    """Return the hours from the first time to this one."""
    if isinstance(first, datetime) and isinstance(one, datetime):
        if (first.tzinfo is None) == (one.tzinfo is None):
            return (one - first) / timedelta(hours=1)
    elif not isinstance(first, datetime) and not isinstance(one, datetime):
        return one - first
    raise FaultyError(fault("mixed_times", line=line))
