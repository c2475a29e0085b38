"""A test candle in one line, as lists on other pages show it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.products.misuse import ladder_told, misuse_told
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.reason import Reason
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class CandleLine:
    """A test candle, how it was judged and the first thing that speaks against it."""

    candle: str
    link: Link
    word: Word
    poured: date
    last_lit: date | None
    cycles: int
    hours: str
    reasons: tuple[str, ...]
    strip: tuple[str, ...]  # the tone of each cycle


def line_of(desk: Desk, one: CandleVerdict) -> CandleLine:
    """Return a test candle in one line."""
    cycles = one.seen.cycles
    return CandleLine(
        candle=one.seen.burn.candle,
        link=desk.test(one.id),
        word=desk.words.verdict(one.verdict),
        poured=one.seen.burn.made.on,
        last_lit=cycles[-1].cycle.on.day if cycles else None,
        cycles=len(cycles),
        hours=desk.words.quantity(desk.account.burns[one.id].hours_h, "h"),
        reasons=spoken_against(desk, one),
        strip=tuple(desk.words.verdict(cycle.verdict).tone for cycle in one.cycles),
    )


def spoken_against(desk: Desk, one: CandleVerdict) -> tuple[str, ...]:
    """Return why a candle is not a pass, in words: its failures, else what is lacking.

    Of a candle that was set aside, why it was, and of a misuse burn how it was burned, unless it
    failed: a failure stands. Of a candle of a ladder that it proves nothing, and what it lacks.
    """
    void, misuse = one.seen.burn.void, misuse_told(desk, one)
    if one.verdict is Verdict.VOID:
        return () if void is None else (void.why,)
    if one.verdict is Verdict.MISUSE and misuse is not None:
        return (misuse,)
    ladder = ladder_told(desk, one) if one.verdict is Verdict.LADDER else None
    reasons = tuple(desk.words.say(reason) for reason in one.failures or lacks(one))
    return reasons if ladder is None else (ladder, *reasons)


def lacks(one: CandleVerdict) -> tuple[Reason, ...]:
    """Return what keeps a candle from passing; while it burns, only what its cycles lack.

    That it has not come to its end is what burning means, and needs no reason.
    """
    if not one.still_burns:
        return one.gaps
    return tuple(reason for cycle in one.cycles for reason in cycle.gaps)


def lines_of(desk: Desk, candles: Iterable[CandleVerdict]) -> tuple[CandleLine, ...]:
    """Return test candles line by line, in the order of their letters."""
    return tuple(
        line_of(desk, candle)
        for candle in sorted(candles, key=lambda each: (len(each.seen.burn.candle), each.id))
    )
