"""`sign`."""

import sys
from datetime import date
from pathlib import Path
from typing import NoReturn

import click

from handbook_builder.cli.completing import guides, ids
from handbook_builder.cli.options import Day, print_problems, records_of, studio_option
from handbook_builder.cli.telling import Telling, telling_for
from handbook_builder.derived.hands import page_named
from handbook_builder.files import ChangedMeanwhileError, locked, replace_file
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.house import Helper
from handbook_builder.reading.records import SHOWN_AS, read_record
from handbook_builder.terminal import echo
from handbook_builder.workshop import guides_for
from handbook_builder.writing.adding import CannotAddError, with_entry


@click.command(short_help="Write down that a helper has read a guide.")
@click.argument("helper", shell_complete=ids("helpers"))
@click.argument("guide", shell_complete=guides())
@studio_option
@click.option("--on", type=Day(), default=None, help="The day it was read. [default: today]")
def sign(helper: str, guide: str, studio: Path, on: date | None) -> None:
    """Write down that a helper has read a guide: which, when, and in which edition.

    HELPER is the id of the helper's record, GUIDE the name of the guide's file, without .md. The
    line is added to 'read', and nothing else in the record changes.

    \b
    handbook sign wren hot-wax-and-flame
    """  # noqa: D301 -- the mark is Click's
    told, today = telling_for(studio), date.today()  # noqa: DTZ011 -- the local day
    read_on = on or today
    if read_on > today:
        told.wrong("future", on=read_on, today=today)
    editions = guides_for(studio)
    page = page_named(guide)
    if page not in editions:
        told.wrong("sign.no_guide", found=guide, near=near(page, list(editions)))
    path = _record(told, studio, helper)
    with locked(path.parent):
        _add(told, path, page, read_on, editions[page])


def _record(told: Telling, studio: Path, helper: str) -> Path:
    """Return the file of a helper's record, or end as a wrong call with the nearest name."""
    folder = records_of(studio) / "helpers"
    known = sorted(file.stem for file in folder.glob("*.md"))
    if helper not in known:
        told.wrong("sign.no_helper", found=helper, near=near(helper, known))
    return folder / f"{helper}.md"


def _add(told: Telling, path: Path, page: str, on: date, edition: str) -> None:
    """Add the reading to the record, unless it stands there already."""
    shown, old = f"{SHOWN_AS}helpers/{path.name}", path.read_bytes()
    record, problems = read_record(f"helpers/{path.name}", old, SHOWN_AS)
    if not isinstance(record, Helper):
        print_problems(problems)
        sys.exit(1)
    if any(
        (page_named(reading.page), reading.edition) == (page, edition) for reading in record.read
    ):
        told.say("sign.known", helper=path.stem, page=page, edition=edition)
        return
    entry = {"page": page, "on": on.isoformat(), "edition": edition}
    try:
        replace_file(path, old, with_entry(old, "read", entry))
    except CannotAddError:
        _by_hand(told, "cannot_add", page, on, edition)
    except ChangedMeanwhileError:
        _by_hand(told, "changed", page, on, edition)
    told.say("sign.signed", file=shown, helper=path.stem, page=page, edition=edition)


def _by_hand(told: Telling, why: str, page: str, on: date, edition: str) -> NoReturn:
    """End with the line that could not be written."""
    told.warn(why)
    echo(f"  - {{page: {page}, on: {on}, edition: {edition}}}")
    sys.exit(1)
