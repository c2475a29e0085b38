"""What every verb that writes a record asks first: is it whole and true, and is its name free."""

from collections.abc import Iterable
from pathlib import Path

from handbook_builder.cli.options import day_for
from handbook_builder.cli.telling import Telling
from handbook_builder.faults.new_record import at_odds
from handbook_builder.problems import Problem
from handbook_builder.reading.records import SHOWN_AS, Reading, read_record
from handbook_builder.terminal import echo
from handbook_builder.workshop import last_known_day


def blanks_in(told: Telling, studio: Path, reading: Reading, path: str, text: str) -> list[Problem]:
    """Return the blanks of a new record; anything else at fault was set so: a wrong call.

    That is what cannot be read, what names nothing that is on file (`reading`), and a day to come.
    """
    data, known_by = text.encode(), last_known_day(day_for(studio, None))
    _, problems = read_record(path, data, SHOWN_AS)
    wrong = [fault for fault in problems if fault.code != "empty_value"]
    wrong = wrong or list(at_odds(reading, path, data, SHOWN_AS, known_by))
    if wrong:
        for slip in wrong:
            echo(slip.message, err=True)
        told.wrong("nothing_written")
    return list(problems)


def refuse_existing(told: Telling, records: Path, paths: Iterable[str]) -> None:
    """End as a wrong call when any of the files is there, in capitals or not."""
    for path in paths:
        taken = {file.name.casefold() for file in (records / path).parent.iterdir()}
        if path.rpartition("/")[2].casefold() in taken:
            told.wrong("exists", file=SHOWN_AS + path)
