"""Where a lot came from and where it went: purchases, batches, and who has the candles."""

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.incidents import Touch, is_open, touch

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
        batches=tuple(
            batch.source.id for batch in poured_by(studio, day) if batch.lots.get(item) == lot
        ),
        incidents=open_about_lot(studio, day, item, lot),
    )


def open_about_lot(studio: Studio, day: date, item: Ref, lot: str) -> tuple[Incident, ...]:
    """Return the incidents that are open about a lot or its whole item, by number."""
    about = (
        incident
        for incident in studio.incidents.values()
        if is_open(incident, day) and incident.about == item and incident.lot in (None, lot)
    )
    return tuple(sorted(about, key=lambda one: one.number))


def deliveries_of(studio: Studio, day: date, item: Ref, lot: str) -> Iterator[Delivery]:
    """Yield the bills that brought a lot by `day`, the oldest first."""
    for ident, one in sorted(studio.purchases.items(), key=lambda pair: (pair[1].on, pair[0])):
        if one.on <= day:
            for line in one.lines:
                if (line.item, line.lot) == (item, lot):
                    yield Delivery(ident, one.supplier, one.on, line.quantity.written)


def touched_by(studio: Studio, day: date, incident: Incident) -> tuple[Touched, ...]:
    """Return the batches poured by `day` that an incident touches, the oldest first."""
    pairs = ((batch.source.id, touch(studio, incident, batch)) for batch in poured_by(studio, day))
    return tuple(Touched(ident, how) for ident, how in pairs if how is not None)
