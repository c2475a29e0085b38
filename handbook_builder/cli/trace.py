"""`trace`."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.completing import traceable
from handbook_builder.cli.lookup import lots_and_batches
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import given_by
from handbook_builder.derived.buyers import Handed, handed_to, has_now
from handbook_builder.derived.lots import Lot, deliveries_of
from handbook_builder.reports.trade import trace_report
from handbook_builder.terminal import echo
from handbook_builder.words import Words


@click.command(short_help="Say where a lot, a batch or an item went, and who has it.")
@click.argument("what", shell_complete=traceable())
@studio_option
@as_of_option
@json_option
def trace(what: str, studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Say where a lot went and who has the candles, or what a batch was made of.

    WHAT is a lot, the id of a batch, an item such as waxes/soy-blend (its id alone will do), or the
    name of whoever was given candles, as the batches have it.
    It names who has the candles: keep the output to the studio.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    handed = handed_to(account, what)
    lots, batches = lots_and_batches(account, what, or_nothing=bool(handed))
    if as_json:
        print_json(trace_report(account, lots, batches, handed, words.say))
        return
    if handed:
        echo("\n".join(_handed(account, words, handed)))
    for lot in lots:
        echo("\n".join(_lot(account, words, lot)))
    if not lots:
        for ident in batches:
            echo("\n".join(_batch(account, words, ident)))


def _lot(account: Account, words: Words, lot: Lot) -> Iterator[str]:
    """Yield a lot: its open incidents, back to its bills, forwards to who has the candles."""
    say = words.phrases["trace"]
    yield say["lot"].format(lot=lot.lot, item=lot.item)
    for incident in lot.incidents:
        yield "  " + say["incident"].format(
            number=incident.number, on=words.day(incident.on), what=incident.what
        )
    for delivery in lot.deliveries:
        yield "  " + say["bought"].format(
            on=words.day(delivery.on), quantity=delivery.quantity, supplier=delivery.supplier,
            purchase=delivery.purchase,
        )  # fmt: skip
    if not lot.batches:
        yield "  " + say["unused"]
        return
    counts = [account.batches[ident] for ident in lot.batches]
    out, left = sum(count.given for count in counts), sum(count.left for count in counts)
    yield "  " + say["used"].format(count=len(counts), out=out, left=left)
    for ident in lot.batches:
        yield from (f"  {line}" for line in _given(account, words, ident, alone=False))


def _handed(account: Account, words: Words, handed: Sequence[Handed]) -> Iterator[str]:
    """Yield what a recipient has, and how each of those batches stands."""
    say = words.phrases["trace"]
    total = has_now(handed)
    yield say["handed"].format(to=handed[0].given.to, count=total)
    batches = dict.fromkeys(passed_on.batch for passed_on in handed)
    is_open = {one: bool(account.batches[one].verdict.incidents) for one in batches}
    yield from (f"  {line}" for line in _incidents(account, words, batches))
    for ident in sorted(batches, key=lambda one: not is_open[one]):
        yield "  " + _standing(account, words, ident)
        for passed_on in handed:
            if passed_on.batch == ident:
                yield "    " + say["given"][passed_on.given.how].format(
                    on=words.day(passed_on.given.on),
                    count=passed_on.given.count,
                    to=passed_on.given.to,
                )
        yield from (f"    {line}" for line in _told(account, words, ident))


def _incidents(account: Account, words: Words, batches: Iterable[str]) -> Iterator[str]:
    """Yield the open incidents about any of some batches, each once, by number."""
    found = {one.number: one for ident in batches
             for one in account.batches[ident].verdict.incidents}  # fmt: skip
    for number, one in sorted(found.items()):
        yield words.phrases["trace"]["incident"].format(
            number=number, on=words.day(one.on), what=one.what
        )


def _told(account: Account, words: Words, ident: str) -> Iterator[str]:
    """Yield everything that speaks about a batch."""
    verdict = account.batches[ident].verdict
    for reason in (*verdict.reasons, *verdict.notes):
        yield words.phrases["trace"]["reason"].format(what=words.say(reason))


def _standing(account: Account, words: Words, ident: str) -> str:
    batch = account.studio.batches[ident]
    line: str = words.phrases["trace"]["batch"].format(
        batch=ident, on=words.day(batch.on), by=batch.by,
        product=account.studio.recipes[batch.recipe].title,
        word=words.phrases["batches"][account.batches[ident].verdict.state]["word"],
    )  # fmt: skip
    return line


def _early(account: Account, words: Words, ident: str) -> Iterator[str]:
    """Yield until when a batch cures, and what left the studio before."""
    verdict = account.batches[ident].verdict
    for reason in (*verdict.reasons, *verdict.notes):
        if reason.code in ("batch_curing", "given_uncured"):
            yield words.phrases["trace"]["early"].format(what=words.say(reason))


def _given(account: Account, words: Words, ident: str, *, alone: bool) -> Iterator[str]:
    """Yield how a batch stands and where its candles went; `alone`, without what is told anyway."""
    say, batch = words.phrases["trace"], account.studio.batches[ident]
    figures = account.batches[ident]
    yield _standing(account, words, ident)
    if not alone:
        yield from (f"  {line}" for line in _early(account, words, ident))
    yield "  " + say["counts"].format(made=figures.made, out=figures.given, left=figures.left)
    for handed in given_by(account.judged, batch):
        yield "  " + say["given"][handed.how].format(
            on=words.day(handed.on), count=handed.count, to=handed.to
        )


def _batch(account: Account, words: Words, ident: str) -> Iterator[str]:
    """Yield a batch: why it stands so, back to its lots and their bills, and who has it."""
    say, batch = words.phrases["trace"], account.studio.batches[ident]
    yield from _given(account, words, ident, alone=True)
    yield from (f"  {line}" for line in _told(account, words, ident))
    for item, lot in sorted(batch.lots.items()):
        yield "  " + say["from_lot"].format(item=item, lot=lot)
        for delivery in deliveries_of(account.studio, account.judged.as_of, item, lot):
            yield "    " + say["bought"].format(
                on=words.day(delivery.on), quantity=delivery.quantity, supplier=delivery.supplier,
                purchase=delivery.purchase,
            )  # fmt: skip
