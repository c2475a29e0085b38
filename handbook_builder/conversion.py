"""From one unit to another, exactly: the factors are pint's, the arithmetic that of fractions."""

import math
from fractions import Fraction
from functools import lru_cache
from typing import Final

import pint

# What pint needs to know of the units of records, and no more: its own file of some thousand
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
def registry() -> "pint.UnitRegistry[Fraction]":
    """Return a registry of pint's that knows the units of records, made once a run.

    It reckons in fractions: 0.4877 kg and 487700 mg are one mass, to the last bit.
    """
    units: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    for line in _DEFINITIONS:
        units.define(line)
    return units


@lru_cache(maxsize=256)
def _line_to(unit: str, base: str) -> tuple[Fraction, Fraction]:
    """Return (factor, offset) of the straight line from `unit` to `base`, exact."""
    ask = registry().Quantity
    zero, one = (Fraction(ask(Fraction(at), unit).to(base).magnitude) for at in (0, 1))
    return one - zero, zero


def convert(value: float | Fraction, unit: str, base: str) -> float:
    """Return `value`, given in pint's `unit`, in pint's `base` unit: the nearest float to it."""
    return float(exactly(value, unit, base)) if math.isfinite(value) else float(value)


def exactly(value: float | Fraction, unit: str, base: str) -> Fraction:
    """Return `value`, given in pint's `unit`, in pint's `base` unit, to the last digit."""
    factor, offset = _line_to(unit, base)
    return Fraction(value) * factor + offset
