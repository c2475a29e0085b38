"""All pages of the handbook."""

from collections.abc import Callable, Iterator

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.floor import floor_account
from handbook_builder.derived.label.made import Press
from handbook_builder.derived.neutral import neutral
from handbook_builder.pages.bench.incident import incident_page, with_about
from handbook_builder.pages.bench.page import bench_pages
from handbook_builder.pages.board.board import board_page
from handbook_builder.pages.desk import PUPILS, Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.home import home_page
from handbook_builder.pages.items.materials import KINDS, materials_page, page_of_material
from handbook_builder.pages.items.vessel import page_of_vessel
from handbook_builder.pages.items.vessels import vessels_page
from handbook_builder.pages.money.index import money_pages
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.index import papers_of
from handbook_builder.pages.people.helper import helper_pages
from handbook_builder.pages.people.helpers import helpers_page
from handbook_builder.pages.plan.index import plan_page
from handbook_builder.pages.private.withheld import clean_page, cleaner, withheld
from handbook_builder.pages.products.approved import approved_page
from handbook_builder.pages.products.label import page_of_label
from handbook_builder.pages.products.not_approved import not_approved_page
from handbook_builder.pages.products.pour_sheet import page_of_pour
from handbook_builder.pages.products.product import page_of_product
from handbook_builder.pages.reference import limits_page, problems_page
from handbook_builder.pages.tests.candle import page_of_test
from handbook_builder.pages.tests.compare import compare_pages, offers_of
from handbook_builder.pages.tests.index import tests_page
from handbook_builder.pages.trade.buyer import buyer_pages
from handbook_builder.pages.trade.index import pages_of_batches
from handbook_builder.pages.trade.stock import stock_page
from handbook_builder.pages.trade.supplier import supplier_pages
from handbook_builder.words import Words


def pages_of(  # noqa: PLR0913, PLR0917 -- one a part of what is asked
    account: Account,
    words: Words,
    edition: Edition = Edition.OWNER,
    known: tuple[str, ...] = (),
    press: Press | None = None,
    pupils: int = PUPILS,
) -> tuple[Page, ...]:
    """Return every generated page, each once, as of the day of the account.

    The floor edition is told from an account without money and names, in which batches, incidents
    and lots have neutral ones; what the records tell of them in their own words is taken out.
    `known` are words that are no secret, though they stand in a name. `pupils` is for how many a
    class is set out.
    """
    if edition is Edition.OWNER:
        return tuple(_pages(Desk(account, words, own_press=press, pupils=pupils)))
    floor, clean = floor_of(account, words, known)
    pages = tuple(_pages(Desk(floor, words, edition, press, pupils)))
    paths = {page.path for page in pages}  # where a link leads: what tells a name there is refused

    def told(text: str) -> str:
        return text if text.partition("#")[0] in paths else clean(text)

    return tuple(clean_page(page, told) for page in pages)


def floor_of(
    account: Account, words: Words, known: tuple[str, ...] = ()
) -> tuple[Account, Callable[[str], str]]:
    """Return the account that the floor edition is told from, and what cleans its texts."""
    unnamed = words.phrases["pages"]["withheld"]["unnamed"]
    studio = neutral(account.studio, unnamed)
    clean = cleaner(withheld(studio, words, known))
    return floor_account(account_of(studio, account.judged.as_of, account.guides), unnamed), clean


def _pages(desk: Desk) -> Iterator[Page]:
    yield from (with_about(desk, page) for page in _told(desk))


def _told(desk: Desk) -> Iterator[Page]:
    for index in (home_page, approved_page, not_approved_page, vessels_page, materials_page,
                  tests_page, board_page, plan_page, helpers_page, problems_page,
                  limits_page):  # fmt: skip
        yield index(desk)
    yield from helper_pages(desk)
    yield from (page_of_product(desk, ident) for ident in sorted(desk.judged.products))
    yield from (page_of_label(desk, ident) for ident in sorted(desk.judged.products))
    yield from (page_of_pour(desk, ident) for ident in sorted(desk.judged.products))
    yield from (page_of_vessel(desk, ident) for ident in sorted(desk.studio.vessels))
    for folder in KINDS:
        for ident in sorted(getattr(desk.studio, folder)):
            yield page_of_material(desk, folder, ident)
    offers = offers_of(desk)
    for ident in sorted(desk.judged.burns):
        yield page_of_test(desk, ident, offers.get(ident, ()))
    yield from compare_pages(desk)
    yield from bench_pages(desk)
    yield incident_page(desk)
    yield from pages_of_batches(desk)
    yield stock_page(desk)
    yield from buyer_pages(desk)
    yield from supplier_pages(desk)
    yield from money_pages(desk)
    yield from papers_of(desk)
