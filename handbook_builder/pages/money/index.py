"""The room of the money: costs and prices of all products, and the price history of each item.

It is in the owner's edition only.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from handbook_builder.derived.money.account import Money
from handbook_builder.derived.money.bills import Bought
from handbook_builder.pages.desk import Desk, Link, item_link, name_of, ref_link
from handbook_builder.pages.money.sums import (
    OfferShown,
    ProvingShown,
    margin_shown,
    multiple_shown,
    offer_shown,
    proving_shown,
    signed,
    sum_shown,
    unit_shown,
)
from handbook_builder.pages.page import Page
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.verdicts.approval import Product, Status


@dataclass(frozen=True, slots=True)
class ProductRow:
    """One product: what it costs and may be sold for, as far as that is known."""

    link: Link
    status: str
    cost: str | None
    hour: str | None
    wholesale: OfferShown | None
    retail: OfferShown | None
    proving: ProvingShown
    unpriced: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class EarnedRow:
    """One approved product: what is left of its retail price, in all and for a burning hour."""

    link: Link
    left: str
    hour: str


@dataclass(frozen=True, slots=True)
class Earned:
    """What a burning hour of each approved product earns, the most first, and the same said."""

    says: str
    rows: tuple[EarnedRow, ...]


@dataclass(frozen=True, slots=True)
class MoneyPage:
    """The costs and prices of all products, the approved ones apart."""

    lead: str
    earned: Earned
    approved: tuple[ProductRow, ...]
    others: tuple[ProductRow, ...]
    costing: str
    wholesale: str
    retail: str


@dataclass(frozen=True, slots=True)
class BoughtRow:
    """One delivery with what it cost; `change` is against the one before."""

    on: date
    supplier: str
    quantity: str
    price: str
    freight: str
    duty: str
    unit: str
    change: str | None


@dataclass(frozen=True, slots=True)
class ItemPrices:
    """The price history of one item, the newest first; `mean` is of the last twelve months."""

    anchor: str
    link: Link
    newest: str
    mean: str | None
    rows: tuple[BoughtRow, ...]


@dataclass(frozen=True, slots=True)
class PricesPage:
    """What every item cost, kind by kind."""

    lead: str
    costing: str
    kinds: tuple[tuple[str, tuple[ItemPrices, ...]], ...]
    never: tuple[Link, ...]


def money_pages(desk: Desk) -> Iterator[Page]:
    """Yield the pages of money: none in an edition that is told no money."""
    if desk.money is not None:
        yield _index(desk, desk.money)
        yield _prices(desk, desk.money)


def _index(desk: Desk, money: Money) -> Page:
    products = sorted(desk.judged.products.values(), key=lambda one: one.recipe.title)
    rows = {True: [], False: []}  # type: dict[bool, list[ProductRow]]
    for product in products:
        rows[product.status is Status.APPROVED].append(_product(desk, money, product))
    info = desk.studio.info
    content = MoneyPage(
        lead=desk.phrase("leads.money"),
        earned=_earned(desk, money),
        approved=tuple(rows[True]),
        others=tuple(rows[False]),
        costing=desk.phrase(f"costing.{info.costing}"),
        wholesale=multiple_shown(desk, info.wholesale_multiple),
        retail=multiple_shown(desk, info.retail_multiple),
    )
    return Page("money/index", desk.phrase("titles.money"), "money", content, 0.8)


def _earned(desk: Desk, money: Money) -> Earned:
    found = [
        (known.hour_left, product, known.retail)
        for ident, product in desk.judged.products.items()
        if product.status is Status.APPROVED
        and (known := money.products[ident]).retail is not None
        and known.hour_left is not None
    ]
    found.sort(key=lambda one: (-one[0], one[1].recipe.title))
    sum_of = desk.words.money
    rows = tuple(EarnedRow(desk.product(one.recipe), sum_of(offer.left), sum_of(hour))
                 for hour, one, offer in found if offer is not None)  # fmt: skip
    if not rows:
        return Earned(desk.phrase("earned.none"), ())
    best, worst = rows[0], rows[-1]
    says = desk.phrase(
        "earned.says" if len(rows) > 1 else "earned.one",
        best=best.link.title, most=best.hour, worst=worst.link.title, least=worst.hour,
    )  # fmt: skip
    return Earned(says, rows)


def _product(desk: Desk, money: Money, product: Product) -> ProductRow:
    known, info = money.products[product.recipe.source.id], desk.studio.info
    return ProductRow(
        link=desk.product(product.recipe),
        status=desk.words.status(product.status).word.lower(),
        cost=sum_shown(desk, known.cost.total),
        hour=sum_shown(desk, known.hour),
        wholesale=offer_shown(desk, known.wholesale, multiple_shown(desk, info.wholesale_multiple)),
        retail=offer_shown(desk, known.retail, multiple_shown(desk, info.retail_multiple)),
        proving=proving_shown(desk, known.proving),
        unpriced=tuple(ref_link(item) for item in known.cost.unpriced),
    )


def _prices(desk: Desk, money: Money) -> Page:
    history = money.prices.history
    kinds = (
        (folder, tuple(_item(desk, money, item) for item in sorted(history)
                       if item.folder == folder))
        for folder in ITEM_FOLDERS
    )  # fmt: skip
    content = PricesPage(
        lead=desk.phrase("leads.prices"),
        costing=desk.phrase(f"costing.{desk.studio.info.costing}"),
        kinds=tuple((desk.phrase(f"rooms.{folder}"), items) for folder, items in kinds if items),
        never=tuple(
            item_link(folder, ident)
            for folder in ITEM_FOLDERS
            for ident in sorted(getattr(desk.studio, folder))
            if Ref.to(folder, ident) not in history
        ),
    )
    return Page("money/prices", desk.phrase("titles.prices"), "prices", content, 0.6)


def _item(desk: Desk, money: Money, item: Ref) -> ItemPrices:
    folder, ident = item.folder, item.id
    price, lines = money.prices.by_item[item], money.prices.history[item]
    former = (None, *(line.unit_cost for line in lines))
    rows = [_bought(desk, folder, one, last) for one, last in zip(lines, former, strict=False)]
    return ItemPrices(
        anchor=f"{folder}-{ident}",
        link=ref_link(item),
        newest=unit_shown(desk, folder, price.newest),
        mean=None if price.mean is None else unit_shown(desk, folder, price.mean),
        rows=tuple(reversed(rows)),
    )


def _bought(desk: Desk, folder: str, one: Bought, former: Decimal | None) -> BoughtRow:
    money = desk.words.money
    return BoughtRow(
        on=one.on,
        supplier=name_of(one.supplier),
        quantity=one.line.quantity.written,
        price=money(one.line.price),
        freight=money(one.freight),
        duty=money(one.duty),
        unit=unit_shown(desk, folder, one.unit_cost),
        change=_change(desk, one.unit_cost, former),
    )


def _change(desk: Desk, now: Decimal, former: Decimal | None) -> str | None:
    """Return by what share of the former price an item has become dearer or cheaper."""
    if not former:
        return None
    share = now / former - 1
    shown = margin_shown(desk, abs(share))
    return None if shown is None else signed(share, shown)
