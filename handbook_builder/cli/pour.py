"""`pour`."""

import sys
import textwrap
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from handbook_builder import units
from handbook_builder.cli.completing import ids
from handbook_builder.cli.lookup import product_named
from handbook_builder.cli.options import (
    Count,
    Day,
    account_or_exit,
    as_of_option,
    day_for,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.figures.pour import Scale, scale_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.in_store import answered
from handbook_builder.pages.products.pour_sheet import MOST, Sheet, sheet_of, title_of
from handbook_builder.reports.pour import pour_report
from handbook_builder.terminal import echo

_WIDTH = 88


class Readability(click.ParamType[Scale]):
    """The readability of a scale: a mass with its unit, not below a milligram."""

    name = "mass"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> Scale:
        """Return the scale that reads to `value`, or fail as a wrong call."""
        if isinstance(value, Scale):
            return value
        step_g = units.read_quantity(str(value), units.MASS)
        if isinstance(step_g, units.Fault) or step_g < 0.001:  # noqa: PLR2004 -- a milligram
            self.fail(f"{value!r} is no readability; write a mass such as 0.1g.", param, ctx)
        return scale_of(step_g)


@click.command(short_help="Print a pour sheet: what to weigh for so many candles.")
@click.argument("recipe", shell_complete=ids("recipes"))
@click.option(
    "--count",
    type=Count(MOST),
    default=None,
    help="How many candles. [default: 1, or the test candles that are still needed]",
)
@click.option(
    "--scale",
    type=Readability(),
    default=None,
    help="What the scale reads to, such as 0.1g. [default: as the newest test candle says]",
)
@click.option("--on", type=Day(), default=None, help="The day of pouring. [default: today]")
@studio_option
@as_of_option
@json_option
def pour(  # noqa: PLR0913 -- one parameter an option
    *,
    recipe: str,
    count: int | None,
    scale: Scale | None,
    on: date | None,
    studio: Path,
    as_of: date | None,
    as_json: bool,
) -> None:
    """Print a pour sheet: what to weigh for so many candles, how hot, in which order.

    RECIPE is a recipe's id, its title or its code. What is not proven gets the sheet of a test
    pour. A day of pouring that is past is judged by what was known on that day.
    """
    known = day_for(studio, as_of)
    poured_on = on or known
    account, words = account_or_exit(studio, min(poured_on, known), as_json=as_json)
    desk = Desk(account, words)
    sheet = sheet_of(desk, product_named(account, recipe), count, scale)
    if as_json:
        print_json(pour_report(desk, sheet, poured_on))
    else:
        echo("\n".join(_lines(desk, sheet, poured_on)))
    if sheet.refused:
        sys.exit(2)
    if not sheet.rounded.is_fit:
        echo(sheet.rounded.coarse, err=True)
        sys.exit(2)


def _lines(desk: Desk, sheet: Sheet, poured_on: date) -> Iterator[str]:
    """Yield the sheet line by line; that of a test says so over and under every part."""
    yield from _head(desk, sheet, poured_on)
    parts = {
        "pieces": [f"{piece.count:>6}  {piece.link.title}" for piece in sheet.pieces],
        "weigh": list(_weights(desk, sheet)),
        "store": [
            line
            for told in answered(desk, sheet.id, sheet.asked.count)
            for line in textwrap.wrap(told, _WIDTH, subsequent_indent="    ")
        ],
        "heats": list(_heats(desk, sheet)),
        "steps": list(_listed(f"[ ] {step}" for step in sheet.work.steps)),
        "cautions": list(_listed(f"- {caution}" for caution in sheet.work.all_cautions)),
    }
    for key, lines in parts.items():
        if not lines or (sheet.refused and key != "cautions"):
            continue
        yield from ("", _marked(sheet, desk.phrase(f"pour.headings.{key}")), *lines)
    yield from ("", *_wrapped(sheet.own_tests), *([sheet.mark] if sheet.mark else []))


def _marked(sheet: Sheet, text: str) -> str:
    return f"{sheet.mark}  {text}" if sheet.mark else text


def _head(desk: Desk, sheet: Sheet, poured_on: date) -> Iterator[str]:
    yield title_of(desk, sheet)
    yield f"{sheet.id}, {sheet.code}"
    yield sheet.standing
    if sheet.sense:
        yield from _wrapped(sheet.sense)
    for said in (*sheet.refused, *sheet.work.stops):
        yield from _wrapped(said)
    if sheet.refused:
        return
    yield ""
    yield f"{sheet.asked.label}: {sheet.asked.count}"
    yield f"{desk.phrase('pour.net')}: {sheet.work.net}"
    yield f"{desk.phrase('pour.poured_on')}: {desk.words.day(poured_on)}"
    cured = desk.words.day(sheet.work.cured_on(poured_on))
    yield f"{desk.phrase('pour.cured_on')}: {cured} ({sheet.work.cure})"


def _weights(desk: Desk, sheet: Sheet) -> Iterator[str]:
    unit, rounded = sheet.scale.unit, sheet.rounded
    for ingredient in sheet.ingredients:
        yield f"{ingredient.amount or '-':>10} {unit}  {ingredient.link.title}"
    yield f"{rounded.total or '-':>10} {unit}  {desk.phrase('pour.total')}"
    if rounded.is_fit:
        if sheet.mix.oil_ug:
            yield desk.phrase("pour.load", load=rounded.load, recipe=rounded.recipe_load)
            yield desk.phrase("pour.share", share=rounded.share, recipe=rounded.recipe_share)
        yield desk.phrase("pour.farthest", off=rounded.off, tolerance=rounded.tolerance)
    yield from _wrapped(rounded.fits if rounded.is_fit else rounded.coarse)
    yield from _wrapped(sheet.rounding)


def _heats(desk: Desk, sheet: Sheet) -> Iterator[str]:
    for heat in sheet.work.heats:
        told = {
            "heat_to": heat.heat_to,
            "add_at": heat.add_at,
            "pour_at": heat.pour_at,
            "flash_point": heat.flash_point,
        }
        known = [
            f"{desk.phrase(f'pour.{key}')} {value}" for key, value in told.items() if value
        ] or [desk.phrase("not_recorded")]
        yield f"{heat.link.title}: {', '.join(known)}"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH)


def _listed(texts: Iterator[str]) -> Iterator[str]:
    for text in texts:
        yield from textwrap.wrap(text, _WIDTH, subsequent_indent="    ")
