"""`stock`."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from handbook_builder import units
from handbook_builder.cli.colours import coloured
from handbook_builder.cli.completing import item_refs
from handbook_builder.cli.lookup import items_named
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.money.asked import known_money
from handbook_builder.derived.stock import candles_in_store, stock_of, value_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.items.left import makes_shown
from handbook_builder.pages.trade.stock import LotRow, amount_shown, rows_of
from handbook_builder.reading.refs import Ref
from handbook_builder.reports.stock import last_buy_report, stock_report
from handbook_builder.terminal import echo


@click.command(short_help="Say what is left of each item and lot, and what it is worth.")
@click.argument("item", required=False, shell_complete=item_refs())
@click.option("--buy", metavar="AMOUNT", default=None, help="Say what so much more of ITEM makes.")
@studio_option
@as_of_option
@json_option
def stock(
    item: str | None, buy: str | None, studio: Path, as_of: date | None, *, as_json: bool
) -> None:
    """Say what is left of each item and lot, what it is worth at cost, and which candles are here.

    ITEM is an item such as waxes/soy-blend (its id alone will do). Without it, everything is told.
    For a last order of what is discontinued, --buy 48 or --buy "2 kg" says how many candles of
    each product that makes with what is left. For the year's end, ask with --as-of 2026-12-31.
    It names costs: keep it to the owner.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    desk = Desk(account, words)
    known = stock_of(account)
    asked = None if item is None else items_named(known, item)
    if buy is not None:
        _last_buy(desk, asked, buy, as_json=as_json)
    elif as_json:
        print_json(stock_report(account, asked))
    else:
        for line in _told(desk, list(known) if asked is None else asked, whole=asked is None):
            echo(line)


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
