"""What is asked about a cycle before it is written, as a table of comparisons for one candle.

Each row holds one value of the cycle against one bound. `handbook log` works the table out here,
and the bench page in `theme/assets/bench-questions.js`: one table, told to both. What a row says
stands in `words.yml`, under its code. Rows that repeat a rule of `verdicts` take its numbers from
there, and a test holds both to the same questions.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.pool import coverage
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import READINGS, Cycle
from handbook_builder.verdicts.readings import SLACK

# What must hold for a row to be asked at all.
FIRST: Final = "first"  # it is the first cycle of all
LATER: Final = "later"
NO_ROOM: Final = "no_room"  # how warm the room was is unsaid
POOL_DUE: Final = "pool_due"  # the pool must be at the wall by this cycle
NOT_OUT: Final = "not_out"  # the candle did not go out in it


@dataclass(frozen=True, slots=True)
class Shown:
    """One blank of a sentence: a number with its unit, a value of the cycle, or a plain text."""

    value: float | str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One comparison: `value` of the cycle lies above `bound` (or below it), and is asked about.

    `key` is the reading beside which it is asked. `bound` is a number in the unit of the value, or
    the name of another value. A row is left out when the one called `unless` was asked.
    """

    code: str
    key: str
    value: str
    upper: bool
    bound: float | str
    shown: Mapping[str, Shown]
    only: tuple[str, ...] = ()
    unless: str = ""
    slack: float = SLACK


@dataclass(frozen=True, slots=True)
class Asked:
    """A row that was asked: its code, beside which reading, and what its sentence shows."""

    code: str
    key: str
    shown: Mapping[str, Shown]


@dataclass(frozen=True, slots=True)
class Grounds:
    """What the values of a cycle are reckoned with, and when its pool is due."""

    poured_g: float
    empty_g: float | None
    inside_mm: float
    full_pool_by: int
    shortest_h: float


@dataclass(frozen=True, slots=True)
class Table:
    """All rows for one candle, in the order in which they are asked.

    `slips` no verdict speaks of; `rules` are those of the protocol in force.
    """

    grounds: Grounds
    slips: tuple[Row, ...]
    rules: tuple[Row, ...]


Values = Mapping[str, float | None]


def asked(grounds: Grounds, rows: Iterable[Row], burn: Burn) -> Iterator[Asked]:
    """Yield what is asked about the newest cycle of a burn, in the order of the rows."""
    values, holding = values_of(grounds, burn), set(circumstances(grounds, burn))
    told: set[str] = set()
    for row in rows:
        if holding.issuperset(row.only) and row.unless not in told and is_beyond(row, values):
            told.add(row.code)
            yield Asked(row.code, row.key, _filled(row, values))


def is_beyond(row: Row, values: Values) -> bool:
    """Return whether a row's value lies beyond its bound; what was not read never does."""
    value = values[row.value]
    bound = values[row.bound] if isinstance(row.bound, str) else row.bound
    if value is None or bound is None:
        return False
    return (value - bound if row.upper else bound - value) > row.slack


def _filled(row: Row, values: Values) -> dict[str, Shown]:
    """Return the blanks of a row with the values of the cycle in them."""
    filled = {}
    for name, one in row.shown.items():
        known = values.get(one.value) if isinstance(one.value, str) and one.unit else None
        filled[name] = one if known is None else Shown(known, one.unit)
    return filled


def circumstances(grounds: Grounds, burn: Burn) -> Iterator[str]:
    """Yield what holds of the newest cycle of a burn."""
    cycle, how = burn.cycles[-1], None if burn.end is None else burn.end.how
    yield FIRST if len(burn.cycles) == 1 else LATER
    if how != "went_out":
        yield NOT_OUT
    if cycle.room_c is None and burn.room_c is None:
        yield NO_ROOM
    stopped_late = how == "stopped" and not _short(grounds, cycle)
    if (how is None or stopped_late) and len(burn.cycles) >= grounds.full_pool_by:
        yield POOL_DUE


def _short(grounds: Grounds, cycle: Cycle) -> bool:
    return cycle.burned_h is None or grounds.shortest_h - cycle.burned_h > SLACK


def values_of(grounds: Grounds, burn: Burn) -> dict[str, float | None]:
    """Return each value of the newest cycle that a row may name, in base units; None is unread."""
    cycle = burn.cycles[-1]
    read = {key: reading.of(cycle) for key, reading in READINGS.items()}
    read["room"] = burn.room_c if cycle.room_c is None else cycle.room_c
    before_g, after_g = cycle.before_g, cycle.after_g
    both = before_g is not None and after_g is not None
    gained_g = after_g - before_g if both else None  # type: ignore[operator]  # both are read
    return {
        **read,
        "trimmed": cycle.trimmed_g or 0.0,
        "widest": max(cycle.checks.values(), default=None),
        "coverage": _coverage(grounds, cycle),
        "gained": gained_g,
        "changed": None if gained_g is None else abs(gained_g),
        "rate": -gained_g / cycle.burned_h if gained_g is not None and cycle.burned_h else None,
        "off": _off(grounds, before_g),
        "last": burn.cycles[-2].after_g if len(burn.cycles) > 1 else None,
        "jumped": _jumped(burn),
        "cured": float((cycle.on.day - burn.made.on).days),
    }


def _coverage(grounds: Grounds, cycle: Cycle) -> float | None:
    return None if cycle.pool_mm is None else coverage(cycle.pool_mm, grounds.inside_mm)


def _off(grounds: Grounds, before_g: float | None) -> float | None:
    """Return how far a first weight is off the empty vessel with what was poured, in grams."""
    if before_g is None or grounds.empty_g is None:
        return None
    return abs(before_g - grounds.empty_g - grounds.poured_g)


def _jumped(burn: Burn) -> float | None:
    """Return how far a weight is off the last one less what was trimmed, in grams."""
    last_g = burn.cycles[-2].after_g if len(burn.cycles) > 1 else None
    before_g = burn.cycles[-1].before_g
    if before_g is None or last_g is None:
        return None
    return abs(before_g + (burn.cycles[-1].trimmed_g or 0.0) - last_g)
