"""Any of the three sorts of file as a table, told apart by how its name ends."""

import io
import zipfile
from typing import Final

from handbook_builder.tables.csv_file import read_csv
from handbook_builder.tables.ods_file import read_ods
from handbook_builder.tables.table import LARGEST, NoTableError, Table, TableFault, no_table
from handbook_builder.tables.xlsx_file import read_xlsx

ENDINGS: Final = (".csv", ".tsv", ".txt", ".xlsx", ".ods")
_UNPACKED: Final = 200_000_000  # bytes: a small archive can hold more than there is memory for


def read_table(
    name: str, data: bytes, sheet: str = "", encoding: str = "", delimiter: str = ""
) -> Table | TableFault:
    """Return the table in the bytes of the file `name`, or why there is none."""
    try:
        return _read(name.lower(), data, sheet, encoding, delimiter)
    except NoTableError as error:
        return error.fault


def _read(name: str, data: bytes, sheet: str, encoding: str, delimiter: str) -> Table:
    if len(data) > LARGEST:
        raise NoTableError(no_table("too_big"))
    if not data.strip():
        raise NoTableError(no_table("empty"))
    if name.endswith((".xlsx", ".ods")):
        _refuse_swollen(data)
        table = (read_xlsx if name.endswith(".xlsx") else read_ods)(data, sheet)
    elif name.endswith(ENDINGS):
        table = read_csv(data, encoding, delimiter)
    else:
        raise NoTableError(no_table("ending", known=", ".join(ENDINGS)))
    if not table.rows:
        raise NoTableError(no_table("empty"))
    return table


def _refuse_swollen(data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            size = sum(part.file_size for part in archive.infolist())
    except (zipfile.BadZipFile, ValueError) as error:
        raise NoTableError(no_table("not_a_book", reason=str(error))) from error
    if size > _UNPACKED:
        raise NoTableError(no_table("too_big"))
