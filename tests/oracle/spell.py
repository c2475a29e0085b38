"""Values and records spelled out: many units, any key order, block or flow style."""

import re
from collections.abc import Mapping
from fractions import Fraction
from random import Random
from typing import Any

from .read import Record, front_matter, number, split

_BODIES = (
    "",
    "A quiet burn.\n",
    "## Notes\n\nbefore: 3 g is not a reading here, and `flame: 200 mm` is only talk.\n",
    "Größe, naïve, 8 °C: all of it is told, none of it is computed.\n\n* one\n* two\n",
)


def _plain(value: Fraction, digits: int) -> str:
    text = f"{float(value):.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def exact_text(value: Fraction) -> str | None:
    """Return a short decimal that is exactly the value, or None when there is none."""
    for digits in range(13):
        text = f"{float(value):.{digits}f}"
        if Fraction(text) == value:
            return text
    return None


class Pen:
    """Writes numbers (in the base unit that each method names) with a unit chosen at random."""

    def __init__(self, rng: Random) -> None:
        """Keep the random source."""
        self.rng = rng

    def _one_of(self, value: float, digits: int, units: list[tuple[str, str, int, int]]) -> str:
        """Write value in one of (unit, size in base units, extra digits, weight)."""
        unit, size, extra, _ = self.rng.choices(units, [weight for *_, weight in units])[0]
        gap = "" if self.rng.random() < 0.1 else " "
        return f"{_plain(Fraction(value) / Fraction(size), digits + extra)}{gap}{unit}"

    def mass(self, g: float, digits: int = 1) -> str:
        """Write a mass in g, kg or oz (ounces to 1e-4 g or better)."""
        units = [("g", "1", 0, 16), ("kg", "1000", 3, 2), ("oz", "28.349523125", 5, 2)]
        return self._one_of(round(g, digits), digits, units)

    def length(self, mm: float, digits: int = 1) -> str:
        """Write a length in mm, cm or in (inches to 1e-3 mm or better)."""
        units = [("mm", "1", 0, 14), ("cm", "10", 1, 3), ("in", "25.4", 4, 3)]
        return self._one_of(round(mm, digits), digits, units)

    def volume(self, ml: float, digits: int = 1) -> str:
        """Write a volume in mL, L or fl oz."""
        units = [("mL", "1", 0, 5), ("L", "1000", 3, 2), ("fl oz", "29.5735295625", 3, 3)]
        return self._one_of(round(ml, digits), digits, units)

    def hours(self, minutes: int) -> str:
        """Write whole minutes as `230 min`, `3 h 50 min`, or `4 h` when whole."""
        whole, rest = divmod(minutes, 60)
        if self.rng.random() < 0.3:
            return f"{minutes} min"
        if rest == 0:
            return f"{whole} h"
        return f"{whole} h {rest} min" if whole else f"{rest} min"

    def seconds(self, s: float) -> str:
        """Write seconds."""
        return f"{_plain(Fraction(round(s, 1)), 1)} s"

    def heat(self, deg_c: float) -> str:
        """Write a temperature in degC, °C, °F or degF."""
        unit = self.rng.choices(["degC", "°C", "°F", "degF"], [6, 4, 1, 1])[0]
        shown = round(deg_c, 1) if unit.endswith("C") else deg_c * 1.8 + 32
        return f"{_plain(Fraction(shown), 2)} {unit}"

    def difference(self, kelvin: float) -> str:
        """Write a temperature difference."""
        shown = _plain(Fraction(kelvin), 1)
        return self.rng.choice([f"delta {shown} degC", f"Δ{shown} degC"])

    def share(self, part: float, digits: int = 2) -> str:
        """Write a share in percent."""
        gap = "" if self.rng.random() < 0.15 else " "
        return f"{_plain(Fraction(part) * 100, digits)}{gap}%"

    def days(self, count: int) -> str:
        """Write whole days, in weeks now and then."""
        if count % 7 == 0 and self.rng.random() < 0.4:
            return f"{count // 7} weeks"
        return self.rng.choice([f"{count} days", f"{count} d"])

    def density(self, g_ml: float) -> str:
        """Write a density."""
        unit = self.rng.choice(["g/mL", "g/cm3", "kg/m3"])
        shown = Fraction(round(g_ml, 3)) * (1000 if unit == "kg/m3" else 1)
        return f"{_plain(shown, 3)} {unit}"

    def yes(self) -> str:
        """Write a YAML yes."""
        return self.rng.choice(["yes", "true"])

    def no(self) -> str:
        """Write a YAML no."""
        return self.rng.choice(["no", "false"])


