"""The test board: what cures, what rests, what may be lit today, and what must stay unlit."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from handbook_builder.derived.board import Board, board_of
from handbook_builder.derived.waiting import OVERDUE_LIT_DAYS, OVERDUE_UNLIT_DAYS, Stage, Waiting
from handbook_builder.pages.bench.page import bench_link, bench_of_several
from handbook_builder.pages.board.calendar import Event, called_off, events_of
from handbook_builder.pages.board.outlooks import Helping, Outlooks, helping, outlooks
from handbook_builder.pages.board.reckoned import bases, left_told, several
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.items.letters import AskedRow, unanswered_rows
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import papers_of_bench
from handbook_builder.pages.products.misuse import ladder_told
from handbook_builder.reading.fields import When
from handbook_builder.words import Word

PATH: Final = "board/index"
_COLUMNS: Final = {
    "lit": ("cycle", "last_lit", "left"),
    "resting": ("last_lit", "again", "left"),
    "curing": ("poured", "cures_until", "left"),
    "apart": ("poured", "last_lit"),
}


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One candle on the board: a cell for each column of its group, and what to mind."""

    link: Link
    cells: tuple[str, ...]
    word: Word | None
    minds: tuple[str, ...]
    bench: Link | None = None


@dataclass(frozen=True, slots=True)
class BoardGroup:
    """The candles that stand alike; `empty` is said when there is none."""

    id: str
    title: str
    lead: str
    columns: tuple[str, ...]
    rows: tuple[BoardRow, ...]
    empty: str


@dataclass(frozen=True, slots=True)
class BoardPage:
    """What the board shows."""

    lead: str
    groups: tuple[BoardGroup, ...]
    bench: Link | None
    tally: tuple[tuple[int, str, str], ...]
    overdue: int
    overdue_note: str
    outlooks: Outlooks
    helping: Helping
    asked: tuple[AskedRow, ...]
    asked_title: str
    asked_none: str
    bases: tuple[str, ...]
    events: tuple[Event, ...]
    calendar_name: str
    calendar_note: str
    papers: tuple[Link, ...]
    own_tests: str


def board_page(desk: Desk) -> Page:
    """Return the page of the test board."""
    content = board_content(desk, board_of(desk.account))
    return Page(PATH, desk.phrase("titles.board"), "board", content, 1.0)


def board_content(desk: Desk, board: Board) -> BoardPage:
    """Return what the board shows, for its page and for the terminal alike."""
    groups = tuple(_groups(desk, board))
    overdue = sum(candle.may_be_lit and candle.waited_days is not None for candle in board.waiting)
    return BoardPage(
        lead=desk.phrase("leads.board"),
        groups=groups,
        bench=bench_of_several(desk),
        tally=_tally(desk, groups, overdue),
        overdue=overdue,
        overdue_note=_overdue_note(desk),
        outlooks=outlooks(desk, board),
        helping=helping(desk, board),
        asked=unanswered_rows(desk),
        asked_title=desk.phrase("letters.title"),
        asked_none=desk.phrase("letters.none"),
        bases=bases(desk, board),
        events=(*events_of(desk, board), *called_off(desk, board)),
        calendar_name=desk.phrase("board.calendar.name", studio=desk.studio.info.name),
        calendar_note=desk.phrase("board.calendar.subscribe"),
        papers=papers_of_bench(desk, (one.burned.candle.seen.burn.recipe for one in board.waiting)),
        own_tests=desk.phrase("own_tests"),
    )


def _tally(
    desk: Desk, groups: tuple[BoardGroup, ...], overdue: int
) -> tuple[tuple[int, str, str], ...]:
    """Return the large counts: how many, of what, and the id of the group that holds them."""
    counts = [
        (len(group.rows), desk.phrase(f"board.tally.{group.id}"), group.id)
        for group in groups
        if group.id != "apart"
    ]
    return (counts[0], (overdue, desk.phrase("board.tally.overdue"), counts[0][2]), *counts[1:])


def _overdue_note(desk: Desk) -> str:
    unlit, lit = (_days(desk, one) for one in (OVERDUE_UNLIT_DAYS, OVERDUE_LIT_DAYS))
    return desk.phrase("board.overdue_note", unlit_days=unlit, lit_days=lit)


def _days(desk: Desk, days: int) -> str:
    return desk.words.quantity(days, "days")


def _groups(desk: Desk, board: Board) -> Iterator[BoardGroup]:
    """Yield the groups in the order in which they are acted on; the last only when it has any."""
    lit = [candle for candle in board.waiting if candle.may_be_lit]
    lit.sort(key=lambda one: (-(one.waited_days or 0), one.next_lit.day, one.id))
    kept = [candle for candle in board.waiting if not candle.forbidden]
    group = _group(desk, "lit", (_lit_row(desk, cycle) for cycle in lit), _lit_lead(desk))
    yield replace(group, empty=f"{group.empty} {_next_lit(desk, kept)}".strip())
    resting = [candle for candle in kept if candle.stage is Stage.RESTING]
    yield _group(desk, "resting", (_resting_row(desk, board, candle) for candle in resting))
    curing = [candle for candle in kept if candle.stage is Stage.CURING]
    curing.sort(key=lambda one: (one.cured_on, one.id))
    yield _group(desk, "curing", (_curing_row(desk, candle) for candle in curing))
    apart = [candle for candle in board.waiting if candle.forbidden]
    if apart:
        yield _group(desk, "apart", (_apart_row(desk, candle) for candle in apart))


