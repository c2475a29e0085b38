"""All the rest, by status, each with everything that is missing."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.pages.desk import Desk, Link, Said, item_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.evidence import Former, formers, since
from handbook_builder.pages.products.in_the_way import said_in_the_way
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.words import Word

# What wants an eye first comes first.
ORDER: Final = (
    Status.SUSPENDED,
    Status.FAILED,
    Status.HELD,
    Status.IN_TEST,
    Status.UNTESTED,
    Status.RETIRED,
)


@dataclass(frozen=True, slots=True)
class Waiting:
    """One product that is not approved."""

    link: Link
    code: str
    vessel: Link
    since: date | None
    missing: tuple[Said, ...]
    formers: tuple[Former, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """The products of one status."""

    id: str
    word: Word
    products: tuple[Waiting, ...]


@dataclass(frozen=True, slots=True)
class NotApprovedPage:
    """What the page shows."""

    lead: str
    groups: tuple[Group, ...]
    own_tests: str


def not_approved_page(desk: Desk) -> Page:
    """Return the list of everything that is not approved, and why."""
    groups = tuple(_group(desk, status) for status in ORDER)
    content = NotApprovedPage(
        lead=desk.phrase("leads.not_approved"),
        groups=tuple(group for group in groups if group.products),
        own_tests=desk.phrase("own_tests"),
    )
    title = desk.phrase("titles.not_approved")
    return Page("not-approved/index", title, "not_approved", content, 1.5)


def of_status(desk: Desk, status: Status) -> tuple[Product, ...]:
    """Return the products of one status, by title."""
    found = [product for product in desk.judged.products.values() if product.status is status]
    return tuple(sorted(found, key=lambda one: one.recipe.title))


def _group(desk: Desk, status: Status) -> Group:
    products = tuple(_waiting(desk, product) for product in of_status(desk, status))
    return Group(status.value.replace("_", "-"), desk.words.status(status), products)


def _waiting(desk: Desk, product: Product) -> Waiting:
    return Waiting(
        link=desk.product(product.recipe),
        code=desk.account.products[product.recipe.source.id].code,
        vessel=item_link("vessels", product.recipe.vessel),
        since=since(desk, product),
        missing=said_in_the_way(desk, product),
        formers=formers(desk, product),
    )
