"""Where a vessel or a material is used, and how that went: in plain words, without a mark."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from handbook_builder.once import once
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.trade.parts import lot_link, lot_word
from handbook_builder.reading.kinds.making import items_of
from handbook_builder.reading.kinds.trade import Line, Purchase
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import lines_by_item
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.judge import Judged
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Use:
    """A product that holds the item; `status` is its status in lower case, as plain text."""

    product: Link
    status: str
    passed: int
    failed: int


@dataclass(frozen=True, slots=True)
class Lot:
    """One delivery of an item; `path` is the page of its lot, `word` says that it is suspended."""

    on: date
    quantity: str
    lot: str | None
    path: str
    word: Word | None
    supplier: str | None


def products_with(desk: Desk, item: Ref) -> tuple[Product, ...]:
    """Return the products that hold an item, approved ones first, then by title."""
    found = _by_item(desk.judged).get(item, ())
    return tuple(
        sorted(found, key=lambda one: (one.status is not Status.APPROVED, one.recipe.title))
    )


@once
def _by_item(judged: Judged) -> Mapping[Ref, tuple[Product, ...]]:
    """Return the products by each item that they hold."""
    found: dict[Ref, list[Product]] = defaultdict(list)
    for product in judged.products.values():
        for item in dict.fromkeys(items_of(product.recipe)):
            found[item].append(product)
    return {item: tuple(products) for item, products in found.items()}


def use_of(desk: Desk, product: Product) -> Use:
    """Return one use in plain words."""
    return Use(
        product=desk.product(product.recipe),
        status=desk.words.status(product.status).word.lower(),
        passed=len(product.evidence.passed),
        failed=len(product.evidence.failed),
    )


def uses_of(desk: Desk, item: Ref) -> tuple[Use, ...]:
    """Return where an item is used."""
    return tuple(use_of(desk, product) for product in products_with(desk, item))


def _supplier(desk: Desk, purchase: Purchase) -> str | None:
    """Return who delivered, which the floor edition is not told."""
    return None if desk.edition is Edition.FLOOR else name_of(purchase.supplier)


def _delivered(desk: Desk, purchase: Purchase, line: Line) -> Lot:
    lot = line.lot
    return Lot(
        on=purchase.on,
        quantity=line.quantity.written,
        lot=lot,
        path="" if lot is None else lot_link(line.item, lot).path,
        word=None if lot is None else lot_word(desk, line.item, lot),
        supplier=_supplier(desk, purchase),
    )


def lots_of(desk: Desk, item: Ref) -> tuple[Lot, ...]:
    """Return the deliveries of an item up to the day, the newest first."""
    bought = [
        _delivered(desk, billed.purchase, billed.line)
        for billed in lines_by_item(desk.studio).get(item, ())
        if billed.purchase.on <= desk.day
    ]
    return tuple(sorted(bought, key=lambda lot: lot.on, reverse=True))
