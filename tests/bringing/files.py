"""Files of a spreadsheet, made of rows with general-purpose libraries."""

import io
from collections.abc import Iterable, Sequence
from datetime import date, time
from typing import Any

from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import P
from openpyxl import Workbook

Row = Sequence[Any]


def xlsx(
    rows: Iterable[Row], *, merged: Sequence[str] = (), formats: dict[str, str] | None = None
) -> bytes:
    """Return a workbook of one sheet; `formats` are the number formats of cells by their name."""
    book: Any = Workbook()
    for row in rows:
        book.active.append(list(row))
    for one in merged:
        book.active.merge_cells(one)
    for name, shown_as in (formats or {}).items():
        book.active[name].number_format = shown_as
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def ods(rows: Iterable[Row], spanned: dict[tuple[int, int], int] | None = None) -> bytes:
    """Return a spreadsheet of one sheet; `spanned` says over how many rows a cell reaches."""
    book = OpenDocumentSpreadsheet()
    sheet = Table(name="Sheet")
    covered: set[tuple[int, int]] = set()
    for at, row in enumerate(rows):
        line = TableRow()
        for column, value in enumerate(row):
            if (at, column) in covered:
                line.addElement(CoveredTableCell())
                continue
            reach = (spanned or {}).get((at, column), 1)
            covered |= {(at + below, column) for below in range(1, reach)}
            line.addElement(_cell(value, reach))
        # What a spreadsheet program writes after the last cell: nothing, a thousand times.
        line.addElement(TableCell(numbercolumnsrepeated="1000"))
        sheet.addElement(line)
    rest = TableRow(numberrowsrepeated="1048000")
    rest.addElement(TableCell(numbercolumnsrepeated="1024"))
    sheet.addElement(rest)
    book.spreadsheet.addElement(sheet)
    data = io.BytesIO()
    book.write(data)
    return data.getvalue()


def _cell(value: Any, reach: int) -> Any:  # noqa: ANN401 -- whatever a cell may hold
    given: dict[str, Any] = {"numberrowsspanned": str(reach)} if reach > 1 else {}
    if value is None:
        return TableCell(**given)
    if isinstance(value, date):
        return _said(TableCell(valuetype="date", datevalue=value.isoformat(), **given), str(value))
    if isinstance(value, time):
        stated = f"PT{value.hour:02d}H{value.minute:02d}M00S"
        return _said(TableCell(valuetype="time", timevalue=stated, **given), str(value))
    if isinstance(value, int | float):
        shown = str(value).replace(".", ",")  # as a European locale shows it
        return _said(TableCell(valuetype="float", value=str(value), **given), shown)
    return _said(TableCell(valuetype="string", **given), str(value))


def _said(cell: Any, text: str) -> Any:  # noqa: ANN401 -- odfpy has no types
    cell.addElement(P(text=text))
    return cell
