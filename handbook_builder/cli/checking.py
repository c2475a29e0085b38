"""`check`."""

import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.options import (
    as_of_option,
    day_for,
    in_no_studio,
    json_option,
    print_json,
    records_of,
    refuse,
    studio_option,
)
from handbook_builder.cli.waiting import waiting
from handbook_builder.derived.beside import left_notices, published
from handbook_builder.derived.neutral import attachments_for_helpers, names_for
from handbook_builder.derived.notices import notices
from handbook_builder.problems import Problem, in_order
from handbook_builder.publish.unused import others
from handbook_builder.reading.records import SHOWN_AS, read_folder
from handbook_builder.reports.faults import faults_report
from handbook_builder.studio.later import dated_later
from handbook_builder.studio.studio import Studio
from handbook_builder.terminal import Tone, echo, echo_place, paint
from handbook_builder.workshop import guides_for, studio_in


@click.command(short_help="Read every record, and name each fault by its file and line.")
@studio_option
@as_of_option
@json_option
def check(studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Read every record and name each fault by file, line and column.

    A warning is told in the same form and is no fault: it keeps nothing from being published.
    """
    found, problems = studio_in(records_of(studio), as_of=day_for(studio, as_of))
    day = day_for(studio, as_of)
    left = _passed_over(studio) if found is None else ()
    warnings = left if found is None else _warnings(found, studio, day)
    warnings += (*waiting(studio), *others(studio))
    if as_json:
        print_json(faults_report(problems, warnings))
    elif found is None:
        for warning in left:
            echo_place(warning.warning, err=True)
        refuse(problems)
    else:
        kinds = (found.recipes, found.vessels, found.burns)
        recipes, vessels, burns = (len(kind) for kind in kinds)
        well = paint("No fault found.", Tone.GOOD)
        echo(f"{well} Recipes: {recipes}, vessels: {vessels}, test candles: {burns}.")
    if found is not None and not as_json:
        for warning in warnings:
            echo_place(warning.warning)
        for place, on in dated_later(found, day):
            echo(f"{place}: dated {on}, which is still to come; it is not seen until then.")
    sys.exit(0 if found is not None else 2 if in_no_studio(problems) else 1)


def _warnings(found: Studio, studio: Path, day: date) -> tuple[Problem, ...]:
    """Return every notice about the records, and about files among them that cannot be shown."""
    told = (*notices(found, day, guides_for(studio)), *_unsearched(found, records_of(studio)))
    if not found.photos:
        return in_order(told)
    from handbook_builder.publish.photos import Album  # noqa: PLC0415 -- pictures load slowly

    photos = {path: records_of(studio) / path for path in found.photos}
    return in_order((*told, *Album(photos, lambda path: f"{SHOWN_AS}{path}").notices()))


def _passed_over(studio: Path) -> tuple[Problem, ...]:
    """Return what lies among records at fault and is none: what is missing may be one of it."""
    return tuple(left_notices(read_folder(records_of(studio), SHOWN_AS).passed_over))


def _unsearched(found: Studio, records: Path) -> Iterator[Problem]:
    """Yield each attachment that goes to helpers, and that no search can look through."""
    attached = attachments_for_helpers(found, names_for(found))
    if attached:
        from handbook_builder.publish.attached import unsearched  # noqa: PLC0415 -- as below

        yield from unsearched(records, published(attached))
