"""Quantities at the door: text with a unit in, one plain number in a named unit out, and back.

Conversion factors are pint's (which follow NIST SP 811 and HB 44, Appendix C); the spellings
that a record may use, and the mistakes worth a lesson, are ours.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

import pint


@dataclass(frozen=True, slots=True)
class Dimension:
    """One sort of quantity: its word, the unit the program computes in, and an example."""

    word: str
    base: str
    example: str
    may_be_negative: bool = False


MASS: Final = Dimension("mass", "gram", "412.6 g")
LENGTH: Final = Dimension("length", "millimeter", "68 mm")
VOLUME: Final = Dimension("volume", "milliliter", "210 mL")
DURATION: Final = Dimension("duration", "hour", "4 h")
TEMPERATURE: Final = Dimension("temperature", "degC", "52 degC", may_be_negative=True)
DIFFERENCE: Final = Dimension("temperature difference", "delta_degC", "delta 50 degC")
SHARE: Final = Dimension("share", "dimensionless", "8 %")
DENSITY: Final = Dimension("density", "gram / milliliter", "0.91 g/mL")
COUNT: Final = Dimension("count", "dimensionless", "24 pcs")


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a text is not the value asked for: a problem code and what its message needs."""

    code: str
    details: Mapping[str, object]


def _spelled(dimension: Dimension, names: Mapping[str, str]) -> dict[str, tuple[str, Dimension]]:
    return {spelling: (unit, dimension) for unit, row in names.items() for spelling in row.split()}


# Each pint unit with the spellings a record may use; "_" stands for a space.
UNITS: Final[Mapping[str, tuple[str, Dimension]]] = {
    spelling.replace("_", " "): meant
    for spelling, meant in (
        _spelled(
            MASS,
            {
                "gram": "g gram grams",
                "kilogram": "kg",
                "milligram": "mg",
                "ounce": "oz ounce ounces",
                "pound": "lb lbs pound pounds",
            },
        )
        | _spelled(
            LENGTH,
            {
                "millimeter": "mm",
                "centimeter": "cm",
                "meter": "m",
                "inch": 'in inch inches " ”',
                "foot": "ft",
            },
        )
        | _spelled(
            VOLUME,
            {
                "milliliter": "mL ml",
                "liter": "L l",
                "centiliter": "cL cl",
                "US_fluid_ounce": "fl_oz fl._oz floz fluid_ounce fluid_ounces",
            },
        )
        | _spelled(
            DURATION,
            {
                "hour": "h hr hrs hour hours",
                "minute": "min mins minute minutes",
                "second": "s sec second seconds",
                "day": "d day days",
                "week": "week weeks",
            },
        )
        | _spelled(TEMPERATURE, {"degC": "degC °C C", "degF": "degF °F F"})
        | _spelled(SHARE, {"percent": "%"})
        | _spelled(
            DENSITY,
            {
                "gram / milliliter": "g/mL g/ml g/cm3 g/cm³ g/cc kg/L kg/l",
                "kilogram / meter ** 3": "kg/m3 kg/m³",
                "pound / US_liquid_gallon": "lb/gal",
                "ounce / US_fluid_ounce": "oz/fl_oz",
            },
        )
        | _spelled(COUNT, {"dimensionless": "pcs pc pieces piece each"})
    ).items()
}
_DIFFERENCE_UNITS: Final = {
    "degC": "delta_degC",
    "°C": "delta_degC",
    "K": "delta_degC",
    "degF": "delta_degF",
    "°F": "delta_degF",
    "C": "delta_degC",
    "F": "delta_degF",
}
# Beyond these, in base units, a quantity is a slip of the pen, and arithmetic no longer safe.
_LARGEST: Final = 1e9
_SMALLEST: Final = 1e-9
_NUMBER: Final = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_TERM: Final = re.compile(
    rf"\s*(?:(?P<whole>[+-]?\d{{1,6}})\s+(?P<top>\d{{1,6}})/(?P<under>\d{{1,6}})"
    rf"|(?P<num>\d{{1,6}})/(?P<den>\d{{1,6}})"
    rf"|(?P<plain>{_NUMBER}))\s*(?P<unit>[^\d\s.+-][^\d+]*?(?:3\b)?)?\s*(?=$|\d)"
)
_POUNDS_AND_OUNCES: Final = re.compile(r"(?:lbs?|pounds?)\s.*(?:oz|ounces?)$")
_NOT_FINITE: Final = re.compile(r"[+-]?\.?(nan|inf(inity)?)\b", re.IGNORECASE)
_DECIMAL_COMMA: Final = re.compile(r"\d,\d")
_DELTA: Final = re.compile(r"(?:Δ|delta\b)\s*")


