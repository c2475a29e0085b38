"""What a call of `log` holds: its options, read into the values of a cycle and of an end."""

import shlex
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final

import click

from handbook_builder.cli.telling import Telling
from handbook_builder.reading.kinds.readings import TABLE
from handbook_builder.writing.cycle_draft import checks_of, listed
from handbook_builder.writing.values import Value

# What is typed as one value: the key, and what the help says of its option.
_TYPED: Final[Mapping[str, str]] = {
    "on": "When it was lit: 2026-03-16, or 2026-03-16 09:30. [default: today]",
    "trimmed": "Mass cut from the wick before this cycle.",
    **{reading.key: reading.help for reading in TABLE},
    "note": "A sentence.",
}
_OF_SCALE: Final = ("units", "columns", "dates", "decimal")
_END: Final = {"why": "why", "left": "left", "vessel_state": "vessel", "tilt": "tilt"}


@dataclass(frozen=True, slots=True)
class ScaleFile:
    """The file of a scale, and what the call says of it, each as it was typed."""

    file: Path | None
    in_units: str | None
    columns: str | None
    dates: str | None
    decimal: str | None


@dataclass(frozen=True, slots=True)
class Call:
    """What was asked for: the file, the values given, and how they are to be taken."""

    path: Path
    studio: Path
    today: date
    cycle: Mapping[str, Value]
    end: Mapping[str, str]
    scale: ScaleFile
    as_json: bool
    as_read: bool
    tilt_new: str | None

    @property
    def has_readings(self) -> bool:
        """Return whether anything was read into the call: a day alone, or a tilt, is no reading.

        The file of a scale is one when the call says the day of its burn.
        """
        by_scale = "on" in self.cycle and self.scale.file is not None
        return bool(self.cycle.keys() - {"on"} or self.end or self.as_json or by_scale)


def as_options(values: Mapping[str, Value]) -> str:
    """Return values of a cycle or an end as the options that give them, each after a space."""
    named = {key: option for option, key in _END.items()} | {"how": "end", "checks": "check"}
    pairs = (
        (named.get(key, key).replace("_", "-"), one)
        for key, value in values.items()
        for one in _typed(value)
    )
    return "".join(f" --{option} {shlex.quote(one)}" for option, one in pairs)


def _typed(value: Value) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, Mapping):
        return [f"{time}={width}" for time, width in value.items()]
    return list(value)


def readings(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command one option for each reading."""
    for key, said in reversed(tuple(_TYPED.items())):
        option = click.option(f"--{key.replace('_', '-')}", default=None, help=said)
        command = option(command)
    return command


def scale_options(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command what it takes to read the file of a scale."""
    for option in reversed(_SCALE):
        command = option(command)
    return command


_SCALE: Final = (
    click.option("--scale-log", type=click.Path(path_type=Path),
                 help="CSV of a scale: time, mass."),
    click.option("--scale-units", default=None,
                 help="Its units, where its header has none: min,g."),
    click.option("--scale-columns", default=None, metavar="NAMES",
                 help='Its columns by name or number: "time=Uhrzeit,mass=Gewicht", date, unit.'),
    click.option("--scale-dates", default=None, metavar="STYLE",
                 help="How it writes dates, where that is doubtful: DD/MM/YYYY, MM/DD/YYYY."),
    click.option("--scale-decimal", type=click.Choice(["point", "comma"]), default=None,
                 help="Its decimal sign, where that is doubtful."),
)  # fmt: skip


def call_of(told: Telling, path: Path, studio: Path, today: date, given: Mapping[str, Any]) -> Call:
    """Return what was asked for; a value that cannot be taken at all is a wrong call."""
    cycle: dict[str, Value] = {key: given[key] for key in _TYPED if given[key] is not None}
    if given["seen"]:
        cycle["seen"] = listed(",".join(given["seen"]))
    if given["check"]:
        checks = checks_of(",".join(given["check"]))
        if isinstance(checks, str):
            told.wrong("not_a_check", found=checks)
        cycle["checks"] = checks
    end = {key: given[option] for option, key in _END.items() if given[option] is not None}
    if given["how"]:
        end["how"] = given["how"]
    if given["as_json"] and not (cycle or end or given["scale_log"]):
        told.wrong("no_json_prompts")
    scale = ScaleFile(given["scale_log"], *(given[f"scale_{one}"] for one in _OF_SCALE))
    return Call(
        path,
        studio,
        today,
        cycle,
        end,
        scale,
        given["as_json"],
        given["as_read"],
        given["tilt_new"],
    )
