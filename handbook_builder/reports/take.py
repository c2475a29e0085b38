"""What `take --json` says of each file that was handed over, and of what else lay beside it.

`{format, files, left}`. `files`: [{file, result, kind, record, moved, added, faults, warnings}].
`result` is `taken`, `known` (all of it was on file), `stayed` (nothing of it was written) or
`gone` (another run took it). `record` is the file that holds it, `moved` where it is kept now, null
where it stays.
`added` are the cycles, each as `log --json` tells one, in their order; `faults`, and the `warnings`
that a new record brings, as `check --json` tells them. `left`: names of files that are no hand-over
files.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from handbook_builder.problems import Problem
from handbook_builder.reports.cycles import Logged, log_report
from handbook_builder.reports.faults import problem_told
from handbook_builder.reports.reasons import Say

# Raised when a key comes to mean something else.
FORMAT: Final = 1


@dataclass(frozen=True, slots=True)
class TakenFile:
    """What became of one file; `added` with the words of the studio that it was added to."""

    file: str
    result: str
    kind: str | None
    record: str | None
    moved: str | None
    added: tuple[Logged, ...]
    faults: tuple[Problem, ...]
    warnings: tuple[Problem, ...]


def take_report(files: Iterable[tuple[TakenFile, Say]], left: Iterable[str]) -> dict[str, object]:
    """Return what became of each file."""
    return {
        "format": FORMAT,
        "files": [_told(one, say) for one, say in files],
        "left": list(left),
    }


def _told(one: TakenFile, say: Say) -> dict[str, object]:
    return {
        "file": one.file,
        "result": one.result,
        "kind": one.kind,
        "record": one.record,
        "moved": one.moved,
        "added": [log_report(cycle, say) for cycle in one.added],
        "faults": [problem_told(fault) for fault in one.faults],
        "warnings": [problem_told(warning) for warning in one.warnings],
    }
