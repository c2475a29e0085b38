"""The days of the test board as an iCalendar file (RFC 5545)."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar
from icalendar import Event as CalendarEvent
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from handbook_builder.pages.board import board
from handbook_builder.pages.board.calendar import Event
from handbook_builder.workshop import Handbook

PRODUCT: Final = "-//Candle handbook//Test board//EN"
FILE: Final = "board/board.ics"


def add_calendar(files: Files, config: MkDocsConfig, handbook: Handbook, as_of: date) -> None:
    """Add the days of the test board to the site, beside its page."""
    for page in handbook.pages:
        if page.path == board.PATH:
            data = calendar_of(page.content.events, handbook.studio_name, as_of)
            files.append(File.generated(config, FILE, content=data))


def calendar_of(events: Iterable[Event], studio: str, as_of: date) -> bytes:
    """Return the events as one calendar, byte for byte the same for the same board.

    Each lasts all day and blocks no time. An event keeps its UID for as long as it is due, so
    that a calendar which is read anew moves it instead of adding another.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    stamp = datetime.combine(as_of, time.min, UTC)
    for event in events:
        calendar.add_component(_component(event, studio, stamp))
    return bytes(calendar.to_ical())


def _component(one: Event, studio: str, stamp: datetime) -> CalendarEvent:
    event = CalendarEvent()
    event.add("uid", str(uuid5(NAMESPACE_URL, f"{studio}/{one.id}")))
    event.add("dtstamp", stamp)
    event.add("dtstart", one.on)
    event.add("dtend", one.on + timedelta(days=1))
    event.add("summary", one.title)
    event.add("description", one.note)
    event.add("transp", "TRANSPARENT")
    return event
