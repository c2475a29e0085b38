"""`figures`."""

from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.colours import coloured
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.account import Account
from handbook_builder.reports.figures import report
from handbook_builder.terminal import echo
from handbook_builder.words import Words


@click.command(short_help="Print every derived figure.")
@studio_option
@as_of_option
@json_option
def figures(studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Print every derived figure: a line a product, or all of them as JSON."""
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    if as_json:
        print_json(report(account, words.say))
    else:
        echo("\n".join(_lines(account, words)))


def _lines(account: Account, words: Words) -> list[str]:
    width = max((len(one) for one in account.products), default=0)
    lines = []
    for ident, product in account.judged.products.items():
        figures = account.products[ident]
        status = coloured(words.status(product.status), width=12)
        fill = words.quantity(figures.fill.net_g, "g")
        lines.append(f"{ident:<{width}}  {figures.code}  {status}  {fill}")
    return lines
