"""Readers: each takes one node and returns a value, or reports why there is none.

A reader returns `BAD` after it has reported; what was asked for is never guessed.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from decimal import Decimal
from difflib import get_close_matches
from typing import Final, TypeVar

from handbook_builder import units
from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading import forms
from handbook_builder.reading.forms import form_of, takes
from handbook_builder.reading.nodes import Node, Scalar, Sequence
from handbook_builder.reading.refs import Ref

T = TypeVar("T")
K = TypeVar("K")


class Bad:
    """The answer of a reader that has reported a problem."""


BAD: Final = Bad()


@dataclass(slots=True)
class Report:
    """Where the readers of one file put what they find."""

    file: str
    problems: list[Problem] = field(default_factory=list)

    def bad(self, node: Node, code: str, **details: object) -> Bad:
        """Note a problem at `node` and return BAD."""
        place = Place(self.file, node.line, node.column)
        self.problems.append(problem(place, code, details))
        return BAD


Reader = Callable[[Node, Report, str], T | Bad]


@dataclass(frozen=True, slots=True)
class When:
    """A day, with the time of day when the record gives one."""

    day: date
    at: time | None = None


def near(word: str, known: "list[str] | tuple[str, ...]") -> str:
    """Return the known word nearest to `word`, or nothing."""
    found = get_close_matches(word, known, n=1, cutoff=0.55)
    return found[0] if found else ""


def kind_of(node: Node) -> str:
    """Return what was found, as a message names it: the text itself, or what holds others."""
    if isinstance(node, Scalar):
        return f"'{node.text}'"
    return "a list" if isinstance(node, Sequence) else "keys with values"


def word(expected: str = "a text") -> Reader[str]:
    """Return a reader of any text that is not empty."""

    @takes(forms.Words())
    def read(node: Node, report: Report, key: str) -> str | Bad:
        if not isinstance(node, Scalar):
            return report.bad(node, "not_a_word", found=kind_of(node), key=key, expected=expected)
        found = " ".join(node.text.split())
        if not found:
            return report.bad(node, "empty_value", key=key, expected=expected)
        odd = next((one for one in found if not one.isprintable()), None)
        if odd is not None:
            return report.bad(node, "odd_character", key=key, odd=f"U+{ord(odd):04X}")
        return found

    return read


text: Final = word()


def choice(*known: str) -> Reader[str]:
    """Return a reader of one word out of `known`."""

    @takes(forms.Choice(known))
    def read(node: Node, report: Report, key: str) -> str | Bad:
        found = word(f"one of {', '.join(known)}")(node, report, key)
        if isinstance(found, Bad) or found in known:
            return found
        return report.bad(
            node, "not_a_choice", found=found, key=key, known=", ".join(known),
            near=near(found.lower(), known),
        )  # fmt: skip

    return read


ID: Final = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


@takes(forms.Written(ID.pattern))
def ident(node: Node, report: Report, key: str) -> str | Bad:
    """Read the id of another record."""
    found = word("the id of a record")(node, report, key)
    if isinstance(found, Bad) or ID.fullmatch(found):
        return found
    return report.bad(node, "not_a_name", found=found)


@takes(forms.Written(f"{ID.pattern}/{ID.pattern}"))
def item_name(node: Node, report: Report, key: str) -> Ref | Bad:
    """Read a folder and an id, such as `waxes/soy-blend`."""
    found = word("a folder and an id")(node, report, key)
    if isinstance(found, Bad):
        return found
    named = Ref(found)
    if ID.fullmatch(named.id) and ID.fullmatch(named.folder):
        return named
    return report.bad(node, "unknown_item", found=found)


@dataclass(frozen=True, slots=True)
class QuantityReader:
    """Reads a quantity, in the dimension's base unit times `scale`.

    It is no bare function, so that a page can be told what it takes.
    """

    dimension: units.Dimension
    scale: float = 1.0

    @property
    def form(self) -> forms.Form:
        """Return what it takes."""
        return forms.Quantity(self.dimension)

    def __call__(self, node: Node, report: Report, key: str) -> float | Bad:
        """Return the quantity, or BAD once it is reported why it is none."""
        due = f"a {self.dimension.word}, for example '{self.dimension.example}'"
        found = word(due)(node, report, key)
        if isinstance(found, Bad):
            return found
        value = units.read_quantity(found, self.dimension)
        if isinstance(value, units.Fault):
            return report.bad(node, value.code, **value.details)
        return value * self.scale


quantity: Final = QuantityReader


mass_g: Final = quantity(units.MASS)
length_mm: Final = quantity(units.LENGTH)
volume_ml: Final = quantity(units.VOLUME)
duration_h: Final = quantity(units.DURATION)
duration_s: Final = quantity(units.DURATION, 3600.0)
duration_days: Final = quantity(units.DURATION, 1.0 / 24.0)
temperature_c: Final = quantity(units.TEMPERATURE)
difference_k: Final = quantity(units.DIFFERENCE)
density_g_per_ml: Final = quantity(units.DENSITY)


@dataclass(frozen=True, slots=True)
class BoundedReader:
    """Reads a number within [low, high], or above `low` when `above` is true.

    It is no bare function, so that a page can be told the bounds.
    """

    read: Reader[float]
    low: float
    high: float
    expected: str
    above: bool = False

    @property
    def form(self) -> forms.Form:
        """Return what it takes; a quantity's bounds are told in words alone."""
        inner = form_of(self.read)
        if not isinstance(inner, forms.Number):
            return inner
        return replace(inner, least=self.low, most=self.high, above=self.above)

    def __call__(self, node: Node, report: Report, key: str) -> float | Bad:
        """Return the number, or BAD once it is reported why it is none."""
        found = self.read(node, report, key)
        if isinstance(found, Bad) or self.holds(found):
            return found
        written = node.text if isinstance(node, Scalar) else str(found)
        return report.bad(node, "out_of_range", found=written, expected=self.expected)

    def holds(self, value: float) -> bool:
        """Return whether a number lies within the bounds."""
        return self.low <= value <= self.high and not (self.above and value == self.low)


