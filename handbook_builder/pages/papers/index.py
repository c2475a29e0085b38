"""All papers of the handbook."""

from collections.abc import Iterator
from typing import Final

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.batch_sheet import page_of_batch_sheet
from handbook_builder.pages.papers.burn_sheet import burn_sheets_of
from handbook_builder.pages.papers.care import page_of_care
from handbook_builder.pages.papers.hazards_told import hazards_told
from handbook_builder.pages.papers.lesson import page_of_class_list, page_of_class_sheet
from handbook_builder.pages.papers.notice import page_of_notice
from handbook_builder.pages.papers.pouring import page_of_pouring
from handbook_builder.pages.papers.proof import page_of_proof
from handbook_builder.pages.papers.sheet import page_of_sheet
from handbook_builder.pages.papers.wall import page_of_wall
from handbook_builder.pages.papers.which import Kind, notice_refusal_of, refusal_of
from handbook_builder.pages.trade.incident import known_incidents
from handbook_builder.verdicts.approval import Product


def _page_of_sheet(desk: Desk, product: Product) -> Page:
    return page_of_sheet(desk, product, hazards_told(desk, product))


_PAGES: Final = {
    Kind.CARE: page_of_care,
    Kind.SHEET: _page_of_sheet,
    Kind.PROOF: page_of_proof,
    Kind.BATCH: page_of_batch_sheet,
    Kind.CLASS_SHEET: page_of_class_sheet,
    Kind.CLASS_LIST: page_of_class_list,
}


def papers_of(desk: Desk) -> Iterator[Page]:
    """Yield every paper: of what is not approved its proof, and what a class needs."""
    for _, product in sorted(desk.judged.products.items()):
        for kind, page_of in _PAGES.items():
            if not refusal_of(desk, product, kind):
                yield page_of(desk, product)
    for incident in known_incidents(desk):
        if not notice_refusal_of(desk, incident):
            yield page_of_notice(desk, incident)
    yield from burn_sheets_of(desk)
    yield page_of_wall(desk)
    yield page_of_pouring(desk)
