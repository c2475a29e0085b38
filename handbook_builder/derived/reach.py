"""How many candles the store reaches for: which lots, which not, and what runs out first."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.bills import breakage_of
from handbook_builder.derived.stock import ItemInStore, LotInStore, stock_of
from handbook_builder.derived.takes import packed_in, takes_of
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.approval import Status

_SLACK: Final = 1e-9  # of a candle: what adding up floats may blur is no candle less


@dataclass(frozen=True, slots=True)
class LotReach:
    """How many candles a lot alone reaches for; 0 where it may not be poured."""

    lot: LotInStore
    candles: int


@dataclass(frozen=True, slots=True)
class ItemReach:
    """One thing that goes into a candle: how much of it, and how many candles it reaches for.

    `each` is what one candle takes, what stays in the pitcher included, in grams or pieces.
    """

    item: Ref
    each: Fraction
    usable: float
    candles: int
    lots: tuple[LotReach, ...]

    def need(self, count: int) -> float:
        """Return what so many candles take, in grams or pieces."""
        return float(self.each * count)

    def short(self, count: int) -> float:
        """Return how much is missing for so many candles, in grams or pieces; 0 where none is."""
        return 0.0 if self.candles >= count else self.need(count) - self.usable

    def alone(self, count: int) -> tuple[LotReach, ...]:
        """Return the lots of which each reaches alone: a batch is of one lot of each thing."""
        return tuple(lot for lot in self.lots if lot.candles >= count)


@dataclass(frozen=True, slots=True)
class Reach:
    """How many candles of a product can be poured from the store, and what runs out first."""

    items: tuple[ItemReach, ...]

    @property
    def most(self) -> int:
        """Return for how many candles everything reaches."""
        return min(one.candles for one in self.items)

    @property
    def first(self) -> Ref:
        """Return what runs out first."""
        return min(self.items, key=lambda one: one.candles).item

    def short(self, count: int) -> tuple[ItemReach, ...]:
        """Return what does not reach for so many candles."""
        return tuple(one for one in self.items if one.candles < count)


def reach_of(account: Account, ident: str) -> Reach:
    """Return how many candles of a product the store reaches for."""
    stock = stock_of(account)
    takes = each_of(account, ident)
    return Reach(tuple(_item(stock.get(item), item, each) for item, each in takes))


def each_of(account: Account, ident: str) -> Iterator[tuple[Ref, Fraction]]:
    """Yield what one candle takes of everything, in grams or pieces."""
    recipe = account.studio.recipes[ident]
    yield from takes_of(account.studio, recipe, account.products[ident].masses)
    yield from packed_in(recipe)


def _item(store: ItemInStore | None, item: Ref, each: Fraction) -> ItemReach:
    usable = 0.0 if store is None else store.usable
    lots = () if store is None else tuple(_lot(lot, each, usable) for lot in store.lots)
    return ItemReach(item, each, usable, candles_from(usable, each), lots)


def _lot(lot: LotInStore, each: Fraction, usable: float) -> LotReach:
    good = min(lot.balance.left, usable) if lot.may_be_poured else 0.0
    return LotReach(lot, candles_from(good, each))


def candles_from(amount: float, each: Fraction) -> int:
    """Return how many whole candles an amount makes, in the unit of `each`."""
    return math.floor(max(amount, 0.0) / float(each) + _SLACK)


@dataclass(frozen=True, slots=True)
class Makes:
    """How many candles of a product an amount of one item makes, whatever else they take."""

    recipe: str
    candles: int


def makes_of(account: Account, item: Ref, amount: float) -> tuple[Makes, ...]:
    """Return what an amount of an item, in grams or pieces, makes of each product that holds it.

    Of vessels the share that breaks is taken off. Products that are retired are left out.
    """
    whole = amount
    if item.folder == "vessels":
        whole *= 1.0 - float(breakage_of(account.studio, item.id))
    found = []
    for ident, product in sorted(account.judged.products.items()):
        each = dict(each_of(account, ident)).get(item)
        if each is not None and product.status is not Status.RETIRED:
            found.append(Makes(ident, candles_from(whole, each)))
    return tuple(found)
