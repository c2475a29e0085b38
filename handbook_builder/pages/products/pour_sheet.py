"""The pour sheet of a product: what to weigh for any count, in which order, how hot, how long.

The whole numbers that the weights are worked from go into the page, where a script does the same
arithmetic with them for another count.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from handbook_builder.derived.pour import Pour, pour_of
from handbook_builder.figures.pour import Mix, Scale, Weighed, decimal_text, weighed
from handbook_builder.pages.around import around_product
from handbook_builder.pages.desk import Desk, Link, ref_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.square import Square, square_of_pour
from handbook_builder.pages.papers.which import batch_sheet_of
from handbook_builder.pages.products.in_store import InStore, in_store
from handbook_builder.pages.products.in_the_way import refusal_of
from handbook_builder.pages.products.pour_form import PourForm, form_of
from handbook_builder.pages.products.pour_steps import Work, work_of
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.more_tests import MoreTests, Sense, more_tests
from handbook_builder.verdicts.screening import Screening
from handbook_builder.words import Word

MOST: Final = 9999
COUNTS: Final = (1, 2, 3, 6, 12, 17, 24, 48)
# Of these a banner says more than that it is a test pour.
_MARKED: Final = (Status.FAILED, Status.SUSPENDED, Status.RETIRED)
_FOLDERS: Final = {"wax": "waxes", "oil": "fragrances", "colorant": "colorants"}


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One thing to weigh: its micrograms in one candle, and what to weigh for the count shown."""

    role: str
    item: Ref
    link: Link
    mass_ug: int
    is_down: bool
    amount: str | None


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing to put out: how many for a candle, and how many for the count shown."""

    item: Ref
    link: Link
    each: int
    count: int


@dataclass(frozen=True, slots=True)
class Table:
    """Weights for several counts at once: each row is an item's name, then a weight a count.

    None stands where the scale is too coarse for the count.
    """

    counts: tuple[int, ...]
    rows: tuple[tuple[str | None, ...], ...]


@dataclass(frozen=True, slots=True)
class Rounded:
    """What the weights come to beside what the recipe asks for, and how that is said."""

    total: str | None
    load: str
    share: str
    off: str
    is_fit: bool
    recipe_load: str
    recipe_share: str
    tolerance: str
    fits: str
    coarse: str


@dataclass(frozen=True, slots=True)
class Asked:
    """How many candles the sheet is for, and what may be asked of it."""

    count: int
    label: str
    most: int
    bad: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """The pour sheet of one product, and the numbers from which another count is worked.

    A sheet of a product that is not proven bears a `mark` (TEST POUR, and FAILED where one did),
    which is else empty, and says in `sense` how many more test candles make sense (`sensible`).
    With a vessel that is refused, or over a limit, it has no weights but the reasons: `refused`.
    """

    id: str
    product: Link
    path: str
    code: str
    word: Word
    standing: str
    marks: tuple[str, ...]
    refused: tuple[str, ...]
    sense: str
    sensible: int | None
    asked: Asked
    mix: Mix
    scale: Scale
    step: str
    rounding: str
    ingredients: tuple[Ingredient, ...]
    pieces: tuple[Piece, ...]
    rounded: Rounded
    work: Work
    table: Table
    store: InStore
    why_not: str
    square: Square
    paper: Link | None
    own_tests: str
    card: Mapping[str, object]
    form: PourForm | None = None

    @property
    def mark(self) -> str:
        """Return the words over a sheet that is none for people, in one line."""
        return ". ".join(self.marks)


def page_of_pour(desk: Desk, ident: str) -> Page:
    """Return the page of one pour sheet, made to be printed."""
    sheet = sheet_of(desk, ident)
    if not sheet.mark:  # what is poured as a test makes no batch
        sheet = replace(sheet, form=_form(desk, sheet))
    around = around_product(desk, desk.judged.products[ident])
    return Page(sheet.path, title_of(desk, sheet), "pour", sheet, 0.3, **around)


def _form(desk: Desk, sheet: Sheet) -> PourForm:
    weighed = tuple(one.item for one in sheet.ingredients)
    counted = tuple(one.item for one in sheet.pieces)
    return form_of(desk, sheet.id, weighed, counted, sheet.scale.unit)


def title_of(desk: Desk, sheet: Sheet) -> str:
    """Return the title of a sheet; of one that is none for people, its mark comes first."""
    key, product = "test_pour" if sheet.mark else "pour", sheet.product.title
    return desk.phrase(f"titles.{key}", mark=sheet.mark, product=product)


def sheet_of(desk: Desk, ident: str, count: int | None = None, scale: Scale | None = None) -> Sheet:
    """Return the sheet for `count` candles, or for as many as make sense to begin with."""
    product = desk.judged.products[ident]
    more = None if product.status is Status.APPROVED else _more(desk, product)
    asked = _asked(desk, count, more)
    pour = pour_of(desk.account, ident, scale)
    told = weighed(pour.mix, pour.scale, asked.count)
    step = f"{pour.scale.text(1)}\N{NO-BREAK SPACE}{pour.scale.unit}"
    loss = desk.words.percent(pour.pitcher_loss)
    refused = refusal_of(desk, product)
    sheet = Sheet(
        id=ident,
        product=desk.product(product.recipe),
        path=f"pour/{ident}",
        code=desk.account.products[ident].code,
        word=desk.words.status(product.status),
        standing=_standing(desk, product),
        marks=tuple(_marks(desk, product, refused)) if more else (),
        refused=refused,
        sense=_sense(desk, product, more) if more else "",
        sensible=more.candles if more else None,
        asked=asked,
        mix=pour.mix,
        scale=pour.scale,
        step=step,
        rounding=desk.phrase("pour.rounding", step=step, loss=loss),
        ingredients=tuple(_ingredients(pour, told)),
        pieces=tuple(_pieces(product, asked.count)),
        rounded=_rounded(desk, product, pour, told),
        work=work_of(desk, product, pour, is_test=more is not None),
        table=_table(pour, _counts(desk, more)),
        store=in_store(desk, ident),
        why_not=desk.phrase("pour.why_not"),
        square=square_of_pour(desk, ident),
        paper=None if refused else batch_sheet_of(desk, ident),
        own_tests=desk.phrase("own_tests"),
        card=desk.words.phrases["pages"]["pour"]["card"],
    )
    return _without_weights(sheet) if refused else sheet


def _without_weights(sheet: Sheet) -> Sheet:
    """Return the sheet without anything that could be poured by."""
    return replace(
        sheet,
        ingredients=(),
        pieces=(),
        rounded=replace(sheet.rounded, total=None, is_fit=False),
        work=replace(sheet.work, heats=(), steps=(), roles=(), cautions=()),
        table=Table((), ()),
    )


def _marks(desk: Desk, product: Product, refused: tuple[str, ...]) -> Iterator[str]:
    """Yield the words over a sheet that is none for people, the worst first."""
    if product.status in _MARKED:
        yield desk.phrase(f"pour.marks.{product.status.value}")
    yield desk.phrase(f"pour.marks.{'refused' if refused else 'test'}")


def _asked(desk: Desk, count: int | None, more: MoreTests | None) -> Asked:
    return Asked(
        count=count or (max(more.candles, 1) if more else 1),
        label=desk.phrase("pour.test_count" if more else "pour.count"),
        most=MOST,
        bad=desk.phrase("pour.bad_count", most=MOST),
    )


def _more(desk: Desk, product: Product) -> MoreTests:
    return more_tests(product, desk.studio.protocol.test_candles)


def _standing(desk: Desk, product: Product) -> str:
    word = desk.words.status(product.status).word
    return desk.phrase("pour.standing", on=desk.words.day(desk.day), status=word)


def _sense(desk: Desk, product: Product, more: MoreTests) -> str:
    """Return how many more test candles make sense, and why."""
    is_refused = product.screened.screening is Screening.REFUSED and more.sense is Sense.VESSEL
    return desk.phrase(
        f"pour.sense.{'refused' if is_refused else more.sense.value}",
        candles=more.candles,
        needed=desk.studio.protocol.test_candles,
        passed=len(product.evidence.passed),
        burning=len(product.evidence.burning),
    )


def _ingredients(pour: Pour, told: Weighed) -> Iterator[Ingredient]:
    mix = pour.mix
    for role, masses_ug, of_it in (
        ("wax", mix.wax_ug, told.wax),
        ("oil", mix.oil_ug, told.oil),
        ("colorant", mix.colorant_ug, told.colorant),
    ):
        for ident, mass_ug in masses_ug.items():
            item = Ref.to(_FOLDERS[role], ident)
            down = role == "oil" and ident in mix.down
            amount = pour.scale.text(of_it[ident]) if told.fits else None
            yield Ingredient(role, item, ref_link(item), mass_ug, down, amount)


def _pieces(product: Product, count: int) -> Iterator[Piece]:
    recipe = product.recipe
    each = {Ref.to("vessels", recipe.vessel): 1, Ref.to("wicks", recipe.wick): recipe.wicks}
    each |= {Ref.to("packaging", ident): number for ident, number in recipe.packaging.items()}
    for item, number in each.items():
        yield Piece(item, ref_link(item), number, number * count)


def _rounded(desk: Desk, product: Product, pour: Pour, told: Weighed) -> Rounded:
    figures = desk.account.products[product.recipe.source.id]
    percent = desk.words.percent
    return Rounded(
        total=pour.scale.text(told.total) if told.fits else None,
        load=decimal_text(told.load, 2),
        share=decimal_text(told.share, 2),
        off=decimal_text(told.off, 3),
        is_fit=told.fits,
        recipe_load=percent(figures.load_on_wax),
        recipe_share=percent(fsum(product.combination.make_up.fragrance.values())),
        tolerance=f"{pour.tolerance * 100:g}",
        fits=desk.phrase("pour.fits"),
        coarse=desk.phrase("pour.coarse"),
    )


def _counts(desk: Desk, more: MoreTests | None) -> tuple[int, ...]:
    """Return the counts of the table for print: of test candles, no more than a protocol needs."""
    if more is None:
        return COUNTS
    return tuple(range(1, min(desk.studio.protocol.test_candles, len(COUNTS)) + 1))


def _table(pour: Pour, counts: Sequence[int]) -> Table:
    several = [tuple(_ingredients(pour, weighed(pour.mix, pour.scale, count))) for count in counts]
    rows = (
        (column[0].link.title, *(cell.amount for cell in column))
        for column in zip(*several, strict=True)
    )
    return Table(tuple(counts), tuple(rows))
