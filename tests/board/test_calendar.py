"""The calendar file: held to the clauses of the standards, and read by readers of other hands.

RFC 5545 (iCalendar), RFC 7986 (its newer properties), RFC 5546 (which edition of an event counts).
The readers are `ical`, `vobject` and `ics`; `icalendar`, which writes the file, is a fourth.
"""

import re
from collections import Counter
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Final

import ics
import pytest
import vobject
from ical.calendar_stream import IcsCalendarStream
from icalendar import Calendar

from handbook_builder.pages.board.calendar import Event
from handbook_builder.publish.calendar import Heading, NotOursError, calendar_of

DAY = date(2026, 5, 1)
LATER = date(2026, 5, 4)
HEADING = Heading("Studio", "Studio: test board")
SERVED = Heading("Studio", "Studio: test board", "https://bench.example/handbook")
CURED = Event("lit/fig-c/1", date(2026, 5, 2), "Cured: Fig; jar, candle C", "Trim the wick.",
              "tests/fig-c")  # fmt: skip
APPROVED = Event("approved/fig", date(2026, 5, 10), "Earliest approval: Fig", "If all pass.",
                 "products/fig")  # fmt: skip
EVENTS = (CURED, APPROVED)
# What a text may hold that stands for something else there (RFC 5545, 3.3.11), and long letters.
AWKWARD = Event("lit/x/2", DAY, "Fig, \\ jar; no. 2 \N{EM DASH} " + "\N{CANDLE}\u00e9" * 40,
                'First line.\nSecond, line; with "signs": a\\b', "tests/x")  # fmt: skip


def by_icalendar(data: bytes) -> dict[str, tuple[Any, ...]]:
    """Return each event by its UID as the library reads it that wrote the file."""
    return {
        str(one["UID"]): (str(one["SUMMARY"]), one.decoded("DTSTART"), one.decoded("DTEND"),
                          str(one["DESCRIPTION"]), str(one["STATUS"]), int(one["SEQUENCE"]),
                          str(one.get("URL", "")))
        for one in Calendar.from_ical(data).walk("VEVENT")
    }  # fmt: skip


def by_ical(data: bytes) -> dict[str, tuple[Any, ...]]:
    """Return the same by a reader that checks types."""
    return {
        str(one.uid): (one.summary, one.dtstart, one.dtend, one.description,
                       None if one.status is None else one.status.value, one.sequence,
                       str(one.url or ""))
        for one in IcsCalendarStream.calendar_from_ics(data.decode()).events
    }  # fmt: skip


def by_vobject(data: bytes) -> dict[str, tuple[Any, ...]]:
    """Return the same by a reader that is strict about which properties may stand how often."""
    calendar = vobject.readOne(data.decode())
    calendar.validate(raiseException=True)
    return {
        one.uid.value: (one.summary.value, one.dtstart.value, one.dtend.value,
                        one.description.value, one.status.value, int(one.sequence.value),
                        one.url.value if hasattr(one, "url") else "")
        for one in calendar.contents.get("vevent", [])
    }  # fmt: skip


def by_ics(data: bytes) -> dict[str, tuple[Any, ...]]:
    """Return the same by a reader of a grammar; what has no field of its own is an extra."""
    found = {}
    for one in ics.Calendar(data.decode()).events:
        extra = {line.name: line.value for line in one.extra}
        found[one.uid] = (one.name, one.begin.date(), one.end.date(), one.description, one.status,
                          int(extra["SEQUENCE"]), one.url or "")  # fmt: skip
    return found


READERS: Final[Mapping[str, Callable[[bytes], dict[str, tuple[Any, ...]]]]] = {
    "ical": by_ical, "vobject": by_vobject, "ics": by_ics,
}  # fmt: skip


@pytest.mark.filterwarnings("ignore::FutureWarning", "ignore::DeprecationWarning")
@pytest.mark.parametrize("reader", READERS)
def test_readers_of_other_hands_agree(reader: str) -> None:
    """A first file, its next edition with one moved and one gone, and one without any."""
    first = calendar_of((*EVENTS, AWKWARD), SERVED, DAY)
    later = calendar_of((moved(CURED, 9), AWKWARD), SERVED, LATER, first)
    for data, count in ((first, 3), (later, 3), (calendar_of((), HEADING, DAY), 0)):
        found = READERS[reader](data)
        assert len(found) == count
        assert found == by_icalendar(data)


def moved(one: Event, day: int) -> Event:
    """Return an event on another day of May."""
    return Event(one.id, date(2026, 5, day), one.title, one.note, one.path, one.called_off)


def read(data: bytes) -> dict[str, tuple[date, str, int, str]]:
    """Return the day, the status, the sequence and the stamp of each event by its summary."""
    return {
        str(one["SUMMARY"]): (one.decoded("DTSTART"), str(one["STATUS"]), int(one["SEQUENCE"]),
                              one.decoded("DTSTAMP").isoformat())
        for one in Calendar.from_ical(data).walk("VEVENT")
    }  # fmt: skip


