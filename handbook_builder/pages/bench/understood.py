"""What a bench page must know to read a quantity as a record's reader does: units and bounds."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from handbook_builder import units
from handbook_builder.conversion import exactly
from handbook_builder.problems import MESSAGES
from handbook_builder.reading.fields import (
    FIRST_YEAR,
    LAST_YEAR,
    BoundedReader,
    QuantityReader,
    Reader,
    duration_h,
    some_length_mm,
    year_expected,
)
from handbook_builder.reading.kinds.making import End
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reading.shape import keys_of

# The messages that a value of a cycle can earn; a page words them as the check does.
_EARNED: Final = (
    "bad_date", "bad_time", "decimal_comma", "difference_not_temperature", "fluid_ounce_is_volume",
    "negative", "no_reason", "no_unit", "not_a_quantity", "not_finite", "odd_character",
    "ounce_is_mass", "out_of_range", "unknown_unit", "wrong_dimension",
)  # fmt: skip
Told = Mapping[str, object]
_AT_THE_BENCH: Final = (units.MASS, units.LENGTH, units.DURATION, units.TEMPERATURE)


def understood() -> Told:
    """Return all that reading a quantity takes, as plain values."""
    return {
        "messages": {code: MESSAGES[code] for code in _EARNED},
        "units": {name: _unit(*meant) for name, meant in units.UNITS.items()},
        "taken_for": dict(units.TAKEN_FOR),
        "hair": units.HAIR,
        "sorts": {sort.word: _sort(sort) for sort in _AT_THE_BENCH},
        "fields": _fields(),
        "years": [FIRST_YEAR, LAST_YEAR],
        "year_expected": year_expected(),
    }


def _unit(unit: str, dimension: units.Dimension) -> list[str]:
    """Return the sort of a unit, and the line to its base unit: a factor and an offset, exact."""
    if dimension not in _AT_THE_BENCH:
        return [dimension.word]
    zero, one = (exactly(Fraction(at), unit, dimension.base) for at in (0, 1))
    line = [str(one - zero), str(zero)]
    return [dimension.word, *(line if zero else line[:1])]


def _fields() -> Told:
    """Return how each value of a cycle is read, by its key; of an end, by `end.` and its key."""
    cycle, end = keys_of(Cycle), keys_of(End)
    told = {key: _field(one.read) for key, one in cycle.items()}
    told |= {f"end.{key}": _field(one.read) for key, one in end.items()}
    told |= {"checks.time": _field(duration_h), "checks.width": _field(some_length_mm)}
    return {key: one for key, one in told.items() if one is not None}


def _field(read: Reader[object]) -> Told | None:
    """Return what a reader of quantities takes, or None for any other reader."""
    bounds = read if isinstance(read, BoundedReader) else None
    inner = bounds.read if bounds is not None else read
    if not isinstance(inner, QuantityReader):
        return None
    told = {"sort": inner.dimension.word, "scale": inner.scale}
    if bounds is None:
        return told
    high = None if bounds.high == float("inf") else bounds.high
    return {**told, "low": bounds.low, "high": high, "above": bounds.above,
            "expected": bounds.expected}  # fmt: skip


def _sort(dimension: units.Dimension) -> Told:
    return {
        "example": dimension.example,
        "least": dimension.least,
        "most": dimension.most,
        "within": dimension.within,
        "below_zero": dimension.may_be_negative,
        "several": dimension is units.DURATION,
        "pounds": dimension is units.MASS,
        "degrees": dimension is units.TEMPERATURE,
    }
