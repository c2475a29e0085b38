"""Tables of .xlsx workbooks, by openpyxl: stored values, never formulas run anew."""

import io
import re
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any, Final

from handbook_builder import units
from handbook_builder.tables.table import (
    BLANK,
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    NoTableError,
    Sort,
    Table,
    no_table,
    trimmed,
)

_IN_QUOTES: Final = re.compile(r'^[^;"]*"\s*([^"]+?)\s*"$')


def read_xlsx(data: bytes, sheet: str = "") -> Table:
    """Return one sheet of a workbook, the first unless it is named; raises NoTableError."""
    values, formulas = _book(data, stored=True), _book(data, stored=False)
    names = tuple(one.title for one in values.worksheets)
    if not names or (sheet and sheet not in names):
        raise NoTableError(no_table("no_sheet", found=sheet, known=", ".join(names)))
    at = names.index(sheet) if sheet else 0
    shown, written = values.worksheets[at], formulas.worksheets[at]
    if shown.max_row > MOST_ROWS or shown.max_column > MOST_COLUMNS:
        raise NoTableError(no_table("too_big"))
    rows = [
        [_cell(one, by.value) for one, by in zip(cells, kept, strict=True)]
        for cells, kept in zip(shown.iter_rows(), written.iter_rows(), strict=True)
    ]
    _spread(rows, shown)
    return Table(trimmed(rows), sheet=names[at], sheets=names)


def _book(data: bytes, *, stored: bool) -> Any:  # noqa: ANN401 -- openpyxl has no types
    from openpyxl import load_workbook  # noqa: PLC0415 -- slow to import, for this sort of file alone

    try:
        return load_workbook(io.BytesIO(data), data_only=stored)
    except Exception as error:  # a broken archive earns a dozen sorts of error there
        raise NoTableError(
            no_table("not_a_book", reason=str(error) or type(error).__name__)
        ) from error


def _spread(rows: list[list[Cell]], sheet: Any) -> None:  # noqa: ANN401 -- as above
    """Let a merged cell's value stand in each of its rows; across columns it says nothing."""
    for merged in sheet.merged_cells.ranges:
        first = rows[merged.min_row - 1][merged.min_col - 1]
        for row in range(merged.min_row - 1, merged.max_row):
            for column in range(merged.min_col - 1, merged.max_col):
                own = column == merged.min_col - 1
                rows[row][column] = first if own else Cell(fault="merged")


def _cell(cell: Any, written: object) -> Cell:  # noqa: ANN401 -- as above
    """Return a cell by its stored value; `written` is its formula, where it has one."""
    value, is_formula = cell.value, isinstance(written, str) and written.startswith("=")
    if is_formula and cell.data_type != "f" and value is None:
        return Cell(str(written), fault="no_stored_value")
    if cell.data_type == "e":
        return Cell(str(value), fault="error_value")
    if value is None:
        return BLANK
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        return Cell(_number(value, cell.number_format, is_formula=is_formula), Sort.NUMBER)
    return _dated(value)


def _dated(value: object) -> Cell:
    if isinstance(value, datetime):
        return moment(value)
    if isinstance(value, date):
        return Cell(value.isoformat(), Sort.DAY)
    if isinstance(value, time):
        return clock(timedelta(hours=value.hour, minutes=value.minute, seconds=value.second))
    return clock(value) if isinstance(value, timedelta) else Cell(str(value))


def moment(value: datetime) -> Cell:
    """Return the cell of a moment; midnight is a day, which is how a sheet keeps days."""
    if not (value.hour or value.minute or value.second):
        return Cell(value.date().isoformat(), Sort.DAY)
    return Cell(value.isoformat(" ", "minutes"), Sort.MOMENT)


def clock(value: timedelta) -> Cell:
    """Return the cell of hours and minutes, which may be more than a day's."""
    minutes, seconds = divmod(round(value.total_seconds()), 60)
    text = f"{minutes // 60}:{minutes % 60:02d}"
    return Cell(f"{text}:{seconds:02d}" if seconds else text, Sort.CLOCK)


def plain_number(value: float, *, is_reckoned: bool = False) -> str:
    """Return a number with all its digits and no exponent; what was reckoned, as a sheet shows it.

    A sheet keeps fifteen digits of what it reckons: 0.1 + 0.2 is 0.3 to whoever reads it.
    """
    shown = format(Decimal(f"{value:.15g}" if is_reckoned else repr(value)), "f")
    return shown.removesuffix(".0")


def _number(value: float, shown_as: str, *, is_formula: bool) -> str:
    """Return a number, with the unit that its format shows beside it."""
    text = plain_number(value, is_reckoned=is_formula)
    if "%" in shown_as and '"' not in shown_as:
        return f"{percent(text)} %"
    unit = _IN_QUOTES.match(shown_as)
    return f"{text} {unit[1]}" if unit and unit[1] in units.UNITS else text


def percent(text: str) -> str:
    """Return a share as its number of hundredths: 0.08 is 8."""
    shown = format(Decimal(text) * 100, "f")
    return shown.rstrip("0").rstrip(".") if "." in shown else shown
