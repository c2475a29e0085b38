"""What must be minded today beside the products: batches to keep, hands, and reading."""

from dataclasses import dataclass

from handbook_builder.derived.hands import forbidden_work
from handbook_builder.pages.desk import Desk, Link, page_of
from handbook_builder.pages.people.helpers import ToRead, to_read
from handbook_builder.pages.trade.parts import BatchLine, batch_link, held_lines


@dataclass(frozen=True, slots=True)
class MindedLine:
    """One thing to mind, and the page that tells more of it."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class Minded:
    """What Today says loudly: batches to keep, candles given too early, work that may not be."""

    keep: tuple[MindedLine, ...]
    early: tuple[MindedLine, ...]
    may_not: tuple[MindedLine, ...]
    to_read: tuple[ToRead, ...]


def minded(desk: Desk) -> Minded:
    """Return what must be minded on the day."""
    return Minded(_kept(desk), given_early(desk), _may_not(desk), to_read(desk))


def _kept(desk: Desk) -> tuple[MindedLine, ...]:
    """Return the batches that must not go out, while any of them is here."""
    return tuple(_keep(desk, held) for held in held_lines(desk, desk.account.batches))


def _keep(desk: Desk, held: BatchLine) -> MindedLine:
    word, link = held.word, batch_link(desk, held.link.path.rpartition("/")[2])
    told = desk.phrase("heed.keep", word=word.word, left=held.left, meaning=word.meaning)
    return MindedLine(link, told)


def given_early(desk: Desk) -> tuple[MindedLine, ...]:
    """Return every time that candles left the studio before they were cured."""
    return tuple(
        MindedLine(batch_link(desk, ident), desk.words.say(reason))
        for ident, one in desk.account.batches.items()
        for reason in one.verdict.notes
        if reason.code == "given_uncured"
    )


def _may_not(desk: Desk) -> tuple[MindedLine, ...]:
    found = forbidden_work(desk.studio, desk.day)
    return tuple(MindedLine(_work(desk, page_of(one.place)), desk.words.say(one)) for one in found)


def _work(desk: Desk, path: str) -> Link:
    """Return the link to a work by its page: a batch, or a test candle."""
    room, _, ident = path.partition("/")
    return batch_link(desk, ident) if room == "batches" else desk.test(ident)
