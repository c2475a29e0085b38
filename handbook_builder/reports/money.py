"""The money in `figures --json`: every sum as text, never as a float."""

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.account import Money
from handbook_builder.derived.money.bills import Bought
from handbook_builder.derived.money.channels import Channelled
from handbook_builder.derived.money.pricing import Proving
from handbook_builder.derived.money.swaps import Swap
from handbook_builder.reports.plain import fields_of


def price_sums(account: Account) -> dict[str, object]:
    """Return the price history of every item, and the price of an hour for comparing vessels."""
    money = account.money
    if money is None:
        return {}
    return {
        "prices": {
            item: [_bought(line) for line in lines] for item, lines in money.prices.history.items()
        },
        "hour_price": money.keep.hour_price,
    }


def product_sums(account: Account, ident: str) -> dict[str, object]:
    """Return what a product costs, may be sold for, and costs to prove."""
    if account.money is None:
        return {}
    known = account.money.products[ident]
    return {
        "unit_cost": known.cost.total,
        "cost_lines": known.cost.lines,
        "unpriced": known.cost.unpriced,
        "hour_cost": known.hour,
        "wholesale": known.wholesale,
        "retail": known.retail,
        "hour_price": known.hour_price,
        "proving": _proving(known.proving),
        "channels": {name: _channel(one) for name, one in known.channels.items()},
        "swaps": [swap_told(swap) for swap in account.money.swaps[ident]],
    }


def vessel_sums(account: Account, ident: str) -> dict[str, object]:
    """Return what a vessel costs, and what the candles in it cost and earn."""
    return {} if account.money is None else _vessel(account, account.money, ident)


def _vessel(account: Account, money: Money, ident: str) -> dict[str, object]:
    known = money.keep.vessels[ident]
    price, costing = known.price, account.studio.info.costing
    return {
        "landed_cost": None if price is None else price.chosen(costing),
        "freight_share": None if price is None else price.freight_share,
        "duty_share": None if price is None else price.duty_share,
        "breakage": known.breakage,
        "proven": known.proven,
        "unit_cost": known.cost,
        "hour_cost": known.hour,
        "retail": known.offer,
        "margin_at_one_price": known.one_price,
        "proving": _proving(known.proving),
    }


def _bought(one: Bought) -> dict[str, object]:
    return {
        "on": one.on,
        "purchase": one.purchase,
        "supplier": one.supplier,
        "quantity": one.quantity,
        "price": one.line.price,
        "freight": one.freight,
        "duty": one.duty,
        "unit_cost": one.unit_cost,
    }


def _channel(one: Channelled) -> dict[str, object]:
    return {
        **fields_of(one.sale),
        "multiple": one.multiple,
        "left": one.left,
        "margin": one.margin,
    }


def _proving(one: Proving) -> dict[str, object]:
    return {
        "candles": one.candles,
        "hours": one.hours_h,
        "work_hours": one.work_h,
        "cost": one.cost,
        "made": one.made,
        "each": one.each,
    }


def swap_told(one: Swap) -> dict[str, object]:
    """Return the scent in one vessel; `proven` is the product that is approved there, if any."""
    return {
        "vessel": one.vessel,
        "own": one.own,
        "proven": one.proven,
        "unit_cost": one.cost.total,
        "change": one.change,
        "margin": one.margin,
        "price_for_same_margin": one.keeping,
    }