bounded: Final = BoundedReader


_INF: Final = float("inf")
some_mass_g: Final = bounded(mass_g, 0, _INF, "a mass above 0 g", above=True)
some_length_mm: Final = bounded(length_mm, 0, _INF, "a length above 0 mm", above=True)
some_volume_ml: Final = bounded(volume_ml, 0, _INF, "a volume above 0 mL", above=True)
some_duration_h: Final = bounded(duration_h, 0, _INF, "a duration above 0", above=True)
some_density: Final = bounded(density_g_per_ml, 0.2, 3.0, "a density between 0.2 and 3 g/mL")
share: Final = bounded(quantity(units.SHARE), 0, 1, "a share between 0 % and 100 %")
some_share: Final = bounded(share, 0, 1, "a share above 0 % and up to 100 %", above=True)
some_loss: Final = bounded(share, 0, 0.5, "a loss from 0 % to 50 %")
water_temperature_c: Final = bounded(
    temperature_c, 0, 40, "water between 0 degC and 40 degC, where its density is known"
)


_BARE: Final = forms.Number(r"[0-9]{1,6}(\.[0-9]{1,6})?", 0, 1e6)


def or_bare(read: Reader[float]) -> Reader[float]:
    """Return a reader that also takes a plain number, for a key whose own name is the unit."""

    @takes(forms.Either((form_of(read), _BARE)))
    def read_either(node: Node, report: Report, key: str) -> float | Bad:
        if isinstance(node, Scalar) and re.fullmatch(_BARE.pattern, node.text.strip()):
            return float(node.text)
        return read(node, report, key)

    return read_either


@takes(forms.Number(units.NUMBER))
def number(node: Node, report: Report, key: str) -> float | Bad:
    """Read a finite plain number."""
    found = word("a plain number")(node, report, key)
    if isinstance(found, Bad):
        return found
    value = units.read_number(found)
    if isinstance(value, units.Fault):
        return report.bad(node, value.code, **value.details)
    return value


_COUNT: Final = r"([0-9]{1,9})(?:\s*(?:pcs|pc|pieces|piece|each))?"


