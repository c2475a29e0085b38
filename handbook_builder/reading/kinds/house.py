"""The studio itself, its protocols, its suppliers and its helpers."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from handbook_builder import units
from handbook_builder.reading import forms
from handbook_builder.reading.fields import (
    BAD,
    SUM,
    Bad,
    Report,
    bounded,
    choice,
    count,
    day,
    difference_k,
    duration_days,
    duration_h,
    ident,
    money,
    number,
    or_bare,
    quantity,
    share,
    some_duration_h,
    some_length_mm,
    some_loss,
    some_share,
    text,
    yes_no,
)
from handbook_builder.reading.forms import form_of, takes
from handbook_builder.reading.kinds.items import MATERIALS
from handbook_builder.reading.kinds.readings import MEASURES, READINGS, SEEN_WORDS
from handbook_builder.reading.lists import many, one_or_many, table
from handbook_builder.reading.nodes import Map, Node
from handbook_builder.reading.shape import Source, nested, optional, read_shape, required, shape

# What a candle must show once, and not in each of its cycles.
ONCE: Final = ("tilt", "cycles")


@takes(forms.Written("[A-Z]{3}"))
def _currency(node: Node, report: Report, key: str) -> str | Bad:
    """Read an ISO 4217 code that the Unicode CLDR, as Babel ships it, knows."""
    from babel.core import get_global  # noqa: PLC0415 -- slow to import, used once a run

    found = text(node, report, key)
    if isinstance(found, Bad) or found in get_global("all_currencies"):
        return found
    return report.bad(node, "unknown_currency", found=found)


_minutes: Final = or_bare(quantity(units.DURATION, 60.0))
_multiple: Final = bounded(number, 0, 100, "a multiple above 0", above=True)


@takes(replace(SUM, above=True))
def _step(node: Node, report: Report, key: str) -> Decimal | Bad:
    """Read a step of prices: a sum above nothing."""
    found = money(node, report, key)
    if isinstance(found, Bad) or found > 0:
        return found
    return report.bad(node, "out_of_range", found=str(found), expected="a sum above 0")


_LANGUAGE: Final = "[a-z]{2}"


@takes(forms.Written(_LANGUAGE))
def _language(node: Node, report: Report, key: str) -> str | Bad:
    """Read a language by the two letters of ISO 639, as its catalogue of statements is called."""
    found = text(node, report, key)
    if isinstance(found, Bad) or re.fullmatch(_LANGUAGE, found):
        return found
    return report.bad(node, "not_a_language", found=found)


@shape
class Channel:
    """Where candles are sold: what of a price goes to the tax, the card or market, the shop."""

    multiple: float | None = optional(_multiple)
    tax: float = optional(some_loss, 0.0)
    fee: float = optional(some_loss, 0.0)
    fee_each: Decimal | None = optional(money)
    commission: float = optional(bounded(share, 0, 0.9, "a commission from 0 % to 90 %"), 0.0)
    step: Decimal | None = optional(_step)


@shape
class StudioRecord:
    """`studio.md`: the studio itself."""

    source: Source
    name: str = required(text, "the studio's name")
    currency: str = required(_currency, "an ISO 4217 code such as EUR")
    units: str = required(choice("metric", "us", "both"), "metric, us or both")
    markets: tuple[str, ...] = required(many(choice("us", "eu", "gb")), "a list of us, eu, gb")
    protocol: str = required(ident, "the id of a protocol, or default")
    labour: Decimal | None = optional(money)
    overhead: Decimal | None = optional(money)
    wholesale_multiple: float | None = optional(_multiple)
    retail_multiple: float | None = optional(_multiple)
    costing: str = optional(choice("newest", "mean"), "newest")
    pitcher_loss: float = optional(some_loss, 0.0)
    breakage: float = optional(some_loss, 0.0)
    address: str | None = optional(text)
    contact: str | None = optional(text)
    languages: Mapping[str, tuple[str, ...]] = optional(
        table(choice("us", "eu", "gb"), one_or_many(_language)), MappingProxyType({})
    )
    channels: Mapping[str, Channel] = optional(table(text, nested(Channel)), MappingProxyType({}))
    cycles_a_day: int = optional(count(1), 1)
    places: int | None = optional(count(1))
    incidents: int | None = optional(count(0))
    lot_tolerance: float = optional(share, 0.02)
    minutes_a_cycle: float | None = optional(_minutes)
    stale_after_days: float = optional(duration_days, 7.0)


@shape
class Limit:
    """One limit of a protocol; `bound` in the unit of its measure (mm, °C, s, or a share).

    With a `material` it speaks of vessels of that material alone, beside the limit for all.
    """

    measure: str
    upper: bool
    bound: float
    source: str
    published: bool
    on_breach: str
    material: str | None = None

    @property
    def slot(self) -> tuple[str, bool, str, str | None]:
        """Return what a studio's own limit must share with a shipped one to replace it."""
        return (self.measure, self.upper, self.on_breach, self.material)


