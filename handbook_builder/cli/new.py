"""`new`."""

from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.completing import kinds, new_id
from handbook_builder.cli.new_burn import BurnCall, new_burn
from handbook_builder.cli.options import Count, Day, day_for, records_of, refuse, studio_option
from handbook_builder.cli.telling import Telling, telling_for
from handbook_builder.cli.writing import blanks_in, refuse_existing
from handbook_builder.derived.worked_out import batch_code, fill_in_grams
from handbook_builder.files import locked, write_together
from handbook_builder.problems import Place, problem
from handbook_builder.publish.templates import layers
from handbook_builder.reading.fields import ID, near
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.records import (
    KINDS,
    SHOWN_AS,
    STUDIO_FILE,
    Reading,
    read_folder,
    read_record,
)
from handbook_builder.reading.shape import keys_of
from handbook_builder.studio.studio import link
from handbook_builder.writing.adding import CannotAddError, with_new_value, with_value
from handbook_builder.writing.blanks import filled_in
from handbook_builder.writing.new_records import KIND_NAMES, from_template, with_schema
from handbook_builder.writing.values import is_text


@click.command(
    no_args_is_help=True,
    short_help="Write a new record, its keys explained in comments.",
)
@click.argument("kind", shell_complete=kinds())
@click.argument("ident", metavar="ID", shell_complete=new_id())
@studio_option
@click.option("--set", "given", multiple=True, metavar="KEY=VALUE", help="Fill in a key.")
@click.option("--candles", type=Count(99), default=None, help="Burns: poured together.")
@click.option("--on", type=Day(), default=None, help="Burns: the day of pouring. [default: today]")
@click.option(
    "--weighed",
    multiple=True,
    metavar="WEIGHTS",
    help='Burns: what was weighed, once a candle: "soy-blend=169.9 g, cedar-fig-oil=13.6 g".',
)
@click.option(
    "--ladder",
    multiple=True,
    metavar="WICK",
    help="Burns: one candle of a ladder for each wick, instead of the recipe's.",
)
def new(  # noqa: PLR0913, PLR0917 -- one a part of the call
    kind: str,
    ident: str,
    studio: Path,
    given: tuple[str, ...],
    candles: int | None,
    on: date | None,
    weighed: tuple[str, ...],
    ladder: tuple[str, ...],
) -> None:
    """Write a new record: every key that is due, with comments that teach.

    KIND is protocol, supplier, purchase, stock, vessel, wax, wick, fragrance, colorant, packaging,
    recipe, burn, batch, incident or helper; ID is the name of its file, without .md. For a burn,
    ID is a recipe, and each test candle that is poured together gets a file and the recipe's next
    letter. No file is ever overwritten.

    \b
    handbook new wax soy-blend --set kind=soy --set "density=0.90 g/mL"
    handbook new burn cedar-fig --candles 3
    handbook new burn cedar-fig --ladder cotton-6 --ladder cotton-8 --ladder cotton-10
    """  # noqa: D301 -- the mark is Click's
    told = telling_for(studio)
    folder = KIND_NAMES.get(kind, kind)
    if folder not in KINDS:
        told.wrong(
            "no_kind", found=kind, near=near(kind, tuple(KIND_NAMES)), known=", ".join(KIND_NAMES)
        )
    if not ID.fullmatch(ident):
        told.wrong("bad_id", found=ident)
    values = _pairs(told, folder, given)
    if folder == "burns":
        day = on or day_for(studio, None)
        new_burn(told, studio, BurnCall(ident, day, candles, weighed, values, ladder))
        return
    asked = {"--candles": candles, "--on": on, "--weighed": weighed, "--ladder": ladder}
    for option, used in asked.items():
        if used:
            told.wrong("wrong_option", option=option)
    _write(told, studio, f"{folder}/{ident}.md", values)


