"""The batch sheet: boxes for what really went into a pour, beside what one candle is made of."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.figures.pour import MILLION
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.square import Square, square_of_pour
from handbook_builder.pages.papers.which import Kind, pages_told, path_of, sender_of
from handbook_builder.pages.products.pour_sheet import Sheet, Table, sheet_of, title_of
from handbook_builder.verdicts.approval import Product
from handbook_builder.words import Word

NET_BOXES: Final = 24
"""How many candles can be weighed on one sheet."""

_MOST_ROWS: Final = 15  # of a sheet on one page: items, and lots that must not go in


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """One thing that goes in, and what of it one candle takes: a mass, or a count."""

    title: str
    each: str
    is_weighed: bool


@dataclass(frozen=True, slots=True)
class BatchSheet:
    """What a batch sheet shows; `mark` stands over one that is for no people."""

    kicker: str
    studio: str
    sender: str
    product: str
    code: str
    square: Square
    word: Word
    mark: str
    standing: str
    stops: tuple[str, ...]
    net: str
    items: tuple[ToWeigh, ...]
    table: Table
    table_title: str
    net_lead: str
    net_boxes: tuple[int, ...]
    afterwards: str
    as_of: date
    one_page: str
    own_tests: str


def page_of_batch_sheet(desk: Desk, product: Product) -> Page:
    """Return the batch sheet of a product, made to be printed and written on."""
    sheet = sheet_of(desk, product.recipe.source.id)
    path = path_of(Kind.BATCH, sheet.id)
    title = title_of(desk, sheet) if sheet.mark else product.recipe.title
    return Page(path, title, "paper_batch", _content(desk, sheet, title), is_alone=True)


def _content(desk: Desk, sheet: Sheet, title: str) -> BatchSheet:
    items = tuple(_items(desk, sheet))
    sort = "test" if sheet.mark else "batch"
    return BatchSheet(
        kicker=desk.phrase("papers.kinds.batch-sheet"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        product=sheet.product.title,
        code=sheet.code,
        square=square_of_pour(desk, sheet.id),
        word=sheet.word,
        mark=sheet.mark,
        standing=sheet.standing,
        stops=sheet.work.stops,
        net=sheet.work.net,
        items=items,
        table=sheet.table,
        table_title=desk.phrase("papers.batch.table", unit=sheet.scale.unit),
        net_lead=desk.phrase("papers.batch.net_lead"),
        net_boxes=tuple(range(1, NET_BOXES + 1)),
        afterwards=desk.phrase(f"papers.batch.afterwards.{sort}", product=sheet.id),
        as_of=desk.day,
        one_page=pages_told(
            desk, len(items) + len(sheet.work.stops), _MOST_ROWS, len(title + sender_of(desk))
        ),
        own_tests=desk.phrase("own_tests"),
    )


def _items(desk: Desk, sheet: Sheet) -> Iterator[ToWeigh]:
    """Yield all that goes into a candle or around it: each comes in lots."""
    for one in sheet.ingredients:
        yield ToWeigh(one.link.title, desk.mass(one.mass_ug / MILLION), is_weighed=True)
    for piece in sheet.pieces:
        yield ToWeigh(piece.link.title, str(piece.each), is_weighed=False)