def uids(data: bytes) -> dict[str, str]:
    """Return the UID of each event by its summary."""
    found = Calendar.from_ical(data).walk("VEVENT")
    return {str(one["SUMMARY"]): str(one["UID"]) for one in found}


def test_all_day_events() -> None:
    """Each begins on its day and ends with it: DTEND is the day after (RFC 5545, 3.6.1)."""
    for one in Calendar.from_ical(calendar_of(EVENTS, HEADING, DAY)).walk("VEVENT"):
        assert one.decoded("DTEND") - one.decoded("DTSTART") == timedelta(days=1)
        assert dict(one["DTSTART"].params) == {"VALUE": "DATE"}
        assert str(one["TRANSP"]) == "TRANSPARENT"


def unfolded(data: bytes) -> list[str]:
    """Return the content lines: a line break with a blank behind it is none (RFC 5545, 3.1)."""
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    return re.sub(rb"\r\n[ \t]", b"", data).decode().split("\r\n")[:-1]


# RFC 5545, 3.6 and 3.6.1; RFC 7986, 4 and 5: what must stand once, and what at most once.
ONCE: Final = {"VCALENDAR": {"PRODID", "VERSION"}, "VEVENT": {"UID", "DTSTAMP", "DTSTART"}}
AT_MOST_ONCE: Final = {
    "VCALENDAR": {"CALSCALE", "UID", "LAST-MODIFIED", "URL", "REFRESH-INTERVAL", "SOURCE", "NAME",
                  "X-WR-CALNAME", "X-PUBLISHED-TTL"},
    "VEVENT": {"DTEND", "LAST-MODIFIED", "SEQUENCE", "SUMMARY", "DESCRIPTION", "STATUS", "URL",
               "TRANSP"},
}  # fmt: skip


def test_every_line_is_one_that_the_standards_have() -> None:
    """Names, how often, types and escapes, line by line and without any library."""
    counted: Counter[str] = Counter()
    inside: list[str] = []
    for line in unfolded(calendar_of((*EVENTS, AWKWARD), SERVED, DAY)):
        head, _, value = line.partition(":")
        name, *params = head.split(";")
        if name == "BEGIN":
            inside.append(value)
            counted = Counter() if value == "VEVENT" else counted
        elif name == "END":
            assert all(counted[one] == 1 for one in ONCE[value] if value == "VEVENT")
            assert inside.pop() == value
        else:
            counted[name] += 1
            kind = inside[-1]
            assert name in ONCE[kind] | AT_MOST_ONCE[kind], line
            assert counted[name] == 1 or kind == "VCALENDAR"
            assert well_formed(name, params, value), line


def well_formed(name: str, params: list[str], value: str) -> bool:
    """Return whether a value is of the type that its property has."""
    shapes = {
        "DTSTAMP": r"\d{8}T\d{6}Z", "LAST-MODIFIED": r"\d{8}T\d{6}Z", "DTSTART": r"\d{8}",
        "DTEND": r"\d{8}", "SEQUENCE": r"\d+", "URL": r"https://\S+", "SOURCE": r"https://\S+",
        "STATUS": "TENTATIVE|CONFIRMED|CANCELLED", "TRANSP": "OPAQUE|TRANSPARENT",
        "REFRESH-INTERVAL": "P1D", "X-PUBLISHED-TTL": "P1D", "VERSION": r"2\.0",
        "CALSCALE": "GREGORIAN",
    }  # fmt: skip
    types = {
        "DTSTART": ["VALUE=DATE"], "DTEND": ["VALUE=DATE"], "SOURCE": ["VALUE=URI"],
        "REFRESH-INTERVAL": ["VALUE=DURATION"],
    }  # fmt: skip
    text = r'(?:[^\\,;"\x00-\x1f]|"|\\[\\,;nN])*'  # 3.3.11
    return bool(re.fullmatch(shapes.get(name, text), value)) and params == types.get(name, [])


def test_links_lead_to_the_page_where_there_is_one() -> None:
    """Only where the handbook is served; without an address no event has a link."""
    served = by_icalendar(calendar_of(EVENTS, SERVED, DAY))
    assert {one[-1] for one in served.values()} == {
        "https://bench.example/handbook/tests/fig-c.html",
        "https://bench.example/handbook/products/fig.html",
    }
    assert b"URL" not in calendar_of(EVENTS, HEADING, DAY)


def test_the_same_board_makes_the_same_bytes() -> None:
    """No clock and no chance; and in the place of itself, it is what it was, on a later day too."""
    first = calendar_of(EVENTS, HEADING, DAY)
    assert calendar_of(EVENTS, HEADING, DAY) == first
    assert read(calendar_of(EVENTS, HEADING, LATER, first)) == read(first)


