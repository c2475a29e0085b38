"""`ask`."""

from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.completing import item_refs
from handbook_builder.cli.lookup import items_named
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    day_for,
    studio_option,
)
from handbook_builder.files import put_file
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.items.letters import letter_text
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.terminal import echo


@click.command(short_help="Write the letter that asks a maker or supplier about an item.")
@click.argument("item", shell_complete=item_refs())
@click.option(
    "--out",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    default=None,
    metavar="FILE",
    help="Write the letter to a file. [default: print it]",
)
@studio_option
@as_of_option
def ask(item: str, out: Path | None, studio: Path, as_of: date | None) -> None:
    """Write the letter that asks a maker or a supplier about ITEM, in the studio's name.

    ITEM is an item such as vessels/amber-tumbler (its id alone will do). Nothing is sent and
    nothing is signed. The line for the item's record is told beside the letter.
    """
    account, words = account_or_exit(studio, as_of)
    desk = Desk(account, words)
    known = [Ref.to(one, ident) for one in ITEM_FOLDERS for ident in getattr(desk.studio, one)]
    found = items_named(known, item)
    if len(found) > 1:
        msg = f"{item!r} names several items: {', '.join(found)}. Give the folder, too."
        raise click.UsageError(msg)
    text = letter_text(desk, found[0])
    if out is None:
        echo(text.removesuffix("\n"))
    else:
        _put(out, text)
        echo(f"Written: {out}")
    on = day_for(studio, as_of)
    line = "asked: [{what: " + desk.phrase("letters.what") + f", on: {on}}}]"
    echo(f"Once it is sent, write into records/{found[0]}.md: {line}", err=True)


def _put(file: Path, text: str) -> None:
    try:
        put_file(file, text.encode())
    except OSError as fault:
        msg = f"{file} cannot be written: {fault.strerror}"
        raise click.UsageError(msg) from fault
