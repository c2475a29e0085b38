"""The labels of a product on its page: each market's at its size, or why there is none."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.hazards import is_asked
from handbook_builder.derived.label.made import Asked, Made, label_for, languages_for
from handbook_builder.derived.label.says import USA
from handbook_builder.labels.placed import Layout
from handbook_builder.pages.around import around_product
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.hazards import Hazards, hazards_of
from handbook_builder.pages.products.label_words import panel_said, refusal_said
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.verdicts.approval import Product
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class FaceShown:
    """One face at its true size: what it is and on what it stands, and its words in order."""

    name: str
    on: str
    caption: str
    layout: Layout
    words: str
    prefix: str


@dataclass(frozen=True, slots=True)
class MarketLabel:
    """The label for a market, or everything that is against it; then it has no face.

    `command` prints it, and `note` says what was not looked at.
    """

    market: str
    refused: tuple[str, ...]
    faces: tuple[FaceShown, ...]
    command: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class LabelPage:
    """The labels of a product for each market, and the hazards that they rest on."""

    product: Link
    code: str
    word: Word
    provisos: tuple[str, ...]
    note: str
    markets: tuple[MarketLabel, ...]
    hazards: Hazards | None
    print_with: str


def label_link(desk: Desk, ident: str) -> Link:
    """Return the link to the page of a product's labels."""
    title = desk.phrase("label.of", product=desk.studio.recipes[ident].title)
    return Link(title, f"labels/{ident}")


def page_of_label(desk: Desk, ident: str) -> Page:
    """Return the page of a product's labels; its product is found first."""
    link = label_link(desk, ident)
    product = desk.judged.products[ident]
    content = _content(desk, product)
    return Page(link.path, link.title, "label", content, 0.7, **around_product(desk, product))


def _content(desk: Desk, product: Product) -> LabelPage:
    """Return the labels, each market's in the order in which the studio names them."""
    markets, ident = desk.studio.info.markets, product.recipe.source.id
    return LabelPage(
        product=desk.product(product.recipe),
        code=desk.account.products[ident].code,
        word=desk.words.status(product.status),
        provisos=provisos_of(desk, product).sentences,
        note=desk.phrase("label.note"),
        markets=tuple(_for_market(desk, product, market) for market in markets),
        hazards=hazards_of(desk, product) if is_asked(desk.studio) else None,
        print_with=desk.phrase("label.print"),
    )


def _for_market(desk: Desk, product: Product, market: str) -> MarketLabel:
    ident = product.recipe.source.id
    asked = Asked(market, languages_for(desk.account, market))
    made = label_for(desk.account, desk.words, ident, asked, desk.press)
    name = desk.phrase(f"label.markets.{market}")
    note = desk.phrase("label.us") if market == USA else None
    if not isinstance(made, Made):
        refused = tuple(refusal_said(desk, refusal) for refusal in made)
        return MarketLabel(name, refused, (), None, note)
    command = desk.phrase("label.command", product=ident, market=market)
    return MarketLabel(name, (), tuple(_faces(desk, made, ident)), command, note)


def _faces(desk: Desk, made: Made, ident: str) -> Iterator[FaceShown]:
    on = desk.phrase("label.beside", item=name_of(made.on)) if made.on else None
    on_vessel = desk.phrase("label.on_vessel")
    if made.front is not None:
        yield _face(desk, "front", on_vessel, made.front, f"{ident}-{made.market}-f")
    name = "whole" if made.front is None else "caution"
    yield _face(desk, name, on or on_vessel, made.caution, f"{ident}-{made.market}-c")


def _face(desk: Desk, name: str, on: str, layout: Layout, prefix: str) -> FaceShown:
    words = " ".join(layout.lines())
    said = desk.phrase(f"label.faces.{name}")
    size = panel_said(desk, layout.panel)
    caption = desk.phrase("label.face", name=said, size=size, on=on)
    return FaceShown(said, on, caption, layout, words, prefix)
