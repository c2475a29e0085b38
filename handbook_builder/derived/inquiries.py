"""What was asked of makers and suppliers: what nobody has answered yet, and since when."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.reading.kinds.asked import Asked
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Open:
    """A question about an item that is not answered; `reminded` are the days of reminders."""

    item: Ref
    asked: Asked
    reminded: tuple[date, ...]
    days: int


def asked_by(studio: Studio, day: date, item: Ref) -> tuple[Asked, ...]:
    """Return what was asked about an item by a day, the oldest first."""
    known = (one for one in studio.item(item).asked if one.on <= day)
    return tuple(sorted(known, key=lambda one: one.on))


def is_answered(asked: Asked, day: date) -> bool:
    """Return whether a question was answered by a day."""
    return asked.answered is not None and asked.answered <= day


def unanswered(studio: Studio, day: date) -> tuple[Open, ...]:
    """Return every question that waits for an answer, the oldest first."""
    return tuple(sorted(_open(studio, day), key=lambda one: (one.asked.on, one.item)))


def _open(studio: Studio, day: date) -> Iterator[Open]:
    for folder in ITEM_FOLDERS:
        for ident in getattr(studio, folder):
            item = Ref.to(folder, ident)
            for one in asked_by(studio, day, item):
                if not is_answered(one, day):
                    reminded = tuple(on for on in one.reminded if on <= day)
                    yield Open(item, one, reminded, (day - one.on).days)
