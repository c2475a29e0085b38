"""Records read a second time, by other code: front matter as strings, units by a small table.

Everything here takes for granted that the records are well formed.
Base units: g, mL, mm, h, degC, g/mL, and 1 for shares; all values are exact fractions.
"""

import re
from collections.abc import Mapping
from datetime import date, datetime, time
from fractions import Fraction
from functools import lru_cache
from typing import Any

import yaml

SLACK = Fraction(1, 10**9)
Record = dict[str, Any]
Book = dict[str, dict[str, Record]]

_LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

# Exact by definition: 1 in = 25.4 mm, 1 oz = 28.349523125 g, 1 gal = 3785.411784 mL = 128 fl oz
# (NIST Handbook 44, Appendix C, 2014; NIST SP 811, 2008).
_OUNCE = Fraction("28.349523125")
_FLUID_OUNCE = Fraction("29.5735295625")
_UNITS = {
    "g": Fraction(1),
    "mg": Fraction(1, 1000),
    "kg": Fraction(1000),
    "oz": _OUNCE,
    "lb": 16 * _OUNCE,
    "mL": Fraction(1),
    "ml": Fraction(1),
    "cL": Fraction(10),
    "cl": Fraction(10),
    "L": Fraction(1000),
    "l": Fraction(1000),
    "cm3": Fraction(1),
    "fl oz": _FLUID_OUNCE,
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction("25.4"),
    "s": Fraction(1, 3600),
    "min": Fraction(1, 60),
    "h": Fraction(1),
    "d": Fraction(24),
    "day": Fraction(24),
    "days": Fraction(24),
    "week": Fraction(168),
    "weeks": Fraction(168),
    "%": Fraction(1, 100),
    "g/mL": Fraction(1),
    "g/ml": Fraction(1),
    "g/cm3": Fraction(1),
    "g/cm^3": Fraction(1),
    "g/cm³": Fraction(1),
    "kg/L": Fraction(1),
    "kg/m3": Fraction(1, 1000),
    "kg/m^3": Fraction(1, 1000),
    "kg/m³": Fraction(1, 1000),
}
_NUMBER = r"[+-]?\d+\s+\d+/\d+|[+-]?\d+/\d+|[+-]?\d*\.?\d+"
_QUANTITY = re.compile(rf"({_NUMBER})\s*(\D.*)")
_DURATION_PART = re.compile(rf"({_NUMBER})\s*([a-z]+)")


def exceeds(a: Fraction, b: Fraction) -> bool:
    """Tell whether a is beyond b by more than the slack: "a-b > 1e-9"."""
    return a - b > SLACK


def number(text: str) -> Fraction:
    """Return `2 3/4`, `3/4`, `-2.75` or `12` as an exact fraction."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


@lru_cache(maxsize=4096)
def quantity(text: str) -> Fraction:
    """Return a written quantity in its base unit; a temperature in degC, a difference in K."""
    text = text.strip()
    difference = text.startswith(("delta", "Δ"))
    found = _QUANTITY.fullmatch(text.removeprefix("delta").removeprefix("Δ").strip())
    if found is None:
        raise ValueError(text)
    amount, unit = number(found[1]), found[2].strip()
    if unit in {"degC", "°C"}:
        return amount
    if unit in {"degF", "°F"}:
        return (amount if difference else amount - 32) * Fraction(5, 9)
    if unit in _UNITS:
        return amount * _UNITS[unit]
    return _duration(text)


def _duration(text: str) -> Fraction:
    """Return `3 h 50 min` in hours."""
    parts = _DURATION_PART.findall(text)
    return sum((number(amount) * _UNITS[unit] for amount, unit in parts), Fraction(0))


def amounts(written: object) -> dict[str, Fraction]:
    """Return a map of id to quantity; `none` or a missing key is an empty map."""
    if isinstance(written, Mapping):
        return {str(key): quantity(str(text)) for key, text in written.items()}
    return {}


def listed(written: Record | list[Record] | None) -> list[Record]:
    """Return "one map or a list of maps" as a list."""
    if not written:
        return []
    return written if isinstance(written, list) else [written]


def poured_g(made: Record) -> Fraction:
    """Return what was poured: the sum of the masses in `made` (wax, fragrance, colorant)."""
    parts = (amounts(made.get(key)) for key in ("wax", "fragrance", "colorant"))
    return sum((grams for part in parts for grams in part.values()), Fraction(0))


def day_of(text: str) -> date:
    """Return the date of `2026-03-15`, `2026-03-15 09:30` or `2026-03-15T09:30`."""
    return datetime.fromisoformat(text).date()


def clock_of(text: str) -> time | None:
    """Return the time of day when one is written, else None."""
    return datetime.fromisoformat(text).time() if len(text) > len("2026-03-15") else None


def is_yes(text: str | None) -> bool:
    """Tell whether a YAML boolean says yes."""
    return text is not None and text.lower() in {"yes", "true", "on"}


def is_no(text: str | None) -> bool:
    """Tell whether a YAML boolean says no (a missing key says nothing)."""
    return text is not None and text.lower() in {"no", "false", "off"}


def split(text: str) -> tuple[str, str]:
    """Return front matter and body."""
    _, front, body = re.split(r"^---[ \t]*\r?\n|^---[ \t]*\Z", text, maxsplit=2, flags=re.MULTILINE)
    return front, body


def front_matter(text: str) -> Record:
    """Return the front matter with every scalar a string."""
    loaded = yaml.load(split(text)[0], Loader=_LOADER)  # noqa: S506 - makes strings only
    return dict(loaded)


def read(files: Mapping[str, str]) -> Book:
    """Return kind -> id -> front matter; the studio is book["studio"]["studio"]."""
    book: Book = {}
    for path, text in files.items():
        kind, _, name = path.removesuffix(".md").rpartition("/")
        book.setdefault(kind or "studio", {})[name] = front_matter(text)
    return book
