"""The days of the board as events for a calendar; no person is named in one."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.board import Board
from handbook_builder.derived.waiting import Stage
from handbook_builder.pages.desk import Desk


@dataclass(frozen=True, slots=True)
class Event:
    """Something that is due on a day, all day long; `id` stays the same as long as it is due."""

    id: str
    on: date
    title: str
    note: str


def events_of(desk: Desk, board: Board) -> tuple[Event, ...]:
    """Return the events of the board, by day: cured, may be lit, and the earliest approvals."""
    found = (*_lightings(desk, board), *_approvals(desk, board))
    return tuple(sorted(found, key=lambda one: (one.on, one.id)))


def _lightings(desk: Desk, board: Board) -> Iterator[Event]:
    trim = desk.words.quantity(desk.studio.protocol.trim_mm, "mm")
    note = desk.phrase("board.calendar.lit_note", trim_mm=trim)
    for candle in board.waiting:
        if candle.forbidden:
            continue
        kind = "cured" if candle.stage is Stage.CURING else "lit"
        title = desk.phrase(f"board.calendar.{kind}", candle=desk.test(candle.id).title)
        # An event in the past would be read by nobody: what could be lit long ago is due today.
        yield Event(f"{kind}/{candle.id}", max(candle.next_lit.day, board.day), title, note)


def _approvals(desk: Desk, board: Board) -> Iterator[Event]:
    note = desk.phrase("board.calendar.approved_note", on=board.day)
    for outlook in board.outlooks:
        if outlook.approved_on is not None:
            recipe = outlook.product.recipe
            title = desk.phrase("board.calendar.approved", product=recipe.title)
            yield Event(f"approved/{recipe.source.id}", outlook.approved_on, title, note)
