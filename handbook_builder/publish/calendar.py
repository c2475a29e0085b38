"""The days of the test board as an iCalendar file (RFC 5545, its own properties by RFC 7986).

There is no METHOD: one that publishes needs an organizer (RFC 5546, 3.2.1), and no person is named.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Component, vDuration, vUri
from icalendar import Event as CalendarEvent
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from handbook_builder.pages.board import board
from handbook_builder.pages.board.calendar import Event
from handbook_builder.workshop import Handbook

PRODUCT: Final = "-//Candle handbook//Test board//EN"
FILE: Final = "board/board.ics"
# A file that is written without knowing the former one counts from here by the day, so that a
# later edition always has the higher SEQUENCE.
_COUNTED_FROM: Final = date(2020, 1, 1)
# So long is told that an event was called off: whoever has not looked since has it in the past.
_TOLD_FOR: Final = timedelta(days=90)
_DAILY: Final = timedelta(days=1)
_CALLED_OFF: Final = "CANCELLED"
_STANDS: Final = "CONFIRMED"


class NotOursError(Exception):
    """The file that is to be written anew holds something else than a calendar of ours."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What a calendar says of itself; `address` is where the handbook is served, if anywhere."""

    studio: str
    name: str
    address: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """One event as a file holds it: `sequence` grows with every change, on the day `changed`."""

    uid: str
    on: date
    title: str
    note: str
    url: str
    status: str
    sequence: int
    changed: datetime

    @property
    def content(self) -> tuple[object, ...]:
        """Return all that a reader sees of it."""
        return self.on, self.title, self.note, self.url, self.status


def add_calendar(
    files: Files, config: MkDocsConfig, handbook: Handbook, as_of: date, address: str
) -> None:
    """Add the days of the test board to the site, beside its page."""
    for page in handbook.pages:
        if page.path == board.PATH:
            heading = Heading(handbook.studio_name, page.content.calendar_name, address)
            data = calendar_of(page.content.events, heading, as_of)
            files.append(File.generated(config, FILE, content=data))


def calendar_of(
    events: Iterable[Event], heading: Heading, as_of: date, former: bytes = b""
) -> bytes:
    """Return the events as one calendar, byte for byte the same for the same board and `former`.

    Each lasts all day, in whatever zone it is read, and blocks no time. An event keeps its UID for
    as long as it is due. `former` is the file whose place this one takes: what is unchanged stays
    as it was there, what changed has a higher SEQUENCE, and what is gone is cancelled. Raises
    NotOursError for a file that is no calendar of ours.
    """
    calendar = _headed(heading, as_of)
    for entry in entries(events, heading, as_of, _former(former)):
        calendar.add_component(_component(entry))
    return bytes(calendar.to_ical())


def entries(
    events: Iterable[Event], heading: Heading, as_of: date, former: Mapping[str, Entry]
) -> list[Entry]:
    """Return what a file holds in the place of one that held `former`, by day."""
    stamp = datetime.combine(as_of, time.min, UTC)
    new = {one.uid: one for one in (_entry(event, heading, stamp) for event in events)}
    found = [_after(former.get(uid), one) for uid, one in new.items()]
    found += [_gone(one, stamp) for uid, one in former.items() if uid not in new]
    kept = (one for one in found if one.status == _STANDS or stamp - one.changed < _TOLD_FOR)
    return sorted(kept, key=lambda one: (one.on, one.uid))


def _entry(one: Event, heading: Heading, stamp: datetime) -> Entry:
    url = f"{heading.address}/{one.path}.html" if heading.address and one.path else ""
    status = _CALLED_OFF if one.called_off else _STANDS
    uid = str(uuid5(NAMESPACE_URL, f"{heading.studio}/{one.id}"))
    return Entry(uid, one.on, one.title, one.note, url, status, _counted(stamp), stamp)


def _counted(stamp: datetime) -> int:
    return max(0, (stamp.date() - _COUNTED_FROM).days)


def _after(former: Entry | None, new: Entry) -> Entry:
    """Return an event as it follows the one of the former file."""
    if former is None:
        return new
    if former.content == new.content:
        return former
    return _changed(new, former, new.status, new.changed)


def _gone(former: Entry, stamp: datetime) -> Entry:
    """Return an event of the former file that is due no more."""
    if former.status == _CALLED_OFF:
        return former
    return _changed(former, former, _CALLED_OFF, stamp)


def _changed(new: Entry, former: Entry, status: str, stamp: datetime) -> Entry:
    sequence = max(_counted(stamp), former.sequence + 1)
    changed = max(stamp, former.changed)
    return Entry(new.uid, new.on, new.title, new.note, new.url, status, sequence, changed)


def _former(data: bytes) -> Mapping[str, Entry]:
    """Return the events of a file of ours by their UID; a blank file has none."""
    if not data.strip():
        return {}
    try:
        calendar = Calendar.from_ical(data)
        if str(calendar.get("prodid", "")) != PRODUCT:
            raise NotOursError
        found = [_read(one) for one in calendar.walk("VEVENT")]
    except (ValueError, KeyError, TypeError, AttributeError, IndexError) as error:
        raise NotOursError from error
    return {one.uid: one for one in found}


def _read(one: Component) -> Entry:
    changed = one.decoded("dtstamp")
    on = one.decoded("dtstart")
    if not isinstance(changed, datetime) or changed.tzinfo is None or isinstance(on, datetime):
        raise TypeError
    return Entry(
        uid=str(one["uid"]),
        on=on,
        title=str(one["summary"]),
        note=str(one.get("description", "")),
        url=str(one.get("url", "")),
        status=str(one.get("status", _STANDS)),
        sequence=int(one.get("sequence", 0)),
        changed=changed,
    )


def _headed(heading: Heading, as_of: date) -> Calendar:
    """Return a calendar without events; the older names of a property stand beside the newer."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("uid", str(uuid5(NAMESPACE_URL, f"{heading.studio}/{FILE}")))
    calendar.add("last-modified", datetime.combine(as_of, time.min, UTC))
    calendar.add("name", heading.name)
    calendar.add("x-wr-calname", heading.name)
    calendar.add("refresh-interval", vDuration(_DAILY), parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", vDuration(_DAILY))
    if heading.address:
        calendar.add("url", vUri(f"{heading.address}/{board.PATH}.html"))
        source = vUri(f"{heading.address}/{FILE}")
        calendar.add("source", source, parameters={"VALUE": "URI"})
    return calendar


def _component(one: Entry) -> CalendarEvent:
    event = CalendarEvent()
    event.add("uid", one.uid)
    event.add("dtstamp", one.changed)
    event.add("last-modified", one.changed)
    event.add("sequence", one.sequence)
    event.add("dtstart", one.on)
    event.add("dtend", one.on + timedelta(days=1))
    event.add("summary", one.title)
    event.add("description", one.note)
    event.add("status", one.status)
    if one.url:
        event.add("url", vUri(one.url))
    event.add("transp", "TRANSPARENT")
    return event
