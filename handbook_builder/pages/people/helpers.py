"""Who helps, what each may do and has read, and which guide must be read again."""

from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.hands import MustRead, must_read, page_named
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.page import Page
from handbook_builder.reading.kinds.house import Helper

PATH = "helpers/index"


@dataclass(frozen=True, slots=True)
class ToRead:
    """A guide that a helper must read: why, and since when."""

    helper: str
    guide: Link
    sentence: str
    sign: str


@dataclass(frozen=True, slots=True)
class HasRead:
    """A guide that a helper has read; `edition` is None when it was not written down."""

    guide: Link
    on: date
    edition: str | None


@dataclass(frozen=True, slots=True)
class HelperRow:
    """One helper, with a page of their own: what they may do, and have read by the day."""

    link: Link
    may: tuple[str, ...]
    read: tuple[HasRead, ...]


@dataclass(frozen=True, slots=True)
class GuideRow:
    """One guide with its edition."""

    guide: Link
    edition: str


@dataclass(frozen=True, slots=True)
class HelpersPage:
    """What the page of helpers shows."""

    lead: str
    to_read: tuple[ToRead, ...]
    helpers: tuple[HelperRow, ...]
    guides: tuple[GuideRow, ...]
    own_tests: str


def helpers_page(desk: Desk) -> Page:
    """Return the page of all helpers."""
    content = HelpersPage(
        lead=desk.phrase("leads.helpers"),
        to_read=to_read(desk),
        helpers=tuple(_row(desk, one) for _, one in sorted(desk.studio.helpers.items())),
        guides=tuple(
            GuideRow(_guide(desk, name), edition) for name, edition in desk.account.guides.items()
        ),
        own_tests=desk.phrase("own_tests"),
    )
    return Page(PATH, desk.phrase("titles.helpers"), "helpers", content, 0.8)


def to_read(desk: Desk) -> tuple[ToRead, ...]:
    """Return the one list of who must read what, and since when."""
    found = must_read(desk.studio, desk.day, desk.account.guides)
    return tuple(_to_read(desk, one) for one in found)


def _to_read(desk: Desk, one: MustRead) -> ToRead:
    sentence = desk.phrase(
        f"must_read.{one.why}", since=one.since, edition=one.edition, now=one.now
    )
    sign = desk.phrase("must_read.sign", helper=one.helper, page=one.page)
    return ToRead(name_of(one.helper), _guide(desk, one.page), sentence, sign)


def _guide(desk: Desk, page: str) -> Link:
    """Return the link to a guide; what is no guide leads nowhere."""
    return Link(name_of(page), f"guides/{page}" if page in desk.account.guides else "")


def has_read(desk: Desk, helper: Helper) -> tuple[HasRead, ...]:
    """Return what a helper has read by the day, the earliest first."""
    read = sorted(
        (reading for reading in helper.read if reading.on <= desk.day), key=lambda each: each.on
    )
    return tuple(
        HasRead(_guide(desk, page_named(reading.page)), reading.on, reading.edition)
        for reading in read
    )


def _row(desk: Desk, helper: Helper) -> HelperRow:
    ident = helper.source.id
    link = Link(name_of(ident), f"helpers/{ident}")
    return HelperRow(link, may=helper.may, read=has_read(desk, helper))
