"""What a maker means by a name: a product, a test candle, a lot or a batch.

A name that is not found, or found more than once, is a wrong call; it ends with the nearest name.
"""

import re
import sys
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import Final, NoReturn

from handbook_builder.derived.account import Account
from handbook_builder.derived.buyers import recipients
from handbook_builder.derived.lots import Lot, lots_on
from handbook_builder.reading.refs import ITEM_FOLDERS, ITEM_KINDS, Ref
from handbook_builder.terminal import echo
from handbook_builder.verdicts.code import is_code

_CUTOFF: Final = 0.4
# A code as it may be copied: three groups of four, with a digit or in capitals throughout.
_LIKE_A_CODE: Final = re.compile(r"(?=.*[0-9]|[^a-z]*$)[A-Za-z0-9]{4}(?:[- ]?[A-Za-z0-9]{4}){2}")
ITEM_CALLED: Final = {kind.folder: kind.key for kind in ITEM_KINDS}
_BURN_FOLDERS: Final = ("", "burns", "tests")
_BATCH_FOLDERS: Final = ("", "batches")
_RECIPE_FOLDERS: Final = ("", "recipes", "products")


def products_named(account: Account, asked: str) -> list[str]:
    """Return the ids of the products that `asked` names by id, title or code."""
    folded = asked.strip().casefold()
    products = account.judged.products
    if folded in products:
        return [folded]
    found = [
        ident
        for ident, one in products.items()
        if folded in (one.recipe.title.casefold(), account.products[ident].code.casefold())
    ]
    if not found:
        codes = [product.code for product in account.products.values()]
        _unknown("product", asked, [*products, *codes])
    return found


def product_named(account: Account, asked: str) -> str:
    """Return the id of the one product that `asked` names by id, title or code."""
    found = products_named(account, asked)
    if len(found) > 1:
        _wrong(f"{asked!r} names several recipes: {', '.join(found)}. Give the id of one.")
    return found[0]


def burn_or_recipe(account: Account, asked: str) -> tuple[str, bool]:
    """Return the id that `asked` names, and whether it is a recipe's and not a test candle's."""
    folder, _, ident = asked.strip().casefold().rpartition("/")
    is_burn = folder in _BURN_FOLDERS and ident in account.judged.burns
    is_recipe = folder in _RECIPE_FOLDERS and ident in account.judged.products
    if is_burn and is_recipe:
        _wrong(f"{asked!r} is a test candle and a recipe. Write burns/{ident} or recipes/{ident}.")
    if not is_burn and not is_recipe:
        known = [*account.judged.burns, *account.judged.products]
        _unknown("test candle and no recipe", asked, known, ident)
    return ident, is_recipe


def lots_and_batches(
    account: Account, asked: str, *, or_nothing: bool = False
) -> tuple[list[Lot], list[str]]:
    """Return the lots that `asked` names with their batches, or the batch that it names.

    Where neither is found the run ends, unless `or_nothing` says that something else was.
    """
    folded = asked.strip().casefold()
    known = lots_on(account.studio, account.judged.as_of)
    named = [batch for batch in account.batches if folded in (batch, f"batches/{batch}")]
    lots = [one for one in known if folded in (one.lot.casefold(), one.item, one.item.id, one.key)]
    if not lots and not named and not or_nothing:
        names = [*(each for one in known for each in (one.lot, one.item)), *account.batches]
        _unknown("lot, batch, item or buyer", asked, [*names, *recipients(account).values()])
    return lots, list(dict.fromkeys([*named, *(each for lot in lots for each in lot.batches)]))


def item_named(account: Account, folder: str, asked: str) -> str:
    """Return the id of the item of a kind that `asked` names, with its folder or without."""
    given, _, ident = asked.strip().casefold().rpartition("/")
    known = getattr(account.studio, folder)
    if given not in {"", folder} or ident not in known:
        _unknown(ITEM_CALLED[folder], asked, known, ident)
    return ident


def any_item_named(account: Account, asked: str) -> Ref:
    """Return the item that `asked` names by folder and id."""
    found = Ref(asked.strip().casefold())
    items = [
        Ref.to(folder, one) for folder in ITEM_FOLDERS for one in getattr(account.studio, folder)
    ]
    if found not in items:
        _unknown("item", asked, items)
    return found


def vessel_or_product(account: Account, asked: str) -> tuple[str, bool]:
    """Return the id that `asked` names, and whether it is a vessel's and not a product's."""
    folder, _, ident = asked.strip().casefold().rpartition("/")
    is_vessel = folder in {"", "vessels"} and ident in account.studio.vessels
    is_recipe = folder in _RECIPE_FOLDERS and ident in account.judged.products
    if is_vessel and is_recipe:
        _wrong(f"{asked!r} is a vessel and a recipe. Write vessels/{ident} or recipes/{ident}.")
    if not is_vessel and folder in _RECIPE_FOLDERS:
        return product_named(account, ident or asked), False
    if not is_vessel:
        _unknown("vessel", asked, account.studio.vessels, ident)
    return ident, True


def items_named(known: Iterable[Ref], asked: str) -> list[Ref]:
    """Return the items among `known` that `asked` names, by folder and id or by the id alone."""
    folded, items = asked.strip().casefold(), list(known)
    found = [item for item in items if folded in (item, item.id)]
    if not found:
        _unknown("item", asked, [each for item in items for each in (item, item.id)])
    return found


def batch_named(account: Account, asked: str) -> str:
    """Return the id of the batch that `asked` names by its id, with its folder or without."""
    folder, _, ident = asked.strip().casefold().rpartition("/")
    if folder not in _BATCH_FOLDERS or ident not in account.batches:
        _unknown("batch", asked, account.batches, ident)
    return ident


def incident_named(account: Account, asked: str) -> str:
    """Return the id of the incident that `asked` names by id or number, known by the day."""
    folded = asked.strip().casefold().removeprefix("incidents/")
    known = {
        ident: one.number
        for ident, one in account.studio.incidents.items()
        if one.on <= account.judged.as_of
    }
    if folded in known:
        return folded
    found = [ident for ident, number in known.items() if str(number) == folded]
    if not found:
        _unknown("incident", asked, known)
    return found[0]


def _unknown(what: str, asked: str, known: Iterable[str], name: str = "") -> NoReturn:
    """End as a wrong call: nothing of the sort `what` is called so."""
    hint = _nearest(name or asked, list(known))
    _wrong(f"No {what} is called {asked!r}.{_of_a_code(asked)}{hint}")


def _nearest(asked: str, known: Sequence[str]) -> str:
    """Return the name nearest to `asked`, as a question, whatever its capitals."""
    spelled = {one.casefold(): one for one in known}
    found = get_close_matches(asked.strip().casefold(), list(spelled), n=1, cutoff=_CUTOFF)
    return f" Did you mean {spelled[found[0]]}?" if found else ""


def _of_a_code(asked: str) -> str:
    """Return what is to be said of something that looks like a code."""
    if not _LIKE_A_CODE.fullmatch(asked.strip()):
        return ""
    if is_code(asked.strip().replace(" ", "")):
        return " The code is whole, but no recipe has it today: it may be of a former make-up."
    return " As a code it was copied wrong: its last letter does not fit the others."


def _wrong(message: str) -> NoReturn:
    echo(message, err=True)
    sys.exit(2)
