"""What a letter to a maker or a supplier has to ask, and the studio's own figures to ask it by."""

from dataclasses import dataclass
from math import fsum
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.reach import last_bill_of
from handbook_builder.reading.kinds.items import METAL_CORES
from handbook_builder.reading.refs import Ref

# What is asked about each kind of item, by its key in `words.yml`; of a vessel, and of a wick with
# a metal core, there is more.
_ASKED: Final = {
    "vessels": ("flame", "wall", "shock", "annealed", "least_wall", "porous", "sealed", "drinkware",
                "changes"),
    "waxes": ("sheet", "changes"),
    "wicks": ("changes",),
    "fragrances": ("certificate", "sheet", "components", "changes"),
    "colorants": ("sheet", "changes"),
    "packaging": ("changes",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Burned:
    """What the studio's own burns in a vessel came to; None where nothing was read or burned."""

    candles: int
    hours_h: float | None
    longest_h: float | None
    hottest_c: float | None


@dataclass(frozen=True, slots=True)
class Letter:
    """To whom a letter goes (a supplier's id, or None), what it asks, and by which figures.

    `burned` is of this vessel; where nothing was burned in it, of all of the studio's, and then
    `is_own` is False.
    """

    item: Ref
    supplier: str | None
    asks: tuple[str, ...]
    burned: Burned
    is_own: bool


def letter_about(account: Account, item: Ref) -> Letter:
    """Return what to ask about an item as of the day."""
    asks = _ASKED[item.folder]
    if item.folder == "wicks" and account.studio.wicks[item.id].core in METAL_CORES:
        asks = ("lead", *asks)
    own = _burned(account, item.id)
    return Letter(item, supplier_of(account, item), asks, own if own.candles else _burned(account),
                  bool(own.candles))  # fmt: skip


def supplier_of(account: Account, item: Ref) -> str | None:
    """Return who sells an item: as the vessel says, else who sent the last bill."""
    if item.folder == "vessels":
        return account.studio.vessels[item.id].supplier
    bill = last_bill_of(account, item)
    return None if bill is None else bill.supplier


def _burned(account: Account, vessel: str | None = None) -> Burned:
    seen = [one.candle.seen for one in account.judged.burns.values()]
    mine = [one for one in seen if one.cycles and vessel in (None, one.burn.made.vessel)]
    cycles = [each.cycle for one in mine for each in one.cycles]
    hours = [cycle.burned_h for cycle in cycles if cycle.burned_h is not None]
    walls = [cycle.wall_c for cycle in cycles if cycle.wall_c is not None]
    return Burned(
        len(mine),
        max(
            (fsum(each.cycle.burned_h or 0.0 for each in one.cycles) for one in mine), default=None
        ),
        max(hours, default=None),
        max(walls, default=None),
    )
