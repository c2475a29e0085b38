"""`book`."""

import sys
from datetime import date
from pathlib import Path
from typing import Final

import click

from handbook_builder.cli.options import as_of_option, studio_option
from handbook_builder.files import put_file
from handbook_builder.pages.edition import Edition
from handbook_builder.terminal import echo

_PAPERS: Final = ("a4", "letter")


@click.command(short_help="Write the whole handbook as a printed book, a PDF.")
@click.argument("file", type=click.Path(dir_okay=False, writable=True, path_type=Path),
                default=Path("handbook.pdf"))  # fmt: skip
@click.option(
    "--edition",
    type=click.Choice([edition.value for edition in Edition]),
    default=Edition.OWNER.value,
    help="floor: without prices and names of suppliers and recipients. [default: owner]",
)
@click.option("--paper", type=click.Choice(_PAPERS), default="a4", show_default=True,
              help="The size of its pages.")  # fmt: skip
@studio_option
@as_of_option
def book(*, file: Path, edition: str, paper: str, studio: Path, as_of: date | None) -> None:
    """Write the whole handbook as a printed book: one PDF with contents, heads and an index.

    It holds what the pages of that edition print, each section on a page of its own, and bears its
    day and the day after which it is void on every page. With a record at fault, none is written.
    [default FILE: handbook.pdf]
    """
    from handbook_builder.publish.book.leaf import PAPERS  # noqa: PLC0415 -- MkDocs loads slowly
    from handbook_builder.publish.book.made import book_of  # noqa: PLC0415 -- as above

    made = book_of(studio, as_of, edition, PAPERS[paper])
    if made is None:
        sys.exit(1)
    try:
        put_file(file, made.pdf)
    except OSError as fault:
        msg = f"{file} cannot be written: {fault.strerror}"
        raise click.UsageError(msg) from fault
    echo(f"Written: {file}, {made.pages} pages")
    if made.lacking:
        said = f"The book's fonts lack these signs, each now a question mark: {made.lacking}"
        echo(said, err=True)
