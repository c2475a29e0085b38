"""`compare`."""

import json
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.lookup import burn_or_recipe
from handbook_builder.cli.options import account_or_exit, as_of_option, json_option, studio_option
from handbook_builder.derived.account import Account
from handbook_builder.derived.compare import (
    Comparison,
    Side,
    burn_side,
    came_to,
    comparison,
    recipe_side,
)
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.tests.compare import ComparePage, Table, compare_content
from handbook_builder.verdicts.combination import Named

_MISSING = "-"


@click.command()
@click.argument("one")
@click.argument("other")
@studio_option
@as_of_option
@json_option
def compare(one: str, other: str, studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Lay two test candles or recipes side by side: what differs first, then each cycle.

    ONE and OTHER are ids of test candles or of recipes. Where both bear an id, write burns/ID or
    recipes/ID.
    """
    account, words = account_or_exit(studio, as_of)
    found = comparison(account, [_side(account, one), _side(account, other)])
    if as_json:
        click.echo(json.dumps(_plain(account, found), indent=2, sort_keys=True))
    else:
        click.echo("\n".join(_told(compare_content(Desk(account, words), found))))


def _side(account: Account, asked: str) -> Side:
    """Return what `asked` names, or end as a wrong call."""
    ident, is_recipe = burn_or_recipe(account, asked)
    return recipe_side(account, ident) if is_recipe else burn_side(account, ident)


def _told(page: ComparePage) -> Iterator[str]:
    heads = [f"{one.short}: {one.link.title}" for one in page.sides]
    yield from (*heads, "", page.verdict)
    columns = [one.short for one in page.sides]
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


def _plain(account: Account, found: Comparison) -> dict[str, object]:
    return {
        "sides": [_plain_side(account, one) for one in found.sides],
        "factors": [
            {
                "factor": one.factor,
                "item": one.item,
                "values": [_plain_value(value) for value in one.values],
                "differs": one.differs,
            }
            for one in found.factors
        ],
        "readings": {name: [list(row) for row in rows] for name, rows in found.readings.items()},
        "seen": [[list(words) for words in cycle] for cycle in found.seen],
    }


def _plain_side(account: Account, side: Side) -> dict[str, object]:
    found = came_to(account, side)
    return {
        "id": side.id,
        "kind": "recipe" if side.is_recipe else "burn",
        "candles": {one.candle.id: one.candle.verdict.value for one in side.candles},
        "cycles": list(found.cycles),
        "hours": found.hours_h,
        "consumed_g": found.consumed_g,
        "rate_g_per_h": found.rate_g_per_h,
    }


def _plain_value(value: object) -> object:
    if isinstance(value, Named):
        return {"id": value.id, "spec": value.spec}
    return [_plain_value(one) for one in value] if isinstance(value, tuple) else value
