"""What stands beside the verdict of a test candle: who burned it, and why it was set aside."""

from dataclasses import dataclass

from handbook_builder.derived.hands import forbidden_on
from handbook_builder.pages.desk import Desk, Link, Said, name_of
from handbook_builder.pages.products.misuse import ladder_told, misuse_told
from handbook_builder.pages.trade.parts import item_name, lot_link
from handbook_builder.reading.kinds.making import Void
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.readings import Verdict


@dataclass(frozen=True, slots=True)
class CandleNotes:
    """What the page of a test candle says beside its verdict.

    `stands` says that it was set aside and failed all the same. `misuse` says how it was burned,
    None for a test. `ladder` says that it was lit to find the size of a wick.
    """

    void: Void | None
    stands: str | None
    misuse: str | None
    ladder: str | None
    by: str | None
    may_not: tuple[Said, ...]
    lots: tuple[tuple[Link, Link], ...]


def notes_on(desk: Desk, one: CandleVerdict) -> CandleNotes:
    """Return what stands beside the verdict of a test candle."""
    burn = one.seen.burn
    stands = one.seen.is_void and one.verdict is Verdict.FAIL
    return CandleNotes(
        void=burn.void if one.seen.is_void else None,
        stands=desk.phrase("set_aside.failed") if stands else None,
        misuse=misuse_told(desk, one),
        ladder=ladder_told(desk, one),
        by=None if burn.by is None else name_of(burn.by),
        may_not=tuple(desk.said(reason) for reason in forbidden_on(desk.studio, burn, desk.day)),
        lots=tuple(
            (Link(item_name(item), item), lot_link(item, lot)) for item, lot in burn.lots.items()
        ),
    )
