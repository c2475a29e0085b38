"""Tables written for a spreadsheet: numbers as numbers, days as days, texts never as formulas."""

import csv
import io
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

from handbook_builder.tables.csv_file import marked

Value = str | int | float | Decimal | date | None
_LONGEST_CELL: Final = 32_767  # letters, by the format of workbooks
_LONGEST_NAME: Final = 31


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table to be written: its name, its headers with their units, and its rows."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def as_csv(sheet: Sheet) -> bytes:
    """Return a sheet as CSV: UTF-8 with its mark, commas between cells, points in numbers."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([marked(one) for one in sheet.headers])
    writer.writerows([_written(one) for one in row] for row in sheet.rows)
    return text.getvalue().encode("utf-8-sig")


def _written(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return marked(value)
    if isinstance(value, datetime):
        return value.isoformat(" ", "minutes")
    if isinstance(value, float):
        return format(Decimal(repr(value)), "f").removesuffix(".0")
    return value.isoformat() if isinstance(value, date) else str(value)


def as_xlsx(sheets: tuple[Sheet, ...]) -> bytes:
    """Return all sheets as one workbook."""
    from openpyxl import Workbook  # noqa: PLC0415 -- slow to import, for workbooks alone

    book: Any = Workbook()
    book.remove(book.active)
    for sheet in sheets:
        page = book.create_sheet(sheet.name[:_LONGEST_NAME])
        page.freeze_panes = "B2"
        for at, row in enumerate((sheet.headers, *sheet.rows), 1):
            for column, value in enumerate(row, 1):
                _put(page.cell(at, column), value)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def _put(cell: Any, value: Value) -> None:  # noqa: ANN401 -- openpyxl has no types
    """Set a cell; a text is one for good, whatever it begins with."""
    if isinstance(value, str):
        from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE  # noqa: PLC0415 -- as above

        cell.value = ILLEGAL_CHARACTERS_RE.sub("\ufffd", value)[:_LONGEST_CELL]
        cell.data_type = "s"
        cell.quotePrefix = True
    elif value is not None:
        cell.value = float(value) if isinstance(value, Decimal) else value
        if isinstance(value, date):
            cell.number_format = "yyyy-mm-dd hh:mm" if isinstance(value, datetime) else "yyyy-mm-dd"
