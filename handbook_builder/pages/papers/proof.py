"""The proof of a product: everything that its verdict rests on, each number with its record."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.proof import set_aside
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.filed import Filed, filed_of
from handbook_builder.pages.papers.places import Stated
from handbook_builder.pages.papers.proof_candle import ProofCandle, proof_candle, void_told
from handbook_builder.pages.papers.proof_evidence import (
    Drawn,
    ProofLine,
    ProofPart,
    drawn_of,
    facts_of,
    former_of,
    lines_of,
    make_up_of,
    odds_of,
)
from handbook_builder.pages.papers.proof_head import ProofHead, head_of
from handbook_builder.pages.papers.proof_rules import ProofRules, rules_of
from handbook_builder.pages.papers.proof_trade import (
    ProofBatch,
    ProofIncident,
    ProofLot,
    batches_told,
    candles_of,
    incidents_told,
    lots_told,
)
from handbook_builder.pages.papers.which import Kind, path_of
from handbook_builder.pages.products.product import twins_of
from handbook_builder.pages.tests.columns import Column, columns
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.verdicts.approval import Product
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class ProofPaper:
    """What the proof of a product shows; `span` is how many columns a table of cycles has."""

    head: ProofHead
    parts: tuple[ProofPart, ...]
    facts: tuple[Stated, ...]
    odds: Stated
    lines: tuple[ProofLine, ...]
    nothing: str
    voids: tuple[Stated, ...]
    former: tuple[Stated, ...]
    drawn: tuple[Drawn, ...]
    columns: tuple[Column, ...]
    span: int
    uncertainty: str
    candles: tuple[ProofCandle, ...]
    papers: tuple[Filed, ...]
    lots: tuple[ProofLot, ...]
    batches: tuple[ProofBatch, ...]
    incidents: tuple[ProofIncident, ...]
    rules: ProofRules
    none: str
    own_tests: str

    @property
    def kicker(self) -> str:
        """Return what sort of paper it is."""
        return self.head.kicker

    @property
    def code(self) -> str:
        """Return the code of the combination, which stands on every printed page."""
        return self.head.code

    @property
    def word(self) -> Word:
        """Return the word for how the product stands, which stands there too."""
        return self.head.word


def page_of_proof(desk: Desk, product: Product) -> Page:
    """Return the proof of a product of which any test candle is on file, approved or not."""
    path = path_of(Kind.PROOF, product.recipe.source.id)
    content = _content(desk, product)
    return Page(path, product.recipe.title, "paper_proof", content, is_alone=True)


def _content(desk: Desk, product: Product) -> ProofPaper:
    candles = candles_of(product.evidence)
    return ProofPaper(
        head=head_of(desk, product),
        parts=make_up_of(desk, product),
        facts=tuple(facts_of(desk, product)),
        odds=odds_of(desk, product),
        lines=lines_of(desk, product),
        nothing=desk.phrase("papers.proof.nothing"),
        voids=tuple(_voids(desk, product)),
        former=tuple(former_of(desk, product)),
        drawn=drawn_of(desk, product),
        columns=columns(desk),
        span=len(columns(desk)) + 2,  # with the cycle and its verdict
        uncertainty=desk.phrase("uncertainty_note"),
        candles=tuple(proof_candle(desk, candle) for candle in candles),
        papers=filed_of(desk, product),
        lots=lots_told(desk, product),
        batches=batches_told(desk, product),
        incidents=incidents_told(desk, product, tuple(_twins(desk, product))),
        rules=rules_of(desk),
        none=desk.phrase("papers.proof.none"),
        own_tests=desk.phrase("own_tests"),
    )


def _voids(desk: Desk, product: Product) -> Iterator[Stated]:
    """Yield who set a candle aside, when and why; a failure stands all the same."""
    for aside in set_aside(product):
        burn = aside.candle.seen.burn
        told = void_told(desk, burn, aside.void)
        note = desk.phrase("set_aside.failed") if aside.stands else ""
        label = desk.phrase("papers.proof.candle", candle=burn.candle)
        yield Stated(label, told.text, told.places, note)


def _twins(desk: Desk, product: Product) -> Iterator[Recipe]:
    """Yield the other recipes of the same candle."""
    for link in twins_of(desk, product):
        yield desk.studio.recipes[link.path.rpartition("/")[2]]
