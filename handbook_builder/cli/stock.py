"""`stock`."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from handbook_builder import units
from handbook_builder.cli.colours import coloured
from handbook_builder.cli.completing import item_refs
from handbook_builder.cli.lookup import items_named, product_named
from handbook_builder.cli.options import (
    Day,
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.money.asked import known_money
from handbook_builder.derived.plan.planned import batch_wanted
from handbook_builder.derived.stock import candles_in_store, stock_of, value_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.items.left import makes_shown
from handbook_builder.pages.products.pour_sheet import MOST
from handbook_builder.pages.trade.parts import amount_shown
from handbook_builder.pages.trade.stock import LotRow, rows_of
from handbook_builder.pages.trade.to_order import ToOrder, proofs_wanted, to_order
from handbook_builder.reading.refs import Ref
from handbook_builder.reports.stock import last_buy_report, orders_report, stock_report
from handbook_builder.terminal import echo


class Batch(click.ParamType[tuple[str, int]]):
    """A product and how many candles of it: cedar-fig=17."""

    name = "recipe=count"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, int]:
        """Return the name and the count, or fail as a wrong call."""
        if isinstance(value, tuple):
            return value
        name, _, count = str(value).rpartition("=")
        if not name or not re.fullmatch(r"[0-9]{1,4}", count) or not 1 <= int(count) <= MOST:
            self.fail(f"{value!r} is no batch; write one such as cedar-fig=17.", param, ctx)
        return name, int(count)


@click.command(short_help="Say what is left of each item and lot, and what it is worth.")
@click.argument("item", required=False, shell_complete=item_refs())
@click.option(
    "--for",
    "batches",
    type=Batch(),
    multiple=True,
    help="Say what to order for a batch too, as in --for cedar-fig=17.",
)
@click.option("--by", type=Day(), help="And by when, to have it here on this day.")
@click.option("--buy", metavar="AMOUNT", default=None, help="Say what so much more of ITEM makes.")
@studio_option
@as_of_option
@json_option
def stock(  # noqa: PLR0913, PLR0917 -- one argument an option
    item: str | None,
    batches: tuple[tuple[str, int], ...],
    by: date | None,
    buy: str | None,
    studio: Path,
    as_of: date | None,
    *,
    as_json: bool,
) -> None:
    """Say what is left of each item and lot, what it is worth, which candles are here, what to buy.

    ITEM is an item such as waxes/soy-blend (its id alone will do). Without it, everything is told,
    and what to order so that the proofs that wait can be poured. --for cedar-fig=17 tells that
    alone, with a batch of 17 besides.
    For a last order of what is discontinued, --buy 48 or --buy "2 kg" says how many candles of
    each product that makes with what is left. For the year's end, ask with --as-of 2026-12-31.
    It names costs: keep it to the owner.
    """
    if item is not None and (batches or by):
        msg = "--for and --by are about all that is planned, and not about one ITEM."
        raise click.UsageError(msg)
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    desk = Desk(account, words)
    known = stock_of(account)
    asked = None if item is None else items_named(known, item)
    if buy is not None:
        _last_buy(desk, asked, buy, as_json=as_json)
    elif batches or by:
        _orders(desk, batches, by, as_json=as_json)
    elif as_json:
        wanted = proofs_wanted(desk)
        print_json(stock_report(account, asked) | orders_report(account, wanted, None))
    else:
        for line in _told(desk, list(known) if asked is None else asked, whole=asked is None):
            echo(line)


def _orders(
    desk: Desk, batches: tuple[tuple[str, int], ...], by: date | None, *, as_json: bool
) -> None:
    """Tell what to order for the proofs that wait, and for batches."""
    poured = [
        batch_wanted(desk.account, product_named(desk.account, name), count)
        for name, count in batches
    ]
    wanted = (*proofs_wanted(desk), *poured)
    if as_json:
        print_json(orders_report(desk.account, wanted, by))
        return
    for line in _order_lines(desk, to_order(desk, wanted, by)):
        echo(line)


def _order_lines(desk: Desk, found: ToOrder) -> Iterator[str]:
    yield found.lead
    if not found.suppliers:
        yield found.enough
    for each in found.suppliers:
        yield each.title
        yield from (f"  {term}" for term in each.terms)
        for row in each.rows:
            last = row.last or desk.phrase("order.never")
            line = desk.phrase(
                "order.line",
                item=row.item.title,
                needed=row.needed,
                usable=row.usable,
                buy=row.buy,
                last=last,
            )
            priced = desk.phrase("order.priced", line=line, price=row.price)
            yield f"  - {priced if row.price else line}"
    yield found.note


def _last_buy(desk: Desk, asked: list[Ref] | None, buy: str, *, as_json: bool) -> None:
    """Tell what an item makes with so much more of it."""
    if asked is None or len(asked) != 1:
        msg = "--buy needs one ITEM, such as vessels/amber-tumbler."
        raise click.UsageError(msg)
    (item,) = asked
    more = _amount(item, buy)
    whole = stock_of(desk.account)[item].usable + more
    if as_json:
        print_json(last_buy_report(desk.account, item, more))
        return
    say = desk.words.phrases["stock"]
    echo(say["last_buy"].format(item=item, whole=amount_shown(desk, item, whole)))
    for made in makes_shown(desk, item, whole):
        line = say["makes"]
        echo(line.format(product=made.product.title, status=made.status, count=made.candles))
    echo(desk.phrase("store.makes_note"))


def _amount(item: Ref, written: str) -> float:
    """Return an amount of an item in grams or pieces, or end as a wrong call."""
    sort = units.MASS if item.is_weighed else units.COUNT
    plain = re.fullmatch(r"[0-9]{1,9}", written.strip())
    found = float(written) if plain and sort is units.COUNT else units.read_quantity(written, sort)
    if isinstance(found, units.Fault) or found <= 0:
        msg = f"{written!r} is no {sort.word} of {item}; write one such as '{sort.example}'."
        raise click.UsageError(msg)
    return found


def _told(desk: Desk, items: list[Ref], *, whole: bool) -> Iterator[str]:
    say, stock = desk.words.phrases["stock"], stock_of(desk.account)
    chosen = {item: stock[item] for item in items}
    worth = value_of(desk.account, chosen, known_money(desk.account).prices)
    for item in items:
        yield item
        for row in rows_of(desk, chosen[item], worth):
            yield from (f"  {line}" for line in _row(say, row))
    yield say["value"].format(value=desk.words.money(worth.total))
    if whole:
        yield from _candles(desk)
        yield from ("", desk.phrase("order.title"))
        yield from _order_lines(desk, to_order(desk, proofs_wanted(desk)))


def _row(say: dict[str, str], row: LotRow) -> Iterator[str]:
    lot = say["no_lot"] if row.lot is None else row.lot.title
    value = say["no_price"] if row.value is None else row.value
    yield say["row"].format(lot=lot, left=row.left, value=value)
    if row.counted_on is not None:
        change = row.counted or say["agrees"]
        yield "  " + say["counted"].format(on=row.counted_on, change=change)
    notes = ([coloured(row.word)] if row.word else []) + list(row.notes)
    yield from (f"  {note}" for note in notes)


def _candles(desk: Desk) -> Iterator[str]:
    say = desk.words.phrases["stock"]
    for ident, one in candles_in_store(desk.account).items():
        yield say["candles"].format(batch=ident, on_hand=one.on_hand, kept=one.kept)
