"""Which product a maker means."""

from difflib import get_close_matches

import click

from handbook_builder.derived.account import Account


def product_named(account: Account, asked: str) -> str:
    """Return the id of the one product that `asked` names by id, title or code.

    A name of none or of several is a wrong call, which ends with the nearest names.
    """
    folded = asked.strip().casefold()
    products = account.judged.products
    if folded in products:
        return folded
    found = [
        ident
        for ident, one in products.items()
        if folded in (one.recipe.title.casefold(), account.products[ident].code.casefold())
    ]
    if len(found) == 1:
        return found[0]
    if found:
        msg = f"{asked!r} names several recipes: {', '.join(found)}. Give the id of one."
        raise click.UsageError(msg)
    known = [*products, *(one.code.casefold() for one in account.products.values())]
    near = get_close_matches(folded, known, n=1, cutoff=0.4)
    hint = f" Did you mean {near[0]}?" if near else ""
    msg = f"No product is called {asked!r}.{hint}"
    raise click.UsageError(msg)
