"""Today: what may be poured, what must be burned, what stands in the way, since when."""

from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.board import board_of
from handbook_builder.pages.bench.page import bench_of_several
from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.people.minded import Minded, minded
from handbook_builder.pages.products.approved import approved_products
from handbook_builder.pages.products.evidence import since
from handbook_builder.pages.products.in_the_way import said_in_the_way
from handbook_builder.pages.products.not_approved import ORDER, of_status
from handbook_builder.pages.products.proof import loosened
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.pages.tests.lines import CandleLine, lines_of
from handbook_builder.pages.trade.parts import IncidentLine, incident_line
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.incidents import is_open
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Pourable:
    """An approved product, in one line."""

    link: Link
    code: str
    vessel: Link
    net: str
    tested_until: date | None
    provisos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Burning:
    """A test candle that goes on."""

    product: Link
    line: CandleLine
    sentence: str


@dataclass(frozen=True, slots=True)
class Lit:
    """How many test candles may be lit today, as the board has it, and when the next one may."""

    count: int
    words: str


@dataclass(frozen=True, slots=True)
class Short:
    """A product that lacks nothing but test candles."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A product that may not be poured: since when, and the first thing in its way."""

    link: Link
    word: Word
    since: date | None
    first: str
    others: int


@dataclass(frozen=True, slots=True)
class HomePage:
    """What the first page shows."""

    studio: str
    lead: str
    may_pour: int
    pour: tuple[Pourable, ...]
    lit: Lit
    loosened: str
    burning: tuple[Burning, ...]
    bench: Link | None
    short: tuple[Short, ...]
    obstacles: tuple[Obstacle, ...]
    incidents: tuple[IncidentLine, ...]
    minded: Minded
    own_tests: str


def home_page(desk: Desk) -> Page:
    """Return the first page."""
    proven = approved_products(desk)
    content = HomePage(
        studio=desk.studio.info.name,
        lead=desk.phrase("leads.home"),
        may_pour=sum(not provisos_of(desk, product).forbids for product in proven),
        pour=tuple(_pourable(desk, product) for product in proven),
        lit=_lit(desk),
        loosened=loosened(desk),
        burning=_burning(desk),
        bench=bench_of_several(desk),
        short=tuple(_shorts(desk)),
        obstacles=tuple(
            _obstacle(desk, product) for word in ORDER for product in of_status(desk, word)
        ),
        incidents=_incidents(desk),
        minded=minded(desk),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("index", desk.phrase("titles.home"), "home", content, 1.0)


def _pourable(desk: Desk, product: Product) -> Pourable:
    figures = desk.account.products[product.recipe.source.id]
    return Pourable(
        link=desk.product(product.recipe),
        code=figures.code,
        vessel=item_link("vessels", product.recipe.vessel),
        net=desk.mass(figures.fill.net_g),
        tested_until=figures.tested_until,
        provisos=provisos_of(desk, product).sentences,
    )


def _lit(desk: Desk) -> Lit:
    """Return how many test candles the board lets be lit today."""
    waiting = [candle for candle in board_of(desk.account).waiting if not candle.forbidden]
    count = sum(candle.may_be_lit for candle in waiting)
    nexts = [candle.next_lit.day for candle in waiting if not candle.may_be_lit]
    if count or not nexts:
        return Lit(count, desk.phrase("lit.today"))
    return Lit(count, desk.phrase("lit.next", on=desk.words.day(min(nexts))))


def _burning(desk: Desk) -> tuple[Burning, ...]:
    """Return the candles that burn, the one lit longest ago first."""
    candles = {
        burn.candle.id: burn.candle
        for burn in desk.judged.burns.values()
        if burn.candle.still_burns
    }
    lines = lines_of(desk, candles.values())
    found = [Burning(_product_of(desk, line), line, _so_far(desk, line)) for line in lines]
    return tuple(sorted(found, key=lambda one: one.line.last_lit or one.line.poured))


def _product_of(desk: Desk, line: CandleLine) -> Link:
    ident = line.link.path.rpartition("/")[2]
    return desk.product(desk.studio.recipes[desk.studio.burns[ident].recipe])


def _so_far(desk: Desk, line: CandleLine) -> str:
    if line.last_lit is None:
        return desk.phrase("burning_unlit", candle=line.candle, on=line.poured)
    if line.cycles == 1:
        return desk.phrase("burning_once", candle=line.candle, on=line.last_lit)
    return desk.phrase("burning", candle=line.candle, cycles=line.cycles, on=line.last_lit)


def _shorts(desk: Desk) -> list[Short]:
    """Return the products that lack nothing but test candles."""
    waiting = (*of_status(desk, Status.IN_TEST), *of_status(desk, Status.UNTESTED))
    return [
        Short(desk.product(candle.recipe), desk.words.say(reason))
        for candle in waiting
        for reason in candle.missing
        if reason.code == "too_few_passed" and len(candle.missing) == 1
    ]


def _obstacle(desk: Desk, product: Product) -> Obstacle:
    first, *others = said_in_the_way(desk, product)
    return Obstacle(
        link=desk.product(product.recipe),
        word=desk.words.status(product.status),
        since=since(desk, product),
        first=first.text,
        others=len(others),
    )


def _incidents(desk: Desk) -> tuple[IncidentLine, ...]:
    found = [incident for incident in desk.studio.incidents.values() if is_open(incident, desk.day)]
    found.sort(key=lambda one: one.number)
    return tuple(incident_line(desk, one) for one in found)
