"""`why`."""

from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.colours import coloured
from handbook_builder.cli.completing import ids
from handbook_builder.cli.lookup import products_named
from handbook_builder.cli.options import (
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.account import Account
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.evidence import odds
from handbook_builder.pages.products.in_the_way import in_the_way
from handbook_builder.pages.products.provisos import meaning_of, provisos_of
from handbook_builder.pages.products.wick_advice import advice_on
from handbook_builder.reports.why import why_report
from handbook_builder.terminal import echo
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.words import Words


@click.command(short_help="Say why a product is not approved, and which line mends it.")
@click.argument("product", required=False, shell_complete=ids("recipes"))
@studio_option
@as_of_option
@json_option
def why(product: str | None, studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Say why a product is not approved: what is missing, and the line that would mend it.

    PRODUCT is a recipe's id, its title or its code. Without it, every product that is not
    approved is told.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    asked = _asked(account, product)
    if as_json:
        print_json(why_report(Desk(account, words), asked))
        return
    echo(words.phrases["why"]["as_of"].format(day=words.day(account.judged.as_of)))
    if not asked:
        told = "nothing" if account.judged.products else "no_product"
        echo(words.phrases["why"][told])
    for name in asked:
        _tell(account, name, words)


def _asked(account: Account, product: str | None) -> list[Product]:
    """Return the products that are named, or all that are not approved."""
    products = account.judged.products
    if product is None:
        return [
            each_product
            for each_product in products.values()
            if each_product.status is not Status.APPROVED
        ]
    return [products[ident] for ident in products_named(account, product)]


def _tell(account: Account, product: Product, words: Words) -> None:
    ident, status = product.recipe.source.id, words.status(product.status)
    desk = Desk(account, words)
    echo(f"{product.recipe.title} ({ident}, {account.products[ident].code}): {coloured(status)}")
    echo(f"  {meaning_of(desk, product)}")
    echo(f"  {odds(desk, product).sentence}")
    for proviso in provisos_of(desk, product).sentences:
        echo(f"  ! {proviso}")
    for obstacle in in_the_way(desk, product):
        echo(f"  - {obstacle.said.text}")
        echo(f"    {obstacle.said.where}")
        if obstacle.said.mend:
            echo(f"    {obstacle.said.mend}")
    _tell_candles(product, words)
    for miss in product.near_misses:
        unlike = ", ".join(words.difference(difference) for difference in miss.differences)
        told = words.phrases["why"]["near_miss"].format(
            candle=miss.candle.seen.burn.candle,
            verdict=words.verdict(miss.candle.verdict).word.lower(),
            differences=unlike,
        )
        echo(f"  * {told}")
        echo(f"    {miss.candle.seen.burn.source.file}")
    _suggest(account, product, words)


def _tell_candles(product: Product, words: Words) -> None:
    """Print what keeps each candle that is of this make-up from counting, or made it fail."""
    evidence = product.evidence
    for candle in (*evidence.failed, *evidence.incomplete, *evidence.burning):
        word = coloured(words.verdict(candle.verdict))
        echo(f"  {word}: {candle.seen.burn.candle} ({candle.id})")
        for reason in candle.failures or candle.gaps:
            echo(f"    - {words.say(reason)}")
            echo(f"      {reason.place}")


def _suggest(account: Account, product: Product, words: Words) -> None:
    """Print which wick is worth pouring next, where anything is asked."""
    advice = advice_on(Desk(account, words), product)
    if advice is not None:
        echo(f"  {advice.title}: {advice.suggestion}")
        for line in (advice.cost, *advice.grounds, advice.note):
            if line:
                echo(f"    {line}")