def _next_lit(desk: Desk, kept: list[Waiting]) -> str:
    """Return on which day the next candle may be lit, or nothing where none waits."""
    days = [candle.next_lit.day for candle in kept if not candle.may_be_lit]
    return desk.phrase("board.next_lit", on=desk.words.day(min(days))) if days else ""


def _lit_lead(desk: Desk) -> str:
    protocol, show = desk.studio.protocol, desk.words.quantity
    trim, cycle = show(protocol.trim_mm, "mm"), show(protocol.cycle_h, "h")
    return desk.phrase("board.lit_lead", trim_mm=trim, cycle_h=cycle)


def _group(desk: Desk, name: str, rows: Iterable[BoardRow], lead: str = "") -> BoardGroup:
    return BoardGroup(
        id=name,
        title=desk.phrase(f"board.stages.{name}"),
        lead=lead,
        columns=tuple(desk.phrase(f"board.columns.{one}") for one in _COLUMNS[name]),
        rows=tuple(rows),
        empty=desk.phrase(f"board.empty.{name}"),
    )


def _lit_row(desk: Desk, one: Waiting) -> BoardRow:
    cycle = len(one.burned.candle.seen.cycles) + 1
    number = desk.phrase("board.first_light") if one.last_lit is None else str(cycle)
    cells = (number, _last_lit(desk, one), left_told(desk, one))
    minds = tuple(_lit_minds(desk, one))
    return BoardRow(desk.test(one.id), cells, _overdue(desk, one), minds, bench_link(desk, one.id))


def _overdue(desk: Desk, one: Waiting) -> Word | None:
    if one.waited_days is None:
        return None
    return Word(**desk.words.phrases["pages"]["board"]["overdue"])


def _lit_minds(desk: Desk, one: Waiting) -> Iterator[str]:
    if one.waited_days is not None:
        kind = "overdue_unlit" if one.last_lit is None else "overdue_lit"
        yield desk.phrase(f"board.{kind}", days=_days(desk, one.waited_days))
    if one.next_lit.at is not None and one.next_lit.day == desk.day:
        yield desk.phrase("board.today_from", at=_clock(one.next_lit))
    yield from _minds(desk, one)


def _resting_row(desk: Desk, board: Board, one: Waiting) -> BoardRow:
    again = one.next_lit.day.isoformat()
    if one.next_lit.at is not None:
        again = desk.phrase("board.again_from", on=again, at=_clock(one.next_lit))
    minds = list(_minds(desk, one))
    if one.rested_from is not None:
        per_day = several(desk, "board.cycles", board.per_day)
        rested = _clock(one.rested_from)
        minds.append(desk.phrase("board.habit_used", at=rested, per_day=per_day))
    cells = (_last_lit(desk, one), again, left_told(desk, one))
    return BoardRow(desk.test(one.id), cells, None, tuple(minds))


def _curing_row(desk: Desk, one: Waiting) -> BoardRow:
    cells = (_poured(one), one.cured_on.isoformat(), left_told(desk, one))
    return BoardRow(desk.test(one.id), cells, None, tuple(_minds(desk, one)))


def _apart_row(desk: Desk, one: Waiting) -> BoardRow:
    why = tuple(desk.words.say(reason) for reason in one.forbidden)
    return BoardRow(desk.test(one.id), (_poured(one), _last_lit(desk, one)), None, why)


def _poured(one: Waiting) -> str:
    return one.burned.candle.seen.burn.made.on.isoformat()


def _last_lit(desk: Desk, one: Waiting) -> str:
    if one.last_lit is not None:
        return one.last_lit.isoformat()
    told = "cured" if one.cured_on <= desk.day else "cures"
    return desk.phrase(f"board.unlit.{told}", on=one.cured_on)


def _clock(when: When) -> str:
    return "" if when.at is None else f"{when.at:%H:%M}"


def _minds(desk: Desk, one: Waiting) -> Iterator[str]:
    burn = one.burned.candle.seen.burn
    if burn.is_misuse:
        yield desk.phrase("misuse.board", how=desk.phrase(f"misuse.hows.{burn.how}"))
    ladder = ladder_told(desk, one.burned.candle)
    if ladder is not None:
        yield ladder
    if one.left is not None and one.left.hours_h == 0:
        yield desk.phrase("board.at_its_end")
    if one.spoiled:
        why = " ".join(desk.words.say(reason) for reason in one.spoiled)
        yield desk.phrase("board.cannot_pass", why=why)