# What pint needs to know of the units above, and no more: its own file of some thousand
# definitions takes longer to load than a studio to judge. Exact by NIST SP 811 (2008) and HB 44,
# Appendix C; a test holds every spelling against pint's own definitions.
_DEFINITIONS: Final = (
    "gram = [mass]",
    "milligram = 0.001 gram",
    "kilogram = 1000 gram",
    "pound = 453.59237 gram",
    "ounce = 28.349523125 gram",
    "millimeter = [length]",
    "centimeter = 10 millimeter",
    "meter = 1000 millimeter",
    "inch = 25.4 millimeter",
    "foot = 304.8 millimeter",
    "milliliter = 1000 millimeter ** 3",
    "centiliter = 10 milliliter",
    "liter = 1000 milliliter",
    "US_liquid_gallon = 3785.411784 milliliter",
    "US_fluid_ounce = 29.5735295625 milliliter",
    "hour = [time]",
    "minute = hour / 60",
    "second = hour / 3600",
    "day = 24 hour",
    "week = 168 hour",
    "kelvin = [temperature]",
    "degC = kelvin; offset: 273.15",
    "degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9",
    "percent = 0.01 = %",
)


@lru_cache(maxsize=1)
def registry() -> "pint.UnitRegistry[float]":
    """Return a registry of pint's that knows the units of records, made once a run."""
    units: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    for line in _DEFINITIONS:
        units.define(line)
    return units


@lru_cache(maxsize=256)
def _line_to(unit: str, base: str) -> tuple[float, float]:
    """Return (factor, offset) of the straight line from `unit` to `base`."""
    ask = registry().Quantity
    zero = float(ask(0.0, unit).to(base).magnitude)
    if zero == 0.0:
        return float(ask(1.0, unit).to(base).magnitude), 0.0
    return float(ask(100.0, unit).to(base).magnitude - zero) / 100.0, zero


def convert(value: float, unit: str, base: str) -> float:
    """Return `value`, given in pint's `unit`, in pint's `base` unit."""
    factor, offset = _line_to(unit, base)
    return value * factor + offset


def read_number(text: str) -> float | Fault:
    """Return a finite plain number, or why `text` is none."""
    if _NOT_FINITE.fullmatch(text):
        return Fault("not_finite", {"found": text})
    try:
        return (
            float(text) if re.fullmatch(_NUMBER, text) else Fault("not_a_number", {"found": text})
        )
    except ValueError:
        return Fault("not_a_number", {"found": text})


@lru_cache(maxsize=4096)
def read_quantity(text: str, dimension: Dimension) -> float | Fault:
    """Return the quantity of `text` in the base unit of `dimension`, or why it is none.

    Accepts decimals, "2 3/4 in", and durations of several terms ("3 h 50 min").
    """
    stripped = text.strip()
    if _NOT_FINITE.match(stripped):
        return Fault("not_finite", {"found": text})
    if _DECIMAL_COMMA.search(stripped):
        return Fault("decimal_comma", {"found": text, "example": dimension.example})
    if dimension is DIFFERENCE:
        return _read_difference(stripped)
    if dimension is TEMPERATURE and _DELTA.match(stripped):
        return Fault("difference_not_temperature", {"found": text, "example": dimension.example})
    return _read_terms(stripped, dimension)


