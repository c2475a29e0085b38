"""What candles cost and what to ask for them: `price --json`, by id of the recipe.

All that `figures --json` has of a product's money; beside it `wholesale`, `retail` and `target`,
each {basis, price, left, margin, markup} where it was asked for and else null, and the `swaps` at
the last of these prices.
"""

from collections.abc import Iterable

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.asked import Asked, offered, swaps_at
from handbook_builder.reports.money import product_sums, swap_told
from handbook_builder.reports.plain import fields_of


def price_report(account: Account, known: Iterable[str], asked: Asked) -> dict[str, object]:
    """Return the cost and the prices of some recipes."""
    return {ident: _product(account, ident, asked) for ident in known}


def _product(account: Account, ident: str, asked: Asked) -> dict[str, object]:
    found = offered(account, ident, asked)
    return {
        **product_sums(account, ident),
        **dict.fromkeys(("wholesale", "retail", "target")),
        **{one.name: {"basis": one.basis, **fields_of(one.offer)} for one in found},
        "swaps": [swap_told(swap) for swap in swaps_at(account, ident, found)],
    }
