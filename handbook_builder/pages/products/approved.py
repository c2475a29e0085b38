"""The approved index: the only list that says what may be poured."""

from dataclasses import dataclass
from datetime import date

from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.evidence import bad_in_100, short_odds
from handbook_builder.pages.products.lifetime import claim_shown, interval
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class ApprovedRow:
    """One approved product."""

    id: str
    link: Link
    code: str
    vessel: Link
    waxes: tuple[Link, ...]
    scents: tuple[Link, ...]
    net: str
    shortest: str
    claim: str
    interval: str
    tested_until: date | None
    passed: int
    odds: str
    provisos: tuple[str, ...]
    pour: str


@dataclass(frozen=True, slots=True)
class ApprovedPage:
    """What the approved index shows, with what it can be narrowed by."""

    lead: str
    word: Word
    rows: tuple[ApprovedRow, ...]
    vessels: tuple[Link, ...]
    waxes: tuple[Link, ...]
    scents: tuple[Link, ...]
    odds: str
    limited: str
    own_tests: str


def approved_products(desk: Desk) -> tuple[Product, ...]:
    """Return every approved product, by title."""
    found = [
        product for product in desk.judged.products.values() if product.status is Status.APPROVED
    ]
    return tuple(sorted(found, key=lambda one: one.recipe.title))


def approved_page(desk: Desk) -> Page:
    """Return the index of approved products."""
    rows = tuple(_row(desk, product) for product in approved_products(desk))
    needed = desk.studio.protocol.test_candles
    content = ApprovedPage(
        lead=desk.phrase("leads.approved"),
        word=desk.words.status(Status.APPROVED),
        rows=rows,
        vessels=_choices(*((row.vessel,) for row in rows)),
        waxes=_choices(*(row.waxes for row in rows)),
        scents=_choices(*(row.scents for row in rows)),
        odds=desk.phrase("odds.approved_index", needed=needed, bad=bad_in_100(needed)),
        limited=desk.phrase("around.limits"),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("approved/index", desk.phrase("titles.approved"), "approved", content, 3.0)


def _choices(*links: tuple[Link, ...]) -> tuple[Link, ...]:
    return tuple(sorted({one for some in links for one in some}, key=lambda link: link.title))


def _row(desk: Desk, product: Product) -> ApprovedRow:
    recipe, ident = product.recipe, product.recipe.source.id
    figures = desk.account.products[ident]
    life = figures.life
    return ApprovedRow(
        id=ident,
        link=desk.product(recipe),
        code=figures.code,
        vessel=item_link("vessels", recipe.vessel),
        waxes=tuple(item_link("waxes", one) for one in recipe.wax),
        scents=tuple(item_link("fragrances", one) for one in recipe.fragrance),
        net=desk.mass(figures.fill.net_g),
        shortest="" if life is None else desk.words.quantity(life.shortest_h, "h"),
        claim=claim_shown(desk, product) or desk.phrase("lifetimes.nothing"),
        interval=interval(desk, product, "short"),
        tested_until=figures.tested_until,
        passed=len(product.evidence.passed),
        odds=short_odds(desk, product),
        provisos=provisos_of(desk, product).sentences,
        pour=f"pour/{ident}",
    )
