"""One test candle as its bench page is told of it: what is on file, its limits, its table."""

from collections.abc import Iterator
from typing import Final

from handbook_builder.derived.asked import Row, Shown
from handbook_builder.derived.asked_rows import table_of
from handbook_builder.derived.handover import as_it_was, state_of
from handbook_builder.figures.pool import pool_asked_for
from handbook_builder.pages.bench.understood import Told
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.reference import bound_shown
from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import (
    COVERAGE,
    CRITICAL,
    MEAN_AFTER_SMOKE,
    READ_AS,
    TABLE,
    Cycle,
)
from handbook_builder.verdicts.cycles import LAST_NEEDS, due_readings, grounds_of
from handbook_builder.verdicts.lighting import cured_on
from handbook_builder.verdicts.seen import Numbered, Seen

# Enough to tell one state of a record from another of the same candle.
_SHORT: Final = 16


def takes_readings(burn: Burn) -> bool:
    """Return whether a candle has a bench page: it is not at its end, nor set aside."""
    return burn.end is None and burn.void is None


def candle_told(desk: Desk, ident: str) -> Told:
    """Return what the bench page of one candle is told.

    It is of the whole record, whatever the day of the handbook: the next cycle comes after all
    that is on file.
    """
    burn, studio = desk.studio.burns[ident], desk.studio
    product = desk.studio.recipes[burn.recipe].title
    return {
        **on_file(ident, burn),
        "title": desk.phrase("titles.test", product=product, candle=burn.candle),
        "candle": burn.candle,
        "code": desk.account.burn_codes[ident],
        "misuse": burn.is_misuse,
        "made_on": burn.made.on.isoformat(),
        "cured_on": cured_on(studio, _seen(burn)).isoformat(),
        "room": burn.room_c,
        "tilt_due": burn.made.tilt is None and "tilt" in studio.protocol.needs,
        "cycle_h": studio.protocol.cycle_h,
        "rest_h": studio.protocol.rest_h,
        "fails": _failing_sights(desk, burn),
        "limits": dict(_limits(desk, burn)),
        "due": _due(desk, burn),
        "due_last": [] if burn.is_misuse else list(LAST_NEEDS),
        **_table(desk, burn),
    }


def on_file(ident: str, burn: Burn) -> Told:
    """Return which candle it is, and what is on file of it: its states, its cycles, its end."""
    states = [state_of(as_it_was(burn, count))[:_SHORT] for count in range(len(burn.cycles) + 1)]
    return {
        "burn": ident,
        "record": state_of(burn),
        "states": states,
        "cycles": [_cycle(cycle) for cycle in burn.cycles],
        "ended": None if burn.end is None else _end(burn.end),
    }


def _cycle(cycle: Cycle) -> Told:
    """Return what was read in a cycle, in base units; what was not read is left out."""
    read = {reading.key: reading.of(cycle) for reading in TABLE}
    told = {key: value for key, value in read.items() if value is not None}
    more = {
        "trimmed": cycle.trimmed_g,
        "seen": list(cycle.seen),
        "checks": [list(pair) for pair in cycle.checks.items()],
    }
    return {"on": _moment(cycle.on), **told, **{key: one for key, one in more.items() if one}}


def _end(end: End) -> Told:
    told = {"how": end.how, "left": end.left_g, "vessel": end.vessel, "tilt": end.tilt}
    return {key: value for key, value in told.items() if value is not None}


def _moment(when: When) -> str:
    return when.day.isoformat() if when.at is None else f"{when.day.isoformat()} {when.at:%H:%M}"


def _seen(burn: Burn) -> Seen:
    cycles = tuple(Numbered(at, cycle) for at, cycle in enumerate(burn.cycles))
    return Seen(burn, cycles, burn.end, is_void=False)


def _due(desk: Desk, burn: Burn) -> list[str]:
    """Return what is due in the next cycle, if it is a full one."""
    if burn.is_misuse:
        return []
    return list(due_readings(grounds_of(desk.studio, _seen(burn)), len(burn.cycles)))


def _failing_sights(desk: Desk, burn: Burn) -> list[str]:
    """Return the words of `seen` that speak against this candle."""
    means = desk.studio.protocol.observations
    failing = [word for word, verdict in means.items() if verdict == "fail"]
    return [word for word in failing if word in CRITICAL or not burn.is_misuse]


def _limits(desk: Desk, burn: Burn) -> Iterator[tuple[str, list[Told]]]:
    """Yield the limits of each reading, as they stand beside its field."""
    material = desk.studio.vessels[burn.made.vessel].material
    own = [limit for limit in desk.studio.protocol.limits if limit.material in {None, material}]
    for reading in TABLE:
        found = [limit for limit in own if _read_as(limit) == reading.key]
        if found:
            yield reading.key, [_limit(desk, burn, limit) for limit in found]


def _read_as(limit: Limit) -> str:
    return READ_AS.get(limit.measure, limit.measure)


def _limit(desk: Desk, burn: Burn, limit: Limit) -> Told:
    """Return one limit in words, and its bound in the unit of the reading.

    A share of the width is told as a width, which is what is read; where it is due only from some
    cycle on, or of the mean, it says so.
    """
    bound, shown = limit.bound, bound_shown(desk, limit)
    if limit.measure == COVERAGE:
        inside = desk.studio.inside_diameter_mm(burn.made)
        shown = desk.words.quantity(pool_asked_for(bound, inside), "mm")
        bound *= inside
    side = desk.phrase(f"bounds.{'at_most' if limit.upper else 'at_least'}", bound=shown)
    told, first = desk.phrase(f"bench.limits.{limit.on_breach}", bound=side), 1
    if limit.measure == COVERAGE:
        first = desk.studio.protocol.full_pool_by
        told = desk.phrase("bench.limits.from_cycle", limit=told, cycle=first)
    if limit.measure == MEAN_AFTER_SMOKE:
        told = desk.phrase("bench.limits.mean", limit=told)
    return {"told": told, "upper": limit.upper, "bound": bound, "from": first,
            "mean": limit.measure == MEAN_AFTER_SMOKE}  # fmt: skip


def _table(desk: Desk, burn: Burn) -> Told:
    """Return the table of what is asked, as plain values."""
    table = table_of(desk.studio, burn)
    grounds = table.grounds
    return {
        "grounds": {
            "poured": grounds.poured_g, "empty": grounds.empty_g, "inside": grounds.inside_mm,
            "full_pool_by": grounds.full_pool_by, "shortest": grounds.shortest_h,
        },
        "slips": [_row(row) for row in table.slips],
        "rules": [_row(row) for row in table.rules],
    }  # fmt: skip


def _row(row: Row) -> Told:
    told = {
        "code": row.code, "key": row.key, "value": row.value, "upper": row.upper,
        "bound": row.bound, "slack": row.slack, "only": list(row.only), "unless": row.unless,
        "shown": {name: _shown(one) for name, one in row.shown.items()},
    }  # fmt: skip
    return {key: value for key, value in told.items() if value not in ([], "")}


def _shown(shown: Shown) -> list[object]:
    return [shown.value, shown.unit]
