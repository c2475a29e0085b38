"""The calendar file: read back by its own library, reproducible, and without names of people."""

from datetime import date, timedelta

from icalendar import Calendar

from handbook_builder.pages.board.calendar import Event
from handbook_builder.publish.calendar import calendar_of

DAY = date(2026, 5, 1)
EVENTS = (
    Event("cured/fig-c", date(2026, 5, 2), "Cured: Fig; jar, candle C", "Trim the wick."),
    Event("approved/fig", date(2026, 5, 10), "Earliest approval: Fig", "If every candle passes."),
)


def read(data: bytes) -> dict[str, dict[str, object]]:
    """Return the events of a calendar by their summary."""
    found = {}
    for one in Calendar.from_ical(data).walk("VEVENT"):
        found[str(one["SUMMARY"])] = {
            "uid": str(one["UID"]),
            "start": one.decoded("DTSTART"),
            "end": one.decoded("DTEND"),
            "stamp": one.decoded("DTSTAMP").isoformat(),
            "params": dict(one["DTSTART"].params),
        }
    return found


def test_all_day_events() -> None:
    """Each event begins on its day and ends with it: DTEND is the day after (RFC 5545, 3.6.1)."""
    found = read(calendar_of(EVENTS, "Studio", DAY))
    assert set(found) == {one.title for one in EVENTS}
    for one in EVENTS:
        told = found[one.title]
        assert (told["start"], told["end"]) == (one.on, one.on + timedelta(days=1))
        assert told["params"] == {"VALUE": "DATE"}
        assert told["stamp"] == "2026-05-01T00:00:00+00:00"


def test_what_every_calendar_must_have() -> None:
    """VERSION 2.0 and PRODID once each, lines ended by CRLF and folded at 75 octets (3.1, 3.7)."""
    long = Event("lit/x", DAY, "May be lit: " + "a very long name " * 8, "")
    data = calendar_of((*EVENTS, long), "Studio", DAY)
    calendar = Calendar.from_ical(data)
    assert (str(calendar["VERSION"]), str(calendar["PRODID"])[:4]) == ("2.0", "-//C")
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    assert b"\n" not in data.replace(b"\r\n", b"")


def test_the_same_board_makes_the_same_bytes() -> None:
    """No clock and no chance: twice the same call, twice the same file."""
    assert calendar_of(EVENTS, "Studio", DAY) == calendar_of(EVENTS, "Studio", DAY)


def test_a_uid_outlives_its_day() -> None:
    """An event that moves keeps its UID; another event, and another studio, have others."""
    moved = (Event("cured/fig-c", date(2026, 5, 9), EVENTS[0].title, "Trim the wick."),)
    first = read(calendar_of(EVENTS, "Studio", DAY))
    later = read(calendar_of(moved, "Studio", date(2026, 5, 8)))
    title = EVENTS[0].title
    assert first[title]["uid"] == later[title]["uid"]
    assert first[title]["start"] != later[title]["start"]
    elsewhere = read(calendar_of(EVENTS, "Another studio", DAY))
    uids = {told["uid"] for found in (first, elsewhere) for told in found.values()}
    assert len(uids) == 4


def test_a_board_without_events_is_a_calendar_all_the_same() -> None:
    """Nothing due: an empty calendar, which can still be read."""
    assert read(calendar_of((), "Studio", DAY)) == {}
