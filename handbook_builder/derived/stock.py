"""What is in the store on a day: each item with its lots, and the candles of each batch."""

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import BatchFigures
from handbook_builder.derived.lot_balance import LotBalance, balances
from handbook_builder.derived.lots import open_about_lot
from handbook_builder.derived.money.bills import Prices
from handbook_builder.derived.money.stock import StockValue, stock_value
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.studio import Studio, spec_as_of
from handbook_builder.verdicts.incidents import is_open


class WhyNot(StrEnum):
    """Why a lot may not be poured."""

    SUSPENDED = "suspended"
    UNSURE = "unsure"
    FORMER = "former"


@dataclass(frozen=True, slots=True)
class LotInStore:
    """A lot, the numbers of the open incidents about it, and why it may not be poured, if so.

    A lot is of a former specification where no delivery of it is of the one that is sold now. What
    bears no lot is unsure while an incident is open about a lot: it may be that one.
    """

    balance: LotBalance
    incidents: tuple[int, ...]
    why_not: WhyNot | None

    @property
    def may_be_poured(self) -> bool:
        """Return whether nothing speaks against it, and there is some."""
        return self.why_not is None and self.balance.left > 0


@dataclass(frozen=True, slots=True)
class ItemInStore:
    """An item with its lots, those without a lot last."""

    item: Ref
    lots: tuple[LotInStore, ...]

    @property
    def unit(self) -> str:
        """Return what is counted: grams, or pieces."""
        return self.lots[0].balance.unit

    @property
    def left(self) -> float:
        """Return what is left of all of it, in grams or pieces."""
        return math.fsum(lot.balance.left for lot in self.lots)

    @property
    def usable(self) -> float:
        """Return what is left of it that may be poured, in grams or pieces: never below 0.

        What was taken without saying from which lot may have been of these: it is taken off.
        """
        good = math.fsum(lot.balance.left for lot in self.lots if lot.may_be_poured)
        owed = math.fsum(min(lot.balance.left, 0.0) for lot in self.lots)
        return max(good + owed, 0.0)


def stock_of(account: Account) -> Mapping[Ref, ItemInStore]:
    """Return everything that was ever bought, taken or counted by the day, kind by kind."""
    studio, day = account.studio, account.judged.as_of
    found: dict[Ref, list[LotInStore]] = defaultdict(list)
    for (item, _), one in balances(studio, day).items():
        found[item].append(_lot(studio, day, one))
    ordered = sorted(found, key=lambda item: (ITEM_FOLDERS.index(item.folder), item))
    return {item: ItemInStore(item, tuple(found[item])) for item in ordered}


def _lot(studio: Studio, day: date, balance: LotBalance) -> LotInStore:
    item, lot = balance.item, balance.lot
    about = open_about_lot(studio, day, item, lot or "")
    return LotInStore(
        balance, tuple(one.number for one in about), _why_not(studio, day, balance, bool(about))
    )


def _why_not(
    studio: Studio, day: date, balance: LotBalance, is_suspended: bool,  # noqa: FBT001
) -> WhyNot | None:  # fmt: skip
    item, lot = balance.item, balance.lot
    if is_suspended:
        return WhyNot.SUSPENDED
    if lot is None and _open_about_any_lot(studio, day, item):
        return WhyNot.UNSURE
    known, bought = studio.item(item), _bought_on(studio, day, item, lot)
    now = spec_as_of(known, day)
    if bought and all(spec_as_of(known, on) != now for on in bought):
        return WhyNot.FORMER
    return None


def _open_about_any_lot(studio: Studio, day: date, item: Ref) -> bool:
    incidents = studio.incidents.values()
    return any(one.about == item and is_open(one, day) for one in incidents)


def _bought_on(studio: Studio, day: date, item: Ref, lot: str | None) -> tuple[date, ...]:
    return tuple(
        bill.on
        for bill in studio.purchases.values()
        for line in bill.lines
        if (line.item, line.lot) == (item, lot) and bill.on <= day
    )


def value_of(account: Account, stock: Mapping[Ref, ItemInStore], prices: Prices) -> StockValue:
    """Return what the store is worth at cost, by the studio's own costing."""
    left = {item: [lot.balance.left for lot in one.lots] for item, one in stock.items()}
    info = account.studio.info
    return stock_value(left, prices, info.costing, info.currency)


def candles_in_store(account: Account) -> Mapping[str, BatchFigures]:
    """Return the batches of which candles are still in the studio, by id."""
    return {ident: one for ident, one in account.batches.items() if one.left}
