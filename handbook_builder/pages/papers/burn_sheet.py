"""The burn sheet: empty boxes for every reading of every cycle that a test candle has to come."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Final

from handbook_builder.derived.board import board_of
from handbook_builder.derived.waiting import Waiting
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.burn_columns import BurnColumn, columns_of
from handbook_builder.pages.papers.square import Square, square_of_burn
from handbook_builder.pages.papers.which import (
    Kind,
    pages_told,
    path_of,
    path_of_burns,
    sender_of,
)
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import SEEN_WORDS

MOST_TOGETHER: Final = 3
SPARE: Final = 2
"""How many rows there are beside the cycles that are expected: an estimate is no promise."""

_UNKNOWN: Final = 9  # rows for a candle of which nothing tells how long it lasts
# What there is for rows on the shorter of the two papers, by how many candles share it, and what
# of it longer heads and names take away; as tried in a browser.
_ROOM_MM: Final = {1: 150.0, 2: 132.0, 3: 102.0}
_USUAL_LIMITS, _LIMIT_MM = 2, 6.0
_TITLE, _TITLE_MM = 55, 6.0
_SENDER, _SENDER_MM = 90, 3.6
_LOWEST_MM: Final = 5.2  # a row to write in
_HIGHEST_MM: Final = 11.0  # more is no easier to write in


@dataclass(frozen=True, slots=True)
class BurnCard:
    """One candle of a sheet: what it is called, what is on file, and the cycles to come.

    `stops` say why it must not be lit; it has no rows then. `tilts` are the boxes for how it stood
    before its first light, while that is unsaid. `room` says that not every cycle may find a row.
    """

    letter: str
    id: str
    code: str
    square: Square
    facts: tuple[tuple[str, str], ...]
    stops: tuple[str, ...]
    tilts: tuple[str, ...]
    cycles: tuple[int, ...]
    room: str


@dataclass(frozen=True, slots=True)
class BurnLeaf:
    """One printed page: up to three candles that are held against the same limits."""

    cards: tuple[BurnCard, ...]
    columns: tuple[BurnColumn, ...]
    row_mm: float

    @property
    def has_rows(self) -> bool:
        """Return whether there is anything to write down."""
        return any(card.cycles for card in self.cards)


@dataclass(frozen=True, slots=True)
class Ends:
    """The words to tick once a candle has come to its end."""

    how: tuple[str, ...]
    vessel: tuple[str, ...]
    tilt: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BurnSheet:
    """What a burn sheet shows."""

    kicker: str
    studio: str
    sender: str
    code: str
    rules: tuple[str, ...]
    leaves: tuple[BurnLeaf, ...]
    seen: tuple[str, ...]
    seen_lead: str
    ends: Ends
    as_of: date
    one_page: str
    own_tests: str


def burn_sheets_of(desk: Desk) -> Iterator[Page]:
    """Yield a sheet for each test candle that is not at its end, and one for those of a recipe."""
    waiting = sorted(board_of(desk.account).waiting, key=_by_letter)
    for one in waiting:
        yield _page(desk, path_of(Kind.BURN, one.id), desk.test(one.id).title, [one])
    for recipe, some in groupby(waiting, key=_recipe):
        yield _page(desk, path_of_burns(recipe), _title(desk, recipe), list(some))


def is_to_burn(desk: Desk, ident: str, *, is_recipe: bool = False) -> bool:
    """Return whether a test candle, or any of a recipe, is not at its end: then it has a sheet."""
    waiting = board_of(desk.account).waiting
    return any(ident == (_recipe(one) if is_recipe else one.id) for one in waiting)


def _by_letter(one: Waiting) -> tuple[str, int, str]:
    letter = one.burned.candle.seen.burn.candle
    return (_recipe(one), len(letter), letter)


def _recipe(one: Waiting) -> str:
    return one.burned.candle.seen.burn.recipe


def _title(desk: Desk, recipe: str) -> str:
    return desk.phrase("papers.burn.title", product=desk.studio.recipes[recipe].title)


def _page(desk: Desk, path: str, title: str, waiting: Sequence[Waiting]) -> Page:
    leaves = tuple(_leaves(desk, waiting, title))
    codes = {card.code for leaf in leaves for card in leaf.cards}
    content = BurnSheet(
        kicker=desk.phrase("papers.kinds.burn-sheet"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        code=codes.pop() if len(codes) == 1 else "",
        rules=_rules(desk),
        leaves=leaves,
        seen=tuple(desk.words.seen(word) for word in SEEN_WORDS),
        seen_lead=desk.phrase("papers.burn.seen_lead"),
        ends=_ends(desk),
        as_of=desk.day,
        one_page=_pages(desk, leaves, title),
        own_tests=desk.phrase("own_tests"),
    )
    return Page(path, title, "paper_burn", content, is_alone=True)


def _pages(desk: Desk, leaves: Sequence[BurnLeaf], title: str) -> str:
    """Return on how many pages the sheet prints; a reason against a candle takes room as a row."""
    stops = sum(len(card.stops) for leaf in leaves for card in leaf.cards)
    is_one = len(leaves) == 1 and stops <= MOST_TOGETHER
    return pages_told(desk, 0 if is_one else 1, 0, len(title + sender_of(desk)))


def _leaves(desk: Desk, waiting: Iterable[Waiting], title: str) -> Iterator[BurnLeaf]:
    """Yield the printed pages: candles side by side are held against the same limits."""
    for columns, alike in groupby(waiting, key=lambda one: columns_of(desk, _burn(one))):
        candles = list(alike)
        for first in range(0, len(candles), MOST_TOGETHER):
            some = candles[first : first + MOST_TOGETHER]
            taken_mm = _taken_mm(columns, title, sender_of(desk))
            yield _leaf(desk, some, columns, _ROOM_MM[len(some)] - taken_mm)


def _taken_mm(columns: tuple[BurnColumn, ...], title: str, sender: str) -> float:
    """Return how much less room there is for rows than with short names and few limits."""
    most = max(len(column.limits) for column in columns)
    return (
        _LIMIT_MM * max(0, most - _USUAL_LIMITS)
        + _TITLE_MM * (len(title) // _TITLE)
        + _SENDER_MM * (len(sender) // _SENDER)
    )


def _leaf(
    desk: Desk, candles: Sequence[Waiting], columns: tuple[BurnColumn, ...], room_mm: float
) -> BurnLeaf:
    wanted = [0 if one.forbidden else _wanted(one) for one in candles]
    rooms = shared_out(wanted, int(room_mm / _LOWEST_MM))
    cards = tuple(_card(desk, candle, rows) for candle, rows in zip(candles, rooms, strict=True))
    count = max(1, sum(len(card.cycles) for card in cards))
    return BurnLeaf(cards, columns, math.floor(min(_HIGHEST_MM, room_mm / count) * 10) / 10)


def _wanted(one: Waiting) -> int:
    """Return how many rows a candle should have: as many as are expected, and some to spare."""
    return _UNKNOWN if one.cycles_left is None else one.cycles_left + SPARE


def shared_out(wanted: Sequence[int], rows: int) -> list[int]:
    """Return how many of `rows` each gets: what it wants while there are enough, else a fair share.

    What one does not need of its share goes to those that want more.
    """
    given = [0] * len(wanted)
    for _ in range(min(rows, sum(wanted))):
        short = [at for at, want in enumerate(wanted) if given[at] < want]
        given[min(short, key=lambda at: given[at])] += 1
    return given


def _burn(one: Waiting) -> Burn:
    return one.burned.candle.seen.burn


def _card(desk: Desk, one: Waiting, rows: int) -> BurnCard:
    burn, done = _burn(one), len(one.burned.candle.seen.cycles)
    is_short = rows < _wanted(one) and not one.forbidden
    is_new = burn.made.tilt is None and "tilt" in desk.studio.protocol.needs
    return BurnCard(
        letter=burn.candle,
        id=one.id,
        code=desk.account.burn_codes[one.id],
        square=square_of_burn(desk, one.id),
        facts=tuple(_facts(desk, one)),
        stops=tuple(desk.words.say(reason) for reason in one.forbidden),
        tilts=_called(desk, "steady", "fell", "untried") if is_new else (),
        cycles=tuple(range(done + 1, done + 1 + rows)),
        room=desk.phrase("papers.burn.room", rows=rows) if is_short else "",
    )


def _facts(desk: Desk, one: Waiting) -> Iterator[tuple[str, str]]:
    cycles = one.burned.candle.seen.cycles
    yield _fact(desk, "on_file", str(len(cycles)))
    weights = [
        (cycle.index + 1, cycle.cycle) for cycle in cycles if cycle.cycle.after_g is not None
    ]
    if weights:
        number, last = weights[-1]
        told = {
            "weight": desk.terse.quantity(last.after_g or 0.0, "g"),
            "cycle": number,
            "on": last.on.day,
        }
        yield _fact(desk, "last_weight", desk.phrase("papers.burn.last_weight", **told))
    yield _fact(desk, "lit_from", _lit_from(desk, one))
    if not one.forbidden:
        yield _fact(desk, "expected", _expected(desk, one))


def _fact(desk: Desk, key: str, value: str) -> tuple[str, str]:
    return desk.phrase(f"papers.burn.facts.{key}"), value


def _lit_from(desk: Desk, one: Waiting) -> str:
    if one.forbidden:
        return desk.phrase("papers.burn.never")
    if one.may_be_lit:
        return desk.phrase("papers.burn.now")
    at = "" if one.next_lit.at is None else f" {one.next_lit.at:%H:%M}"
    return desk.phrase("papers.burn.from", on=f"{desk.words.day(one.next_lit.day)}{at}")


def _expected(desk: Desk, one: Waiting) -> str:
    if one.cycles_left is None:
        return desk.phrase("papers.burn.unknown")
    return desk.phrase("papers.burn.expected", cycles=one.cycles_left, spare=SPARE)


def _rules(desk: Desk) -> tuple[str, ...]:
    """Return what each cycle asks for, in a few short sentences."""
    protocol, show = desk.studio.protocol, desk.terse.quantity
    told = {
        "trim": show(protocol.trim_mm, "mm"),
        "cycle": show(protocol.cycle_h, "h"),
        "tolerance": show(protocol.cycle_tolerance_h, "h"),
        "rest": show(protocol.rest_h, "h"),
    }
    sentences = desk.words.phrases["pages"]["papers"]["burn"]["rules"]
    return tuple(str(sentence).format(**told) for sentence in sentences)


def _ends(desk: Desk) -> Ends:
    return Ends(
        how=_called(desk, "went_out", "stopped"),
        vessel=_called(desk, "sound", "cracked", "leaking", "broken", "unseen"),
        tilt=_called(desk, "steady", "fell", "untried"),
    )


def _called(desk: Desk, *words: str) -> tuple[str, ...]:
    return tuple(desk.words.seen(word) for word in words)
