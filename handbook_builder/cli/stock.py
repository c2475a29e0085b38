"""`stock`."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

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
from handbook_builder.pages.trade.stock import LotRow, rows_of
from handbook_builder.reading.refs import Ref
from handbook_builder.reports.stock import stock_report


@click.command()
@click.argument("item", required=False)
@studio_option
@as_of_option
@json_option
def stock(item: str | None, studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Say what is left of each item and lot, what it is worth at cost, and which candles are here.

    ITEM is an item such as waxes/soy-blend (its id alone will do). Without it, everything is told.
    For the year's end, ask with --as-of 2026-12-31. It names costs: keep it to the owner.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    desk = Desk(account, words)
    known = stock_of(account)
    asked = None if item is None else items_named(known, item)
    if as_json:
        print_json(stock_report(account, asked))
        return
    for line in _told(desk, list(known) if asked is None else asked, whole=asked is None):
        click.echo(line)


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
    notes = ([row.word.word] if row.word else []) + list(row.notes)
    yield from (f"  {note}" for note in notes)


def _candles(desk: Desk) -> Iterator[str]:
    say = desk.words.phrases["stock"]
    for ident, one in candles_in_store(desk.account).items():
        yield say["candles"].format(batch=ident, on_hand=one.on_hand, kept=one.kept)
