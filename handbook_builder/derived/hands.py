"""Whose hands did what: work by somebody who may not, and guides that must be read again."""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from handbook_builder.problems import Place
from handbook_builder.reading.kinds.house import Helper, ReadGuide
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.trade import Batch
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.hands import may_not
from handbook_builder.verdicts.reason import Reason

# The guides that whoever does a work has read: the studio's own rule, told on the test board.
NEEDED: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "burn": ("hot-wax-and-flame", "running-a-burn-test"),
        "pour": ("hot-wax-and-flame", "pouring-a-batch"),
    }
)
_DIGITS: Final = 6

Guides = Mapping[str, str]


class Why(StrEnum):
    """Why a helper must read a guide: never read, read in another edition, or in which is unsaid.

    The words go into JSON, too.
    """

    NEVER = "never"
    CHANGED = "changed"
    UNSAID = "unsaid"


@dataclass(frozen=True, slots=True)
class MustRead:
    """A guide that a helper must read: `since` is the day of their last reading, if any."""

    helper: str
    page: str
    why: Why
    since: date | None
    edition: str | None
    now: str
    place: Place


def edition_of(text: str) -> str:
    """Return the code of a guide's edition: six digits of a hash of its text, in base 16.

    It does not depend on how a machine ends its lines, nor on what an edition of the handbook
    withholds: it is of the text as it was written.
    """
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    plain = "\n".join(line.rstrip() for line in lines).strip()
    return hashlib.sha256(plain.encode()).hexdigest()[:_DIGITS].upper()


def page_named(written: str) -> str:
    """Return the name of a guide as records have it: its file's, without folder and ending."""
    return written.removeprefix("/").removeprefix("guides/").removesuffix(".md")


def must_read(studio: Studio, day: date, guides: Guides) -> tuple[MustRead, ...]:
    """Return every guide that a helper must read as of `day`, by helper and guide.

    That is each guide that they have read, but not as it is now, and each that goes with what they
    may do and that they have not read. `guides` are the editions in force, by name.
    """
    return tuple(
        found
        for _, helper in sorted(studio.helpers.items())
        for page in sorted(_asked(helper, guides))
        if (found := _unread(helper, page, day, guides[page])) is not None
    )


def must_read_first(studio: Studio, day: date, guides: Guides, what: str) -> frozenset[str]:
    """Return the helpers who may do a work, and have not read all that goes with it as it is."""
    needed = NEEDED.get(what, ())
    due = must_read(studio, day, guides)
    return frozenset(
        must_read.helper
        for must_read in due
        if must_read.page in needed and what in studio.helpers[must_read.helper].may
    )


def _asked(helper: Helper, guides: Guides) -> set[str]:
    needed = {page for what in helper.may for page in NEEDED.get(what, ())}
    return (needed | {page_named(reading.page) for reading in helper.read}) & guides.keys()


def _unread(helper: Helper, page: str, day: date, now: str) -> MustRead | None:
    """Return what makes a helper read a guide, or None when they have read it as it is."""
    read = sorted(_readings(helper, page, day), key=lambda one: one[1].on)
    if any((one.edition or "").upper() == now for _, one in read):
        return None
    if not read:
        place = helper.source.place("may")
        return MustRead(helper.source.id, page, Why.NEVER, None, None, now, place)
    index, last = read[-1]
    why = Why.UNSAID if last.edition is None else Why.CHANGED
    place = helper.source.place(f"read[{index}]")
    return MustRead(helper.source.id, page, why, last.on, last.edition, now, place)


def _readings(helper: Helper, page: str, day: date) -> Iterator[tuple[int, ReadGuide]]:
    for index, one in enumerate(helper.read):
        if page_named(one.page) == page and one.on <= day:
            yield index, one


def unknown_pages(studio: Studio, guides: Guides) -> Iterator[tuple[Place, str]]:
    """Yield each reading of a page that is no guide, with its place."""
    for _, helper in sorted(studio.helpers.items()):
        for index, one in enumerate(helper.read):
            if page_named(one.page) not in guides:
                yield helper.source.place(f"read[{index}].page"), one.page


def forbidden_work(studio: Studio, day: date) -> tuple[Reason, ...]:
    """Return each work on file by a helper whose record does not let them do it, by its place."""
    batches = (
        reason for batch in studio.batches.values() for reason in _of_batch(studio, batch, day)
    )
    burns = (reason for burn in studio.burns.values() for reason in forbidden_on(studio, burn, day))
    return tuple(sorted((*batches, *burns), key=lambda one: one.place))


def forbidden_on(studio: Studio, burn: Burn, day: date) -> Iterator[Reason]:
    """Yield that a test candle was burned, or set aside, by a helper who may not."""
    if burn.made.on <= day and burn.by is not None:
        yield from may_not(studio, burn.source.place("by"), burn.by, "burn")
    if burn.void is not None and burn.void.on <= day:
        yield from may_not(studio, burn.source.place("void.by"), burn.void.by, "sign")


def _of_batch(studio: Studio, batch: Batch, day: date) -> Iterator[Reason]:
    if batch.on <= day:
        yield from may_not(studio, batch.source.place("by"), batch.by, "pour")
