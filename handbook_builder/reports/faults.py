"""What is wrong with the records: `check --json`, and every `--json` of records at fault.

`faults` and `warnings`: [{file, line, column, code, message}], lines and columns counted from 1.
A warning is no fault: it keeps nothing from being published.
"""

from collections.abc import Iterable
from typing import Final

from handbook_builder.problems import Problem
from handbook_builder.reports.plain import fields_of

# Raised when a key or a code comes to mean something else.
FORMAT: Final = 2


def faults_report(faults: Iterable[Problem], warnings: Iterable[Problem] = ()) -> dict[str, object]:
    """Return what is wrong, and what should be looked at."""
    return {
        "format": FORMAT,
        "faults": [problem_told(fault) for fault in faults],
        "warnings": [problem_told(warning) for warning in warnings],
    }


def call_report(code: str, said: Iterable[str]) -> dict[str, object]:
    """Return why a call was not followed, as the faults of records are told; it has no place.

    `code` is `wrong_call`, or `refused` where the call was right: by the system, or by the records.
    """
    place = {"file": None, "line": None, "column": None}
    faults = [{**place, "code": code, "message": line} for line in said if line]
    return {"format": FORMAT, "faults": faults, "warnings": []}


def problem_told(one: Problem) -> dict[str, object]:
    """Return a fault or a warning by its place, its code and its sentence."""
    return {**fields_of(one.place), "code": one.code, "message": one.message}
