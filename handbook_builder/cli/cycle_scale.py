"""A cycle's weights and hours from the file of a logging scale."""

import math
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from handbook_builder import units
from handbook_builder.cli.cycle_call import ScaleFile
from handbook_builder.cli.telling import Telling
from handbook_builder.figures.burn import expanded
from handbook_builder.figures.scale_log import ScaleLog, Unreadable, scale_log
from handbook_builder.reading.days import is_style
from handbook_builder.reading.scale_columns import by_role
from handbook_builder.reading.scale_file import (
    LARGEST,
    FileFault,
    HowRead,
    Readings,
    read_scale_file,
)
from handbook_builder.terminal import echo


@dataclass(frozen=True, slots=True)
class FromScale:
    """What the scale's file gives for the cycle, as it would be written, and what it tells."""

    known: dict[str, str]
    log: ScaleLog
    readings: int
    told: tuple[str, ...]
    begun: datetime | None
    remarks: tuple[str, ...]
    data: bytes


def from_scale(told: Telling, scale: ScaleFile, scale_g: float, rest_h: float) -> FromScale:
    """Return what a file tells of the cycle; one that tells nothing is a wrong call.

    So is one in which the flame was out, or the scale silent, for as long as a rest: that is no
    cycle that anybody saw, but two, or one and nobody knows what.
    """
    file, data = scale.file, _data(told, scale.file)
    readings = _readings(told, scale, data)
    log = scale_log(readings.hours, readings.mass_g, scale_g)
    if isinstance(log, Unreadable):
        change = told.words.quantity(log.change_g, "g")
        told.wrong(f"scale.{log.code}", file=file, reading=log.reading, change=change)
    for code, spells in (("rested", log.pauses), ("unseen", log.gaps)):
        for one in spells:
            if one.end_h - one.begin_h >= rest_h:
                told.wrong(
                    f"scale.{code}", file=file, from_h=_hours(told, one.begin_h),
                    to_h=_hours(told, one.end_h), rest=_hours(told, rest_h),
                )  # fmt: skip
    digits = max(0, math.ceil(-math.log10(scale_g) - 1e-9))
    known = {
        "burned": _duration(log.burned_h),
        "before": f"{log.before_g:.{digits}f} g",
        "after": f"{log.after_g:.{digits}f} g",
    }
    if readings.begun is not None:
        known["on"] = f"{readings.begun:%Y-%m-%d %H:%M}"
    remarks = (told.text(f"scale.read.{code}", file=file, **details)
               for code, details in readings.told)  # fmt: skip
    events = tuple(_events(told, log))
    return FromScale(known, log, len(readings.hours), events, readings.begun, tuple(remarks), data)


def _data(told: Telling, file: Path | None) -> bytes:
    assert file is not None  # noqa: S101 -- asked before
    try:
        with file.open("rb") as opened:
            return opened.read(LARGEST + 1)
    except OSError as error:
        told.wrong("scale.no_file", file=file, reason=error.strerror)


def _readings(told: Telling, scale: ScaleFile, data: bytes) -> Readings:
    found = read_scale_file(data, how=_how(told, scale))
    if isinstance(found, FileFault):
        told.wrong(f"scale.{found.code}", file=scale.file, **found.details)
    return found


def _how(told: Telling, scale: ScaleFile) -> HowRead:
    """Return what the call says of the file; what is not understood is a wrong call."""
    time_unit, mass_unit = _units(told, scale.in_units)
    columns = by_role(scale.columns) if scale.columns is not None else {}
    if isinstance(columns, str):
        told.wrong("scale.bad_columns", found=columns)
    if scale.dates is not None and not is_style(scale.dates):
        told.wrong("scale.bad_dates", found=scale.dates)
    return HowRead(time_unit, mass_unit, columns, scale.dates, scale.decimal)


def _units(told: Telling, given: str | None) -> tuple[str | None, str | None]:
    if given is None:
        return None, None
    found = [one.strip() for one in given.split(",")]
    known = [units.UNITS[one][1] if one in units.UNITS else None for one in found]
    if known != [units.DURATION, units.MASS]:
        told.wrong("scale.bad_units", found=given)
    return found[0], found[1]


def _duration(hours: float) -> str:
    whole, minutes = divmod(round(hours * 60), 60)
    return f"{whole} h {minutes} min" if whole else f"{minutes} min"


def _hours(told: Telling, hours: float) -> str:
    return told.words.quantity(hours, "h").replace("\N{NO-BREAK SPACE}", " ")


def _events(told: Telling, log: ScaleLog) -> list[str]:
    """Return a sentence for each pause and gap."""
    at = partial(_hours, told)
    pauses = [
        told.text("scale.pause", from_h=at(pause.begin_h), to_h=at(pause.end_h))
        for pause in log.pauses
    ]
    gaps = [
        told.text(
            "scale.gap", from_h=at(gap.begin_h), to_h=at(gap.end_h),
            lost=told.words.quantity(gap.lost_g, "g"), burned=at(gap.burned_h),
        ) for gap in log.gaps
    ]  # fmt: skip
    return [one.replace("\N{NO-BREAK SPACE}", " ") for one in (*pauses, *gaps)]


def tell_scale(told: Telling, found: FromScale, *, as_json: bool) -> None:
    """Print how the file was read and what the scale saw; for a program, only the former."""
    for remark in found.remarks:
        echo(remark, err=True)
    if as_json:
        return
    log, quantity = found.log, told.words.quantity
    rate = told.text(
        "rate", rate=quantity(log.rate_g_per_h, "g_per_h"),
        doubt=quantity(expanded(log.rate_se_g_per_h), "g_per_h"),
    )  # fmt: skip
    told.say(
        "scale.found", burned=quantity(log.burned_h, "h"), before=found.known["before"],
        after=found.known["after"], rate=rate, readings=found.readings,
    )  # fmt: skip
    for spot in found.told:
        told.say("scale.tell", what=spot)