def _read_difference(text: str) -> float | Fault:
    marked = _DELTA.match(text)
    if not marked:
        return Fault("not_a_difference", {"found": text})
    rest = text[marked.end() :]
    match = re.fullmatch(rf"({_NUMBER})\s*(\S+)", rest)
    unit = match and _DIFFERENCE_UNITS.get(match[2])
    if not match or not unit:
        return Fault("not_a_quantity", {"found": text, "what": "temperature difference",
                                        "example": DIFFERENCE.example})  # fmt: skip
    return _checked(text, convert(float(match[1]), unit, "delta_degC"), DIFFERENCE)


def _read_terms(text: str, dimension: Dimension) -> float | Fault:
    total, at, terms = 0.0, 0, 0
    while at < len(text):
        match = _TERM.match(text, at)
        if not match:
            return Fault("not_a_quantity", {"found": text, "what": dimension.word,
                                            "example": dimension.example})  # fmt: skip
        term = _term(text, match, dimension)
        if isinstance(term, Fault):
            return term
        total, at, terms = total + term, match.end(), terms + 1
    several = dimension is DURATION or (dimension is MASS and _POUNDS_AND_OUNCES.search(text))
    if terms == 0 or (terms > 1 and not several):
        return Fault("not_a_quantity", {"found": text, "what": dimension.word,
                                        "example": dimension.example})  # fmt: skip
    return _checked(text, total, dimension)


def _term(text: str, match: re.Match[str], dimension: Dimension) -> float | Fault:
    number = _number_of(match)
    if number is None:
        return Fault("not_a_quantity", {"found": text, "what": dimension.word,
                                        "example": dimension.example})  # fmt: skip
    spelling = (match["unit"] or "").strip()
    if not spelling:
        return Fault("no_unit", {"found": text, "what": dimension.word,
                                 "example": dimension.example})  # fmt: skip
    known = UNITS.get(spelling)
    if known is None:
        return _unknown_unit(spelling, dimension)
    unit, its_dimension = known
    if its_dimension is not dimension:
        return _wrong_dimension(text, spelling, its_dimension, dimension)
    return convert(number, unit, dimension.base)


def _number_of(match: re.Match[str]) -> float | None:
    """Return the number of one term; a fraction such as 2 3/4 is added up."""
    if match["plain"] is not None:
        return float(match["plain"])
    top, under = (match["top"] or match["num"]), (match["under"] or match["den"])
    if int(under) == 0:
        return None
    return int(match["whole"] or 0) + int(top) / int(under)


def _unknown_unit(spelling: str, dimension: Dimension) -> Fault:
    known = [name for name, (_, its) in UNITS.items() if its is dimension]
    near = get_close_matches(spelling, known, n=1, cutoff=0.5)
    return Fault("unknown_unit", {"found": spelling, "what": dimension.word,
                                  "near": near[0] if near else "",
                                  "known": ", ".join(known)})  # fmt: skip


def _wrong_dimension(text: str, spelling: str, found: Dimension, due: Dimension) -> Fault:
    if found is MASS and due is VOLUME and spelling.startswith("o"):
        return Fault("ounce_is_mass", {"found": text})
    if found is VOLUME and due is MASS and spelling.startswith("fl"):
        return Fault("fluid_ounce_is_volume", {"found": text})
    return Fault("wrong_dimension", {"found": text, "is": found.word, "what": due.word,
                                     "example": due.example})  # fmt: skip


def _checked(text: str, value: float, dimension: Dimension) -> float | Fault:
    if not math.isfinite(value):
        return Fault("not_finite", {"found": text})
    # A temperature may well come out a hair from zero: 32 °F does.
    tiny = 0 < abs(value) < _SMALLEST and not dimension.may_be_negative
    if abs(value) > _LARGEST or tiny:
        return Fault("absurd", {"found": text})
    if value < 0 and not dimension.may_be_negative:
        return Fault("negative", {"found": text, "what": dimension.word})
    return value