def _shuffled(record: Mapping[str, Any], rng: Random) -> list[tuple[str, Any]]:
    pairs = list(record.items())
    rng.shuffle(pairs)
    return pairs


def _flow(value: object, rng: Random) -> str:
    if isinstance(value, Mapping):
        inner = ", ".join(f"{key}: {_flow(v, rng)}" for key, v in _shuffled(value, rng))
        return f"{{{inner}}}"
    if isinstance(value, list):
        return f"[{', '.join(_flow(v, rng) for v in value)}]"
    text = str(value)
    return f"'{text}'" if ": " in text else text


def _block(value: object, rng: Random, indent: str) -> str:
    """Return what follows `key:`; deeper maps and lists are block style or flow style."""
    if not value or not isinstance(value, Mapping | list) or rng.random() < 0.5:
        return f" {_flow(value, rng)}\n"
    deeper = indent + "  "
    if isinstance(value, Mapping):
        pairs = _shuffled(value, rng)
        return "\n" + "".join(f"{deeper}{key}:{_block(v, rng, deeper)}" for key, v in pairs)
    return "\n" + "".join(f"{deeper}- {_flow(v, rng)}\n" for v in value)


def write(record: Record, rng: Random, body: str | None = None) -> str:
    """Return a record file: front matter in random key order and style, and a body."""
    lines = "".join(f"{key}:{_block(v, rng, '')}" for key, v in _shuffled(record, rng))
    told = rng.choice(_BODIES) if body is None else body
    return f"---\n{lines}---\n{told}"


# unit -> other spellings with their factor; every conversion here is exact in decimals
_SAME = {
    "g": [("kg", "0.001"), ("mg", "1000")],
    "kg": [("g", "1000")],
    "oz": [("g", "28.349523125")],
    "mm": [("cm", "0.1")],
    "cm": [("mm", "10")],
    "in": [("mm", "25.4")],
    "mL": [("L", "0.001")],
    "L": [("mL", "1000")],
    "fl oz": [("mL", "29.5735295625")],
    "g/mL": [("kg/m3", "1000"), ("g/cm3", "1")],
    "g/cm3": [("kg/m3", "1000"), ("g/mL", "1")],
    "kg/m3": [("g/mL", "0.001")],
    "h": [("min", "60")],
    "days": [("d", "1")],
    "d": [("days", "1")],
    "weeks": [("days", "7")],
    "%": [("%", "1")],
    "degC": [("°C", "1"), ("degF", "1.8")],
    "°C": [("degC", "1"), ("°F", "1.8")],
}
_WRITTEN = re.compile(r"([+-]?[\d./]+(?: \d+/\d+)?) ?(\D[^\d ]*3?|fl oz)")


def respelled(text: str, rng: Random) -> str:
    """Return the same quantity, exactly, in another spelling; other text as it is."""
    timed = re.fullmatch(r"(\d+) h (\d+) min", text)
    if timed:
        return f"{int(timed[1]) * 60 + int(timed[2])} min"
    found = _WRITTEN.fullmatch(text)
    if found is None or found[2] not in _SAME:
        return text
    unit, factor = rng.choice(_SAME[found[2]])
    value = number(found[1]) * Fraction(factor)
    if unit.endswith("F"):
        value += 32
    shown = exact_text(value)
    gap = rng.choice(["", " "])
    return text if shown is None else f"{shown}{gap}{unit}"


def _respell(value: object, rng: Random) -> object:
    if isinstance(value, Mapping):
        return {key: _respell(v, rng) for key, v in value.items()}
    if isinstance(value, list):
        return [_respell(v, rng) for v in value]
    return respelled(str(value), rng)


def rewrite(text: str, rng: Random) -> str:
    """Return the same record with its keys in another order and its units spelled otherwise."""
    record = {key: _respell(v, rng) for key, v in front_matter(text).items()}
    return write(record, rng, split(text)[1])
