"""`compare`."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.completing import ids
from handbook_builder.cli.lookup import burn_or_recipe
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.account import Account
from handbook_builder.derived.compare import (
    Side,
    burn_side,
    comparison,
    recipe_side,
)
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.tests.compare import ComparePage, Table, compare_content
from handbook_builder.reports.compare import compare_report
from handbook_builder.terminal import echo

_MISSING = "-"


@click.command(short_help="Lay two test candles or recipes side by side.")
@click.argument("one", shell_complete=ids("burns", "recipes"))
@click.argument("other", shell_complete=ids("burns", "recipes"))
@studio_option
@as_of_option
@json_option
def compare(one: str, other: str, studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Lay two test candles or recipes side by side: what differs first, then each cycle.

    ONE and OTHER are ids of test candles or of recipes. Where both bear an id, write burns/ID or
    recipes/ID.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    found = comparison(account, [_side(account, one), _side(account, other)])
    if as_json:
        print_json(compare_report(account, found))
    else:
        echo("\n".join(_told(compare_content(Desk(account, words), found))))


def _side(account: Account, asked: str) -> Side:
    """Return what `asked` names, or end as a wrong call."""
    ident, is_recipe = burn_or_recipe(account, asked)
    return recipe_side(account, ident) if is_recipe else burn_side(account, ident)


def _told(page: ComparePage) -> Iterator[str]:
    heads = [f"{side.short}: {side.link.title}" for side in page.sides]
    yield from (*heads, "", page.verdict)
    columns = [side.short for side in page.sides]
    for table in (page.differs, page.came_to, *page.readings, page.alike):
        if table.rows:
            yield from ("", table.title + (f", {table.unit}" if table.unit else ""))
            yield from _aligned(table, columns)
    if not page.readings:
        yield from ("", page.no_cycles)
    if page.means:
        yield from ("", page.means)


def _aligned(table: Table, columns: Sequence[str]) -> Iterator[str]:
    """Yield the rows of a table, each column as wide as its widest cell."""
    rows = [
        [table.head, *columns],
        *([_MISSING if c is None else c for c in r] for r in table.rows),
    ]
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True)]
        yield f"  {'  '.join(cells)}".rstrip()
