"""The columns of a burn sheet: what is read in a cycle, in which order, and within which limits."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.pool import pool_asked_for
from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import (
    BURNED,
    COVERAGE,
    HOURS,
    MEAN_AFTER_SMOKE,
    MEASURES,
    READ_AS,
    ROOM,
    TABLE,
    Reading,
)

# Beside the flame the room is read as it is lit, and how long it burned once it is out; what is
# asked in the evening starts with the hours.
_TAKEN: Final = {ROOM.key: 15, BURNED.key: 75}
_CHECKED: Final = 30  # among the readings, where the pool is looked at on its way
_MOST_CHECKS: Final = 3


@dataclass(frozen=True, slots=True)
class BurnColumn:
    """What is written into one column: what it is called, its unit, and what it is held against.

    `wide` says how much room it takes: narrow for a number, weight for a mass, time for a moment,
    words for what was seen.
    """

    key: str
    label: str
    unit: str
    limits: tuple[str, ...]
    wide: str


def columns_of(desk: Desk, burn: Burn) -> tuple[BurnColumn, ...]:
    """Return the columns for one candle, in the order in which its readings are taken."""
    lit, seen = desk.phrase("papers.burn.lit"), desk.phrase("papers.burn.seen")
    placed = [(_TAKEN.get(one.key, one.asked), _reading(desk, burn, one)) for one in TABLE]
    placed += [(_CHECKED, check) for check in _checks(desk)]
    return (
        BurnColumn("on", lit, desk.phrase("papers.burn.lit_unit"), (), "time"),
        *(column for _, column in sorted(placed, key=lambda pair: pair[0])),
        BurnColumn("seen", seen, desk.phrase("papers.burn.seen_unit"), (), "words"),
    )


def _reading(desk: Desk, burn: Burn, reading: Reading) -> BurnColumn:
    return BurnColumn(
        key=reading.key,
        label=desk.words.reading(reading.key, "short"),
        unit=_unit(desk, reading),
        limits=tuple(_limits(desk, burn, reading.key)),
        wide="weight" if reading.unit.name in {"g", "h"} else "narrow",
    )


def _unit(desk: Desk, reading: Reading) -> str:
    """Return the unit that is written, by the studio's habit."""
    if reading.unit is HOURS:
        return desk.phrase("papers.burn.hours_unit")
    is_us = desk.studio.info.units == "us"
    return (reading.unit.us if is_us else reading.unit.metric).replace("deg", "°")


def _checks(desk: Desk) -> Iterator[BurnColumn]:
    """Yield the looks at the pool on its way: at each whole hour before the cycle ends."""
    before_end = math.ceil(desk.studio.protocol.cycle_h) - 1
    unit = "in" if desk.studio.info.units == "us" else "mm"
    for hour in range(1, min(before_end, _MOST_CHECKS) + 1):
        label = desk.phrase("papers.burn.check", hours=hour)
        yield BurnColumn(f"check {hour}", label, unit, (), "narrow")


def _limits(desk: Desk, burn: Burn, key: str) -> Iterator[str]:
    """Yield what a reading is held against, what fails the candle first."""
    bearing = (one for one in _bearing(desk, burn) if READ_AS.get(one.measure, one.measure) == key)
    for limit in sorted(bearing, key=lambda one: (one.on_breach, one.measure, one.upper)):
        yield _told(desk, burn, limit)


def _bearing(desk: Desk, burn: Burn) -> Iterable[Limit]:
    """Return the limits that bear on a candle, of several on one side of a reading the tightest."""
    material = desk.studio.vessels[burn.made.vessel].material
    found: dict[tuple[str, bool, str], Limit] = {}
    for limit in desk.studio.protocol.limits:
        if limit.material in {None, material}:
            slot = (limit.measure, limit.upper, limit.on_breach)
            found[slot] = _tighter(found.get(slot, limit), limit)
    return found.values()


def _tighter(one: Limit, other: Limit) -> Limit:
    is_lower = other.bound < one.bound
    return other if is_lower == one.upper else one


def _told(desk: Desk, burn: Burn, limit: Limit) -> str:
    side = "over" if limit.upper else "under"
    unit, bound = MEASURES[limit.measure].name, limit.bound
    if limit.measure == COVERAGE:
        unit, bound = "mm", pool_asked_for(bound, desk.studio.inside_diameter_mm(burn.made))
    sort = limit.measure if limit.measure in {COVERAGE, MEAN_AFTER_SMOKE} else "each"
    breach = desk.phrase(f"papers.burn.breach.{limit.on_breach}")
    bound_told = desk.terse.quantity(bound, unit)
    told = {"breach": breach, "bound": bound_told, "cycle": desk.studio.protocol.full_pool_by}
    return desk.phrase(f"papers.burn.limits.{sort}_{side}", **told)
