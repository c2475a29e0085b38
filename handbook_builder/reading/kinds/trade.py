"""What is bought, poured for sale and answered for: purchases, batches, incidents."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from handbook_builder import units
from handbook_builder.reading import forms
from handbook_builder.reading.fields import (
    ID,
    Bad,
    Report,
    choice,
    count,
    day,
    ident,
    item_name,
    mass_g,
    money,
    some_mass_g,
    text,
)
from handbook_builder.reading.forms import form_of, takes
from handbook_builder.reading.lists import many, table
from handbook_builder.reading.nodes import Node, Scalar
from handbook_builder.reading.reasons import reason
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source, nested, optional, required, shape


@dataclass(frozen=True, slots=True)
class Amount:
    """How much was bought: grams, millilitres or pieces, by `dimension`."""

    value: float
    dimension: units.Dimension
    written: str


_BOUGHT_BY: Final = (units.MASS, units.VOLUME, units.COUNT)
_PIECES: Final = forms.Number(r"[0-9]{1,9}", 0, 1e9 - 1, whole=True)
_AMOUNT: Final = forms.Either((_PIECES, *(forms.Quantity(one) for one in _BOUGHT_BY)))


@takes(_AMOUNT)
def _amount(node: Node, report: Report, key: str) -> Amount | Bad:
    """Read a mass, a volume, or a number of pieces: more than nothing."""
    found = _any_amount(node, report, key)
    if isinstance(found, Bad) or found.value > 0:
        return found
    return report.bad(node, "out_of_range", found=found.written, expected="more than nothing")


@takes(_AMOUNT)
def _any_amount(node: Node, report: Report, key: str) -> Amount | Bad:
    """Read a mass, a volume, or a number of pieces; nothing at all is one too."""
    found = text(node, report, key)
    if isinstance(found, Bad):
        return found
    if re.fullmatch(_PIECES.pattern, found):
        value: float | units.Fault = float(found)
        dimension = units.COUNT
    else:
        tried = [(units.read_quantity(found, one), one) for one in _BOUGHT_BY]
        good = [pair for pair in tried if not isinstance(pair[0], units.Fault)]
        value, dimension = (good or tried)[0]
    if isinstance(value, units.Fault):
        return report.bad(node, value.code, **value.details)
    if value < 0:
        return report.bad(node, "out_of_range", found=found, expected="0 or more")
    return Amount(value, dimension, found)


@shape
class Line:
    """One line of a bill; `price` is for the whole line."""

    item: Ref = required(item_name, "a folder and an id, such as waxes/soy-blend")
    quantity: Amount = required(_amount, "a mass, a volume or a number of pieces")
    price: Decimal = required(money, "the price of the whole line")
    lot: str | None = optional(text)


@shape
class Purchase:
    """One bill."""

    source: Source
    supplier: str = required(ident, "the id of a supplier")
    on: date = required(day, "a date")
    lines: tuple[Line, ...] = required(many(nested(Line), 1), "a list of lines")
    freight: Decimal | None = optional(money)
    duty: Decimal | None = optional(money)
    spread: str | None = optional(choice("mass", "value"))


@dataclass(frozen=True, slots=True)
class Counted:
    """What was found of an item: of one lot, or of what bears no lot."""

    item: Ref
    lot: str | None
    quantity: Amount


@takes(forms.Written(f"{ID.pattern}/{ID.pattern}(?:\\s.*)?"))
def _item_and_lot(node: Node, report: Report, key: str) -> tuple[Ref, str | None] | Bad:
    """Read an item, or an item and its lot behind a space: `waxes/soy-blend W-2231`."""
    found = text(node, report, key)
    if isinstance(found, Bad):
        return found
    name, _, lot = found.partition(" ")
    named = Scalar(text=name, plain=True, line=node.line, column=node.column)
    item = item_name(named, report, key)
    return item if isinstance(item, Bad) else (item, lot.strip() or None)


@takes(forms.Table(form_of(_item_and_lot), _AMOUNT, 1))
def _counted(node: Node, report: Report, key: str) -> tuple[Counted, ...] | Bad:
    """Read what was counted: an amount for each item, or for each item and lot."""
    found = table(_item_and_lot, _any_amount, 1)(node, report, key)
    if isinstance(found, Bad):
        return found
    return tuple(Counted(item, lot, amount) for (item, lot), amount in found.items())


@shape
class Count:
    """The shelf counted on a day: what is there then, whatever the bills and batches say."""

    source: Source
    on: date = required(day, "a date")
    counted: tuple[Counted, ...] = required(_counted, "items, or items and lots, with amounts")


@shape
class Given:
    """Candles that left the studio, or that came back (`returned`) from whoever had them."""

    on: date = required(day, "a date")
    to: str = required(text, "who has them")
    count: int = required(count(1), "how many")
    how: str = required(choice("sold", "gift", "returned"), "sold, gift or returned")

    @property
    def out(self) -> int:
        """Return by how many more are out: what came back counts against it."""
        return -self.count if self.how == "returned" else self.count


@shape
class Kept:
    """Candles that stay in the studio for good: for tests, as a sample, as a keepsake."""

    on: date = required(day, "a date")
    count: int = required(count(1), "how many")
    why: str = required(reason, "what for")


@shape
class Batch:
    """One production run."""

    source: Source
    recipe: str = required(ident, "the id of a recipe")
    on: date = required(day, "a date")
    made: int = required(count(1), "how many were made")
    by: str = required(text, "who poured it")
    code: str | None = optional(text)
    lots: Mapping[Ref, str] = required(table(item_name, text), "items with their lots")
    weighed_g: Mapping[Ref, float] = optional(table(item_name, mass_g), MappingProxyType({}))
    net_g: tuple[float, ...] = optional(many(some_mass_g), ())
    given: tuple[Given, ...] = optional(many(nested(Given)), ())
    kept: tuple[Kept, ...] = optional(many(nested(Kept)), ())


@shape
class Closed:
    """How an incident ended."""

    on: date = required(day, "a date")
    finding: str = required(reason, "what was found")


@shape
class Incident:
    """Something went wrong; while it is open, whatever it touches is suspended."""

    source: Source
    number: int = required(count(1), "its number, counted from 1")
    on: date = required(day, "a date")
    about: Ref = required(item_name, "what it is about, such as recipes/cedar-fig")
    lot: str | None = optional(text)
    what: str = required(reason, "what happened")
    closed: Closed | None = optional(nested(Closed))
