"""What ails the studio's test candles: their records put before the diagnosis."""

from collections.abc import Iterable, Iterator, Mapping
from math import fsum

from handbook_builder.derived.burns import BurnFigures, pool_readings
from handbook_builder.figures.diagnosis import (
    CandleRead,
    CycleRead,
    Finding,
    Marks,
    Shared,
    diagnose,
    shared,
)
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import is_full
from handbook_builder.verdicts.seen import Seen

# Where a studio's protocol has no limit of its own on the width of the pool.
_FULL_SHARE = 0.95


def marks_of(protocol: Protocol) -> Marks:
    """Return what candles are held against: of each of the protocol's failing limits the tightest.

    A limit that is only watched is no norm: a candle that passed would be called ailing by it.
    """

    def least(measure: str) -> float | None:
        bounds = [
            limit.bound
            for limit in protocol.limits
            if limit.measure == measure and limit.upper and limit.on_breach == "fail"
        ]
        return min(bounds, default=None)

    return Marks(
        full_share=full_share(protocol),
        full_pool_by=protocol.full_pool_by,
        flame_mm=least("flame"),
        depth_mm=least("depth"),
        wall_c=least("wall"),
    )


def full_share(protocol: Protocol) -> float:
    """Return the share of the width at which the protocol has a pool full."""
    asked = [
        limit.bound
        for limit in protocol.limits
        if limit.measure == "coverage" and not limit.upper and limit.on_breach == "fail"
    ]
    return max(asked, default=_FULL_SHARE)


def candle_read(studio: Studio, seen: Seen, figures: BurnFigures) -> CandleRead:
    """Return the readings of a test candle as of the day it is seen on."""
    made, end = seen.burn.made, seen.end
    cycles = tuple(_cycles(seen, figures))
    net_g = fsum((*made.wax.values(), *made.fragrance.values(), *made.colorant.values()))
    left_g = end.left_g if end is not None and end.how == "went_out" else None
    left_share = None if left_g is None else left_g / net_g
    return CandleRead(studio.inside_diameter_mm(made), cycles, left_share)


def _cycles(seen: Seen, figures: BurnFigures) -> Iterator[CycleRead]:
    start_h = 0.0
    for at, (numbered, figure) in enumerate(zip(seen.cycles, figures.cycles, strict=True)):
        one = numbered.cycle
        yield CycleRead(
            number=numbered.index + 1,
            is_full=is_full(seen, at),
            start_h=start_h,
            burned_h=one.burned_h,
            rate_g_per_h=figure.rate_g_per_h,
            pool_mm=one.pool_mm,
            depth_mm=one.depth_mm,
            flame_mm=one.flame_mm,
            wall_c=one.wall_c,
            pools_mm=tuple(pool_readings(one)),
            seen=one.seen,
        )
        start_h += one.burned_h or 0.0


def findings_of(studio: Studio, candle: CandleVerdict, figures: BurnFigures) -> tuple[Finding, ...]:
    """Return what ails one test candle; what a misuse burn shows is no ailment of the candle."""
    if candle.seen.burn.is_misuse:
        return ()
    return diagnose(candle_read(studio, candle.seen, figures), marks_of(studio.protocol))


def findings_in_common(
    studio: Studio, candles: Iterable[CandleVerdict], burns: Mapping[str, BurnFigures]
) -> tuple[Shared, ...]:
    """Return what the candles of one series have in common, by id; one not lit yet has no say."""
    lit = sorted(
        (candle for candle in candles if candle.seen.cycles),
        key=lambda one: (len(one.seen.burn.candle), one.seen.burn.candle, one.id),
    )
    return shared({cycle.id: findings_of(studio, cycle, burns[cycle.id]) for cycle in lit})
