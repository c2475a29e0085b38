"""What a call of `take` asks for, and what becomes of each of its files."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Literal

from handbook_builder.cli.telling import Telling
from handbook_builder.problems import Problem, problem
from handbook_builder.reading.fields import When
from handbook_builder.reading.shape import Source
from handbook_builder.writing.taken_cycles import Step

Result = Literal["taken", "known", "stayed", "gone"]


@dataclass(frozen=True, slots=True)
class TakeCall:
    """How files are taken: into which studio, as of when, and whether all in them was read so.

    `latest` is the last moment that a clock beside a flame can have shown.
    """

    studio: Path
    records: Path
    inbox: Path
    today: date
    latest: datetime
    as_read: bool
    told: Telling


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a file: written to `record` and moved, known already, or left and why.

    It is `gone` when another run took it meanwhile. `steps` are the cycles that were added, and
    `told` has the words to tell them in. `warnings` are what the check warns of since then.
    """

    file: str
    result: Result
    problems: tuple[Problem, ...] = ()
    kind: str | None = None
    record: str | None = None
    moved: str | None = None
    steps: tuple[Step, ...] = ()
    elsewhere: int = 0
    told: Telling | None = None
    warnings: tuple[Problem, ...] = ()


class StaysError(Exception):
    """A file cannot be taken: it stays where it is, and nothing is written."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Say why, at least once."""
        self.problems = tuple(problems)
        super().__init__(*map(str, self.problems))


def stays(source: Source, path: str, code: str, **details: object) -> StaysError:
    """Return why a file stays, at a key of it."""
    return StaysError([problem(source.place(path), code, details)])


def refuse_to_come(call: TakeCall, source: Source, moments: Iterable[tuple[str, When]]) -> None:
    """Refuse a file that tells of what is still to come, by the paths of its moments."""
    for path, moment in moments:
        is_late = (
            moment.day > call.latest.date()
            if moment.at is None
            else datetime.combine(moment.day, moment.at) > call.latest
        )
        if is_late:
            at = "" if moment.at is None else f" {moment.at:%H:%M}"
            now = f"{call.latest:%Y-%m-%d %H:%M}" if moment.at else call.latest.date()
            raise stays(source, path, "handover_time", on=f"{moment.day}{at}", now=now)


def end_of(day: date) -> datetime:
    """Return the last moment of a day."""
    return datetime.combine(day, time.max)
