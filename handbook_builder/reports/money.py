"""The money in `figures --json`: every sum as text, never as a float."""

from decimal import Decimal
from typing import Any

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.account import Money
from handbook_builder.derived.money.bills import Bought
from handbook_builder.derived.money.pricing import Offer, Proving
from handbook_builder.derived.money.swaps import Swap
from handbook_builder.derived.money.vessels import Span


def price_sums(account: Account) -> dict[str, Any]:
    """Return the price history of every item, and the price of an hour for comparing vessels."""
    money = account.money
    if money is None:
        return {}
    return {
        "prices": {
            item: [_bought(one) for one in lines]
            for item, lines in sorted(money.prices.history.items())
        },
        "hour_price": _text(money.keep.hour_price),
    }


def product_sums(account: Account, ident: str) -> dict[str, Any]:
    """Return what a product costs, may be sold for, and costs to prove."""
    if account.money is None:
        return {}
    known = account.money.products[ident]
    return {
        "unit_cost": _text(known.cost.total),
        "cost_lines": {name: str(sum_) for name, sum_ in known.cost.lines.items()},
        "unpriced": list(known.cost.unpriced),
        "hour_cost": _text(known.hour),
        "wholesale": _offer(known.wholesale),
        "retail": _offer(known.retail),
        "hour_price": _text(known.hour_price),
        "proving": _proving(known.proving),
        "swaps": [swap_sums(one) for one in known.swaps],
    }


def vessel_sums(account: Account, ident: str) -> dict[str, Any]:
    """Return what a vessel costs, and what the candles in it cost and earn."""
    if account.money is None:
        return {}
    return _vessel(account, account.money, ident)


def _vessel(account: Account, money: Money, ident: str) -> dict[str, Any]:
    known = money.keep.vessels[ident]
    price, costing = known.price, account.studio.info.costing
    return {
        "landed_cost": None if price is None else str(price.chosen(costing)),
        "freight_share": None if price is None else str(price.freight_share),
        "duty_share": None if price is None else str(price.duty_share),
        "breakage": str(known.breakage),
        "proven": known.proven,
        "unit_cost": _span(known.cost),
        "hour_cost": _span(known.hour),
        "retail": _offer(known.offer),
        "margin_at_one_price": _span(known.one_price),
        "proving": _proving(known.proving),
    }


def _text(value: Decimal | None) -> str | None:
    return None if value is None else str(value)


def _bought(one: Bought) -> dict[str, Any]:
    return {
        "on": one.on.isoformat(),
        "purchase": one.purchase,
        "supplier": one.supplier,
        "quantity": str(one.quantity),
        "price": str(one.line.price),
        "freight": str(one.freight),
        "duty": str(one.duty),
        "unit_cost": str(one.unit_cost),
    }


def _offer(one: Offer | None) -> dict[str, Any] | None:
    return None if one is None else offer_sums(one)


def offer_sums(one: Offer) -> dict[str, Any]:
    """Return a price, and what is left of it."""
    return {
        "price": str(one.price),
        "left": str(one.left),
        "margin": _text(one.margin),
        "markup": _text(one.markup),
    }


def _proving(one: Proving) -> dict[str, Any]:
    return {
        "candles": one.candles,
        "hours": _text(one.hours_h),
        "work_hours": _text(one.work_h),
        "cost": _text(one.cost),
        "made": one.made,
        "each": _text(one.each),
    }


def _span(one: Span | None) -> dict[str, str] | None:
    return None if one is None else {"least": str(one.least), "most": str(one.most)}


def swap_sums(one: Swap) -> dict[str, Any]:
    """Return the scent in one vessel; `proven` is the product that is approved there, if any."""
    return {
        "vessel": one.vessel,
        "own": one.own,
        "proven": one.proven,
        "unit_cost": _text(one.cost.total),
        "change": _text(one.change),
        "margin": _text(one.margin),
        "price_for_same_margin": _text(one.keeping),
    }
