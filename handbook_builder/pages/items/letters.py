"""A letter that asks about an item, ready to be sent by hand; and what waits for an answer."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.inquiries import Open, asked_by, is_answered, unanswered
from handbook_builder.derived.letter import Burned, letter_about
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.papers.which import sender_of
from handbook_builder.reading.refs import Ref


@dataclass(frozen=True, slots=True)
class AskedRow:
    """One question on file: `answered` is None while it waits, and `waits` says how long."""

    item: Link
    what: str
    on: date
    reminded: tuple[date, ...]
    answered: date | None
    by: str | None
    waits: str | None


def asked_of(desk: Desk, item: Ref) -> tuple[AskedRow, ...]:
    """Return what was asked about an item, the oldest first."""
    waiting = {id(one.asked): one for one in unanswered(desk.studio, desk.day) if one.item == item}
    rows = []
    for one in asked_by(desk.studio, desk.day, item):
        done = is_answered(one, desk.day)
        waits = None if done else _waits(desk, waiting[id(one)])
        reminded = tuple(on for on in one.reminded if on <= desk.day)
        answered = one.answered if done else None
        named = one.by if done and desk.edition is Edition.OWNER else None
        rows.append(AskedRow(ref_link(item), one.what, one.on, reminded, answered, named, waits))
    return tuple(rows)


def unanswered_rows(desk: Desk) -> tuple[AskedRow, ...]:
    """Return all that nobody has answered yet, the oldest first."""
    return tuple(
        AskedRow(
            ref_link(one.item), one.asked.what, one.asked.on, one.reminded, None, None,
            _waits(desk, one),
        )
        for one in unanswered(desk.studio, desk.day)
    )  # fmt: skip


def _waits(desk: Desk, one: Open) -> str:
    """Return since how many days nobody has answered, and how often it was asked."""
    times = 1 + len(one.reminded)
    key = "waits_one" if times == 1 else "waits"
    return desk.phrase(f"letters.{key}", days=one.days, times=times)


def letter_text(desk: Desk, item: Ref) -> str:
    """Return the whole letter, unsent and unsigned, in the studio's name."""
    return "\n".join(_letter(desk, item)) + "\n"


def _letter(desk: Desk, item: Ref) -> Iterator[str]:
    letter = letter_about(desk.account, item)
    to = desk.phrase("letters.to_nobody") if letter.supplier is None else name_of(letter.supplier)
    yield sender_of(desk)
    if desk.studio.info.contact:
        yield desk.studio.info.contact
    yield from ("", desk.phrase("letters.to", name=to), desk.phrase("letters.day"), "")
    name = name_of(item.id)
    yield from (desk.phrase("letters.about", name=name, id=item), "", desk.phrase("letters.dear"))
    yield from ("", desk.phrase(f"letters.opening.{item.folder}", name=name))
    if item.folder == "vessels":
        yield from _heat(desk, letter.burned, is_own=letter.is_own)
    yield ""
    for number, ask in enumerate(letter.asks, start=1):
        yield f"{number}. {desk.phrase(f'letters.asks.{ask}', **_details(desk))}"
    yield from ("", desk.phrase("letters.closing"), "", desk.phrase("letters.signature"), "")
    yield desk.studio.info.name


def _details(desk: Desk) -> dict[str, str]:
    protocol = desk.studio.protocol
    shock = desk.maybe(protocol.thermal_shock_k, "k")
    return {
        "cycle": desk.words.quantity(protocol.cycle_h, "h"),
        "shock": shock or desk.phrase("letters.no_shock"),
    }


def _heat(desk: Desk, burned: Burned, *, is_own: bool) -> Iterator[str]:
    """Yield the temperatures and hours of the studio's own burns."""
    if burned.longest_h is None or burned.hours_h is None:
        yield desk.phrase("letters.nothing_burned", **_details(desk))
        return
    yield desk.phrase(
        "letters.burned_own" if is_own else "letters.burned_elsewhere",
        candles=burned.candles,
        longest=desk.words.quantity(burned.longest_h, "h"),
        hours=desk.words.quantity(burned.hours_h, "h"),
    )
    if burned.hottest_c is not None:
        yield desk.phrase("letters.hottest", hottest=desk.words.quantity(burned.hottest_c, "c"))
