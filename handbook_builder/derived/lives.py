"""How a product's candles burn: their rates, and what the trade's rules of thumb say of them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from statistics import fmean

from handbook_builder.derived.account import Account
from handbook_builder.derived.burns import BurnFigures
from handbook_builder.figures.pool import rule_of_thumb_h
from handbook_builder.figures.rates import CandleRate, Rates, candle_rate, rates
from handbook_builder.figures.spread import Spread, spread
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import is_full


@dataclass(frozen=True, slots=True)
class ByThumb:
    """What the trade's rules of thumb say, and what was read.

    `rule_h` is one hour for each inch of width (common practice, no published source).
    `to_wall_h` and `depth_mm` are over the candles, each at the mean of its cycles; None where
    nothing was read.
    """

    rule_h: float
    to_wall_h: Spread | None
    depth_mm: Spread | None


def rates_of(account: Account, product: Product) -> Rates | None:
    """Return the rates of a product's passed candles, or None when none has passed."""
    found = [_rate(account.burns[candle.id], candle) for candle in product.evidence.passed]
    return rates(found) if found else None


def _rate(figures: BurnFigures, one: CandleVerdict) -> CandleRate:
    """Return the rate of a candle that passed, every cycle of which was weighed and timed."""
    pairs = [
        (figure.consumed_g, seen.cycle.burned_h)
        for figure, seen in zip(figures.cycles, one.seen.cycles, strict=True)
        if figure.consumed_g is not None and seen.cycle.burned_h
    ]
    masses, hours = [mass for mass, _ in pairs], [hour for _, hour in pairs]
    return candle_rate(masses, hours, one.seen.burn.scale_g)


def by_thumb(account: Account, product: Product) -> ByThumb:
    """Return the rules of thumb for a product's vessel beside what its passed candles did."""
    vessel = account.studio.vessels[product.recipe.vessel]
    passed = product.evidence.passed
    return ByThumb(
        rule_h=rule_of_thumb_h(vessel.inside_diameter_mm),
        to_wall_h=_spread(passed, lambda one: _to_wall(account, one)),
        depth_mm=_spread(passed, _depths),
    )


def _spread(
    candles: Iterable[CandleVerdict], read: Callable[[CandleVerdict], list[float]]
) -> Spread | None:
    means = [fmean(values) for candle in candles if (values := read(candle))]
    return spread(means) if means else None


def _to_wall(account: Account, one: CandleVerdict) -> list[float]:
    """Return the hours to the wall of the cycles that were looked at on their way."""
    figures = account.burns[one.id].cycles
    pairs = zip(one.seen.cycles, figures, strict=True)
    return [
        figure.hours_to_wall
        for seen, figure in pairs
        if seen.cycle.checks and figure.hours_to_wall is not None
    ]


def _depths(one: CandleVerdict) -> list[float]:
    return [
        seen.cycle.depth_mm
        for at, seen in enumerate(one.seen.cycles)
        if is_full(one.seen, at) and seen.cycle.depth_mm is not None
    ]
