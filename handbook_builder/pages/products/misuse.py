"""Misuse burns: what happens when a buyer does what buyers do. They are evidence for nothing."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class MisuseLine:
    """One misuse burn: how it was burned, how long so far, and what happened."""

    link: Link
    word: Word
    how: str
    hours: str
    happened: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Misuse:
    """The misuse burns of a product, apart from its tests."""

    title: str
    lead: str
    lines: tuple[MisuseLine, ...]


def misuse_of(desk: Desk, product: Product) -> Misuse | None:
    """Return the misuse burns of a product's make-up, those that failed it too; None without."""
    found = product.evidence
    candles = (*found.misuse, *(candle for candle in found.failed if candle.seen.burn.is_misuse))
    ordered = sorted(candles, key=lambda one: (len(one.seen.burn.candle), one.id))
    lines = tuple(_line(desk, one) for one in ordered)
    title, lead = desk.phrase("misuse.title"), desk.phrase("misuse.lead")
    return Misuse(title, lead, lines) if lines else None


def _line(desk: Desk, one: CandleVerdict) -> MisuseLine:
    return MisuseLine(
        link=Link(one.seen.burn.candle, f"tests/{one.id}"),
        word=desk.words.verdict(one.verdict),
        how=desk.phrase(f"misuse.hows.{one.seen.burn.how}"),
        hours=desk.words.quantity(desk.account.burns[one.id].hours_h, "h"),
        happened=happened(desk, one),
    )


def happened(desk: Desk, one: CandleVerdict) -> tuple[str, ...]:
    """Return what happened in a misuse burn, each sort once; that nothing did is said, too."""
    return tuple(dict.fromkeys(_happened(desk, one))) or (desk.phrase("misuse.nothing"),)


def _happened(desk: Desk, one: CandleVerdict) -> Iterator[str]:
    """Yield what failed, then what was watched: each sort once, where it was first read."""
    yield from (desk.words.say(reason) for reason in one.failures)
    sorts = set()
    for reason in (reason for cycle in one.cycles for reason in cycle.watches):
        sort = (reason.code, reason.details.get("word"))
        if sort not in sorts:
            sorts.add(sort)
            yield desk.words.say(reason)


def misuse_told(desk: Desk, one: CandleVerdict) -> str | None:
    """Return that a test candle was burned as misuse, and how; None for any other."""
    burn = one.seen.burn
    if not burn.is_misuse:
        return None
    return desk.phrase("misuse.candle", how=desk.phrase(f"misuse.hows.{burn.how}"))


def ladder_told(desk: Desk, one: CandleVerdict) -> str | None:
    """Return that a test candle was lit to find the size of a wick; None for any other."""
    burn = one.seen.burn
    return desk.phrase("ladder.candle", rungs=burn.made.rungs) if burn.is_ladder else None
