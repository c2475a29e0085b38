"""`take`."""

import os
import sys
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Final

import click

from handbook_builder.cli.cycle_told import logged, tell_verdict
from handbook_builder.cli.options import (
    as_of_option,
    day_for,
    json_option,
    print_json,
    records_of,
    refuse,
    studio_option,
)
from handbook_builder.cli.take_call import Outcome, TakeCall, end_of
from handbook_builder.cli.take_one import take_one
from handbook_builder.cli.telling import Telling, telling_for
from handbook_builder.problems import Place, plain, problem
from handbook_builder.reading.handover import HandedCycles, read_handover
from handbook_builder.reading.records import SHOWN_AS, STUDIO_FILE
from handbook_builder.reports.take import TakenFile, take_report
from handbook_builder.terminal import echo_place
from handbook_builder.writing.inbox import INBOX, bytes_of, waiting_in

# How far the clock of a telephone may be ahead of this one.
_SLACK: Final = timedelta(minutes=5)


@click.command(short_help="Write into the records what was handed over from the bench.")
@click.argument("files", nargs=-1, type=click.Path(exists=True, path_type=Path), metavar="[FILE]…")
@studio_option
@as_of_option
@json_option
@click.option("--as-read", is_flag=True, help="All of it was read so: write it unasked.")
def take(
    files: tuple[Path, ...], studio: Path, as_of: date | None, *, as_json: bool, as_read: bool
) -> None:
    """Write into the records what was handed over from the bench, and say at once how it did.

    FILE is a file that a page at the bench or a pour sheet has made, or a folder of such files;
    without any it is the studio's folder inbox. Each file is taken whole or not at all: cycles are
    added as log would, after the same questions; a batch and an incident become new records. What
    is taken is moved to inbox/taken; what is not stays where it is, and is told why. A file that
    is taken twice adds nothing.

    \b
    handbook take
    handbook take BURN-2026-11-28-9f2c41.txt --as-read
    """  # noqa: D301 -- the mark is Click's
    told = telling_for(studio)
    records = records_of(studio)
    if not (records / STUDIO_FILE).is_file():
        refuse([problem(Place(SHOWN_AS), "no_records")], as_json=as_json)
    today = day_for(studio, as_of)
    is_today = today == date.today()  # noqa: DTZ011 -- the local day
    latest = datetime.now() + _SLACK if is_today else end_of(today)  # noqa: DTZ005 -- the local time
    call = TakeCall(studio, records, studio / INBOX, today, latest, as_read, told)
    found, others = _sorted_out(studio, files)
    outcomes = []
    for path, shown in found:
        outcome = take_one(call, path, shown)
        outcomes.append(outcome)
        _tell(told, outcome, as_json=as_json)
    # Pictures that came with what was taken are gone by now.
    left = [name for path, name in others.items() if os.path.lexists(path)]
    _tell_all(told, outcomes, left, as_json=as_json)
    sys.exit(1 if any(one.problems for one in outcomes) else 0)


def _sorted_out(
    studio: Path, given: Sequence[Path]
) -> tuple[list[tuple[Path, str]], dict[Path, str]]:
    """Return the files to take in the order in which they are taken, and what is none of them."""
    inbox = studio / INBOX
    found: dict[Path, str] = {}
    left: dict[Path, str] = {}
    for one in given or ([inbox] if inbox.is_dir() else []):
        if not one.is_dir():
            found.setdefault(one, _shown(studio, one))
            continue
        here = waiting_in(one)
        found.update({path: _shown(studio, path) for path in here.files if path not in found})
        left.update({path: _shown(studio, path) for path in here.others})
    return sorted(found.items(), key=_when), left


def _shown(studio: Path, path: Path) -> str:
    within = path.is_relative_to(studio) and studio != Path()
    return (path.relative_to(studio) if within else path).as_posix()


def _when(found: tuple[Path, str]) -> tuple[object, ...]:
    """Return what orders the files: by the time of their sessions, the longest of each first.

    Of the files that one session wrote the last holds all; taken first, it is written as one.
    """
    path, shown = found
    try:
        read, _ = read_handover(bytes_of(path) or b"", shown)
    except OSError:
        read = None  # told when it is taken
    if read is None:
        return ("", 0, False, shown)
    handed = read.handed
    begun = str(handed.written.day)
    if isinstance(handed, HandedCycles):
        first = handed.cycles[0].cycle.on if handed.cycles else handed.written
        begun = f"{first.day} {first.at or ''} {handed.session}"
        return (begun, -len(handed.cycles), handed.end is None, shown)
    return (begun, 0, False, shown)


def _tell(told: Telling, outcome: Outcome, *, as_json: bool) -> None:
    """Say what became of a file: as `log` does of each cycle, and where it is now."""
    for fault in outcome.problems:
        echo_place(str(fault), err=True)
    if as_json:
        return
    for step in outcome.steps:
        tell_verdict(outcome.told or told, step.draft)
    if outcome.result != "stayed":
        record = outcome.record or ""
        told.say(f"take.result.{outcome.result}", file=plain(outcome.file), record=record)
    for warning in outcome.warnings:
        echo_place(warning.warning, err=True)
    if outcome.moved:
        told.say("take.moved", place=plain(outcome.moved))
    if outcome.elsewhere:
        told.warn("elsewhere", count=outcome.elsewhere)


def _tell_all(
    told: Telling, outcomes: Sequence[Outcome], left: Sequence[str], *, as_json: bool
) -> None:
    if as_json:
        say = told.words.say
        reports = ((_for_report(one), one.told.words.say if one.told else say) for one in outcomes)
        print_json(take_report(reports, left))
        return
    for name in left:
        told.say("take.left", file=plain(name))
    told.say("take.summary", taken=_count(outcomes, "taken"), known=_count(outcomes, "known"),
             stayed=_count(outcomes, "stayed"))  # fmt: skip


def _count(outcomes: Sequence[Outcome], result: str) -> int:
    return sum(one.result == result for one in outcomes)


def _for_report(one: Outcome) -> TakenFile:
    added = tuple(logged(step.draft) for step in one.steps)
    return TakenFile(
        one.file, one.result, one.kind, one.record, one.moved, added, one.problems, one.warnings
    )