def count(least: int = 0) -> Reader[int]:
    """Return a reader of a whole number, `least` or more; `24 pcs` is one too."""

    @takes(forms.Number(_COUNT, least, 1e9 - 1, whole=True))
    def read(node: Node, report: Report, key: str) -> int | Bad:
        found = word("a whole number")(node, report, key)
        if isinstance(found, Bad):
            return found
        match = re.fullmatch(_COUNT, found)
        if match and int(match[1]) >= least:
            return int(match[1])
        return report.bad(node, "not_a_count", found=found, least=f" from {least} on")

    return read


MOST_MONEY: Final = Decimal(10) ** 12
MOST_DECIMALS: Final = 6
SUM: Final = forms.Number(r"[+-]?[0-9]+(\.[0-9]+)?", 0, float(MOST_MONEY))


@takes(SUM)
def money(node: Node, report: Report, key: str) -> Decimal | Bad:
    """Read an amount of the studio's currency, exactly as written."""
    found = word("an amount of money")(node, report, key)
    if isinstance(found, Bad):
        return found
    if not re.fullmatch(SUM.pattern, found):
        return report.bad(node, "unpriced_currency", found=found)
    amount = Decimal(found)
    if len(found.partition(".")[2]) > MOST_DECIMALS:
        expected = f"at most {MOST_DECIMALS} digits after the point"
        return report.bad(node, "out_of_range", found=found, expected=expected)
    if amount < 0:
        return report.bad(node, "negative", found=found, what="sum of money")
    return report.bad(node, "absurd", found=found) if amount > MOST_MONEY else amount


@takes(forms.YesNo())
def yes_no(node: Node, report: Report, key: str) -> bool | Bad:
    """Read yes or no (or YAML's true and false)."""
    found = word("yes or no")(node, report, key)
    if isinstance(found, Bad):
        return found
    known = {"yes": True, "true": True, "no": False, "false": False}
    if found.lower() in known:
        return known[found.lower()]
    return report.bad(node, "not_yes_no", found=found)


FIRST_YEAR: Final = 1990
LAST_YEAR: Final = 2099


@takes(forms.Day(FIRST_YEAR, LAST_YEAR))
def day(node: Node, report: Report, key: str) -> date | Bad:
    """Read an ISO date."""
    found = word("a date such as 2026-03-15")(node, report, key)
    if isinstance(found, Bad):
        return found
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", found):
            return report.bad(node, "bad_date", found=found, reason="it is not year-month-day")
        return _believable(date.fromisoformat(found), node, report)
    except ValueError as error:
        return report.bad(node, "bad_date", found=found, reason=str(error))


def _believable(found: date, node: Node, report: Report) -> date | Bad:
    """Return a day of this age; a slip in the year would put bad news out of sight."""
    if FIRST_YEAR <= found.year <= LAST_YEAR:
        return found
    return report.bad(node, "out_of_range", found=found, expected=year_expected())


def year_expected() -> str:
    """Return which years a message expects."""
    return f"a year from {FIRST_YEAR} to {LAST_YEAR}"


@takes(forms.Day(FIRST_YEAR, LAST_YEAR, timed=True))
def when(node: Node, report: Report, key: str) -> When | Bad:
    """Read an ISO date, or a date with a time of day."""
    found = word("a date, or a date with a time")(node, report, key)
    if isinstance(found, Bad):
        return found
    timed = re.fullmatch(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ T]([0-9]{1,2}:[0-9]{2})", found)
    if timed is None and re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}.", found):
        return report.bad(node, "bad_time", found=found, reason="the day is fine, the time is not")
    if timed is None:
        found_day = day(node, report, key)
        return found_day if isinstance(found_day, Bad) else When(found_day)
    try:
        moment = datetime.fromisoformat(f"{timed[1]} {timed[2]:0>5}")
    except ValueError as error:
        return report.bad(node, "bad_time", found=found, reason=str(error))
    found_day = _believable(moment.date(), node, report)
    return found_day if isinstance(found_day, Bad) else When(found_day, moment.time())