@dataclass(frozen=True, slots=True)
class _Bound:
    """A bound not yet read: its unit depends on what the limit measures."""

    node: Node


_MEASURED: Final = {name: form_of(unit.bound) for name, unit in MEASURES.items()}


@takes(forms.Either(tuple(dict.fromkeys(_MEASURED.values()))))
def _unread(node: Node, _report: Report, _key: str) -> _Bound | Bad:
    return _Bound(node)


@shape
class _WrittenLimit:
    measure: str = required(choice(*MEASURES), f"one of {', '.join(MEASURES)}")
    at_most: _Bound | None = optional(_unread)
    at_least: _Bound | None = optional(_unread)
    source: str = required(text, "where the limit comes from")
    published: bool = required(yes_no, "yes or no")
    on_breach: str = required(choice("fail", "watch"), "fail or watch")
    material: str | None = optional(choice(*MATERIALS))


_BOUNDS: Final = ("at_most", "at_least")


@takes(
    forms.Keys(
        _WrittenLimit,
        tuple((one,) for one in _BOUNDS),
        told_by="measure",
        then={name: dict.fromkeys(_BOUNDS, form) for name, form in _MEASURED.items()},
    )
)
def _limit(node: Node, report: Report, key: str) -> Limit | Bad:
    written = read_shape(_WrittenLimit, node, report, key)
    if isinstance(written, Bad):
        return BAD
    if written.at_most is not None and written.at_least is not None:
        return report.bad(node, "two_ways", one="at_most", other="at_least")
    unread = written.at_most or written.at_least
    if unread is None:
        return report.bad(node, "unconditional", measure=written.measure)
    bound = MEASURES[written.measure].bound(unread.node, report, written.measure)
    if isinstance(bound, Bad):
        return BAD
    return Limit(
        measure=written.measure,
        upper=written.at_most is not None,
        bound=bound,
        source=written.source,
        published=written.published,
        on_breach=written.on_breach,
        material=written.material,
    )


_walls_by_material: Final = table(choice(*MATERIALS), some_length_mm, 1)


@takes(forms.Either((form_of(some_length_mm), form_of(_walls_by_material))))
def _walls(node: Node, report: Report, key: str) -> Mapping[str, float] | Bad:
    """Read one least wall for every material, or a wall for each of some materials."""
    if isinstance(node, Map):
        return _walls_by_material(node, report, key)
    found = some_length_mm(node, report, key)
    return found if isinstance(found, Bad) else MappingProxyType(dict.fromkeys(MATERIALS, found))


@shape
class ProtocolRecord:
    """A protocol as written; what it leaves out, the shipped one fills in."""

    source: Source
    test_candles: int | None = optional(count(1))
    pourings: int | None = optional(count(1))
    cycle_h: float | None = optional(some_duration_h)
    cycle_tolerance_h: float | None = optional(duration_h)
    rest_h: float | None = optional(duration_h)
    trim_mm: float | None = optional(some_length_mm)
    load_tolerance: float | None = optional(share)
    fill_tolerance: float | None = optional(share)
    balance: float | None = optional(share)
    stop_at_mm: float | None = optional(some_length_mm)
    min_wall_mm: Mapping[str, float] | None = optional(_walls)
    min_opening: float | None = optional(some_share)
    thermal_shock_k: float | None = optional(difference_k)
    full_pool_by: int | None = optional(count(1))
    needs: tuple[str, ...] | None = optional(many(choice(*READINGS, *ONCE)))
    limits: tuple[Limit, ...] = optional(many(_limit), ())
    observations: Mapping[str, str] | None = optional(
        table(choice(*SEEN_WORDS), choice("fail", "watch", "note"))
    )


@shape
class Supplier:
    """Whom the studio buys from."""

    source: Source
    kind: str = required(
        choice("candle_supplier", "general", "maker"), "candle_supplier, general or maker"
    )
    distance: str | None = optional(text)
    lead_time_days: float | None = optional(duration_days)
    minimum_order: str | None = optional(text)


@shape
class ReadGuide:
    """Which guide a helper has read, when, and in which edition."""

    page: str = required(text, "the guide's page")
    on: date = required(day, "a date")
    edition: str | None = optional(text)


@shape
class Helper:
    """A person who helps at the bench."""

    source: Source
    read: tuple[ReadGuide, ...] = optional(many(nested(ReadGuide)), ())
    may: tuple[str, ...] = optional(many(choice("burn", "pour", "sign")), ())
