"""`label` and `sticker`."""

import re
import sys
from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Final, NoReturn

import click

from handbook_builder.cli.completing import ids
from handbook_builder.cli.lookup import batch_named, product_named
from handbook_builder.cli.options import (
    Count,
    account_or_exit,
    as_of_option,
    day_for,
    print_faults,
    studio_option,
)
from handbook_builder.cli.waiting import refuse_while_waiting
from handbook_builder.derived.label.made import (
    USUAL_LANGUAGE,
    Asked,
    Made,
    label_for,
    languages_for,
    stickers_of,
)
from handbook_builder.files import put_file
from handbook_builder.labels.placed import Layout
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.label_words import refusal_said
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.terminal import echo
from handbook_builder.workshop import press_of

_MOST: Final = 999
_MARKETS: Final = ("us", "eu", "gb")


class Language(click.ParamType[str]):
    """A language by the two letters that its file of statements is called by."""

    name = "xx"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        """Return the language, or fail as a wrong call."""
        if not re.fullmatch(r"[a-z]{2}", str(value)):
            text = f"{value!r} is no language; write two letters such as en or de."
            self.fail(text, param, ctx)
        return str(value)


_sheet = click.option(
    "--sheet",
    type=click.Choice(["a4", "letter"]),
    default=None,
    help="Lay them out on such sheets, with cut marks. [default: a page each]",
)
_languages = click.option(
    "--language",
    "languages",
    type=Language(),
    multiple=True,
    help="A language; several with several options. [default: studio.md's]",
)
_out = click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    default=None,
    help="The file to write. [default: named for the recipe, here]",
)


@click.command(short_help="Write the label of an approved product, as a PDF at true size.")
@click.argument("recipe", shell_complete=ids("recipes"))
@click.option(
    "--market",
    type=click.Choice(_MARKETS),
    default=None,
    help="Whose law the label follows. [default: the first of the studio's markets]",
)
@_languages
@click.option("--batch", default=None, metavar="BATCH", shell_complete=ids("batches"),
              help="The batch whose name it bears.")  # fmt: skip
@click.option("--count", type=Count(_MOST), default=1, help="How many of each face. [default: 1]")
@_sheet
@_out
@studio_option
@as_of_option
def label(  # noqa: PLR0913 -- one an option
    *,
    recipe: str,
    studio: Path,
    as_of: date | None,
    market: str | None,
    languages: tuple[str, ...],
    batch: str | None,
    count: int,
    sheet: str | None,
    out: Path | None,
) -> None:  # fmt: skip
    """Write the label of an approved product as a PDF at its true size.

    What is not approved gets none, whatever is asked. A working aid: check it against the law in
    force and the supplier's sheet.
    """
    refuse_while_waiting(studio)
    day, today = day_for(studio, as_of), day_for(studio, None)
    desk = _desk(studio, day, languages)
    ident = product_named(desk.account, recipe)
    named = None if batch is None else batch_named(desk.account, batch)
    asked = _asked(desk, market, languages, named)
    faces = _faces(desk, ident, asked, day)
    if day < today:  # what was approved once and is no longer gets none
        _faces(_desk(studio, today, languages), ident, asked, day)
    file = out or Path(f"{ident}-label.pdf")
    _write(desk, faces, count, sheet, file)
    name = desk.phrase(f"label.markets.{asked.market}")
    echo(desk.phrase("label.done", file=file, count=count, market=name))
    for limit in provisos_of(desk, desk.judged.products[ident]).sentences:
        echo(limit)
    echo(desk.phrase("label.note"))


@click.command(short_help="Write stickers for the test candles of a recipe.")
@click.argument("recipe", shell_complete=ids("recipes"))
@click.option(
    "--language", type=Language(), default=USUAL_LANGUAGE, help="The language. [default: en]"
)
@_sheet
@_out
@studio_option
@as_of_option
def sticker(  # noqa: PLR0913 -- one an option
    *,
    recipe: str,
    studio: Path,
    as_of: date | None,
    language: str,
    sheet: str | None,
    out: Path | None,
) -> None:  # fmt: skip
    """Write stickers for the test candles of a recipe that have not ended: not for sale."""
    desk = _desk(studio, day_for(studio, as_of), (language,))
    ident = product_named(desk.account, recipe)
    faces = _stickers(desk, ident, language)
    file = out or Path(f"{ident}-stickers.pdf")
    _write(desk, faces, 1, sheet, file)
    echo(desk.phrase("label.sticker_done", file=file, count=len(faces)))


def _desk(studio: Path, day: date, languages: Iterable[str]) -> Desk:
    """Return the desk of a studio with its catalogues of statements; faults in them end the run."""
    account, words = account_or_exit(studio, day)
    press, faults = press_of(account, studio, languages)
    if faults:
        print_faults(faults)
        sys.exit(1)
    return Desk(account, words, own_press=press)


def _asked(desk: Desk, market: str | None, languages: tuple[str, ...], batch: str | None) -> Asked:
    known = desk.studio.info.markets
    chosen = market or next(iter(known), None)
    if chosen is None:
        _refuse([desk.phrase("label.no_market")], 2)
    if chosen not in known:
        _refuse([desk.phrase("label.wrong_market", market=chosen, known=", ".join(known))], 2)
    spoken = tuple(dict.fromkeys(languages)) or languages_for(desk.account, chosen)
    return Asked(chosen, spoken, batch)


def _faces(desk: Desk, ident: str, asked: Asked, day: date) -> tuple[Layout, ...]:
    """Return the faces of a label that is asked for as of a day; where there is none the run ends.

    The desk may be of a later day.
    """
    made = label_for(desk.account, desk.words, ident, asked, desk.press)
    if not isinstance(made, Made):
        key = "label.none" if desk.day == day else "label.not_today"
        market = desk.phrase(f"label.markets.{asked.market}")
        head = desk.phrase(key, market=market, day=day, today=desk.day)
        _refuse([head, *(refusal_said(desk, refusal) for refusal in made)], 2)
    return made.faces


def _stickers(desk: Desk, ident: str, language: str) -> tuple[Layout, ...]:
    faces, against = stickers_of(desk.account, ident, language, desk.press)
    if against:
        said = (refusal_said(desk, refusal) for refusal in against)
        _refuse([desk.phrase("label.no_sticker"), *said], 2)
    if not faces:
        product = desk.studio.recipes[ident].title
        _refuse([desk.phrase("label.no_stickers", product=product)], 2)
    return faces


def _write(
    desk: Desk, faces: tuple[Layout, ...], count: int, sheet: str | None, file: Path
) -> None:
    """Write the faces: each on a page of its size, or so many of each on sheets."""
    from handbook_builder.labels.impose import SHEETS, TooLarge  # noqa: PLC0415 -- loads slowly
    from handbook_builder.labels.pdf import Imprint, sheet_pdf, single_pdf  # noqa: PLC0415 -- too

    imprint = Imprint(file.stem, datetime.combine(desk.day, time(), UTC))
    if sheet is None:
        written: bytes | TooLarge = single_pdf(faces * count, imprint)
    else:
        written = sheet_pdf(faces, count, SHEETS[sheet], imprint)
    if isinstance(written, TooLarge):
        _refuse([desk.phrase("label.too_large", sheet=sheet)], 2)
    put_file(file, written)


def _refuse(said: Iterable[str], status: int) -> NoReturn:
    for line in said:
        echo(line, err=True)
    sys.exit(status)
