"""One page a product: the verdict and its evidence first, then what the candle is."""

from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from handbook_builder.derived.notices import fills_unwritten
from handbook_builder.pages import workings
from handbook_builder.pages.around import around_product
from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.desk import Desk, Link, Said, item_link
from handbook_builder.pages.money.cost import Cost, cost_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import OnPaper, papers_of_product
from handbook_builder.pages.products.burning import Burning, burning_of
from handbook_builder.pages.products.evidence import (
    Former,
    Odds,
    Spoken,
    formers,
    odds,
    since,
    spoken,
)
from handbook_builder.pages.products.heed import heed_of
from handbook_builder.pages.products.in_the_way import said_in_the_way
from handbook_builder.pages.products.label import label_link
from handbook_builder.pages.products.lifetime import LifeShown, life_shown
from handbook_builder.pages.products.make_up import Part, packed_in, parts_of
from handbook_builder.pages.products.misuse import Misuse, misuse_of
from handbook_builder.pages.products.pour_sheet import Sheet, sheet_of
from handbook_builder.pages.products.proof import Proof, proof_of
from handbook_builder.pages.products.provisos import meaning_of, provisos_of
from handbook_builder.pages.products.watches import watched
from handbook_builder.pages.products.wick_advice import WickAdvice, advice_on
from handbook_builder.pages.tests.charts import Chart, charts_of
from handbook_builder.pages.tests.diagnosis import Diagnosis, diagnosis_of_product
from handbook_builder.pages.trade.parts import BatchLine, batch_lines
from handbook_builder.pages.workings import Working
from handbook_builder.studio.found import batches_by_recipe
from handbook_builder.verdicts.approval import Product, Status, every_candle
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Load:
    """The load in both ways of saying it."""

    on_wax: str
    of_total: str
    working: Working


@dataclass(frozen=True, slots=True)
class Fill:
    """How much a candle holds, and how that came about; `note` says what to write down."""

    net: str
    is_stated: bool
    note: str | None
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class ProductPage:
    """What the page of a product shows."""

    id: str
    code: str
    word: Word
    meaning: str
    provisos: tuple[str, ...]
    heed: tuple[Link, ...]
    is_approved: bool
    since: str | None
    tested_until: date | None
    vessel: Link
    evidence: Spoken
    proof: Proof
    misuse: Misuse | None
    odds: Odds
    way: str
    missing: tuple[Said, ...]
    formers: tuple[Former, ...]
    same_code: tuple[Link, ...]
    parts: tuple[Part, ...]
    fill: Fill
    pour: Sheet
    load: Load | None
    life: LifeShown | None
    burning: Burning | None
    diagnosis: Diagnosis | None
    advice: WickAdvice | None
    charts: tuple[Chart, ...]
    cost: Cost | None
    label: Link
    cautions: tuple[str, ...]
    watched: tuple[str, ...]
    packaging: tuple[tuple[Link, int], ...]
    batches: tuple[BatchLine, ...]
    papers: OnPaper
    notes: str
    own_tests: str
    more: Beside | None = None


def page_of_product(desk: Desk, ident: str) -> Page:
    """Return the page of one product; approved ones come first in the search."""
    product = desk.judged.products[ident]
    code = desk.account.products[ident].code
    link = desk.product(product.recipe)
    boost = 4.0 if product.status is Status.APPROVED else 2.0
    content = replace(_content(desk, product), more=beside_of(desk, product.recipe.source))
    around = around_product(desk, product)
    return Page(link.path, link.title, "product", content, boost, (ident, code), **around)


