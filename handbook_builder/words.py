"""The words of the handbook: one catalogue of phrases, said alike on pages and in the terminal.

No sentence for readers stands here; they stand in `site_templates/words.yml`. Here is only how a
quantity, a day or a sum of money is written out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from string import Formatter
from typing import Any, Final

import yaml

from handbook_builder.conversion import convert
from handbook_builder.figures.cost import currency_decimals
from handbook_builder.verdicts.combination import Difference, Named
from handbook_builder.verdicts.reason import Quantity, Reason

# Suffix of a name → how it is written: unit, decimals, and the US customary unit beside it.
_WRITTEN: Final[Mapping[str, tuple[str, int, str, str, int]]] = {
    "mm": ("mm", 0, "millimeter", "in", 2),
    "g": ("g", 1, "gram", "oz", 2),
    "ml": ("mL", 0, "milliliter", "fl oz", 1),
    "c": ("°C", 0, "degC", "°F", 0),
    "k": ("K", 0, "delta_degC", "°F", 0),
}
_PLAIN: Final[Mapping[str, tuple[str, int]]] = {
    "s": ("s", 0),
    "days": ("days", 0),
    "h": ("h", 2),
    "g_per_h": ("g/h", 2),
    "g_per_ml": ("g/mL", 3),
}
_US: Final = {"in": "inch", "oz": "ounce", "fl oz": "US_fluid_ounce"}
# The same parser in C, where it is there: the catalogue is long, and most commands need it.
_Loader: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NO_BREAK: Final = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Word:
    """A verdict as it is shown: the word, its tone (good, bad, wait, warn, none), its meaning."""

    word: str
    tone: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Words:
    """The catalogue, and the units and currency of the studio that reads it."""

    phrases: Mapping[str, Any]
    units: str = "metric"
    currency: str = "EUR"

    @classmethod
    def load(cls, text: str, units: str = "metric", currency: str = "EUR") -> "Words":
        """Return the catalogue written in the YAML `text`."""
        return cls(yaml.load(text, _Loader), units, currency)  # noqa: S506 -- a safe one

    def status(self, code: str) -> Word:
        """Return the word for a product's status."""
        return Word(**self.phrases["statuses"][code])

    def screening(self, code: str) -> Word:
        """Return the word for a vessel's screening."""
        return Word(**self.phrases["screenings"][code])

    def verdict(self, code: str) -> Word:
        """Return the word for a reading, a cycle or a test candle."""
        return Word(**self.phrases["verdicts"][code])

    def seen(self, word: str) -> str:
        """Return how an observation is called."""
        called: str = self.phrases["seen"][word]
        return called

    def reading(self, key: str, use: str = "label") -> str:
        """Return how a reading is called, or how for one use: `short` in a head, `asked`."""
        phrases: Mapping[str, str] = self.phrases["readings"][key]
        return phrases.get(use, phrases["label"])

    def measure(self, measure: str) -> str:
        """Return how that on which a limit can be set is called."""
        if measure in self.phrases["readings"]:
            return self.reading(measure, "limit")
        called: str = self.phrases["measures"][measure]
        return called

    def say(self, reason: Reason) -> str:
        """Return the sentence of a reason, its numbers written out."""
        return self._filled(self._phrase(reason, "say"), reason)

    def mend(self, reason: Reason) -> str:
        """Return what to do about a reason, or nothing where the phrase has none."""
        why = reason.details.get("why")
        if isinstance(why, Reason):  # what is wrong within is what there is to mend
            return self.mend(why)
        return self._filled(self._phrase(reason, "mend"), reason)

    def _phrase(self, reason: Reason, kind: str) -> str:
        """Return how a reason is worded: of a count that is too low otherwise than too high."""
        phrases: Mapping[str, str] = self.phrases["reasons"][reason.code]
        more = phrases.get(f"{kind}_more") if _is_surplus(reason) else None
        return more or phrases.get(kind, "")

    def _filled(self, phrase: str, reason: Reason) -> str:
        names = {name for _, name, _, _ in Formatter().parse(phrase) if name}
        return phrase.format_map({name: self._shown(name, reason.details[name]) for name in names})

    def _shown(self, name: str, value: object) -> str:
        if isinstance(value, Reason):
            return self.say(value)
        if isinstance(value, Quantity):
            return self.quantity(value.value, value.unit)
        if isinstance(value, date):
            return self.day(value)
        if isinstance(value, tuple):
            return ", ".join(self._shown(name, one) for one in value)
        if name == "word":
            return self.seen(str(value))
        return "not recorded" if value is None else str(value)

    def difference(self, one: Difference) -> str:
        """Return a difference of two make-ups: the factor, the former and the present value."""
        former, now = (self.factor_value(one.factor, value) for value in (one.former, one.now))
        return f"{self.factor(one.factor, one.item)} ({former}, now {now})"

    def factor(self, factor: str, item: str) -> str:
        """Return how a factor of a make-up is called; `item` is what a share is of."""
        called: str = self.phrases["factors"][factor].format(item=item)
        return called

    def factor_value(self, factor: str, value: object) -> str:
        """Return the value of a factor of a make-up: items, a count, a share or a mass."""
        if isinstance(value, Named):
            return value.id if value.spec == 1 else f"{value.id}, specification {value.spec}"
        if isinstance(value, tuple):
            return " and ".join(self.factor_value(factor, each) for each in value) or "none"
        if isinstance(value, float):
            return self.quantity(value, "g") if factor == "net" else self.percent(value)
        return "none" if value is None else str(value)

    def quantity(self, value: float, suffix: str) -> str:
        """Return a quantity with its unit, metric first; `suffix` names the unit it is in."""
        if suffix == "share":
            return self.percent(value)
        if suffix == "h":
            return _hours(value)
        if suffix in _PLAIN:
            unit, decimals = _PLAIN[suffix]
            return f"{value:.{decimals}f}{_NO_BREAK}{unit}"
        unit, decimals, base, us_unit, us_decimals = _WRITTEN[suffix]
        metric = f"{_trimmed(value, decimals)}{_NO_BREAK}{unit}"
        if self.units == "metric":
            return metric
        us_value = _us(value, base, us_unit)
        if us_unit in _US and 0 < us_value < 10.0 ** (1 - us_decimals):
            us_decimals += 1  # or 0.1 g would be 0.00 oz
        other = f"{us_value:.{us_decimals}f}{_NO_BREAK}{us_unit}"
        return f"{metric} ({other})" if self.units == "both" else f"{other} ({metric})"

    def percent(self, share: float) -> str:
        """Return a share as a percentage with two decimals at the most."""
        return f"{share * 100:.2f}".rstrip("0").rstrip(".") + f"{_NO_BREAK}%"

    def money(self, amount: Decimal, finer: int = 0) -> str:
        """Return an amount of the studio's currency, rounded to its own decimals or `finer`."""
        decimals = currency_decimals(self.currency) + finer
        rounded = amount.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
        return f"{rounded}{_NO_BREAK}{self.currency}"

    def day(self, when: date) -> str:
        """Return a day in the form that the records use."""
        return when.isoformat()


def _is_surplus(reason: Reason) -> bool:
    """Return whether more is on file than was counted: then nothing is missing."""
    inner = reason.details.get("why", reason)
    details = inner.details if isinstance(inner, Reason) else {}
    counted, found = details.get("poured", details.get("stated")), details.get("found")
    return isinstance(counted, int) and isinstance(found, int) and found > counted


def _trimmed(value: float, decimals: int) -> str:
    """Return `value` with its decimals, and one more where rounding would hide a digit."""
    shown = f"{value:.{decimals}f}"
    if abs(float(shown) - value) > 10.0**-decimals * 0.049:
        return f"{value:.{decimals + 1}f}"
    return shown


def _hours(value: float) -> str:
    """Return a duration in hours and minutes, as a person at the bench says it."""
    hours, minutes = divmod(round(value * 60), 60)
    parts = [f"{hours}{_NO_BREAK}h"] if hours or not minutes else []
    return " ".join([*parts, *([f"{minutes}{_NO_BREAK}min"] if minutes else [])])


def _us(value: float, base: str, us_unit: str) -> float:
    if base == "degC":
        return convert(value, "degC", "degF")
    if base == "delta_degC":
        return convert(value, "delta_degC", "delta_degF")
    return convert(value, base, _US[us_unit])
