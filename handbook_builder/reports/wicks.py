"""The advice on the next wick, as other programs get it."""

from handbook_builder.derived.account import Account
from handbook_builder.derived.wicks import advice_for, wicks_of
from handbook_builder.verdicts.approval import Product


def advice_told(account: Account, product: Product) -> dict[str, object]:
    """Return which wick is worth pouring next, how that is known, and what it takes."""
    advice = advice_for(account, product)
    return {
        "way": advice.way,
        "wicks": wicks_of(account, product, advice.step),
        "trials": advice.trials,
        "rate_g_per_h": advice.rate_g_per_h,
        "coverage": advice.coverage,
        "candles": advice.candles,
        "hours": advice.hours_h,
    }
