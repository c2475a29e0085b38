"""The one way out to other programs: any value of the house as JSON.

A report hands over the values as they are: frozen dataclasses, mappings, sequences, enums, dates,
money, places. How each of them is written is settled here, once.
"""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from handbook_builder.problems import Place

Plain: TypeAlias = "bool | int | float | str | list[Plain] | dict[str, Plain] | None"


def as_json(value: object) -> str:
    """Return a value as JSON: keys sorted, letters as they are."""
    return json.dumps(plain(value), indent=2, sort_keys=True, ensure_ascii=False)


def plain(value: object) -> Plain:
    """Return a value in what JSON has; a kind that is not settled here is a TypeError.

    An enum is its value, a date is ISO, money is text (never a float), a fraction is the nearest
    float, a place is its file and line. A frozen dataclass is its fields by name.
    """
    if isinstance(value, Enum):  # before text and numbers, which an enum may be too
        return plain(value.value)
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, date | Decimal | Fraction | Place):
        return _single(value)
    if isinstance(value, Mapping):
        return {_key(key): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return {name: plain(one) for name, one in fields_of(value).items()}


def _single(value: date | Decimal | Fraction | Place) -> float | str:
    if isinstance(value, Fraction):
        return float(value)
    return value.isoformat() if isinstance(value, date) else str(value)


def fields_of(value: object) -> dict[str, object]:
    """Return the fields of a frozen dataclass by name, as they are: to be told beside others."""
    if not is_dataclass(value) or isinstance(value, type) or not _is_frozen(value):
        msg = f"a {type(value).__name__} has no plain form"
        raise TypeError(msg)
    return {field.name: getattr(value, field.name) for field in fields(value)}


def _is_frozen(value: object) -> bool:
    """Return whether nobody can change it while it is told."""
    return bool(value.__dataclass_params__.frozen)  # type: ignore[attr-defined]


def _key(key: object) -> str:
    found = plain(key)
    if not isinstance(found, str):
        msg = f"a {type(key).__name__} is no key"
        raise TypeError(msg)
    return found
