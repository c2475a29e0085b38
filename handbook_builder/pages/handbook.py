"""All pages of the handbook."""

from collections.abc import Iterator

from handbook_builder.derived.account import Account
from handbook_builder.pages.approved import approved_page
from handbook_builder.pages.candle_index import tests_page
from handbook_builder.pages.candle_page import page_of_test
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.home import home_page
from handbook_builder.pages.materials import KINDS, materials_page, page_of_material
from handbook_builder.pages.not_approved import not_approved_page
from handbook_builder.pages.page import Page
from handbook_builder.pages.product_page import page_of_product
from handbook_builder.pages.reference import limits_page, problems_page
from handbook_builder.pages.vessel_page import page_of_vessel
from handbook_builder.pages.vessels import vessels_page
from handbook_builder.words import Words


def pages_of(account: Account, words: Words) -> tuple[Page, ...]:
    """Return every generated page, each once, as of the day of the account."""
    return tuple(_pages(Desk(account, words)))


def _pages(desk: Desk) -> Iterator[Page]:
    for index in (home_page, approved_page, not_approved_page, vessels_page, materials_page,
                  tests_page, problems_page, limits_page):  # fmt: skip
        yield index(desk)
    yield from (page_of_product(desk, ident) for ident in sorted(desk.judged.products))
    yield from (page_of_vessel(desk, ident) for ident in sorted(desk.studio.vessels))
    for folder in KINDS:
        for ident in sorted(getattr(desk.studio, folder)):
            yield page_of_material(desk, folder, ident)
    yield from (page_of_test(desk, ident) for ident in sorted(desk.judged.burns))
