"""`price`."""

import re
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Final

import click

from handbook_builder.cli.colours import coloured
from handbook_builder.cli.completing import ids
from handbook_builder.cli.lookup import product_named
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.money.asked import Asked, Offered, known_money, offered, swaps_at
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.money.cost import Cost, SwapRow, cost_of, swap_rows
from handbook_builder.pages.money.sums import margin_shown, multiple_shown, offer_shown
from handbook_builder.reports.price import price_report
from handbook_builder.terminal import echo

_PERCENT: Final = re.compile(r"(\d+(?:\.\d+)?)\s*%")
_MOST_MULTIPLE: Final = 100


class Margin(click.ParamType[Decimal]):
    """A margin, written as a percentage."""

    name = "percentage"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> Decimal:
        """Return the margin as a share, or fail as a wrong call."""
        if isinstance(value, Decimal):
            return value
        found = _PERCENT.fullmatch(str(value).strip())
        share = None if found is None else Decimal(found[1]) / 100
        if share is None or not 0 <= share < 1:
            self.fail(f"{value!r} is no margin; write a percentage below 100, such as 60%.",
                      param, ctx)  # fmt: skip
        return share


class Multiple(click.ParamType[Decimal]):
    """How many times the cost."""

    name = "number"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> Decimal:
        """Return the multiple, or fail as a wrong call."""
        written = str(value).strip()
        number = Decimal(written) if re.fullmatch(r"\d+(\.\d+)?", written) else Decimal(0)
        if not 0 < number <= _MOST_MULTIPLE:
            self.fail(f"{value!r} is no multiple; write a number above 0, such as 2.5.", param, ctx)
        return number


@click.command(short_help="Say what a candle costs line by line, and what to ask for it.")
@click.argument("product", required=False, shell_complete=ids("recipes"))
@studio_option
@as_of_option
@click.option("--wholesale-multiple", type=Multiple(), help="Wholesale at so many times the cost.")
@click.option("--retail-multiple", type=Multiple(), help="Retail at so many times the cost.")
@click.option("--margin", type=Margin(), help="The price of which this share is left, as in 60%.")
@json_option
def price(  # noqa: PLR0913, PLR0917 -- one argument an option
    product: str | None,
    studio: Path,
    as_of: date | None,
    wholesale_multiple: Decimal | None,
    retail_multiple: Decimal | None,
    margin: Decimal | None,
    *,
    as_json: bool,
) -> None:
    """Say what a candle costs line by line, and what to ask for it.

    PRODUCT is a recipe's id, its title or its code. Without it, every product is told in a line.
    Without a multiple or a margin, the studio's own multiples are taken.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    asked = Asked(wholesale_multiple, retail_multiple, margin)
    known = sorted(account.products) if product is None else [product_named(account, product)]
    if as_json:
        print_json(price_report(account, known, asked))
    elif product is None:
        _table([_line(Desk(account, words), ident, asked) for ident in known])
    else:
        _tell(Desk(account, words), known[0], asked)


def _line(desk: Desk, ident: str, asked: Asked) -> list[str]:
    cost = known_money(desk.account).products[ident].cost.total
    if cost is None:
        return [ident, desk.words.phrases["price"]["no_total"]]
    prices = [offer.offer.price for offer in offered(desk.account, ident, asked)]
    return [ident, *(desk.words.money(part) for part in (cost, *prices))]


def _tell(desk: Desk, ident: str, asked: Asked) -> None:
    said, cost = desk.words.phrases["price"], cost_of(desk, ident)
    offers = offered(desk.account, ident, asked)
    status = coloured(desk.words.status(desk.judged.products[ident].status))
    echo(f"{desk.studio.recipes[ident].title} ({ident}): {status}")
    if cost is None:
        return
    together = [[said["total"], cost.total], [said["hour"], cost.hour]]
    _table([*map(list, cost.lines), *(row for row in together if row[1])])
    if cost.unpriced:
        echo(said["unpriced"].format(items=", ".join(item.path for item in cost.unpriced)))
    for offer in offers:
        echo(_said(desk, offer))
    for channel in cost.channels:
        told = {name: value or "-" for name, value in asdict(channel).items()}
        echo(said["channel"].format(**told))
    for sentence in cost.channels_out:
        echo(f"  {sentence}")
    echo(_proof(desk, cost))
    if cost.total:
        echo(said["swaps"])
        swaps = swaps_at(desk.account, ident, offers)
        _table([_swap_row(row) for row in swap_rows(desk, swaps)])


def _said(desk: Desk, one: Offered) -> str:
    if one.name == "target":
        basis = desk.phrase("by_margin", margin=margin_shown(desk, one.basis))
    else:
        basis = multiple_shown(desk, one.basis)
    shown = offer_shown(desk, one.offer, basis)
    name, form = desk.phrase(f"offers.{one.name}"), desk.words.phrases["price"]["offer"]
    details = {"price": "", "left": "", "margin": ""} if shown is None else asdict(shown)
    return str(form.format(name=name, **details))


def _proof(desk: Desk, cost: Cost) -> str:
    said, one = desk.words.phrases["price"], cost.proving
    hours = said["proof_hours" if one.hours else "proof_no_hours"].format(hours=one.hours)
    costs = said["proof_cost" if one.cost else "proof_no_cost"].format(cost=one.cost)
    return str(said["proof"].format(candles=one.candles, hours=hours, cost=costs))


def _swap_row(row: SwapRow) -> list[str]:
    return [row.vessel.title, row.standing, row.cost or "", row.change or "", row.margin or "",
            row.keeping or ""]  # fmt: skip


def _table(rows: Sequence[Sequence[str]]) -> None:
    """Print rows in columns: the first two from the left, sums from the right."""
    widths: dict[int, int] = {}
    for row in rows:
        for at, cell in enumerate(row):
            widths[at] = max(widths.get(at, 0), len(cell))
    for row in rows:
        cells = [cell.ljust(widths[at]) if at == 0 else cell.rjust(widths[at])
                 for at, cell in enumerate(row)]  # fmt: skip
        echo("  " + "  ".join(cells).rstrip())
