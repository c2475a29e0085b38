"""The wall chart of the studio: the one rule, hot wax in short, and what is due this week."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Final

from handbook_builder.derived.board import board_of
from handbook_builder.pages.board.calendar import Event, events_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import WALL_PATH, pages_told, sender_of
from handbook_builder.pages.trade.incident import known_incidents
from handbook_builder.pages.trade.parts import batch_link, incident_line
from handbook_builder.verdicts.batches import BatchState, cured_on
from handbook_builder.verdicts.incidents import is_open

DAYS: Final = 7
_MOST_DUE: Final = 16  # lines for what is due: more would not fit on the one page
_MOST_OPEN: Final = 5


@dataclass(frozen=True, slots=True)
class DueDay:
    """One day of the week, and what is due on it."""

    on: date
    called: str
    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WallChart:
    """What the wall chart shows; `more` says what found no room."""

    kicker: str
    studio: str
    sender: str
    code: str
    rule: str
    rule_more: str
    hot_title: str
    hot: tuple[str, ...]
    due_title: str
    due: tuple[DueDay, ...]
    more: str
    nothing_due: str
    open_title: str
    open: tuple[str, ...]
    open_more: str
    void: str
    as_of: date
    one_page: str
    own_tests: str


def page_of_wall(desk: Desk) -> Page:
    """Return the wall chart of the day."""
    return Page(WALL_PATH, _say(desk, "title"), "paper_wall", _content(desk), is_alone=True)


def _content(desk: Desk) -> WallChart:
    due, incidents = _due(desk), _open(desk)
    return WallChart(
        kicker=desk.phrase("papers.kinds.wall"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        code="",
        rule=_say(desk, "rule"),
        rule_more=_say(desk, "rule_more"),
        hot_title=_say(desk, "hot_title"),
        hot=tuple(desk.words.phrases["pages"]["papers"]["wall"]["hot"]),
        due_title=_say(desk, "due_title", last=desk.words.day(_last(desk))),
        due=tuple(_days(desk, due[:_MOST_DUE])),
        more=_more(desk, len(due) - _MOST_DUE),
        nothing_due=_say(desk, "nothing_due"),
        open_title=_say(desk, "open_title"),
        open=incidents[:_MOST_OPEN],
        open_more=_more(desk, len(incidents) - _MOST_OPEN),
        void=_say(desk, "void", on=desk.words.day(desk.day)),
        as_of=desk.day,
        one_page=_pages(desk, due, incidents),
        own_tests=desk.phrase("own_tests"),
    )


def _say(desk: Desk, key: str, **details: object) -> str:
    return desk.phrase(f"papers.wall.{key}", **details)


def _last(desk: Desk) -> date:
    return desk.day + timedelta(days=DAYS - 1)


def _more(desk: Desk, count: int) -> str:
    return _say(desk, "more", count=count) if count > 0 else ""


def _pages(desk: Desk, due: Sequence[Event], incidents: Sequence[str]) -> str:
    """Return on how many pages it prints: the titles are a maker's own."""
    shown = sum(len(event.title) for event in due[:_MOST_DUE])
    told = sum(map(len, incidents[:_MOST_OPEN]))
    return pages_told(desk, (shown + told) // 100, _MOST_DUE + _MOST_OPEN, len(sender_of(desk)))


def _due(desk: Desk) -> tuple[Event, ...]:
    """Return what is due within the week: candles to light, cures that end, approvals."""
    events = (*events_of(desk, board_of(desk.account)), *_cured_batches(desk))
    known = [event for event in events if event.on <= _last(desk)]
    return tuple(sorted(known, key=lambda one: (one.on, one.id)))


def _cured_batches(desk: Desk) -> Iterator[Event]:
    """Yield when each batch that cures is through; one that nothing may leave of has no day."""
    for ident, figures in desk.account.batches.items():
        if figures.verdict.state is BatchState.CURING:
            title = _say(desk, "cured", batch=batch_link(desk, ident).title)
            until = cured_on(desk.studio, desk.studio.batches[ident])
            yield Event(f"batch/{ident}", until, title, "")


def _days(desk: Desk, due: Sequence[Event]) -> Iterator[DueDay]:
    names = desk.words.phrases["pages"]["papers"]["wall"]["days"]
    for on, events in groupby(due, key=lambda one: one.on):
        called = names["today"] if on == desk.day else names["week"][on.weekday()]
        yield DueDay(on, called, tuple(event.title for event in events))


def _open(desk: Desk) -> tuple[str, ...]:
    """Return the open incidents, each in a line."""
    found = [one for one in known_incidents(desk) if is_open(one, desk.day)]
    return tuple(
        _say(desk, "open", number=one.number, about=incident_line(desk, one).about.title)
        for one in reversed(found)
    )
