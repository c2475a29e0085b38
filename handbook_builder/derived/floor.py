"""The account as everyone at the bench may know it: no money, no supplier, no recipient.

What the pages never get, they cannot show. The verdicts are the owner's: they are made before.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from handbook_builder.derived.account import Account
from handbook_builder.reading.kinds.house import StudioRecord
from handbook_builder.reading.kinds.items import Item, Vessel
from handbook_builder.reading.kinds.trade import Batch, Purchase
from handbook_builder.reading.refs import ITEM_FOLDERS
from handbook_builder.studio.studio import Studio


def floor_account(account: Account, unnamed: str) -> Account:
    """Return the account without money; `unnamed` stands where a supplier or recipient stood."""
    studio = _studio(account.studio, unnamed)
    return replace(account, judged=replace(account.judged, studio=studio), money=None)


def _studio(studio: Studio, unnamed: str) -> Studio:
    batches = {ident: _batch(one, unnamed) for ident, one in studio.batches.items()}
    items: dict[str, Any] = {
        folder: MappingProxyType(
            {ident: _item(one, unnamed) for ident, one in getattr(studio, folder).items()}
        )
        for folder in ITEM_FOLDERS
    }
    return replace(
        studio,
        **items,
        info=_info(studio.info),
        suppliers=MappingProxyType({}),
        purchases=MappingProxyType(_deliveries(studio.purchases, unnamed)),
        batches=MappingProxyType(batches),
    )


def _item(item: Item, unnamed: str) -> Item:
    """Return an item without who answered for it, and a vessel without what costs money of it."""
    asked = tuple(replace(one, by=unnamed if one.by else None) for one in item.asked)
    if isinstance(item, Vessel):
        return replace(item, asked=asked, quote=None, breakage=None)
    return replace(item, asked=asked) if asked else item


def _info(info: StudioRecord) -> StudioRecord:
    """Return the studio's own record without what work and space cost, and without its prices."""
    return replace(
        info,
        labour=None,
        overhead=None,
        wholesale_multiple=None,
        retail_multiple=None,
        breakage=0.0,
        minutes_a_cycle=None,
        channels=MappingProxyType({}),
    )


def _deliveries(purchases: Mapping[str, Purchase], unnamed: str) -> dict[str, Purchase]:
    """Return what was delivered and when, numbered by date: a bill's own name may tell whose."""
    ordered = sorted(purchases.values(), key=_brought)
    return {
        f"delivery-{number}": _delivery(one, f"delivery-{number}", unnamed)
        for number, one in enumerate(ordered, start=1)
    }


def _brought(purchase: Purchase) -> tuple[object, ...]:
    """Return what orders the deliveries: never the name of a bill."""
    return (purchase.on, [(line.item, line.quantity.written) for line in purchase.lines])


def _delivery(purchase: Purchase, ident: str, unnamed: str) -> Purchase:
    lines = tuple(replace(line, price=Decimal(0)) for line in purchase.lines)
    source = replace(purchase.source, id=ident, file=ident, body="")
    return replace(purchase, source=source, supplier=unnamed, lines=lines, freight=None, duty=None)


def _batch(batch: Batch, unnamed: str) -> Batch:
    return replace(batch, given=tuple(replace(handed, to=unnamed) for handed in batch.given))
