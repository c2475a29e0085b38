"""Which papers there are: of what product or incident, at what address, and why there is none."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.products.in_the_way import refusal_of as pour_refusal_of
from handbook_builder.pages.trade.parts import incident_link
from handbook_builder.reading.kinds.trade import Incident
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.incidents import is_open
from handbook_builder.verdicts.screening import Screening


class Kind(StrEnum):
    """The papers: of a product, an incident, test candles, a class, and of the studio itself."""

    CARE = "care"
    SHEET = "sheet"
    PROOF = "proof"
    BATCH = "batch-sheet"
    NOTICE = "notice"
    BURN = "burn-sheet"
    WALL = "wall"
    POURING = "pouring"
    CLASS_SHEET = "class-sheet"
    CLASS_LIST = "class-list"


@dataclass(frozen=True, slots=True)
class OnPaper:
    """The papers that a product has, and a word about them."""

    lead: str
    links: tuple[Link, ...]


MOST_LETTERS: Final = 400
"""How long the texts of a maker's own may be together on a paper of one page."""
OF_CLASS: Final = (Kind.CLASS_SHEET, Kind.CLASS_LIST)
OF_PRODUCT: Final = (Kind.CARE, Kind.SHEET, Kind.PROOF, Kind.BATCH, *OF_CLASS)
WALL_PATH: Final = f"papers/{Kind.WALL}"
POURING_PATH: Final = f"papers/{Kind.POURING}"
OF_STUDIO: Final = {Kind.WALL: WALL_PATH, Kind.POURING: POURING_PATH}
# What pupils may not pour either.
_NOT_TAUGHT: Final = (Status.FAILED, Status.SUSPENDED, Status.RETIRED)


def sender_of(desk: Desk) -> str:
    """Return the studio with its address, its name once."""
    name, address = desk.studio.info.name, desk.studio.info.address
    if address is None:
        return name
    return address if name in address else f"{name}, {address}"


def pages_told(desk: Desk, rows: int, most_rows: int, letters: int = 0) -> str:
    """Return on how many pages a paper prints, or that its pages say it themselves.

    One page is promised only of so much as was tried in a browser: `most_rows` in its tables, and
    texts of a maker's own with no more letters than fit beside them.
    """
    fits = rows <= most_rows and letters <= MOST_LETTERS
    return desk.phrase("papers.one_page" if fits else "papers.several_pages")


def path_of(kind: Kind, ident: str) -> str:
    """Return where the paper of a product or an incident stands in the site."""
    return f"papers/{ident}/{kind}"


def path_of_burns(recipe: str) -> str:
    """Return where the sheet of all test candles of a recipe stands that are not at their end."""
    return f"papers/{recipe}/{Kind.BURN}s"


def refusal_of(desk: Desk, product: Product, kind: Kind) -> str:
    """Return why a product has no paper of a kind, or nothing where it has.

    A card and a sheet go out with candles: only an approved product has them. What must not be
    poured has no sheet to write a pour on.
    """
    title = product.recipe.title
    if kind is Kind.BATCH:
        is_refused = bool(pour_refusal_of(desk, product))
        return desk.phrase("papers.none.batch-sheet", product=title) if is_refused else ""
    if kind in OF_CLASS:
        return "" if _is_taught(product) else desk.phrase("papers.none.lesson", product=title)
    if kind is Kind.PROOF:
        return "" if was_tested(product) else desk.phrase("papers.none.proof", product=title)
    if product.status is Status.APPROVED:
        return ""
    status = desk.words.status(product.status)
    return desk.phrase(f"papers.none.{kind}", product=title, status=status.word.lower())


def _is_taught(product: Product) -> bool:
    """Return whether pupils may pour it: heat is cleared, and nothing bad is known of it."""
    is_cleared = product.screened.screening is Screening.CLEARED
    return is_cleared and product.status not in _NOT_TAUGHT


def was_tested(product: Product) -> bool:
    """Return whether any test candle of a product is on file, of a former make-up too."""
    found = product.evidence
    spoken = (found.passed, found.failed, found.burning, found.incomplete, found.void, found.misuse,
              found.ladder)  # fmt: skip
    return any(spoken) or bool(product.near_misses)


def notice_refusal_of(desk: Desk, incident: Incident) -> str:
    """Return why an incident has no notice to post, or nothing where it has.

    In the floor edition batches have other names than on their labels: a notice would mislead.
    """
    if desk.edition is Edition.FLOOR:
        return desk.phrase("papers.none.notice_floor")
    if is_open(incident, desk.day) or incident.closed is None:
        return ""
    return desk.phrase(
        "papers.none.notice",
        number=incident.number,
        on=desk.words.day(incident.closed.on),
        finding=incident.closed.finding,
    )


def papers_of_product(desk: Desk, product: Product) -> OnPaper:
    """Return the papers that a product has."""
    links = tuple(
        Link(desk.phrase(f"papers.kinds.{kind}"), path_of(kind, product.recipe.source.id))
        for kind in OF_PRODUCT
        if not refusal_of(desk, product, kind)
    )
    return OnPaper(desk.phrase("papers.lead"), links)


def burn_sheet_of(desk: Desk, ident: str) -> Link:
    """Return the link to the burn sheet of a test candle that is not at its end."""
    return Link(desk.phrase("papers.kinds.burn-sheet"), path_of(Kind.BURN, ident))


def batch_sheet_of(desk: Desk, ident: str) -> Link:
    """Return the link to the batch sheet of a product that may be poured, if only as a test."""
    return Link(desk.phrase("papers.kinds.batch-sheet"), path_of(Kind.BATCH, ident))


def papers_of_bench(desk: Desk, recipes: Iterable[str]) -> tuple[Link, ...]:
    """Return the papers of the board: the charts, and one sheet for the candles of a recipe."""
    charts = (Link(desk.phrase(f"papers.kinds.{kind}"), path) for kind, path in OF_STUDIO.items())
    titles = {recipe: desk.studio.recipes[recipe].title for recipe in sorted(set(recipes))}
    return (
        *charts,
        *(
            Link(desk.phrase("papers.burn.all", product=title), path_of_burns(recipe))
            for recipe, title in titles.items()
        ),
    )


def notice_of(desk: Desk, incident: Incident) -> Link | None:
    """Return the link to the notice of an incident, or None where it has none."""
    if notice_refusal_of(desk, incident):
        return None
    ident = incident_link(desk, incident).path.rpartition("/")[2]
    return Link(desk.phrase("papers.kinds.notice"), path_of(Kind.NOTICE, ident))
