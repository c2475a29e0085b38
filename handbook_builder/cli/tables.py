"""`tables`: everything of the handbook for a spreadsheet."""

from datetime import date
from pathlib import Path
from typing import Final

import click

from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    ordinary_words,
    studio_option,
)
from handbook_builder.cli.telling import Telling
from handbook_builder.files import put_file
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import floor_of
from handbook_builder.reports.tables import tables_of
from handbook_builder.tables.out import as_csv, as_xlsx

_BOOK: Final = "handbook.xlsx"


@click.command(short_help="Write every table of the handbook for a spreadsheet.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--as", "form", type=click.Choice(["csv", "xlsx"]), default="csv",
              help="A CSV file a table, or one workbook. [default: csv]")  # fmt: skip
@click.option("--edition", type=click.Choice([one.value for one in Edition]),
              default=Edition.FLOOR.value,
              help="owner: with costs, suppliers and recipients. [default: floor]")  # fmt: skip
@studio_option
@as_of_option
def tables(*, folder: Path, form: str, edition: str, studio: Path, as_of: date | None) -> None:
    """Write every table of the handbook into FOLDER, for a spreadsheet.

    The records themselves (burns with one row a cycle) and the figures that are made of them, with
    units in the headers. `handbook bring` reads the records' tables again.
    """
    account, words = account_or_exit(studio, as_of)
    told, clean = Telling(words), None
    if edition == Edition.FLOOR:
        account, clean = floor_of(account, words, ordinary_words(studio))
    sheets = tables_of(account, words.say, clean)
    folder.mkdir(parents=True, exist_ok=True)
    if form == "xlsx":
        put_file(folder / _BOOK, as_xlsx(sheets))
    for sheet in sheets if form == "csv" else ():
        put_file(folder / f"{sheet.name}.csv", as_csv(sheet))
    told.say("tables_written", count=len(sheets), folder=folder)
    if clean is not None:
        told.say("tables_floor")
