"""The studio: every record linked by id, sealed, and the little that dates decide."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any, TypeVar

from handbook_builder.problems import Problem, in_order
from handbook_builder.reading.beside import Attachments
from handbook_builder.reading.kinds.house import Helper, StudioRecord, Supplier
from handbook_builder.reading.kinds.items import (
    Colorant,
    Dated,
    Fragrance,
    Item,
    Packaging,
    Vessel,
    Wax,
    Wick,
)
from handbook_builder.reading.kinds.making import Burn, Made, Recipe
from handbook_builder.reading.kinds.trade import Batch, Count, Incident, Purchase
from handbook_builder.reading.leftovers import PassedOver
from handbook_builder.reading.records import Reading
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.links import faults_of
from handbook_builder.studio.protocol import Protocol, in_force

D = TypeVar("D", bound=Dated)


@dataclass(frozen=True, slots=True, kw_only=True, weakref_slot=True)
class Studio:
    """All that the studio knows, each kind by id.

    `attachments` lie beside records; `passed_over` lies among them and is none of it.
    """

    info: StudioRecord
    protocol: Protocol
    suppliers: Mapping[str, Supplier]
    purchases: Mapping[str, Purchase]
    stock: Mapping[str, Count]
    vessels: Mapping[str, Vessel]
    waxes: Mapping[str, Wax]
    wicks: Mapping[str, Wick]
    fragrances: Mapping[str, Fragrance]
    colorants: Mapping[str, Colorant]
    packaging: Mapping[str, Packaging]
    recipes: Mapping[str, Recipe]
    burns: Mapping[str, Burn]
    batches: Mapping[str, Batch]
    incidents: Mapping[str, Incident]
    helpers: Mapping[str, Helper]
    photos: tuple[str, ...] = ()
    attachments: Attachments = field(default_factory=lambda: MappingProxyType({}))
    passed_over: tuple[PassedOver, ...] = ()

    def item(self, item: Ref) -> Item:
        """Return the item that is named."""
        found: Item = getattr(self, item.folder)[item.id]
        return found

    def may(self, name: str, what: str) -> bool:
        """Return whether somebody may burn, pour or sign; all may while no helpers are kept."""
        return not self.helpers or (name in self.helpers and what in self.helpers[name].may)

    def inside_diameter_mm(self, made: Made) -> float:
        """Return the width that a test candle is judged by: its own, else its vessel's."""
        if made.inside_diameter_mm is not None:
            return made.inside_diameter_mm
        return self.vessels[made.vessel].inside_diameter_mm


def spec_as_of(item: Item, day: date) -> int:
    """Return the specification that the maker sold on `day`.

    Each further one is sold from its day in `spec_since` on.
    """
    return 1 + sum(since <= day for since in item.spec_since)


def since_of(item: Item, day: date) -> date | None:
    """Return since when the specification of `day` is sold, or None while it is the first."""
    return max((since for since in item.spec_since if since <= day), default=None)


def spec_of(item: Item, entry: Dated) -> int:
    """Return which specification of `item` a dated entry speaks of: its own word, else its date."""
    return spec_as_of(item, entry.on) if entry.spec is None else entry.spec


def counting(item: Item, entries: Iterable[D], day: date) -> tuple[D, ...]:
    """Return the entries that speak of `item` as it is sold on `day`: known, and of that make."""
    now = spec_as_of(item, day)
    return tuple(entry for entry in entries if entry.on <= day and spec_of(item, entry) == now)


def link(reading: Reading) -> tuple[Studio | None, tuple[Problem, ...]]:
    """Return the linked studio, or None when anything at all is at fault, and the problems."""
    problems = list(reading.problems)
    if reading.studio is not None:
        problems.extend(faults_of(reading))
    if problems or reading.studio is None:
        return None, in_order(problems)
    sealed: dict[str, Any] = {
        kind: MappingProxyType(records) for kind, records in reading.records.items()
    }
    protocols = sealed.pop("protocols")
    protocol = in_force(protocols.get(reading.studio.protocol))
    studio = Studio(
        info=reading.studio,
        protocol=protocol,
        photos=reading.photos,
        attachments=reading.attachments or MappingProxyType({}),
        passed_over=reading.passed_over,
        **sealed,
    )
    return studio, ()