def _pairs(told: Telling, folder: str, given: Iterable[str]) -> dict[str, str]:
    """Return the keys that were set; an unknown one is a wrong call."""
    known, values = tuple(keys_of(KINDS[folder])), {}
    for one in given:
        key, equals, value = one.partition("=")
        if not equals or not value.strip():
            told.wrong("no_pair", found=one)
        if key.strip() not in known:
            kind = next((one for one, its in KIND_NAMES.items() if its == folder), folder)
            told.wrong("no_key", kind=kind, found=key.strip(), near=near(key, known),
                       known=", ".join(known))  # fmt: skip
        if not is_text(value):
            told.wrong("not_text", key=key)
        values[key.strip()] = value
    return values


def _write(told: Telling, studio: Path, path: str, values: Mapping[str, str]) -> None:
    records = records_of(studio)
    if not (records / STUDIO_FILE).is_file():
        refuse([problem(Place(SHOWN_AS), "no_records")])
    folder = (records / path).parent
    folder.mkdir(exist_ok=True)
    with locked(folder):
        reading = read_folder(records, SHOWN_AS)
        context = _context(reading, folder.name)
        text = from_template(layers(studio, "new"), folder.name, context)
        text = with_schema(text, records, folder.name)
        for key, value in {**_worked_out(studio, reading, folder.name, values), **values}.items():
            text = filled_in(text, key, value)
        text = _with_grams(told, reading, path, text)
        blanks = blanks_in(told, studio, reading, path, text)
        refuse_existing(told, records, [path])
        counted = _incident_counted(told, records, reading) if folder.name == "incidents" else {}
        write_together({records / path: text.encode()}, counted)
    told.say("written", file=SHOWN_AS + path)
    told.blanks(blanks)


def _context(reading: Reading, folder: str) -> dict[str, object]:
    """Return what a template may ask for: the number of the next incident.

    The number of one that is counted and not on file is not used again: it would stop being missed.
    """
    if folder != "incidents":
        return {}
    found = reading.records.get(folder, {}).values()
    counted = 0 if reading.studio is None else reading.studio.incidents or 0
    return {"number": max((counted, *(one.number for one in found))) + 1}


def _worked_out(
    studio: Path, reading: Reading, folder: str, values: Mapping[str, str]
) -> dict[str, str]:
    """Return the code of a new batch, when its recipe is given and the records are in order."""
    if folder != "batches" or "recipe" not in values:
        return {}
    linked, _ = link(reading)
    try:
        on = date.fromisoformat(values.get("on", day_for(studio, None).isoformat()).strip())
    except ValueError:
        return {}  # told as a fault of the record, below
    code = None if linked is None else batch_code(linked, values["recipe"].strip(), on)
    return {} if code is None else {"code": code}


def _with_grams(told: Telling, reading: Reading, path: str, text: str) -> str:
    """Return a new recipe with the grams that its fill to the line comes to, once it is whole."""
    record, _ = read_record(path, text.encode(), SHOWN_AS)
    linked, _ = link(reading)
    if not isinstance(record, Recipe) or linked is None:
        return text
    grams = fill_in_grams(linked, record)
    if grams is None:
        return text
    told.say("fill_worked_out", grams=f"{grams:.1f}")
    return filled_in(text, "fill", f"{grams:.1f} g")


def _incident_counted(
    told: Telling, records: Path, reading: Reading
) -> dict[Path, tuple[bytes, bytes]]:
    """Return studio.md with its incidents counted on, unless it counted others before."""
    found = len(reading.records.get("incidents", {}))
    stated = None if reading.studio is None else reading.studio.incidents
    if reading.studio is None or (stated is not None and stated != found):
        told.warn("incidents_differ", stated=stated, found=found)
        return {}
    path = records / STUDIO_FILE
    old = path.read_bytes()
    try:
        add = with_new_value if stated is None else with_value
        new_text = add(old, "incidents", str(found + 1))
    except CannotAddError:
        told.wrong("cannot_count", file=SHOWN_AS + STUDIO_FILE, key="incidents", value=found + 1)
    return {path: (old, new_text)}
