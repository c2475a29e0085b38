"""What is made: recipes, and the test candles burned to prove them."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from math import fsum
from types import MappingProxyType
from typing import Final

from handbook_builder import units
from handbook_builder.reading.fields import (
    Bad,
    Reader,
    Report,
    T,
    bounded,
    choice,
    count,
    day,
    ident,
    item_name,
    mass_g,
    or_bare,
    quantity,
    some_length_mm,
    some_mass_g,
    some_share,
    temperature_c,
    text,
)
from handbook_builder.reading.forms import Choice, Either, Written, form_of, takes
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reading.lists import many, one_or_many, table
from handbook_builder.reading.nodes import Map, Node, Scalar
from handbook_builder.reading.pictures import picture_name
from handbook_builder.reading.reasons import reason
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source, nested, optional, required, shape

_SLACK: Final = 1e-9
# Said, and no answer: a candle that was never tilted, a vessel that nobody looked at.
UNTRIED: Final = "untried"
UNSEEN: Final = "unseen"


def _or_none(read: Reader[Mapping[str, T]]) -> Reader[Mapping[str, T]]:
    """Return a reader that also takes the word `none`, for a candle without."""

    @takes(Either((form_of(read), Choice(("none",)))))
    def read_or_none(node: Node, report: Report, key: str) -> Mapping[str, T] | Bad:
        if isinstance(node, Scalar) and node.text.strip() == "none":
            return MappingProxyType({})
        return read(node, report, key)

    return read_or_none


_shares: Final = table(ident, some_share, 1)


@takes(Either((form_of(ident), form_of(_shares))))
def _wax(node: Node, report: Report, key: str) -> Mapping[str, float] | Bad:
    """Read one wax, or waxes with shares that add up to 100 %."""
    if not isinstance(node, Map):
        one = ident(node, report, key)
        return one if isinstance(one, Bad) else MappingProxyType({one: 1.0})
    shares = _shares(node, report, key)
    if isinstance(shares, Bad) or abs(fsum(shares.values()) - 1.0) <= _SLACK:
        return shares
    return report.bad(
        node, "overfull", found=fsum(shares.values()) * 100, expected="exactly 100 % of the wax"
    )


@takes(form_of(_shares))
def _loads(node: Node, report: Report, key: str) -> Mapping[str, float] | Bad:
    """Read shares that may not add up to 100 % or more: some wax must be left."""
    shares = _shares(node, report, key)
    if isinstance(shares, Bad) or fsum(shares.values()) < 1.0:
        return shares
    return report.bad(
        node, "overfull", found=fsum(shares.values()) * 100, expected="less than 100 %"
    )


@dataclass(frozen=True, slots=True)
class RecipeFill:
    """How full a candle is: so many grams, or to the vessel's line.

    Without a mass it is the volume to the line, of wax that has set, or of molten wax when `hot`.
    """

    mass_g: float | None = None
    hot: bool = False


TO_LINE: Final = "to_line"
TO_LINE_HOT: Final = "to_line_hot"


@takes(Either((Choice((TO_LINE, TO_LINE_HOT)), form_of(some_mass_g))))
def _fill(node: Node, report: Report, key: str) -> RecipeFill | Bad:
    """Read a mass, `to_line` or `to_line_hot`."""
    written = node.text.strip() if isinstance(node, Scalar) else ""
    if written in (TO_LINE, TO_LINE_HOT):
        return RecipeFill(hot=written == TO_LINE_HOT)
    plain = written.lower().replace(" ", "_").replace("-", "_").replace("the_", "")
    if plain in (TO_LINE, TO_LINE_HOT):
        known = f"{TO_LINE}, {TO_LINE_HOT} or a mass"
        return report.bad(node, "not_a_choice", found=written, key=key, known=known, near=plain)
    found = some_mass_g(node, report, key)
    return found if isinstance(found, Bad) else RecipeFill(found)


_LETTER: Final = r"[A-Z]{1,2}"


@takes(Written(_LETTER))
def _letter(node: Node, report: Report, key: str) -> str | Bad:
    found = text(node, report, key)
    if isinstance(found, Bad) or re.fullmatch(_LETTER, found):
        return found
    return report.bad(node, "bad_candle", found=found)


# What is left out of what was weighed would make another candle of it, and nobody would see.
_weighed: Final = _or_none(table(ident, some_mass_g))

# More than a scale for candles would be would explain away a whole cycle that is not on file.
_readability: Final = bounded(some_mass_g, 0, 5, "a readability of 5 g or finer")


@shape
class Recipe:
    """What a product is made of."""

    source: Source
    title: str = required(text, "a title")
    vessel: str = required(ident, "the id of a vessel")
    wax: Mapping[str, float] = required(_wax, "the id of a wax, or waxes with shares")
    wick: str = required(ident, "the id of a wick")
    wicks: int = optional(count(1), 1)
    fragrance: Mapping[str, float] = required(_or_none(_loads), "oils with their loads, or none")
    load_basis: str = required(choice("wax", "total"), "wax or total")
    colorant: Mapping[str, float] = optional(_or_none(_loads), MappingProxyType({}))
    fill: RecipeFill = required(_fill, "a mass, to_line or to_line_hot")
    front: str = optional(choice("labelled", "bare"), "labelled")
    packaging: Mapping[str, int] = optional(table(ident, count(1)), MappingProxyType({}))
    minutes: float | None = optional(or_bare(quantity(units.DURATION, 60.0)))
    retired: date | None = optional(day)
    test_candles: int | None = optional(count(0))


@shape
class Made:
    """What really went into a test candle, and what was poured with it."""

    on: date = required(day, "the day it was poured")
    vessel: str = required(ident, "the id of the vessel really used")
    wax: Mapping[str, float] = required(table(ident, some_mass_g, 1), "waxes with their masses")
    fragrance: Mapping[str, float] = required(_weighed, "oils with their masses, or none")
    colorant: Mapping[str, float] = required(_weighed, "colorants with their masses, or none")
    wick: str = required(ident, "the id of the wick really used")
    wicks: int = required(count(1), "how many wicks")
    candles: int = required(count(1), "how many test candles were poured together")
    rungs: int | None = optional(count(1))
    inside_diameter_mm: float | None = optional(some_length_mm)
    tilt: str | None = optional(choice("steady", "fell", UNTRIED))
    spec: Mapping[Ref, int] = optional(table(item_name, count(1)), MappingProxyType({}))


def made_of(made: "Made | Recipe") -> Iterator[Ref]:
    """Yield every item that goes into a candle and burns or holds what burns."""
    yield Ref.to("vessels", made.vessel)
    yield Ref.to("wicks", made.wick)
    yield from (Ref.to("waxes", ident) for ident in made.wax)
    yield from (Ref.to("fragrances", ident) for ident in made.fragrance)
    yield from (Ref.to("colorants", ident) for ident in made.colorant)


def items_of(recipe: "Recipe") -> Iterator[Ref]:
    """Yield every item that a recipe names, what it is packed in too."""
    yield from made_of(recipe)
    yield from (Ref.to("packaging", ident) for ident in recipe.packaging)


_END_FORMER: Final = ("how", "left", "vessel", "tilt")


@shape
class End:
    """How a test candle ended."""

    how: str = required(choice("went_out", "stopped"), "went_out or stopped")
    why: str | None = optional(reason)
    left_g: float | None = optional(mass_g)
    vessel: str | None = optional(choice("sound", "cracked", "leaking", "broken", UNSEEN))
    tilt: str | None = optional(choice("steady", "fell", UNTRIED))
    cycles: int | None = optional(count(1))
    amended: tuple[date, ...] = optional(one_or_many(day), ())
    former: Mapping[str, tuple[str, ...]] = optional(
        table(choice(*_END_FORMER), one_or_many(text)), MappingProxyType({})
    )


@shape
class Void:
    """Why a test was set aside, in the open."""

    why: str = required(reason, "the reason")
    by: str = required(text, "who set it aside")
    on: date = required(day, "a date")


@shape
class Burn:
    """One test candle, from pouring to the last cycle."""

    source: Source
    recipe: str = required(ident, "the id of a recipe")
    candle: str = required(_letter, "a letter such as A")
    made: Made = required(nested(Made), "what went into it")
    as_: str | None = optional(choice("misuse", "ladder"))
    how: str | None = optional(choice("untrimmed", "long", "draught", "hot_room", "moved"))
    by: str | None = optional(ident)
    lots: Mapping[Ref, str] = optional(table(item_name, text), MappingProxyType({}))
    scale_g: float = required(_readability, "the readability of the scale, such as 0.1 g")
    room_c: float | None = optional(temperature_c)
    lit: int | None = optional(count(0))
    cycles: tuple[Cycle, ...] = optional(many(nested(Cycle)), ())
    end: End | None = optional(nested(End))
    photos: Mapping[str, str] = optional(table(picture_name, text), MappingProxyType({}))
    void: Void | None = optional(nested(Void))

    @property
    def is_misuse(self) -> bool:
        """Return whether it was burned as buyers should not: it shows, and proves nothing."""
        return self.as_ == "misuse"

    @property
    def is_ladder(self) -> bool:
        """Return whether it was lit to find the size of a wick: it teaches, and never proves."""
        return self.as_ == "ladder"
