"""The product sheet: what a shop asks of a candle, without prices and suppliers."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.figures.net import declared
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.care import always, candles_told
from handbook_builder.pages.papers.filed import Filed, core_told, papers_of_oils, papers_of_wick
from handbook_builder.pages.papers.which import Kind, pages_told, path_of, sender_of
from handbook_builder.pages.products.evidence import short_odds
from handbook_builder.pages.products.lifetime import claim_shown, claim_why
from handbook_builder.pages.products.make_up import Part, packed_in, parts_of
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.verdicts.approval import Product
from handbook_builder.words import Word

# Of a sheet on one page: parts, papers, provisos, and lines of so many letters about hazards.
_MOST_ROWS: Final = 22
_LINE: Final = 100


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing about the candle: what, its value, and a note beside it."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class ProductSheet:
    """What the product sheet shows; `hazards` are sentences, whether worked out or not."""

    kicker: str
    studio: str
    sender: str
    code: str
    word: Word
    provisos: tuple[str, ...]
    tested: str
    odds: str
    facts: tuple[Fact, ...]
    parts: tuple[Part, ...]
    packed: tuple[tuple[Link, int], ...]
    cautions: tuple[str, ...]
    vessel: tuple[str, ...]
    vessel_source: str
    hazards: tuple[str, ...]
    core: str
    papers: tuple[Filed, ...]
    as_of: date
    one_page: str
    own_tests: str


def page_of_sheet(desk: Desk, product: Product, hazards: tuple[str, ...] | None = None) -> Page:
    """Return the product sheet of an approved product.

    `hazards` are the sentences of its hazards as a candle; None while they are not worked out.
    """
    ident = product.recipe.source.id
    content = _content(desk, product, hazards)
    return Page(
        path_of(Kind.SHEET, ident), product.recipe.title, "paper_sheet", content, is_alone=True
    )


def _content(desk: Desk, product: Product, hazards: tuple[str, ...] | None) -> ProductSheet:
    recipe = product.recipe
    vessel = desk.studio.vessels[recipe.vessel]
    papers = (*papers_of_wick(desk, product), *papers_of_oils(desk, product))
    shown = tuple(paper for paper in papers if paper.is_current)
    return ProductSheet(
        kicker=desk.phrase("papers.kinds.sheet"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        code=desk.account.products[recipe.source.id].code,
        word=desk.words.status(product.status),
        provisos=provisos_of(desk, product).sentences,
        tested=desk.phrase(
            "papers.sheet.tested", candles=candles_told(desk, len(product.evidence.passed))
        ),
        odds=short_odds(desk, product),
        facts=tuple(_facts(desk, product)),
        parts=parts_of(desk, product),
        packed=packed_in(recipe),
        cautions=always(desk),
        vessel=tuple(desk.words.phrases["materials"][vessel.material]),
        vessel_source=desk.phrase("cautions_source"),
        hazards=(desk.phrase("papers.sheet.no_hazards"),) if hazards is None else hazards,
        core=core_told(desk, product),
        papers=shown,
        as_of=desk.day,
        one_page=_pages(desk, product, shown, hazards or ()),
        own_tests=desk.phrase("own_tests"),
    )


def _pages(
    desk: Desk, product: Product, papers: tuple[Filed, ...], hazards: tuple[str, ...]
) -> str:
    """Return on how many pages the sheet prints."""
    told = sum(1 + len(sentence) // _LINE for sentence in hazards)
    rows = len(parts_of(desk, product)) + len(papers) + told
    rows += len(provisos_of(desk, product).sentences)
    return pages_told(desk, rows, _MOST_ROWS, len(product.recipe.title + sender_of(desk)))


def _facts(desk: Desk, product: Product) -> Iterator[Fact]:
    figures = desk.account.products[product.recipe.source.id]
    vessel = desk.studio.vessels[product.recipe.vessel]
    label = declared(figures.fill.net_g)
    net = desk.phrase("declared", grams=label.grams, ounces=label.ounces)
    yield _fact(desk, "net", net)
    claim = claim_shown(desk, product) or desk.phrase("lifetimes.nothing")
    yield _fact(desk, "burns", claim, claim_why(desk, product))
    yield _fact(desk, "vessel", vessel.material, name_of(vessel.source.id))
    width = desk.words.quantity(vessel.inside_diameter_mm, "mm")
    yield _fact(desk, "width", width)


def _fact(desk: Desk, key: str, value: str, note: str = "") -> Fact:
    return Fact(desk.phrase(f"papers.sheet.facts.{key}"), value, note)
