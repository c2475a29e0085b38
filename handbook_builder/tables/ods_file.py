"""Tables of .ods spreadsheets, by odfpy: stored values, never formulas run anew."""

import io
import re
from datetime import datetime, timedelta
from typing import Any, Final

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
from handbook_builder.tables.xlsx_file import clock, moment, percent, plain_number

_TIME: Final = re.compile(r"PT(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)(?:\.\d+)?S)?")
_ROW, _CELL, _COVERED = "table:table-row", "table:table-cell", "table:covered-table-cell"
_ERROR: Final = re.compile(r"#[A-Z/0-9]+[!?]|Err:\d+")


def read_ods(data: bytes, sheet: str = "") -> Table:
    """Return one sheet of a spreadsheet, the first unless it is named; raises NoTableError."""
    found = {str(one.getAttribute("name")): one for one in _sheets(data)}
    names = tuple(found)
    if not names or (sheet and sheet not in names):
        raise NoTableError(no_table("no_sheet", found=sheet, known=", ".join(names)))
    name = sheet or names[0]
    return Table(trimmed(_rows(found[name])), sheet=name, sheets=names)


def _sheets(data: bytes) -> list[Any]:
    from odf.opendocument import load  # noqa: PLC0415 -- slow to import, for this sort of file alone
    from odf.table import Table as Sheet  # noqa: PLC0415 -- as above

    try:
        return list(load(io.BytesIO(data)).getElementsByType(Sheet))
    except Exception as error:  # a broken archive earns a dozen sorts of error there
        raise NoTableError(
            no_table("not_a_book", reason=str(error) or type(error).__name__)
        ) from error


def _rows(sheet: Any) -> list[list[Cell]]:  # noqa: ANN401 -- odfpy has no types
    rows: list[list[Cell]] = []
    below: dict[int, tuple[Cell, int]] = {}  # by column: a merged value, and its rows still to come
    for row in _parts(sheet, _ROW):
        times = _times(row, "number-rows-repeated")
        cells = _cells(row, below)
        if times > 1 and all(one.is_blank for one in cells):
            # The rest of the sheet is one blank row, a million times.
            times = min(times, MOST_ROWS + 1 - len(rows)) if _more(row) else 0
        rows.extend(list(cells) for _ in range(times))
        if len(rows) > MOST_ROWS:
            raise NoTableError(no_table("too_big"))
    return rows


def _more(row: Any) -> bool:  # noqa: ANN401 -- as above
    """Return whether anything stands in a row after this one."""
    after = row.nextSibling
    while after is not None:
        if after.qname[1] == "table-row" and any(
            _value(cell).text for cell in _parts(after, _CELL)
        ):
            return True
        after = after.nextSibling
    return False


def _cells(row: Any, below: dict[int, tuple[Cell, int]]) -> list[Cell]:  # noqa: ANN401 -- as above
    cells: list[Cell] = []
    for one in _parts(row, _CELL, _COVERED):
        times = _times(one, "number-columns-repeated")
        if one.tagName == _COVERED:
            cells += [_covered(below, len(cells) + at) for at in range(min(times, MOST_COLUMNS))]
            continue
        value = _value(one)
        if value.is_blank and times > 1:
            times = min(times, MOST_COLUMNS - len(cells))
        if (spanned := _times(one, "number-rows-spanned")) > 1:
            below[len(cells)] = (value, spanned - 1)
        cells += [value] * max(times, 0)
    return cells


def _covered(below: dict[int, tuple[Cell, int]], column: int) -> Cell:
    """Return what stands in a cell that another covers: its value from above, none from beside."""
    value, rest = below.get(column, (Cell(fault="merged"), 0))
    if rest:
        below[column] = (value, rest - 1)
        return value
    return Cell(fault="merged")


def _parts(element: Any, *names: str) -> list[Any]:  # noqa: ANN401 -- as above
    """Return the rows or cells below an element, those in groups and heads too."""
    found: list[Any] = []
    for child in element.childNodes:
        tag = getattr(child, "tagName", "")
        if tag in names:
            found.append(child)
        elif tag in {"table:table-header-rows", "table:table-row-group", "table:table-rows"}:
            found += _parts(child, *names)
    return found


def _times(element: Any, name: str) -> int:  # noqa: ANN401 -- as above
    return int(_said(element, name) or 1)


def _said(element: Any, name: str) -> str:  # noqa: ANN401 -- as above
    return str(element.getAttribute(name.replace("-", "")) or "") if element is not None else ""


def _value(cell: Any) -> Cell:  # noqa: ANN401, PLR0911 -- as above; one a sort of value
    """Return a cell by its stored value; a comment on it is none of its text."""
    shown, sort, is_formula = _text(cell), _said(cell, "value-type"), bool(_said(cell, "formula"))
    if _ERROR.fullmatch(shown):
        return Cell(shown, fault="error_value")
    if not sort:
        return Cell(_said(cell, "formula"), fault="no_stored_value") if is_formula else BLANK
    if sort in {"float", "currency", "percentage"}:
        text = plain_number(float(_said(cell, "value")), is_reckoned=is_formula)
        return Cell(f"{percent(text)} %" if sort == "percentage" else text, Sort.NUMBER)
    if sort == "date":
        return moment(datetime.fromisoformat(_said(cell, "date-value")))
    if sort == "time" and (found := _TIME.fullmatch(_said(cell, "time-value"))):
        hours, minutes, seconds = (int(one or 0) for one in found.groups())
        return clock(timedelta(hours=hours, minutes=minutes, seconds=seconds))
    if sort == "boolean":
        return Cell("yes" if _said(cell, "boolean-value") == "true" else "no")
    return Cell(_said(cell, "string-value") or shown)


def _text(cell: Any) -> str:  # noqa: ANN401 -- as above
    from odf import teletype  # noqa: PLC0415 -- as above

    lines = (one for one in cell.childNodes if getattr(one, "tagName", "") == "text:p")
    return "\n".join(teletype.extractText(one) for one in lines)
