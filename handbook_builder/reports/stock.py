"""What is in the store: `stock --json`.

`as_of`, `currency` and `costing`; `items`: by item its `unit` (g or pieces), what is `left` of it
and what of that may be poured (`usable`), its `unit_cost` and `value`, and its `lots`: [{lot (null
for what bears none), bought, taken, corrected (what a count found more than the papers say, below
0 less), counted_on, left, overdrawn, unweighed: [batches that did not weigh it, since the last
count], incidents: [numbers] open about it, why_not (suspended | unsure | former | null) it may not
be poured, value}].
`value` is the sum of all that has a price, in whole coins, and `unpriced` names what has none.
`candles`: by batch {recipe, made, out, kept, left, on_hand}: `on_hand` is what is left and not
kept.

`wanted`: what is to be poured, [{what (recipes/ID), candles}], and `orders`: what the store lacks
for it, [{item, unit, need, usable, short, buy (with the vessels that break), wanted: [{what,
amount}], supplier, lead_days, comes_on, buy_by (with --by), minimum_order, distance, price}]. With
`--for` or `--by` these two alone.

With `--buy` instead: `item`, what of it is `usable`, how much one would `buy`, and what both make:
`makes`: {recipe: candles}, by this item alone.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.asked import known_money
from handbook_builder.derived.money.pricing import decimals_of
from handbook_builder.derived.money.stock import ItemValue
from handbook_builder.derived.orders import Order, Wanted, orders_of, price_of
from handbook_builder.derived.reach import makes_of
from handbook_builder.derived.stock import (
    ItemInStore,
    LotInStore,
    candles_in_store,
    stock_of,
    value_of,
)
from handbook_builder.reading.refs import Ref
from handbook_builder.reports.plain import fields_of


def stock_report(account: Account, asked: Iterable[Ref] | None = None) -> dict[str, object]:
    """Return what is in the store, or of it the items that were asked for."""
    stock = stock_of(account)
    chosen = stock if asked is None else {item: stock[item] for item in asked}
    value = value_of(account, chosen, known_money(account).prices)
    return {
        "as_of": account.judged.as_of,
        "currency": account.studio.info.currency,
        "costing": account.studio.info.costing,
        "items": {item: _item(one, value.items[item]) for item, one in chosen.items()},
        "value": value.total,
        "unpriced": value.unpriced,
        "candles": {} if asked is not None else _candles(account),
    }


def orders_report(account: Account, wanted: Sequence[Wanted], by: date | None) -> dict[str, object]:
    """Return what is to be poured, and what to order for it."""
    orders = orders_of(account, stock_of(account), wanted, by)
    return {
        "wanted": [{"what": one.what, "candles": one.candles} for one in wanted],
        "orders": [_ordered(account, one) for one in orders],
    }


def _ordered(account: Account, one: Order) -> dict[str, object]:
    studio = account.studio
    supplier = None if one.supplier is None else studio.suppliers[one.supplier]
    prices, decimals = known_money(account).prices, decimals_of(studio)
    return {
        **fields_of(one),
        "unit": "g" if one.item.is_weighed else "pieces",
        "short": one.short,
        "wanted": [{"what": what, "amount": amount} for what, amount in one.wanted],
        "minimum_order": None if supplier is None else supplier.minimum_order,
        "distance": None if supplier is None else supplier.distance,
        "price": price_of(one, prices, studio.info.costing, decimals),
    }


def last_buy_report(account: Account, item: Ref, more: float) -> dict[str, object]:
    """Return what an item makes of each product with so much more of it, in grams or pieces."""
    usable = stock_of(account)[item].usable
    return {
        "item": item,
        "usable": usable,
        "buy": more,
        "makes": {one.recipe: one.candles for one in makes_of(account, item, usable + more)},
    }


def _item(one: ItemInStore, worth: ItemValue) -> dict[str, object]:
    return {
        "unit": one.unit,
        "left": one.left,
        "usable": one.usable,
        "unit_cost": worth.unit_cost,
        "value": worth.total,
        "lots": [
            {**_lot(lot), "value": value} for lot, value in zip(one.lots, worth.lots, strict=True)
        ],
    }


def _lot(one: LotInStore) -> dict[str, object]:
    balance = one.balance
    return {
        "lot": balance.lot,
        "bought": balance.bought,
        "taken": balance.amount,
        "corrected": balance.corrected,
        "counted_on": balance.counted_on,
        "left": balance.left,
        "overdrawn": balance.is_overdrawn,
        "unweighed": balance.unweighed,
        "incidents": one.incidents,
        "why_not": one.why_not,
    }


def _candles(account: Account) -> dict[str, object]:
    return {
        ident: {
            "recipe": account.studio.batches[ident].recipe,
            "made": one.made,
            "out": one.given,
            "kept": one.kept,
            "left": one.left,
            "on_hand": one.on_hand,
        }
        for ident, one in candles_in_store(account).items()
    }
