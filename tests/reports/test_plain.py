"""The one serialiser: how each kind of value is written, and what it refuses."""

import json
from collections import OrderedDict
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from enum import Enum, IntEnum, StrEnum
from fractions import Fraction
from types import MappingProxyType

import pytest

from handbook_builder.problems import Place
from handbook_builder.reports.plain import as_json, fields_of, plain


class Word(StrEnum):
    """An enum that is a text as well."""

    FAIL = "fail"


class Number(IntEnum):
    """An enum that is a number as well."""

    TWO = 2


class Day(Enum):
    """An enum whose value is itself no JSON."""

    FIRST = date(2026, 5, 1)


@dataclass(frozen=True, slots=True)
class Sum:
    """A frozen dataclass in another."""

    price: Decimal
    on: date | None


@dataclass(frozen=True)
class Bill:
    """A frozen dataclass that holds others."""

    lines: tuple[Sum, ...]
    where: Place


@dataclass
class Loose:
    """A dataclass that may be changed while it is told."""

    value: int = 1


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (None, None),
        (True, True),
        (3, 3),
        (0.1, 0.1),
        ("é", "é"),
        (Decimal("3.10"), "3.10"),
        (Fraction(1, 4), 0.25),
        (date(2026, 5, 1), "2026-05-01"),
        (datetime(2026, 5, 1, 9, 30, tzinfo=UTC), "2026-05-01T09:30:00+00:00"),
        (Word.FAIL, "fail"),
        (Number.TWO, 2),
        (Day.FIRST, "2026-05-01"),
        (Place("records/studio.md", 3, 7), "records/studio.md:3"),
        ((1, [2, (3,)]), [1, [2, [3]]]),
        (MappingProxyType({Word.FAIL: (Decimal(1),)}), {"fail": ["1"]}),
        (OrderedDict(b=1, a=2), {"a": 2, "b": 1}),
        (
            Bill((Sum(Decimal("0.50"), None),), Place("a.md", 2)),
            {"lines": [{"price": "0.50", "on": None}], "where": "a.md:2"},
        ),
    ],
    ids=repr,
)
def test_a_value_is_written(value: object, expected: object) -> None:
    """The very type too: an enum of texts is a text, one of numbers a number."""
    found = plain(value)
    assert found == expected
    assert type(found) is type(expected)
    assert json.loads(as_json(value)) == expected


@pytest.mark.parametrize(
    "value",
    [
        {1, 2},
        frozenset({1}),
        b"bytes",
        iter([1]),
        object(),
        Loose(),
        Sum,
        {1: "a number is no key"},
        {None: 1},
        [{"deep": {2}}],
        1j,
    ],
    ids=lambda value: type(value).__name__,
)
def test_a_value_without_a_form_is_refused(value: object) -> None:
    """A set has no order and bytes have no letters: whoever tells them says how."""
    with pytest.raises(TypeError, match=r"has no plain form|is no key"):
        as_json(value)


def test_the_text_is_sorted_and_keeps_its_letters() -> None:
    """Two spaces a step, keys in order, letters as they are."""
    assert as_json({"b": [1], "a": "Café"}) == '{\n  "a": "Café",\n  "b": [\n    1\n  ]\n}'


def test_the_fields_of_a_value_may_stand_beside_others() -> None:
    """As they are: they are written out with the rest."""
    assert fields_of(Sum(Decimal(1), None)) == {"price": Decimal(1), "on": None}
    with pytest.raises(TypeError, match="a Loose has no plain form"):
        fields_of(Loose())
