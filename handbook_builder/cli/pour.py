"""`pour`.

With `--json` it prints one object (`"format": 1`), with the weights as the scale shows them:

```
{"format": 1, "recipe": id, "title": "...", "code": "...", "as_of": "2026-05-01",
 "test_pour": false, "mark": "", "refused": ["...", ...],
 "status": "approved|held|...", "sensible": null or a number of test candles,
 "count": 17, "scale": {"step": "0.1", "unit": "g"}, "pitcher_loss": 0.02, "net_g": 181.3,
 "weights": [{"item": "waxes/soy-blend", "amount": "2912.0"}, ...], "total": "3144.9",
 "load_on_wax_percent": "8.00", "share_percent": "7.41", "recipe_load_on_wax": 0.08,
 "off_points": "0.001", "tolerance_points": "0.2", "fits": true,
 "pieces": [{"item": "vessels/amber-tumbler", "count": 17}, ...],
 "heats": [{"item": "waxes/soy-blend", "heat_to_c": 80.0, "add_at_c": 70.0,
            "pour_at_c": 60.0, "flash_point_c": 230.0}, ...],
 "poured_on": "2026-05-01", "cure_days": 14, "cured_on": "2026-05-15",
 "steps": ["...", ...], "cautions": ["...", ...]}
```

Where the vessel is refused, or a load or a share is over its limit, there is nothing to weigh:
`refused` says why, and `weights`, `pieces`, `heats` and `steps` are empty (exit status 2).
Where the scale is too coarse for the count, `fits` is false and every `amount` and the `total`
are null: such weights would be another candle.
"""

import dataclasses
import json
import sys
import textwrap
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import click

from handbook_builder import units
from handbook_builder.cli.lookup import product_named
from handbook_builder.cli.options import (
    Count,
    Day,
    account_or_exit,
    as_of_option,
    day_for,
    json_option,
    studio_option,
)
from handbook_builder.derived.pour import pour_of
from handbook_builder.figures.pour import Scale, scale_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.pour_sheet import MOST, Sheet, sheet_of, title_of

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


@click.command()
@click.argument("recipe")
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
    account, words = account_or_exit(studio, min(poured_on, known))
    desk = Desk(account, words)
    sheet = sheet_of(desk, product_named(account, recipe), count, scale)
    if as_json:
        plain = _plain(desk, sheet, poured_on)
        click.echo(json.dumps(plain, indent=2, sort_keys=True, ensure_ascii=False))
    else:
        click.echo("\n".join(_lines(desk, sheet, poured_on)))
    if sheet.refused:
        sys.exit(2)
    if not sheet.rounded.is_fit:
        click.echo(sheet.rounded.coarse, err=True)
        sys.exit(2)


def _cured_on(sheet: Sheet, poured_on: date) -> date:
    return poured_on + timedelta(days=sheet.work.cure_days)


def _lines(desk: Desk, sheet: Sheet, poured_on: date) -> Iterator[str]:
    """Yield the sheet line by line; that of a test says so over and under every part."""
    yield from _head(desk, sheet, poured_on)
    parts = {
        "pieces": [f"{one.count:>6}  {one.link.title}" for one in sheet.pieces],
        "weigh": list(_weights(desk, sheet)),
        "heats": list(_heats(desk, sheet)),
        "steps": list(_listed(f"[ ] {one}" for one in sheet.work.steps)),
        "cautions": list(_listed(f"- {one}" for one in _cautions(sheet))),
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
    for one in (*sheet.refused, *sheet.work.stops):
        yield from _wrapped(one)
    if sheet.refused:
        return
    yield ""
    yield f"{sheet.asked.label}: {sheet.asked.count}"
    yield f"{desk.phrase('pour.net')}: {sheet.work.net}"
    yield f"{desk.phrase('pour.poured_on')}: {desk.words.day(poured_on)}"
    cured = desk.words.day(_cured_on(sheet, poured_on))
    yield f"{desk.phrase('pour.cured_on')}: {cured} ({sheet.work.cure})"


def _weights(desk: Desk, sheet: Sheet) -> Iterator[str]:
    unit, rounded = sheet.scale.unit, sheet.rounded
    for one in sheet.ingredients:
        yield f"{one.amount or '-':>10} {unit}  {one.link.title}"
    yield f"{rounded.total or '-':>10} {unit}  {desk.phrase('pour.total')}"
    if rounded.is_fit:
        if sheet.mix.oil_ug:
            yield desk.phrase("pour.load", load=rounded.load, recipe=rounded.recipe_load)
            yield desk.phrase("pour.share", share=rounded.share, recipe=rounded.recipe_share)
        yield desk.phrase("pour.farthest", off=rounded.off, tolerance=rounded.tolerance)
    yield from _wrapped(rounded.fits if rounded.is_fit else rounded.coarse)
    yield from _wrapped(sheet.rounding)


def _heats(desk: Desk, sheet: Sheet) -> Iterator[str]:
    for one in sheet.work.heats:
        told = {
            "heat_to": one.heat_to,
            "add_at": one.add_at,
            "pour_at": one.pour_at,
            "flash_point": one.flash_point,
        }
        known = [
            f"{desk.phrase(f'pour.{key}')} {value}" for key, value in told.items() if value
        ] or [desk.phrase("not_recorded")]
        yield f"{one.link.title}: {', '.join(known)}"


def _cautions(sheet: Sheet) -> tuple[str, ...]:
    return (
        *sheet.work.stops,
        *sheet.work.cautions,
        *sheet.work.vessel_cautions,
        sheet.work.cautions_source,
    )


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH)


def _listed(texts: Iterator[str]) -> Iterator[str]:
    for one in texts:
        yield from textwrap.wrap(one, _WIDTH, subsequent_indent="    ")


def _plain(desk: Desk, sheet: Sheet, poured_on: date) -> dict[str, object]:
    pour, rounded = pour_of(desk.account, sheet.id, sheet.scale), sheet.rounded
    product = desk.judged.products[sheet.id]
    return {
        "format": 1,
        "recipe": sheet.id,
        "title": sheet.product.title,
        "code": sheet.code,
        "as_of": desk.day.isoformat(),
        "test_pour": bool(sheet.mark),
        "mark": sheet.mark,
        "refused": list(sheet.refused),
        "status": product.status.value,
        "sensible": sheet.sensible,
        "count": sheet.asked.count,
        "scale": {"step": sheet.scale.text(1), "unit": sheet.scale.unit},
        "pitcher_loss": pour.pitcher_loss,
        "net_g": pour.net_g,
        "weights": [{"item": one.item, "amount": one.amount} for one in sheet.ingredients],
        "total": rounded.total,
        "load_on_wax_percent": None if sheet.refused else rounded.load,
        "share_percent": None if sheet.refused else rounded.share,
        "recipe_load_on_wax": desk.account.products[sheet.id].load_on_wax,
        "off_points": rounded.off,
        "tolerance_points": rounded.tolerance,
        "fits": rounded.is_fit,
        "pieces": [{"item": one.item, "count": one.count} for one in sheet.pieces],
        "heats": [] if sheet.refused else [dataclasses.asdict(one) for one in pour.heats],
        "poured_on": poured_on.isoformat(),
        "cure_days": sheet.work.cure_days,
        "cured_on": _cured_on(sheet, poured_on).isoformat(),
        "steps": list(sheet.work.steps),
        "cautions": list(_cautions(sheet)),
    }
