"""What is in the store on a day: each item with its lots, and the candles of each batch."""

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import BatchFigures
from handbook_builder.derived.lot_balance import LotBalance, balances
from handbook_builder.derived.lots import open_about_lot
from handbook_builder.derived.money.bills import Prices
from handbook_builder.derived.money.stock import StockValue, stock_value
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref


@dataclass(frozen=True, slots=True)
class LotInStore:
    """A lot, and the numbers of the open incidents about it: it may not be poured then."""

    balance: LotBalance
    incidents: tuple[int, ...]

    @property
    def is_suspended(self) -> bool:
        """Return whether an incident about it is open."""
        return bool(self.incidents)


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

        A lot that an incident is open about is left out, and so is what no lot has any more.
        """
        good = math.fsum(max(lot.balance.left, 0.0) for lot in self.lots if not lot.is_suspended)
        return max(min(good, self.left), 0.0)


def stock_of(account: Account) -> Mapping[Ref, ItemInStore]:
    """Return everything that was ever bought, taken or counted by the day, kind by kind."""
    studio, day = account.studio, account.judged.as_of
    found: dict[Ref, list[LotInStore]] = defaultdict(list)
    for (item, lot), one in balances(studio, day).items():
        about = open_about_lot(studio, day, item, lot or "")
        found[item].append(LotInStore(one, tuple(incident.number for incident in about)))
    ordered = sorted(found, key=lambda item: (ITEM_FOLDERS.index(item.folder), item))
    return {item: ItemInStore(item, tuple(found[item])) for item in ordered}


def value_of(account: Account, stock: Mapping[Ref, ItemInStore], prices: Prices) -> StockValue:
    """Return what the store is worth at cost, by the studio's own costing."""
    left = {item: [lot.balance.left for lot in one.lots] for item, one in stock.items()}
    info = account.studio.info
    return stock_value(left, prices, info.costing, info.currency)


def candles_in_store(account: Account) -> Mapping[str, BatchFigures]:
    """Return the batches of which candles are still in the studio, by id."""
    return {ident: one for ident, one in account.batches.items() if one.left}
