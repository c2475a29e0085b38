"""The times in a scale's file: moments as devices write them, or the time since the first reading.

Which number of a date is its day is never guessed: the call says it, or the file leaves no doubt.
"""

import contextlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Final

from handbook_builder.reading.days import ISO, day_of, styles_of
from handbook_builder.reading.scale_rows import FaultyError, FileFault, fault

_CLOCK: Final = re.compile(
    r"(?P<rest>.*?)(?:^|[ T,]+)(?P<hour>[0-9]{1,3}):(?P<minute>[0-5][0-9])"
    r"(?::(?P<second>[0-5][0-9](?:[.,][0-9]{1,9})?))?\s*(?P<half>[AaPp]\.?[Mm]\.?)?"
)
_ISO_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LIKE_A_DAY: Final = re.compile(
    r"[0-9]{1,4}([-./])[0-9]{1,2}\1[0-9]{1,4}|[0-9]{1,2}[-./ ]+[A-Za-z]{3,9}\.?[-./ ]+[0-9]{2,4}"
    r"|[A-Za-z]{3,9}\.? [0-9]{1,2},? [0-9]{2,4}"
)
_NOON: Final = 12
_HOURS_A_DAY: Final = 24


@dataclass(frozen=True, slots=True)
class Stamp:
    """A cell that holds a moment or a clock: its line, its column, its date and time as written."""

    line: int
    column: str
    text: str
    day: str
    hour: int = 0
    minute: int = 0
    second: float = 0.0
    half: str = ""
    has_seconds: bool = False
    has_clock: bool = False

    def fault(self, code: str = "bad_time", **details: object) -> FileFault:
        """Return the fault that this cell is."""
        return fault(code, line=self.line, column=self.column, found=self.text, **details)

    @property
    def elapsed_h(self) -> float:
        """Return the hours that the clock shows."""
        return self._hour + self.minute / 60 + self.second / 3600

    @property
    def _hour(self) -> int:
        """Return the hour of a day of 24; raises FaultyError for one that no clock of 12 has."""
        if not self.half:
            return self.hour
        if not 1 <= self.hour <= _NOON:
            raise FaultyError(self.fault())
        return self.hour % _NOON + (_NOON if self.half.lower().startswith("p") else 0)

    def moment(self, style: str) -> datetime:
        """Return the moment, the date read by its style; raises FaultyError."""
        day = day_of(self.day, style)
        if day is None or self._hour >= _HOURS_A_DAY:
            raise FaultyError(self.fault())
        at = timedelta(hours=self._hour, minutes=self.minute, seconds=self.second)
        return datetime.combine(datetime.fromisoformat(day), time.min) + at


def stamp_of(line: int, column: str, cell: str) -> Stamp | datetime | None:
    """Return an ISO moment, the date and clock of a cell, or None; raises FaultyError."""
    padded = re.sub(r"(?<=^.{10}[ T])(?=[0-9]:)", "0", cell)
    if _ISO_DAY.match(cell):
        with contextlib.suppress(ValueError):
            return datetime.fromisoformat(padded)
    found = _CLOCK.fullmatch(cell)
    day = found["rest"].rstrip(" ,") if found else cell
    if day and not _LIKE_A_DAY.fullmatch(day):
        if _ISO_DAY.match(cell) or found:
            raise FaultyError(Stamp(line, column, cell, day).fault())
        return None
    if found is None:
        return Stamp(line, column, cell, day)
    second = float((found["second"] or "0").replace(",", "."))
    hour, minute, half = int(found["hour"]), int(found["minute"]), found["half"] or ""
    has_seconds = found["second"] is not None
    return Stamp(line, column, cell, day, hour, minute, second, half, has_seconds, has_clock=True)


def is_clock(cell: str) -> bool:
    """Return whether a cell holds the time of a day and nothing else."""
    found = _CLOCK.fullmatch(cell)
    return found is not None and not found["rest"]


def read_stamps(stamps: Sequence[Stamp], style: str | None) -> tuple[list[datetime | float], str]:
    """Return each stamp as a moment, or as hours where no date stands with it, and the style used.

    A clock without a date tells the hours that ran, of two numbers nobody knows which. Raises
    FaultyError.
    """
    _refuse_halves(stamps)
    dated = [one for one in stamps if one.day]
    used = _style(dated, style) if dated else ""
    return [one.moment(used) if one.day else _hours(one) for one in stamps], used


def _refuse_halves(stamps: Sequence[Stamp]) -> None:
    """Refuse a file of which some times are of the morning or afternoon, and others do not say."""
    clocks = [one for one in stamps if one.has_clock]
    if any(one.half for one in clocks):
        for one in clocks:
            if not one.half:
                raise FaultyError(one.fault("half_marked"))


def _style(dated: Sequence[Stamp], given: str | None) -> str:
    days = [one.day for one in dated]
    if given is not None:
        return given
    if all(_ISO_DAY.fullmatch(day) for day in days):
        return ISO
    fit = styles_of(list(dict.fromkeys(days)))
    if len(fit) > 1:
        raise FaultyError(dated[0].fault("which_date", styles=" or ".join(fit)))
    if not fit:
        raise FaultyError(dated[0].fault())
    return fit[0]


def _hours(one: Stamp) -> float:
    if not one.has_seconds and not one.half:
        raise FaultyError(one.fault("short_clock"))
    return one.elapsed_h
