"""A cycle in the making: each value read as a record's would be, the whole judged at once."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path
from typing import Final, TypeVar

from handbook_builder.derived.at_bench import AtBench, told_whole, unread_of
from handbook_builder.problems import Problem
from handbook_builder.reading.fields import Report, When
from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import GRAMS, MILLIMETRES, TABLE, Cycle, Unit
from handbook_builder.reading.nodes import Map, compose
from handbook_builder.reading.records import SHOWN_AS, read_record
from handbook_builder.reading.shape import keys_of
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.writing.adding import (
    CannotAddError,
    with_entry,
    with_key,
    with_new_value,
    with_value,
    without_key,
)
from handbook_builder.writing.scale_copy import ScaleCopy, copy_of
from handbook_builder.writing.values import Value, written

# In the order in which they are written.
CYCLE_KEYS: Final = tuple(keys_of(Cycle))
END_KEYS: Final = tuple(keys_of(End))
# The unit that a bare number is taken to be in.
_UNITS: Final[Mapping[str, Unit]] = {
    **{reading.key: reading.unit for reading in TABLE},
    "trimmed": GRAMS,
    "left": GRAMS,
    "checks": MILLIMETRES,
}
# What is asked for beside the readings, and its place among them; then all of it in order.
_BESIDE: Final = {"trimmed": 0, "checks": 30, "seen": 100, "note": 110}
_PLACES: Final = {**_BESIDE, **{reading.key: reading.asked for reading in TABLE}}
ASKED: Final = tuple(sorted(_PLACES, key=lambda key: _PLACES[key]))
T = TypeVar("T")
_BARE: Final = re.compile(r"\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Draft:
    """A burn's file as it is, and what is to be added to it."""

    path: Path
    data: bytes
    bench: AtBench
    today: date
    cycle: Mapping[str, Value] = field(default_factory=dict)
    end: Mapping[str, str] = field(default_factory=dict)
    stamped: datetime | None = None  # the moment of a scale's first reading
    tilt_new: str | None = None  # how it stood before its first light
    scale_log: tuple[Path, bytes] | None = None  # the studio's folder, and what a scale wrote

    @property
    def number(self) -> int:
        """Return the number of the cycle that is added, or of the last one."""
        return len(self.bench.burn.cycles) + (1 if self.cycle else 0)

    @property
    def counted(self) -> int:
        """Return how many cycles the record is to count, with the one that is added.

        One is added to what it counts now: a cycle that was lost before stays missing.
        """
        burn = self.bench.burn
        known = len(burn.cycles) if burn.lit is None else burn.lit
        return known + (1 if self.cycle else 0)

    @property
    def copy(self) -> ScaleCopy | None:
        """Return what is kept of a scale's file that the cycle was read from."""
        if self.scale_log is None or not self.cycle:
            return None
        studio, data = self.scale_log
        return copy_of(studio, self.bench.burn.source.id, self.number, data)

    @property
    def file(self) -> str:
        """Return the file as messages name it."""
        return self.bench.burn.source.file

    @property
    def units(self) -> Mapping[str, str]:
        """Return the unit that each reading is asked for in, by the studio's habit."""
        return units_of(self.bench)

    @property
    def tilt_is_due(self) -> bool:
        """Return whether it is still unsaid how the candle stood before its first light."""
        unsaid = self.bench.burn.made.tilt is None and self.tilt_new is None
        return unsaid and "tilt" in self.bench.studio.protocol.needs

    def given(
        self, *, cycle: Mapping[str, Value] | None = None, end: Mapping[str, str] | None = None
    ) -> "Draft":
        """Return the draft with more values, in the order in which they are written."""
        new = replace(
            self,
            cycle=_in_order({**self.cycle, **(cycle or {})}, CYCLE_KEYS),
            end=_in_order({**self.end, **(end or {})}, END_KEYS),
        )
        if not (new.end and new.number):
            return new
        # An end counts its cycles, so that one that is lost later is noticed.
        return replace(new, end={**new.end, "cycles": str(new.counted)})

    def with_one(self, key: str, value: Value, *, of_end: bool) -> "Draft":
        """Return the draft with one more value, of its end or of its cycle."""
        return self.given(end={key: str(value)}) if of_end else self.given(cycle={key: value})

    @property
    def judged(self) -> CycleVerdict | None:
        """Return the verdict of the cycle that is added, or None without one."""
        return self.verdict().cycles[-1] if self.cycle else None

    def bytes(self) -> bytes:
        """Return the file's bytes with the draft added; raises CannotAddError."""
        new = with_entry(self.data, "cycles", self.cycle) if self.cycle else self.data
        if self.bench.burn.lit is not None and (self.cycle or self.end):
            # An end counts the cycles from now on: a count of the burning would outlive it.
            new = without_key(new, "lit") if self.end else with_value(new, "lit", str(self.counted))
        if self.tilt_new is not None:
            new = with_new_value(new, "made.tilt", self.tilt_new)
        return with_key(new, "end", self.end) if self.end else new

    def burn(self) -> Burn:
        """Return the burn as it would be read; every value has been read before."""
        record, problems = read_record(f"burns/{self.path.name}", self.bytes(), SHOWN_AS)
        if not isinstance(record, Burn):
            raise ValueError(problems)  # noqa: TRY004 -- not about a type
        return record

    def told_unread(self) -> "Draft":
        """Return the draft with what is due in its cycle and was not given said to be unread.

        Where it has no place in the file it stays as it is: that is told when it is written.
        """
        if not self.cycle:
            return self
        try:
            lacking = unread_of(self.bench, self.burn())
        except CannotAddError:
            return self
        return self.given(cycle={"unread": list(lacking)}) if lacking else self

    def verdict(self) -> CandleVerdict:
        """Return the verdict of the candle with the draft added."""
        return told_whole(self.bench, self.burn())


