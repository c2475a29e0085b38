"""Quantities at the door: text with a unit in, one plain number in a named unit out, and back.

Conversion factors are pint's (which follow NIST SP 811 and HB 44, Appendix C); the spellings
that a record may use, and the mistakes worth a lesson, are ours.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache
from typing import Final

from handbook_builder.conversion import convert, exactly


@dataclass(frozen=True, slots=True)
class Dimension:
    """One sort of quantity: its word, the unit the program computes in, and an example.

    Whatever is not zero lies between `least` and `most`, in base units, or is a slip of the pen;
    `within` tells the two in words. Only a temperature may be below zero.
    """

    word: str
    base: str
    example: str
    least: float
    most: float
    within: str
    may_be_negative: bool = False

    def holds(self, value: float) -> bool:
        """Return whether a quantity of this sort can be as large, or as small."""
        if self.may_be_negative:
            return self.least - HAIR <= value <= self.most + HAIR
        return value == 0 or self.least * (1 - HAIR) <= value <= self.most * (1 + HAIR)


HAIR: Final = 1e-9  # what a conversion may be off: -459.67 °F is absolute zero
MASS: Final = Dimension("mass", "gram", "412.6 g", 1e-6, 1e6, "0.001 mg to 1000 kg")
LENGTH: Final = Dimension("length", "millimeter", "68 mm", 1e-3, 1e4, "0.001 mm to 10 m")
VOLUME: Final = Dimension("volume", "milliliter", "210 mL", 1e-3, 1e6, "0.001 mL to 1000 L")
DURATION: Final = Dimension(
    "duration", "hour", "4 h", 1 / 3.6e6, 3653 * 24.0, "0.001 s to 3653 days"
)
TEMPERATURE: Final = Dimension(
    "temperature", "degC", "52 degC", -273.15, 1000.0, "-273.15 degC to 1000 degC",
    may_be_negative=True,
)  # fmt: skip
DIFFERENCE: Final = Dimension(
    "temperature difference",
    "delta_degC",
    "delta 50 degC",
    1e-3,
    1000.0,
    "delta 0.001 degC to delta 1000 degC",
)
SHARE: Final = Dimension("share", "dimensionless", "8 %", 1e-6, 10.0, "0.0001 % to 1000 %")
DENSITY: Final = Dimension(
    "density", "gram / milliliter", "0.91 g/mL", 1e-3, 100.0, "0.001 g/mL to 100 g/mL"
)
COUNT: Final = Dimension("count", "dimensionless", "24 pcs", 1.0, 1e9, "1 to 1000000000 pcs")


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
DIFFERENCE_UNITS: Final = {
    "degC": "delta_degC",
    "°C": "delta_degC",
    "K": "delta_degC",
    "degF": "delta_degF",
    "°F": "delta_degF",
    "C": "delta_degC",
    "F": "delta_degF",
}
# Spellings that are taken, and not taught.
TAKEN_FOR: Final = {"°c": "°C", "degc": "degC", "°f": "°F", "degf": "degF"}
# Digits are those of the keyboard: what only looks like a number to Python is none to a reader.
NUMBER: Final = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_TERM: Final = re.compile(
    rf"\s*(?:(?P<whole>[+-]?[0-9]{{1,6}})\s+(?P<top>[0-9]{{1,6}})/(?P<under>[0-9]{{1,6}})"
    rf"|(?P<num>[0-9]{{1,6}})/(?P<den>[0-9]{{1,6}})"
    rf"|(?P<plain>{NUMBER}))\s*(?P<unit>[^\d\s.+-][^\d+]*?(?:3\b)?)?\s*(?=$|[+-]?[0-9])"
)
_POUNDS_AND_OUNCES: Final = re.compile(r"(?:lbs?|pounds?)\s.*(?:oz|ounces?)$")
_NOT_FINITE: Final = re.compile(r"[+-]?\.?(nan|inf(inity)?)\b", re.IGNORECASE)
_DECIMAL_COMMA: Final = re.compile(r"[0-9],[0-9]")
DELTA: Final = r"(?:Δ|delta\b)\s*"
_DELTA: Final = re.compile(DELTA)
# Beyond these a fraction may need more digits than there is memory for: 1e-999999999.
_MOST_DIGITS: Final = 40
_SMALLEST: Final = 1e-30


def read_number(text: str) -> float | Fault:
    """Return a finite plain number, or why `text` is none."""
    if _NOT_FINITE.fullmatch(text):
        return Fault("not_finite", {"found": text})
    try:
        return float(text) if re.fullmatch(NUMBER, text) else Fault("not_a_number", {"found": text})
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
    match = re.fullmatch(rf"({NUMBER})\s*(\S+)", rest)
    unit = match and DIFFERENCE_UNITS.get(TAKEN_FOR.get(match[2], match[2]))
    if not match or not unit:
        return Fault("not_a_quantity", {"found": text, "what": "temperature difference",
                                        "example": DIFFERENCE.example})  # fmt: skip
    beyond = _beyond_floats(text, match[1], DIFFERENCE)
    if beyond is not None:
        return beyond
    return _checked(text, convert(_as_written(match[1]), unit, "delta_degC"), DIFFERENCE)


def _read_terms(text: str, dimension: Dimension) -> float | Fault:
    total, at, terms = Fraction(0), 0, 0
    while at < len(text):
        match = _TERM.match(text, at)
        if not match:
            return Fault("not_a_quantity", {"found": text, "what": dimension.word,
                                            "example": dimension.example})  # fmt: skip
        beyond = _beyond_floats(text, match["plain"] or "0", dimension)
        term = _term(text, match, dimension) if beyond is None else beyond
        if isinstance(term, Fault):
            return term
        total, at, terms = total + term, match.end(), terms + 1
    several = dimension is DURATION or (dimension is MASS and _POUNDS_AND_OUNCES.search(text))
    if terms == 0 or (terms > 1 and not several):
        return Fault("not_a_quantity", {"found": text, "what": dimension.word,
                                        "example": dimension.example})  # fmt: skip
    return _checked(text, float(total), dimension)


def _term(text: str, match: re.Match[str], dimension: Dimension) -> Fraction | Fault:
    number = _number_of(match)
    if number is None:
        return Fault("not_a_quantity", {"found": text, "what": dimension.word,
                                        "example": dimension.example})  # fmt: skip
    spelling = (match["unit"] or "").strip()
    if not spelling:
        return Fault("no_unit", {"found": text, "what": dimension.word,
                                 "example": dimension.example})  # fmt: skip
    known = UNITS.get(TAKEN_FOR.get(spelling, spelling))
    if known is None:
        return _unknown_unit(spelling, dimension)
    unit, its_dimension = known
    if its_dimension is not dimension:
        return _wrong_dimension(text, spelling, its_dimension, dimension)
    if number < 0 and not dimension.may_be_negative:  # -1 h 5 h is not 4 h
        return Fault("negative", {"found": text, "what": dimension.word})
    return exactly(number, unit, dimension.base)


def _number_of(match: re.Match[str]) -> Fraction | None:
    """Return the number of one term, a fraction such as 2 3/4 added up; None where it is none."""
    if match["plain"] is not None:
        return _as_written(match["plain"])
    top, under = int(match["top"] or match["num"]), int(match["under"] or match["den"])
    if top >= under:  # no one writes 824/2 g for 412 g, but many slip
        return None
    whole = match["whole"] or "0"
    size = abs(int(whole)) + Fraction(top, under)
    return -size if whole.startswith("-") else size


def _unknown_unit(spelling: str, dimension: Dimension) -> Fault:
    known = [name for name, (_, its) in UNITS.items() if its is dimension]
    alike = known
    if dimension is TEMPERATURE:  # never the other scale: 60 °F is no mend of 60 °C
        alike = [one for one in known if _scale_of(one) == _scale_of(spelling)]
    if dimension is DURATION and spelling.lower().startswith(("y", "mo")):  # years are no hours
        alike = []
    near = get_close_matches(spelling, alike, n=1, cutoff=0.5)
    return Fault("unknown_unit", {"found": spelling, "what": dimension.word,
                                  "near": near[0] if near else "",
                                  "known": ", ".join(known)})  # fmt: skip


def _scale_of(spelling: str) -> str:
    """Return the letter of the temperature scale that a spelling ends in, or nothing."""
    return spelling[-1].upper() if spelling[-1] in "cfCF" else ""


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
    if value < 0 and not dimension.may_be_negative:
        return Fault("negative", {"found": text, "what": dimension.word})
    return value if dimension.holds(value) else _beyond(text, dimension)


def _beyond(text: str, dimension: Dimension) -> Fault:
    expected = f"a {dimension.word} from {dimension.within}"
    return Fault("out_of_range", {"found": text, "expected": expected})


def _beyond_floats(text: str, number: str, dimension: Dimension) -> Fault | None:
    """Return the fault of a number that no float holds: 1e400, or 1e-400, taken for zero."""
    value = float(number)
    if math.isinf(value):
        return Fault("not_finite", {"found": text})
    vanished = value == 0 and re.search(r"[1-9]", re.split("[eE]", number)[0])
    return _beyond(text, dimension) if vanished else None


def _as_written(number: str) -> Fraction:
    """Return a number exactly; one of more digits than anybody reads, as near as a float is."""
    value = float(number)
    is_written_out = len(number) <= _MOST_DIGITS and _SMALLEST <= abs(value) <= 1 / _SMALLEST
    return Fraction(number) if is_written_out else Fraction(value)
