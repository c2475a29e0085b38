"""The chart of what may be poured: every approved product as a card, and what must not be poured.

How large the cards are follows from how many there are. Beyond the smallest that can be read from
across a bench there is a further page, and each says which one it is: nothing is left out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from handbook_builder.derived.lots import lots_on
from handbook_builder.derived.pour import pour_of
from handbook_builder.pages.desk import Desk, ref_link
from handbook_builder.pages.items.vessels import VesselDrawn, drawn
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import MOST_LETTERS, POURING_PATH, sender_of
from handbook_builder.pages.products.approved import approved_products
from handbook_builder.pages.products.not_approved import ORDER, of_status
from handbook_builder.pages.products.pour_sheet import Sheet, sheet_of
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.pages.trade.parts import lot_word
from handbook_builder.verdicts.approval import Product
from handbook_builder.words import Word

_PX_A_MM: Final = 96 / 25.4  # a pixel of CSS is 1/96 of an inch
_RATIOS: Final = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20)  # vessels are drawn at one to so many
_LEAST_WALL_MM: Final = 2.0  # as the drawing has it where no wall is on file
# Measured in a browser, in letters of 0.53 of their size: a line of the list beside the cards and
# how many lines there are; where no cards are, the list has the whole page in three columns.
_LINE: Final = 40
_LINES: Final = 44
_LINES_ALONE: Final = 3 * _LINES
# Of a card: how much its own words may be together so that the page stays one.
_MOST_ON_CARD: Final = 180


@dataclass(frozen=True, slots=True)
class CardSize:
    """A size of cards, as the style sheet has it: how many stand in a row, room for a vessel.

    A card takes `frame_mm` whatever it says, then so much for each line of its title, of its facts
    and of its provisos; a line holds so many letters. Beside the drawing stand `beside_mm` of text.
    """

    name: str
    across: int
    width_mm: float
    height_mm: float
    frame_mm: float
    beside_mm: float
    title_mm: float
    title_letters: int
    fact_mm: float
    fact_letters: int

    def needs_mm(self, card: "Card", drawing_mm: float) -> float:
        """Return how high a card is, by an upper estimate."""
        facts = sum(
            1 + (len(one.label) + len(one.value)) // self.fact_letters for one in card.facts
        )
        stops = sum(1 + len(one) // self.fact_letters for one in card.provisos)
        title = 1 + len(card.title) // self.title_letters
        drawing = max(drawing_mm, self.beside_mm)
        return self.frame_mm + drawing + title * self.title_mm + (facts + stops) * self.fact_mm


# From the style sheet, with lines of 1.2 of the size of a letter and letters of half of it, on
# the narrower and the shorter of both papers. In the large one the text stands below the drawing.
_SIZES: Final = (
    CardSize("large", 3, 54.0, 22.0, 15.6, 0.0, 4.9, 27, 3.95, 37),
    CardSize("middle", 4, 12.0, 13.0, 4.4, 13.0, 3.9, 24, 3.4, 30),
    CardSize("small", 5, 8.0, 10.0, 4.4, 10.5, 3.3, 22, 3.0, 26),
)
_HIGH_MM: Final = 158.0  # for cards, between the head and what the foot says
_GAP_MM: Final = 2.0


@dataclass(frozen=True, slots=True)
class Told:
    """A value of a card, and what it is."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Card:
    """One approved product: what tells it from the others, and what a pour of one takes."""

    title: str
    code: str
    word: Word
    vessel: VesselDrawn
    facts: tuple[Told, ...]
    provisos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stopped:
    """What must not be poured for one reason: its word or heading, and the names."""

    title: str
    word: Word | None
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page of the chart; `number` says which of how many, where there are several."""

    number: str
    cards: tuple[Card, ...]
    stopped: tuple[Stopped, ...]


@dataclass(frozen=True, slots=True)
class PouringChart:
    """What the chart shows."""

    kicker: str
    studio: str
    sender: str
    code: str
    title: str
    lead: str
    none: str
    stopped_title: str
    leaves: tuple[Leaf, ...]
    size: str
    scale: float
    scale_note: str
    weights_note: str
    void: str
    as_of: date
    one_page: str
    own_tests: str


def page_of_pouring(desk: Desk) -> Page:
    """Return the chart of what may be poured on the day."""
    return Page(POURING_PATH, _say(desk, "title"), "paper_pouring", _content(desk), is_alone=True)


def _say(desk: Desk, key: str, **details: object) -> str:
    return desk.phrase(f"papers.pouring.{key}", **details)


def _content(desk: Desk) -> PouringChart:
    cards = tuple(_card(desk, product) for product in approved_products(desk))
    size, pages = _set_out(cards)
    ratio = _ratio(cards, size)
    leaves = leaves_of(desk, pages, tuple(_stopped(desk)))
    return PouringChart(
        kicker=desk.phrase("papers.kinds.pouring"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        code="",
        title=_say(desk, "title"),
        lead=_say(desk, "lead"),
        none=_say(desk, "none"),
        stopped_title=_say(desk, "stopped"),
        leaves=leaves,
        size=size.name,
        scale=_PX_A_MM / ratio,
        scale_note=_say(desk, "scale", ratio=ratio),
        weights_note=_say(desk, "weights", loss=desk.words.percent(desk.studio.info.pitcher_loss)),
        void=desk.phrase("papers.wall.void", on=desk.words.day(desk.day)),
        as_of=desk.day,
        one_page=_pages(desk, leaves),
        own_tests=desk.phrase("own_tests"),
    )


def _card(desk: Desk, product: Product) -> Card:
    ident = product.recipe.source.id
    sheet = sheet_of(desk, ident, 1)
    return Card(
        title=product.recipe.title,
        code=sheet.code,
        word=sheet.word,
        vessel=drawn(desk, product.recipe.vessel),
        facts=tuple(_facts(desk, sheet)),
        provisos=provisos_of(desk, product).sentences,
    )


def _facts(desk: Desk, sheet: Sheet) -> Iterator[Told]:
    """Yield what a pour of one takes; of a heat that is not on file or contradicts itself, why."""
    yield Told(_say(desk, "facts.net"), sheet.work.net)
    for one in sheet.ingredients:
        step = f"{one.amount}\N{NO-BREAK SPACE}{sheet.scale.unit}"
        yield Told(one.link.title, _say(desk, "coarse") if one.amount is None else step)
    order = pour_of(desk.account, sheet.id).order
    for name, heat_c in (("heat_to", order.heat_to_c), ("pour_at", order.pour_at_c)):
        known = desk.maybe(heat_c, "c")
        unknown = _say(desk, "withheld" if name in order.withheld else "unknown")
        yield Told(_say(desk, f"facts.{name}"), known or unknown)
    yield Told(_say(desk, "facts.cure"), _say(desk, "days", days=sheet.work.cure_days))


def _set_out(cards: tuple[Card, ...]) -> tuple[CardSize, tuple[tuple[Card, ...], ...]]:
    """Return the largest size in which all cards stand on one page, else the smallest, by page."""
    for size in _SIZES:
        pages = tuple(_pages_of(cards, size))
        if len(pages) <= 1:
            break
    return size, pages or ((),)


def _pages_of(cards: tuple[Card, ...], size: CardSize) -> Iterator[tuple[Card, ...]]:
    """Yield the cards of each page, row by row as long as there is height."""
    ratio = _ratio(cards, size)
    page: tuple[Card, ...] = ()
    left_mm = _HIGH_MM
    for at in range(0, len(cards), size.across):
        row = cards[at : at + size.across]
        drawing_mm = max(one.vessel.section.height_mm / ratio for one in row)
        high_mm = max(size.needs_mm(one, drawing_mm) for one in row) + _GAP_MM
        if page and high_mm > left_mm:
            yield page
            page, left_mm = (), _HIGH_MM
        page, left_mm = (*page, *row), left_mm - high_mm
    if page:
        yield page


def _ratio(cards: Sequence[Card], size: CardSize) -> int:
    """Return at one to how many all vessels are drawn: as large as the room of a card holds."""
    walls = [
        (card.vessel.section, max(card.vessel.section.wall_mm, _LEAST_WALL_MM)) for card in cards
    ]
    wide_mm = max((one.inside_mm + 2 * wall_mm for one, wall_mm in walls), default=0)
    high_mm = max((one.height_mm + wall_mm for one, wall_mm in walls), default=0)
    fits = (r for r in _RATIOS if wide_mm / r <= size.width_mm and high_mm / r <= size.height_mm)
    return next(fits, _RATIOS[-1])


def _stopped(desk: Desk) -> Iterator[Stopped]:
    """Yield what must not be poured: suspended lots first, then products by their word."""
    lots = tuple(
        _say(desk, "lot", item=ref_link(lot.item).title, lot=lot.lot,
             numbers=", ".join(str(one.number) for one in lot.incidents))
        for lot in lots_on(desk.studio, desk.day)
        if lot_word(desk, lot.item, lot.lot) is not None
    )  # fmt: skip
    if lots:
        yield Stopped(_say(desk, "lots"), None, lots)
    for status in ORDER:
        names = tuple(one.recipe.title for one in of_status(desk, status))
        if names:
            word = desk.words.status(status)
            yield Stopped(word.word, word, names)


def leaves_of(
    desk: Desk, cards: tuple[tuple[Card, ...], ...], stopped: tuple[Stopped, ...]
) -> tuple[Leaf, ...]:
    """Return the pages of the chart, each with as much as it holds, and all of it on some page."""
    pages = list(cards)
    lists, rest = [], stopped
    for _ in pages:
        here, rest = _split(rest, _LINES)
        lists.append(here)
    while rest:
        here, rest = _split(rest, _LINES_ALONE)
        pages.append(())
        lists.append(here)
    count = len(pages)
    return tuple(
        Leaf(_say(desk, "number", number=at, count=count) if count > 1 else "", page, here)
        for at, (page, here) in enumerate(zip(pages, lists, strict=True), 1)
    )


def _split(
    stopped: tuple[Stopped, ...], lines: int
) -> tuple[tuple[Stopped, ...], tuple[Stopped, ...]]:
    """Return what of the lists finds room in so many lines, and what is left of them."""
    here: list[Stopped] = []
    for at, one in enumerate(stopped):
        lines -= 2  # its heading
        kept = _fitting(one.names, lines)
        if kept:
            here.append(replace(one, names=one.names[:kept]))
        if kept < len(one.names):
            return tuple(here), (replace(one, names=one.names[kept:]), *stopped[at + 1 :])
        lines -= sum(map(_lines_of, one.names))
    return tuple(here), ()


def _fitting(names: Sequence[str], lines: int) -> int:
    """Return how many of the names find room in so many lines."""
    for at, name in enumerate(names):
        lines -= _lines_of(name)
        if lines < 0:
            return at
    return len(names)


def _lines_of(name: str) -> int:
    return 1 + len(name) // _LINE


def _pages(desk: Desk, leaves: tuple[Leaf, ...]) -> str:
    """Return on how many pages it prints, where all that a maker wrote is within what was tried."""
    letters = [len("".join((card.title, *card.provisos, *(one.label for one in card.facts))))
               for leaf in leaves for card in leaf.cards]  # fmt: skip
    is_tried = max(letters, default=0) <= _MOST_ON_CARD and len(sender_of(desk)) <= MOST_LETTERS
    if not is_tried:
        return desk.phrase("papers.several_pages")
    return _say(desk, "pages.one" if len(leaves) == 1 else "pages.many", count=len(leaves))
