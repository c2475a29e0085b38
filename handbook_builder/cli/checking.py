"""`check`."""

import json
import sys
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.options import (
    as_of_option,
    day_for,
    in_no_studio,
    json_option,
    records_of,
    refuse,
    studio_option,
)
from handbook_builder.problems import Problem
from handbook_builder.studio.later import dated_later
from handbook_builder.workshop import studio_in


@click.command()
@studio_option
@as_of_option
@json_option
def check(studio: Path, as_of: date | None, *, as_json: bool) -> None:
    """Read every record and name each fault by file, line and column."""
    found, problems = studio_in(records_of(studio), as_of=day_for(studio, as_of))
    if as_json:
        click.echo(json.dumps([_plain(one) for one in problems], indent=2, sort_keys=True))
    elif found is None:
        refuse(problems)
    else:
        kinds = (found.recipes, found.vessels, found.burns)
        recipes, vessels, burns = (len(one) for one in kinds)
        click.echo(
            f"No fault found. Recipes: {recipes}, vessels: {vessels}, test candles: {burns}."
        )
    if found is not None and not as_json:
        for place, on in dated_later(found, day_for(studio, as_of)):
            click.echo(f"{place}: dated {on}, which is still to come; it is not seen until then.")
    sys.exit(0 if found is not None else 2 if in_no_studio(problems) else 1)


def _plain(one: Problem) -> dict[str, object]:
    at = one.place
    return {
        "file": at.file,
        "line": at.line,
        "column": at.column,
        "code": one.code,
        "message": one.message,
    }
