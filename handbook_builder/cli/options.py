"""What every verb shares: which studio, as of which day, and how its faults are printed."""

import re
import sys
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import NoReturn

import click

from handbook_builder.cli.group import told_to_program
from handbook_builder.derived.account import Account
from handbook_builder.pages.edition import Edition
from handbook_builder.problems import Problem
from handbook_builder.publish.addresses import address_of, fault_of
from handbook_builder.publish.config_file import ConfigFileError, config_file, read_config
from handbook_builder.reading.merges import conflicts
from handbook_builder.reports.faults import faults_report
from handbook_builder.reports.plain import as_json as json_of
from handbook_builder.terminal import echo, echo_place, seen_from_here
from handbook_builder.words import Words
from handbook_builder.workshop import account_in, words_for, words_text_for


class Day(click.ParamType[date]):
    """A date in ISO form."""

    name = "date"

    def convert(
        self,
        value: object,
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> date:
        """Return the date that `value` names, or fail as a wrong call."""
        if isinstance(value, date):
            return value
        try:
            return datetime.strptime(str(value), "%Y-%m-%d").date()  # noqa: DTZ007 -- a day has no zone
        except ValueError:
            self.fail(f"{value!r} is no date; write a day such as 2026-03-15.", param, ctx)


class Count(click.ParamType[int]):
    """A whole number from 1 to a most."""

    name = "count"

    def __init__(self, most: int) -> None:
        """Take whole numbers up to `most`."""
        self.most = most

    def convert(
        self,
        value: object,
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> int:
        """Return the number that `value` is, or fail as a wrong call."""
        written = str(value).strip()
        found = int(written) if re.fullmatch(r"[0-9]{1,9}", written) else 0
        if not 1 <= found <= self.most:
            text = f"{value!r} is no count; write a whole number from 1 to {self.most}."
            self.fail(text, param, ctx)
        return found


def _studio(_context: click.Context, _option: click.Parameter, studio: Path) -> Path:
    seen_from_here(studio)
    return studio


studio_option = click.option(
    "--studio",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="The studio's folder, which holds records/. [default: here]",
    callback=_studio,
)
as_of_option = click.option(
    "--as-of", type=Day(), default=None, help="Judge as of this day. [default: today]"
)
json_option = click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="Print JSON for a program; with records at fault, their faults as check --json has them.",
)


def records_of(studio: Path) -> Path:
    """Return the folder of the studio's records; its paths are printed as seen from here."""
    records = studio / _settings(studio).get("records", "records")
    seen_from_here(studio, records)
    return records


def day_for(studio: Path, as_of: date | None) -> date:
    """Return the day to judge by: the one asked for, else the studio's fixed one, else today."""
    if as_of is not None:
        return as_of
    fixed = _settings(studio).get("as_of")
    if not fixed:
        return date.today()  # noqa: DTZ011 -- the local day
    try:
        return date.fromisoformat(fixed)
    except ValueError as error:
        msg = f"{config_file(studio)}: as_of is {fixed!r}; write a day such as 2026-03-15."
        raise click.UsageError(msg) from error


def ordinary_words(studio: Path) -> tuple[str, ...]:
    """Return the words that are no secret in the floor edition, as mkdocs.yml lists them."""
    listed = _entry(studio).get("ordinary_words")
    return tuple(map(str, listed)) if isinstance(listed, list) else ()


def address_for(studio: Path, edition: Edition) -> str:
    """Return where an edition is served, as mkdocs.yml says, or nothing; end at a bad address."""
    entry = _entry(studio)
    option = entry.get("address")
    fault = fault_of(option) if option else ""
    if fault:
        msg = f"{config_file(studio)}: address: {fault}"
        raise click.UsageError(msg)
    stated = "floor" if entry.get("edition") == "floor" else "owner"
    site_url = str(_config(studio).get("site_url") or "")
    return address_of(option, site_url, edition=edition, stated=Edition(stated))


def _settings(studio: Path) -> dict[str, str]:
    """Return what the studio's own mkdocs.yml says in one word under `handbook`, all as text."""
    return {key: value for key, value in _entry(studio).items() if isinstance(value, str)}


def _config(studio: Path) -> dict[str, object]:
    """Return all that the studio's own mkdocs.yml says, all as text."""
    file = config_file(studio)
    if file is None:
        return {}
    if unmerged := conflicts(file.read_bytes(), str(file), keys_only=True):
        raise click.UsageError("\n".join(map(str, unmerged)))
    try:
        return dict(read_config(file))
    except ConfigFileError as error:
        raise click.UsageError(str(error)) from error


def _entry(studio: Path) -> dict[str, object]:
    """Return all that the studio's own mkdocs.yml says under `handbook`."""
    plugins = _config(studio).get("plugins", [])
    entries = plugins if isinstance(plugins, list) else [plugins]
    for entry in entries:
        if isinstance(entry, dict) and isinstance(entry.get("handbook"), dict):
            return dict(entry["handbook"])
    return {}


def print_json(value: object) -> None:
    """Print a report for a program."""
    told_to_program()
    click.echo(json_of(value))


def print_faults(problems: Iterable[Problem], *, as_json: bool = False) -> None:
    """Print every problem to stderr, one a line, and for a program all of them to stdout."""
    found = tuple(problems)
    for one in found:
        echo_place(str(one), err=True)
    if as_json:
        print_json(faults_report(found))


def print_problems(problems: Sequence[Problem], *, as_json: bool = False) -> None:
    """Print every problem, and what they mean."""
    print_faults(problems, as_json=as_json)
    noun = "problem" if len(problems) == 1 else "problems"
    echo(
        f"{len(problems)} {noun} in the records. While there is any, nothing is approved, "
        "and nothing can be published.",
        err=True,
    )


def refuse(problems: Sequence[Problem], *, as_json: bool = False) -> NoReturn:
    """Print every problem and end: with records at fault, or as a call where there are none."""
    if in_no_studio(problems):
        print_faults(problems, as_json=as_json)
        sys.exit(2)
    print_problems(problems, as_json=as_json)
    sys.exit(1)


def in_no_studio(problems: Sequence[Problem]) -> bool:
    """Return whether all that is wrong is the folder that the command was called in."""
    return [fault.code for fault in problems] == ["no_records"]


def account_or_exit(
    studio: Path, as_of: date | None, *, as_json: bool = False
) -> tuple[Account, Words]:
    """Return the studio's account and its words; with a record at fault, print and exit."""
    account, problems = account_in(records_of(studio), day_for(studio, as_of), studio)
    if account is None:
        refuse(problems, as_json=as_json)
    return account, words_for(account.studio, words_text_for(studio))