def _content(desk: Desk, product: Product) -> ProductPage:
    recipe, ident, advice = product.recipe, product.recipe.source.id, advice_on(desk, product)
    return ProductPage(
        id=ident,
        code=desk.account.products[ident].code,
        word=desk.words.status(product.status),
        meaning=meaning_of(desk, product),
        provisos=provisos_of(desk, product).sentences,
        heed=heed_of(desk, product, advice),
        is_approved=product.status is Status.APPROVED,
        since=since_shown(desk, product),
        tested_until=desk.account.products[ident].tested_until,
        vessel=item_link("vessels", recipe.vessel),
        evidence=spoken(desk, product),
        proof=proof_of(desk, product),
        misuse=misuse_of(desk, product),
        odds=odds(desk, product),
        way=desk.phrase("way.title"),
        missing=said_in_the_way(desk, product),
        formers=formers(desk, product),
        same_code=twins_of(desk, product),
        parts=parts_of(desk, product),
        fill=_fill(desk, product),
        pour=sheet_of(desk, ident),
        load=_load(desk, product) if recipe.fragrance else None,
        life=life_shown(desk, product),
        burning=burning_of(desk, product),
        diagnosis=diagnosis_of_product(desk, product),
        advice=advice,
        charts=charts_of(desk, every_candle(product)),
        cost=cost_of(desk, ident),
        label=label_link(desk, ident),
        cautions=(*_cautions(desk, product), desk.phrase("cautions_source")),
        watched=watched(desk, product.evidence.passed),
        packaging=packed_in(recipe),
        batches=_batches(desk, ident),
        papers=papers_of_product(desk, product),
        notes=recipe.source.body,
        own_tests=desk.phrase("own_tests"),
    )


def since_shown(desk: Desk, product: Product) -> str | None:
    """Return since when the product stands as it does, in words."""
    on, sentences = since(desk, product), desk.words.phrases["pages"]["since"]
    if on is None or product.status.value not in sentences:
        return None
    return desk.phrase(f"since.{product.status.value}", on=desk.words.day(on))


def twins_of(desk: Desk, product: Product) -> tuple[Link, ...]:
    """Return the other recipes of the same code: they share the evidence."""
    ident = product.recipe.source.id
    code = desk.account.products[ident].code
    return tuple(
        desk.product(desk.studio.recipes[other])
        for other, figures in desk.account.products.items()
        if figures.code == code and other != ident
    )


def _batches(desk: Desk, ident: str) -> tuple[BatchLine, ...]:
    """Return the batches of a product."""
    known, batches = desk.account.batches, batches_by_recipe(desk.studio).get(ident, ())
    idents = sorted(batch.source.id for batch in batches)
    return batch_lines(desk, (batch for batch in idents if batch in known))


def _fill(desk: Desk, product: Product) -> Fill:
    ident = product.recipe.source.id
    figures = desk.account.products[ident]
    return Fill(
        net=desk.mass(figures.fill.net_g),
        is_stated=figures.fill.stated,
        note=_fill_note(desk, ident),
        workings=_fill_workings(desk, product),
    )


def _fill_note(desk: Desk, ident: str) -> str | None:
    """Return the line to write into a recipe that was poured before its fill was in grams."""
    file = desk.studio.recipes[ident].source.file
    one = fills_unwritten(desk.studio, desk.day).get(file)
    return None if one is None else f"{one.message} ({one.place})"


def _fill_workings(desk: Desk, product: Product) -> tuple[Working, ...]:
    """Return how the net fill came about, and the volume it rests on when it is to the line."""
    net = workings.of_net_fill(desk, product)
    if desk.account.products[product.recipe.source.id].fill.stated:
        return (net,)
    return (net, workings.of_volume(desk, desk.studio.vessels[product.recipe.vessel]))


def _load(desk: Desk, product: Product) -> Load:
    figures = desk.account.products[product.recipe.source.id]
    return Load(
        on_wax=desk.words.percent(figures.load_on_wax),
        of_total=desk.words.percent(fsum(product.combination.make_up.fragrance.values())),
        working=workings.of_load(desk, product),
    )


def _cautions(desk: Desk, product: Product) -> tuple[str, ...]:
    material = product.screened.vessel.material
    return tuple(desk.words.phrases["materials"][material])