def units_of(bench: AtBench) -> Mapping[str, str]:
    """Return the unit that each reading is asked for in, by the studio's habit."""
    return units_asked(bench.studio.info.units)


def units_asked(habit: str) -> Mapping[str, str]:
    """Return the unit that each reading is asked for in; `habit` is metric, us or both."""
    return {key: one.us if habit == "us" else one.metric for key, one in _UNITS.items()}


def _in_order(given: Mapping[str, T], keys: tuple[str, ...]) -> dict[str, T]:
    """Return the values in the order of `keys`; a key that is none of them is a fault of ours."""
    if strangers := given.keys() - set(keys):
        msg = f"no key that could be written: {', '.join(sorted(strangers))}"
        raise ValueError(msg)
    return {key: given[key] for key in keys if key in given}


def problems_of(key: str, value: Value, *, of_end: bool = False) -> list[Problem]:
    """Return what the check would say of one value of a cycle, or of an end."""
    root, problems = compose(f"{key}: {written(value)}", "", 1)
    report = Report("", problems)
    if isinstance(root, Map):
        keys_of(End if of_end else Cycle)[key].read(root.entries[0][1], report, key)
    return report.problems


def day_of(on: Value) -> date | None:
    """Return the day of a cycle's `on`, or None when it is none."""
    root, _ = compose(f"on: {written(on)}", "", 1)
    if not isinstance(root, Map):
        return None
    found = keys_of(Cycle)["on"].read(root.entries[0][1], Report(""), "on")
    return found.day if isinstance(found, When) else None


def with_unit(text: str, unit: str | None) -> str:
    """Return what was typed, a bare number with the unit that was asked for."""
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def listed(text: str) -> list[str]:
    """Return the words of a text with commas between them."""
    return [part.strip() for part in text.split(",") if part.strip()]


def checks_of(text: str, unit: str | None = None) -> dict[str, str] | str:
    """Return the pool's width by time from "1 h=41 mm, 2 h=55 mm", or the part that is none."""
    found: dict[str, str] = {}
    for word in listed(text):
        time, equals, width = word.partition("=")
        if not equals or not time.strip() or not width.strip():
            return word
        found[with_unit(time.strip(), unit and "h")] = with_unit(width.strip(), unit)
    return found
