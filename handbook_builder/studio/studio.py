"""The studio: every record linked by id, sealed, and the little that dates decide."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any, Final

from handbook_builder.problems import Problem, in_order
from handbook_builder.reading.kinds.house import Helper, StudioRecord, Supplier
from handbook_builder.reading.kinds.items import (
    Colorant,
    Fragrance,
    Item,
    Packaging,
    Vessel,
    Wax,
    Wick,
)
from handbook_builder.reading.kinds.making import Burn, Recipe
from handbook_builder.reading.kinds.trade import Batch, Incident, Purchase
from handbook_builder.reading.records import Reading
from handbook_builder.studio.links import faults_of
from handbook_builder.studio.protocol import Protocol, in_force

ITEM_FOLDERS: Final = ("vessels", "waxes", "wicks", "fragrances", "colorants", "packaging")


@dataclass(frozen=True, slots=True, kw_only=True)
class Studio:
    """All that the studio knows, each kind by id."""

    info: StudioRecord
    protocol: Protocol
    suppliers: Mapping[str, Supplier]
    purchases: Mapping[str, Purchase]
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

    def item(self, path: str) -> Item:
        """Return the item that `path` ("waxes/soy-blend") names."""
        folder, _, ident = path.partition("/")
        found: Item = getattr(self, folder)[ident]
        return found


def spec_as_of(item: Item, day: date) -> int:
    """Return the specification that the maker sold on `day`.

    Before `spec_since` it is the former one.
    """
    return item.spec - 1 if item.spec_since is not None and day < item.spec_since else item.spec


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
    studio = Studio(info=reading.studio, protocol=protocol, photos=reading.photos, **sealed)
    return studio, ()
