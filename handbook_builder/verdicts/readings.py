"""One reading against one limit."""

from enum import StrEnum
from typing import Final

from handbook_builder.reading.kinds.house import Limit

# Readings are written with few digits; this only forgives what floats add to them.
SLACK: Final = 1e-9


class Verdict(StrEnum):
    """The words for one reading, one cycle and one test candle."""

    PASS = "pass"  # noqa: S105 -- a verdict, not a password
    WATCH = "watch"
    FAIL = "fail"
    NOT_READ = "not read"
    INCOMPLETE = "incomplete"
    BURNING = "burning"
    VOID = "void"
    MISUSE = "misuse"
    LADDER = "ladder"


def exceeds(value: float, bound: float) -> bool:
    """Return whether `value` is above `bound` by more than floats add to what was written."""
    return value - bound > SLACK


def against(reading: float | None, limit: Limit) -> Verdict:
    """Return how `reading`, in the unit of the limit, stands to it; equal is within."""
    if reading is None:
        return Verdict.NOT_READ
    beyond = exceeds(reading, limit.bound) if limit.upper else exceeds(limit.bound, reading)
    return Verdict(limit.on_breach) if beyond else Verdict.PASS
