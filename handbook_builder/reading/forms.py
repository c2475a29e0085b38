"""What a key may hold, said as data beside what reads it, so that editors can be told it too.

A form never refuses what its reader takes; a reader may refuse more, since a form sees one value
and no sum, no bound of a quantity and no other record. Patterns are of the whole text, and of what
Python's and browsers' expressions have in common.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Generic, ParamSpec, TypeVar

from handbook_builder import units

P = ParamSpec("P")
A = TypeVar("A")


@dataclass(frozen=True, slots=True)
class Words:
    """Any text; with `least_letters` one that says something."""

    least_letters: int = 0


@dataclass(frozen=True, slots=True)
class Choice:
    """One of some words."""

    known: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """A text of one pattern."""

    pattern: str


@dataclass(frozen=True, slots=True)
class Day:
    """A day in ISO form; with `timed` perhaps a time of day behind it."""

    first_year: int
    last_year: int
    timed: bool = False


@dataclass(frozen=True, slots=True)
class YesNo:
    """Yes or no."""


@dataclass(frozen=True, slots=True)
class Number:
    """A plain number; `pattern` is how it is written as a text, in quotes or with a word behind."""

    pattern: str
    least: float | None = None
    most: float | None = None
    above: bool = False  # more than `least`
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit of a dimension."""

    dimension: units.Dimension


@dataclass(frozen=True, slots=True)
class Many:
    """A list."""

    of: "Form"
    least: int = 0


@dataclass(frozen=True, slots=True)
class Table:
    """Keys of a maker's own with values."""

    key: "Form"
    value: "Form"
    least: int = 0


@dataclass(frozen=True, slots=True)
class Keys:
    """The keys of a shape.

    `ways` are sets of keys of which exactly one must be given; with `closed` those are all that may
    be. By the word at the key `told_by`, the keys of `then` hold what stands there for it.
    """

    shape: type
    ways: tuple[tuple[str, ...], ...] = ()
    closed: bool = False
    told_by: str = ""
    then: Mapping[str, Mapping[str, "Form"]] | None = None


@dataclass(frozen=True, slots=True)
class Either:
    """One of several forms."""

    forms: "tuple[Form, ...]"


@dataclass(frozen=True, slots=True)
class Unsaid:
    """What a reader takes that does not say it: none of a record's keys may have one."""

    reader: str


Form = (
    Unsaid
    | Words
    | Choice
    | Written
    | Day
    | YesNo
    | Number
    | Quantity
    | Many
    | Table
    | Keys
    | Either
)


@dataclass(frozen=True, slots=True)
class Told(Generic[P, A]):
    """A reader that says what it takes."""

    form: Form
    read: Callable[P, A]

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> A:
        """Return what the reader returns."""
        return self.read(*args, **kwargs)


def takes(form: Form) -> Callable[[Callable[P, A]], Told[P, A]]:
    """Return a decorator that has a reader say what it takes."""

    def told(read: Callable[P, A]) -> Told[P, A]:
        return Told(form, read)

    return told


def form_of(read: Any) -> Form:  # noqa: ANN401 -- a reader
    """Return what a reader takes, or that it does not say so."""
    form: Form | None = getattr(read, "form", None)
    return Unsaid(getattr(read, "__qualname__", str(read))) if form is None else form


_FRACTION: Final = r"[+]?(?:[0-9]{1,6}\s+)?[0-9]{1,6}/[0-9]{1,6}"
_POUNDS_AND_OUNCES: Final = r"(?=.*(?:lbs?|pounds?)\s.*(?:oz|ounces?)\s*$)"


@cache
def quantity_pattern(dimension: units.Dimension) -> str:
    """Return the pattern of a quantity with its unit, any spelling of it."""
    if dimension is units.DIFFERENCE:
        spelled = _spelled(dict.fromkeys(units.DIFFERENCE_UNITS, dimension), dimension)
        return rf"{units.DELTA}{units.NUMBER}\s*{spelled}"
    number = units.NUMBER
    fraction = _FRACTION
    if dimension.may_be_negative:
        fraction = fraction.replace("[+]", "[+-]")
    else:
        number = number.replace("[+-]?", "[+]?", 1)
    known = {spelling: meant for spelling, (_, meant) in units.UNITS.items()}
    term = rf"(?:{fraction}|{number})\s*{_spelled(known, dimension)}"
    if dimension is units.DURATION:
        return rf"{term}(?:\s*{term})*"
    if dimension is units.MASS:
        return rf"(?:{term}|{_POUNDS_AND_OUNCES}{term}(?:\s*{term})+)"
    return term


def _spelled(known: Mapping[str, units.Dimension], dimension: units.Dimension) -> str:
    """Return the pattern of a dimension's units, the longest first."""
    taught = [one for one, meant in known.items() if meant is dimension]
    taken = [one for one, meant in units.TAKEN_FOR.items() if meant in taught]
    words = sorted((re.escape(one) for one in (*taught, *taken)), key=len, reverse=True)
    return f"(?:{'|'.join(words)})".replace(r"\ ", r"\s+")


def fits(pattern: str, text: str) -> bool:
    """Return whether a text is of a pattern as a whole."""
    return re.fullmatch(pattern, text) is not None
