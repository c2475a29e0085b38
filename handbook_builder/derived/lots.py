"""Where a lot came from and where it went: purchases, batches, and who has the candles."""

import hashlib
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.once import once
from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import bills_in_order
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.incidents import Touch, open_incidents, touch

# A lot written so is its own name in an address; any other gets a few digits of a hash.
_PLAIN: Final = re.compile(r"[A-Z0-9]+(?:-[A-Z0-9]+)*")
_DIGITS: Final = 8


@dataclass(frozen=True, slots=True)
class Delivery:
    """One line of a bill that brought the lot."""

    purchase: str
    supplier: str
    on: date
    quantity: str


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot of an item: its deliveries, the batches that used it, and what is open about it."""

    item: Ref
    lot: str
    deliveries: tuple[Delivery, ...]
    batches: tuple[str, ...]
    incidents: tuple[Incident, ...]

    @property
    def key(self) -> str:
        """Return the name of the lot in addresses: one lot of one item, one name."""
        return lot_key(self.item, self.lot)


@dataclass(frozen=True, slots=True)
class Touched:
    """A batch that an incident touches, and how."""

    batch: str
    touch: Touch


def lot_key(item: Ref, lot: str) -> str:
    """Return a name for a lot that no other lot of any item has: waxes-soy-blend--w-2231."""
    start = item.replace("/", "-")
    if _PLAIN.fullmatch(lot):
        return f"{start}--{lot.lower()}"
    plain = "-".join(re.findall(r"[a-z0-9]+", lot.lower()))
    digest = hashlib.sha256(lot.encode()).hexdigest()[:_DIGITS]
    return f"{start}--{plain}--{digest}"


@once
def lots_on(studio: Studio, day: date) -> tuple[Lot, ...]:
    """Return every lot that was bought or used on or before `day`, by item and lot."""
    return tuple(lot_on(studio, day, item, lot) for item, lot in sorted(_known(studio, day)))


def _known(studio: Studio, day: date) -> set[tuple[Ref, str]]:
    bought = {
        (line.item, line.lot)
        for purchase in studio.purchases.values()
        if purchase.on <= day
        for line in purchase.lines
        if line.lot is not None
    }
    burned = (burn.lots for burn in studio.burns.values() if burn.made.on <= day)
    used = (*(batch.lots for batch in poured_by(studio, day)), *burned)
    return bought | {pair for lots in used for pair in lots.items()}


@once
def poured_by(studio: Studio, day: date) -> tuple[Batch, ...]:
    """Return the batches poured on or before `day`, the oldest first."""
    known = (batch for batch in studio.batches.values() if batch.on <= day)
    return tuple(sorted(known, key=lambda one: (one.on, one.source.id)))


def lot_on(studio: Studio, day: date, item: Ref, lot: str) -> Lot:
    """Return one lot as of `day`."""
    return Lot(
        item=item,
        lot=lot,
        deliveries=tuple(deliveries_of(studio, day, item, lot)),
        batches=_batches_by_lot(studio, day).get((item, lot), ()),
        incidents=open_about_lot(studio, day, item, lot),
    )


def open_about_lot(studio: Studio, day: date, item: Ref, lot: str) -> tuple[Incident, ...]:
    """Return the incidents that are open about a lot or its whole item, by number."""
    return tuple(
        incident
        for incident in open_incidents(studio, day)
        if incident.about == item and incident.lot in (None, lot)
    )


def deliveries_of(studio: Studio, day: date, item: Ref, lot: str) -> Iterator[Delivery]:
    """Yield the bills that brought a lot by `day`, the oldest first."""
    for delivery in _deliveries(studio).get((item, lot), ()):
        if delivery.on <= day:
            yield delivery


@once
def _deliveries(studio: Studio) -> Mapping[tuple[Ref, str | None], tuple[Delivery, ...]]:
    """Return the deliveries of every lot, the oldest first."""
    found: dict[tuple[Ref, str | None], list[Delivery]] = defaultdict(list)
    for ident, one in bills_in_order(studio):
        for line in one.lines:
            brought = Delivery(ident, one.supplier, one.on, line.quantity.written)
            found[line.item, line.lot].append(brought)
    return {lot: tuple(brought) for lot, brought in found.items()}


@once
def _batches_by_lot(studio: Studio, day: date) -> Mapping[tuple[Ref, str], tuple[str, ...]]:
    """Return the batches poured by `day` by each lot in them, the oldest first."""
    found: dict[tuple[Ref, str], list[str]] = defaultdict(list)
    for batch in poured_by(studio, day):
        for lot in batch.lots.items():
            found[lot].append(batch.source.id)
    return {lot: tuple(batches) for lot, batches in found.items()}


def touched_by(studio: Studio, day: date, incident: Incident) -> tuple[Touched, ...]:
    """Return the batches poured by `day` that an incident touches, the oldest first."""
    pairs = ((batch.source.id, touch(studio, incident, batch)) for batch in poured_by(studio, day))
    return tuple(Touched(ident, how) for ident, how in pairs if how is not None)
