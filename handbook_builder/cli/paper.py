"""`paper`."""

import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Final, NoReturn

import click

from handbook_builder.cli.completing import of_paper
from handbook_builder.cli.lookup import burn_or_recipe, incident_named, product_named
from handbook_builder.cli.options import (
    Count,
    account_or_exit,
    address_for,
    as_of_option,
    day_for,
    ordinary_words,
    records_of,
    studio_option,
)
from handbook_builder.cli.waiting import refuse_while_waiting
from handbook_builder.files import put_file
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.papers.burn_sheet import is_to_burn
from handbook_builder.pages.papers.which import (
    OF_STUDIO,
    Kind,
    notice_refusal_of,
    path_of,
    path_of_burns,
    refusal_of,
)
from handbook_builder.pages.products.in_the_way import in_the_way
from handbook_builder.terminal import echo, echo_place

_GOES_OUT: Final = (Kind.CARE, Kind.SHEET)  # with a candle that stands here now


@click.command(short_help="Write a paper as one file that opens alone.")
@click.argument("kind", type=click.Choice([kind.value for kind in Kind]))
@click.argument("of", default="", shell_complete=of_paper())
@click.option(
    "--out",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    default=None,
    metavar="FILE",
    help="The file to write. [default: OF-KIND.html, here]",
)
@click.option(
    "--edition",
    type=click.Choice([edition.value for edition in Edition]),
    default=Edition.OWNER.value,
    help="floor: without names of suppliers and recipients. [default: owner]",
)
@click.option("--count", type=Count(99), default=None, help="For class-list: how many pupils.")
@studio_option
@as_of_option
def paper(  # noqa: PLR0913 -- one parameter an option
    *,
    kind: str,
    of: str,
    out: Path | None,
    edition: str,
    count: int | None,
    studio: Path,
    as_of: date | None,
) -> None:
    """Write a paper as one file that opens alone and prints as it is.

    KIND is care (a card for the buyer), sheet (for a shop), proof (for whoever asks), notice (a
    recall, to be posted), batch-sheet (to write a pour on), burn-sheet (to write readings on), wall
    (the rule of the studio and the week), pouring (the chart of what may be poured; neither needs
    OF), class-sheet (for pupils to take home) or class-list (what to put out for --count pupils).
    OF is a product's id, title or code; for a
    notice, an incident's id or number; for a burn-sheet, a test candle or a recipe, which has its
    candles side by side. Only an approved product has a care card and a sheet.
    """
    account, words = account_or_exit(studio, as_of)
    if count is not None and kind != Kind.CLASS_LIST:
        msg = "--count is for class-list."
        raise click.UsageError(msg)
    if kind in _GOES_OUT:
        refuse_while_waiting(studio)
    desk = Desk(account, words, Edition(edition))
    path = _path_named(desk, Kind(kind), of)
    if day_for(studio, as_of) < day_for(studio, None):
        _hold_today(studio, Edition(edition), Kind(kind), of)
    text = _written(desk, studio, path, count)
    file = out or Path("-".join(path.split("/")[1:]) + ".html")
    try:
        put_file(file, text.encode())
    except OSError as fault:
        msg = f"{file} cannot be written: {fault.strerror}"
        raise click.UsageError(msg) from fault
    echo(desk.phrase("papers.written", file=file))


def _hold_today(studio: Path, edition: Edition, kind: Kind, asked: str) -> None:
    """End where what is asked as of a past day has none today: candles stand here now."""
    if kind is Kind.POURING:
        msg = "the chart says what may be poured now, and has no day that is past."
        raise click.UsageError(msg)
    if kind in _GOES_OUT:
        account, words = account_or_exit(studio, None)
        _path_named(Desk(account, words, edition), kind, asked)


def _path_named(desk: Desk, kind: Kind, asked: str) -> str:
    """Return where the paper that is asked for stands in the site, or end and say why not."""
    if kind in OF_STUDIO:
        return OF_STUDIO[kind]
    if not asked:
        msg = f"{kind} of what? See 'handbook paper --help'."
        raise click.UsageError(msg)
    if kind is Kind.BURN:
        return _burn_path(desk, asked)
    return path_of(kind, _named(desk, kind, asked))


def _burn_path(desk: Desk, asked: str) -> str:
    """Return where the sheet of a test candle stands, or that of the candles of a recipe."""
    ident, is_recipe = burn_or_recipe(desk.account, asked)
    if not is_to_burn(desk, ident, is_recipe=is_recipe):
        _refuse(desk.phrase("papers.none.burn-sheet", of=ident), ())
    return path_of_burns(ident) if is_recipe else path_of(Kind.BURN, ident)


def _named(desk: Desk, kind: Kind, asked: str) -> str:
    """Return the id of what a paper is asked of; end where it has none, and say why."""
    if kind is Kind.NOTICE:
        incident = incident_named(desk.account, asked)
        refusal = notice_refusal_of(desk, desk.studio.incidents[incident])
        if refusal:
            _refuse(refusal, ())
        return incident
    product = desk.judged.products[product_named(desk.account, asked)]
    refusal = refusal_of(desk, product, kind)
    if refusal:
        _refuse(refusal, [obstacle.said.text for obstacle in in_the_way(desk, product)])
    return product.recipe.source.id


def _refuse(refusal: str, why: Sequence[str]) -> NoReturn:
    echo(refusal, err=True)
    for sentence in why:
        echo(f"  - {sentence}", err=True)
    sys.exit(2)


def _written(desk: Desk, studio: Path, path: str, pupils: int | None) -> str:
    """Return the paper at `path` of the site as one file, or end at what cannot go out."""
    from handbook_builder.publish.papers import (  # noqa: PLC0415 -- its libraries load slowly
        paper_of,
    )

    found = paper_of(desk.account, desk.words, studio, records_of(studio), desk.edition, path,
                     ordinary_words(studio), address_for(studio, desk.edition), pupils)  # fmt: skip
    if isinstance(found, str):
        return found
    for leak in found:
        echo_place(str(leak), err=True)
    sys.exit(1)
