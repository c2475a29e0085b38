"""What is read in a cycle: one table of readings, and the shape of a cycle that holds them.

All that deals with readings follows from `TABLE`: what a record may say to be unread or due, what
a limit may be set on, the options and questions of `handbook log`, the columns of a candle's page
and the tables of a comparison. What each reading is called on a page and asked for at the bench
stands in `words.yml`, under `readings`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from handbook_builder import units
from handbook_builder.reading.fields import (
    Reader,
    When,
    bounded,
    choice,
    day,
    duration_h,
    duration_s,
    length_mm,
    mass_g,
    quantity,
    some_length_mm,
    temperature_c,
    text,
    when,
)
from handbook_builder.reading.lists import many, one_or_many, table
from handbook_builder.reading.shape import optional, required, shape


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of readings: its name in fields and reasons, and what a bare number is taken for.

    `metric` and `us` are written as records write them; `bound` reads what a limit is set to.
    """

    name: str
    metric: str
    us: str
    bound: Reader[float]


HOURS: Final = Unit("h", "h", "h", duration_h)
GRAMS: Final = Unit("g", "g", "oz", mass_g)
MILLIMETRES: Final = Unit("mm", "mm", "in", length_mm)
CELSIUS: Final = Unit("c", "degC", "degF", temperature_c)
SECONDS: Final = Unit("s", "s", "s", duration_s)
SHARE: Final = Unit("share", "%", "%", quantity(units.SHARE))


class Due(StrEnum):
    """Where a reading is due by the shipped protocol."""

    NOWHERE = "nowhere"
    FULL = "full"  # in every full cycle
    EVER = "ever"  # in the last one of an ended candle too, which may be short


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: the key that records write, its unit, and how its value is read.

    `help` is what the command line says of it, `asked` its place among the questions at the bench.
    With `is_limited` a protocol can set a limit on it. `is_shown` gives it a column on the page of
    a candle, `is_compared` a table where candles stand side by side.
    """

    key: str
    unit: Unit
    read: Reader[float]
    help: str
    asked: int
    due: Due = Due.NOWHERE
    is_limited: bool = False
    is_shown: bool = True
    is_compared: bool = True

    @property
    def field(self) -> str:
        """Return the field of a cycle that holds it: the key, with its unit unless a share."""
        return self.key if self.unit is SHARE else f"{self.key}_{self.unit.name}"

    def of(self, cycle: "Cycle") -> float | None:
        """Return what was read in a cycle, or None."""
        value: float | None = getattr(cycle, self.field)
        return value


BURNED: Final = Reading(
    "burned", HOURS, duration_h, "How long it burned: 4 h, 3 h 50 min.", asked=20, due=Due.EVER
)
BEFORE: Final = Reading(
    "before", GRAMS, mass_g, "Mass before.", asked=10, due=Due.EVER, is_compared=False
)
AFTER: Final = Reading(
    "after", GRAMS, mass_g, "Mass after.", asked=90, due=Due.EVER, is_compared=False
)
POOL: Final = Reading(
    "pool", MILLIMETRES, some_length_mm, "Width of the pool at the end.", asked=50, due=Due.FULL
)
DEPTH: Final = Reading(
    "depth", MILLIMETRES, length_mm, "Depth of the pool.", asked=55, is_limited=True
)
FLAME: Final = Reading(
    "flame", MILLIMETRES, some_length_mm, "Height of the flame.", asked=40, due=Due.EVER,
    is_limited=True,
)  # fmt: skip
WALL: Final = Reading(
    "wall", CELSIUS, temperature_c, "Hottest place of the outer wall.", asked=60, due=Due.FULL,
    is_limited=True,
)  # fmt: skip
AFTER_SMOKE: Final = Reading(
    "after_smoke", SECONDS, duration_s, "How long the wick smoked after it was put out.", asked=80,
    is_limited=True,
)  # fmt: skip
# A circumstance: the candle's page tells it once, beside what the candle was made of.
ROOM: Final = Reading(
    "room", CELSIUS, temperature_c, "How warm the room was.", asked=70, is_limited=True,
    is_shown=False, is_compared=False,
)  # fmt: skip

# In the order in which a cycle's keys are written.
TABLE: Final = (BURNED, BEFORE, AFTER, POOL, DEPTH, FLAME, WALL, AFTER_SMOKE, ROOM)
READINGS: Final[Mapping[str, Reading]] = MappingProxyType(
    {reading.key: reading for reading in TABLE}
)
# What a limit may be set on, and its unit: `coverage` is told by the pool, the mean after-smoke
# time by all cycles of a candle.
COVERAGE: Final = "coverage"
MEAN_AFTER_SMOKE: Final = "mean_after_smoke"
MEASURES: Final[Mapping[str, Unit]] = MappingProxyType(
    {reading.key: reading.unit for reading in TABLE if reading.is_limited}
    | {COVERAGE: SHARE, MEAN_AFTER_SMOKE: AFTER_SMOKE.unit}
)
READ_AS: Final = {COVERAGE: POOL.key, MEAN_AFTER_SMOKE: AFTER_SMOKE.key}
CRITICAL: Final = ("secondary_ignition", "flare_up", "crack", "leak")
SEEN_WORDS: Final = (
    "mushrooming", "sooting", "smoking", "tunnelling", "drowning", "flickering",
    "secondary_ignition", "flare_up", "wick_drift", "afterglow", "crack", "leak",
    "wet_spots", "frosting", "sweating",
)  # fmt: skip
# What `former` may keep of a cycle that was amended: all that is evidence.
FORMER: Final = ("on", "trimmed", *READINGS, "seen", "checks")
# More than a wick weighs would explain away a whole cycle that is not on file.
_cut: Final = bounded(mass_g, 0, 5, "a piece of wick, up to 5 g")


@shape
class Cycle:
    """One burn and what was read in it; whatever was not read is None."""

    on: When = required(when, "the day it was lit")
    trimmed_g: float | None = optional(_cut)
    burned_h: float | None = optional(BURNED.read)
    before_g: float | None = optional(BEFORE.read)
    after_g: float | None = optional(AFTER.read)
    pool_mm: float | None = optional(POOL.read)
    depth_mm: float | None = optional(DEPTH.read)
    flame_mm: float | None = optional(FLAME.read)
    wall_c: float | None = optional(WALL.read)
    after_smoke_s: float | None = optional(AFTER_SMOKE.read)
    room_c: float | None = optional(ROOM.read)
    unread: tuple[str, ...] = optional(many(choice(*READINGS)), ())
    seen: tuple[str, ...] = optional(many(choice(*SEEN_WORDS)), ())
    checks: Mapping[float, float] = optional(
        table(duration_h, some_length_mm), MappingProxyType({})
    )
    note: str | None = optional(text)
    amended: tuple[date, ...] = optional(one_or_many(day), ())
    former: Mapping[str, tuple[str, ...]] = optional(
        table(choice(*FORMER), one_or_many(text)), MappingProxyType({})
    )
