"""The days of the board as events for a calendar; no person is named in one."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.board import Board
from handbook_builder.derived.waiting import Stage
from handbook_builder.pages.desk import Desk


@dataclass(frozen=True, slots=True)
class Event:
    """Something that is due on a day, all day long; `id` stays the same as long as it is due.

    `path` is the page that tells of it, and one that is `called_off` must not be done.
    """

    id: str
    on: date
    title: str
    note: str
    path: str = ""
    called_off: bool = False


def events_of(desk: Desk, board: Board) -> tuple[Event, ...]:
    """Return the events of the board, by day: cured, may be lit, and the earliest approvals."""
    lightings = (one for one in _lightings(desk, board) if not one.called_off)
    return tuple(sorted((*lightings, *_approvals(desk, board)), key=lambda one: (one.on, one.id)))


def called_off(desk: Desk, board: Board) -> tuple[Event, ...]:
    """Return each lighting that is forbidden: somebody may have it in a calendar as allowed."""
    return tuple(one for one in _lightings(desk, board) if one.called_off)


def _lightings(desk: Desk, board: Board) -> Iterator[Event]:
    trim = desk.words.quantity(desk.studio.protocol.trim_mm, "mm")
    notes = {
        False: desk.phrase("board.calendar.lit_note", trim_mm=trim),
        True: desk.phrase("board.calendar.forbidden_note"),
    }
    for candle in board.waiting:
        kind = "cured" if candle.stage is Stage.CURING else "lit"
        link, forbidden = desk.test(candle.id), bool(candle.forbidden)
        title = desk.phrase(f"board.calendar.{kind}", candle=link.title)
        # One id from the cure to the lighting, for it is one event, and another for the next cycle.
        ident = f"lit/{candle.id}/{len(candle.burned.candle.seen.cycles) + 1}"
        # An event in the past would be read by nobody: what could be lit long ago is due today.
        day = max(candle.next_lit.day, board.day)
        yield Event(ident, day, title, notes[forbidden], link.path, forbidden)


def _approvals(desk: Desk, board: Board) -> Iterator[Event]:
    note = desk.phrase("board.calendar.approved_note", on=board.day)
    for outlook in board.outlooks:
        if outlook.approved_on is not None:
            recipe = outlook.product.recipe
            title = desk.phrase("board.calendar.approved", product=recipe.title)
            ident, path = f"approved/{recipe.source.id}", desk.product(recipe).path
            yield Event(ident, outlook.approved_on, title, note, path)