def test_what_moves_is_the_same_event_of_a_later_edition() -> None:
    """Same UID, higher SEQUENCE (RFC 5546, 2.1.4 and 2.1.5), on the same day and on a later one."""
    first = calendar_of(EVENTS, HEADING, DAY)
    sequence = read(first)[CURED.title][2]
    same_day = calendar_of((moved(CURED, 5), APPROVED), HEADING, DAY, first)
    assert read(same_day)[CURED.title][:3] == (date(2026, 5, 5), "CONFIRMED", sequence + 1)
    later = calendar_of((moved(CURED, 9), APPROVED), HEADING, LATER, same_day)
    assert read(later)[CURED.title][2] > sequence + 1
    assert read(later)[CURED.title][3] == "2026-05-04T00:00:00+00:00"
    assert read(later)[APPROVED.title] == read(first)[APPROVED.title]
    assert uids(first) == uids(same_day) == uids(later)
    backwards = calendar_of((moved(CURED, 3), APPROVED), HEADING, DAY, later)
    assert read(backwards)[CURED.title][2:] > read(later)[CURED.title][2:]


def test_a_file_that_forgot_the_former_one_has_a_later_edition_all_the_same() -> None:
    """The site's file knows no former one: its events count by the day."""
    first, later = (read(calendar_of(EVENTS, HEADING, day)) for day in (DAY, LATER))
    assert later[CURED.title][2] == first[CURED.title][2] + 3


def test_what_is_gone_is_cancelled_and_told_for_a_season() -> None:
    """STATUS:CANCELLED under the same UID with a higher SEQUENCE; after 90 days it is left out."""
    first = calendar_of(EVENTS, HEADING, DAY)
    second = calendar_of((APPROVED,), HEADING, LATER, first)
    on, status, sequence, _ = read(second)[CURED.title]
    assert (on, status) == (CURED.on, "CANCELLED")
    assert sequence > read(first)[CURED.title][2]
    assert uids(first) == uids(second)
    third = calendar_of((APPROVED,), HEADING, LATER + timedelta(days=89), second)
    assert read(third)[CURED.title] == read(second)[CURED.title]
    fourth = calendar_of((APPROVED,), HEADING, LATER + timedelta(days=90), third)
    assert set(read(fourth)) == {APPROVED.title}


def test_what_was_cancelled_can_come_back() -> None:
    """An incident that is closed lets a candle be lit again: the same event stands once more."""
    first = calendar_of(EVENTS, HEADING, DAY)
    off = Event(CURED.id, CURED.on, CURED.title, "It must not be lit.", CURED.path, called_off=True)
    second = calendar_of((off, APPROVED), HEADING, DAY, first)
    third = calendar_of(EVENTS, HEADING, DAY, second)
    told = [read(one)[CURED.title] for one in (first, second, third)]
    assert [one[1] for one in told] == ["CONFIRMED", "CANCELLED", "CONFIRMED"]
    assert [one[2] - told[0][2] for one in told] == [0, 1, 2]
    assert len({uids(one)[CURED.title] for one in (first, second, third)}) == 1


def test_another_event_and_another_studio_have_other_ids() -> None:
    """A UID is of one event in the world (RFC 5545, 3.8.4.7)."""
    other = Heading("Another studio", "Board")
    found = [uids(calendar_of(EVENTS, one, DAY)).values() for one in (HEADING, other)]
    assert len({uid for several in found for uid in several}) == 4


@pytest.mark.parametrize(
    "data",
    [b"my shopping list",
     b"BEGIN:VCALENDAR\r\nPRODID:-//Another//EN\r\nVERSION:2.0\r\nEND:VCALENDAR",
     b"\xff\xfe\x00", b"BEGIN:VCALENDAR\r\n", b"BEGIN:VEVENT\r\nEND:VEVENT\r\n",
     calendar_of(EVENTS, HEADING, DAY).replace(b"DTSTAMP", b"X-STAMP")],
)  # fmt: skip
def test_a_file_that_is_not_ours_is_not_written_over(data: bytes) -> None:
    """Whatever else it is, it is somebody's."""
    with pytest.raises(NotOursError):
        calendar_of(EVENTS, HEADING, DAY, data)


def test_a_file_of_an_earlier_program_is_read() -> None:
    """It had no SEQUENCE, no STATUS and other UIDs: its events are called off, new ones come."""
    text = calendar_of((CURED,), Heading("Old", ""), DAY).decode()
    old = re.sub(r"(SEQUENCE|STATUS|LAST-MODIFIED):.*\r\n", "", text).encode()
    found = by_icalendar(calendar_of((CURED,), HEADING, DAY, old))
    assert sorted(one[4] for one in found.values()) == ["CANCELLED", "CONFIRMED"]


def test_a_blank_file_is_no_calendar_yet(tmp_path: Path) -> None:
    """A program that makes the file first, and has it filled, gets a first edition."""
    file = tmp_path / "new.ics"
    file.touch()
    blank = calendar_of(EVENTS, HEADING, DAY, file.read_bytes())
    assert blank == calendar_of(EVENTS, HEADING, DAY)
