"""The size of wick worth pouring next, from the studio's own burns in the same surroundings."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from math import fsum
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.burns import CycleFigures
from handbook_builder.derived.diagnoses import full_share
from handbook_builder.figures.next_wick import Advice, Need, Trial, next_wick
from handbook_builder.once import once
from handbook_builder.reading.kinds.making import Made
from handbook_builder.verdicts.approval import Burned, Product
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.combination import Named
from handbook_builder.verdicts.cycles import is_full
from handbook_builder.verdicts.judge import Judged
from handbook_builder.verdicts.readings import Verdict, exceeds

# Loads on the wax within one percentage point are taken as the same load (this project's own).
LOAD_REACH: Final = 0.01
_HOT: Final = frozenset(
    {"flame_over", "wall_over", "depth_over", "after_smoke_over", "mean_after_smoke_over"}
)
_COLD: Final = frozenset({"coverage_under", "flame_under", "wall_under", "depth_under"})
_HOT_SIGHTS: Final = frozenset({"sooting", "smoking", "flare_up", "mushrooming"})
_COLD_SIGHTS: Final = frozenset({"tunnelling", "drowning"})


def advice_for(account: Account, product: Product) -> Advice:
    """Return the size worth pouring next for a product, from every burn that speaks of it."""
    studio, wick = account.studio, account.studio.wicks[product.recipe.wick]
    sizes = [
        each_wick.step for each_wick in studio.wicks.values() if each_wick.series == wick.series
    ]
    need = Need(
        full_share=full_share(studio.protocol),
        burnable_g=_burnable_g(product),
        candles=studio.protocol.test_candles,
        step=wick.step,
        passed=len(product.evidence.passed),
    )
    trials = [trial_of(account, burn) for burn in burns_alike(account, product)]
    return next_wick(trials, sizes, need)


def burns_alike(account: Account, product: Product) -> tuple[Burned, ...]:
    """Return the test candles in the product's vessel, wax, load, series and count of wicks.

    Oils and dyes may be others, and the size of the wick is what is asked after. Candles that
    were set aside, misuse burns, and candles not lit yet say nothing.
    """
    return tuple(
        burn
        for burn in _by_vessel(account.judged).get(product.combination.identities.vessel, ())
        if burn.candle.seen.cycles
        and burn.candle.verdict is not Verdict.VOID
        and not burn.candle.seen.burn.is_misuse
        and _alike(account, burn, product)
    )


@once
def _by_vessel(judged: Judged) -> Mapping[Named, tuple[Burned, ...]]:
    """Return the test candles by their vessel in its specification."""
    found: dict[Named, list[Burned]] = defaultdict(list)
    for one in judged.burns.values():
        found[one.combination.identities.vessel].append(one)
    return {vessel: tuple(burns) for vessel, burns in found.items()}


def _alike(account: Account, one: Burned, product: Product) -> bool:
    mine, other = product.combination.identities, one.combination.identities
    wicks = account.studio.wicks
    load = account.products[product.recipe.source.id].load_on_wax
    return (
        (mine.vessel, mine.waxes, mine.wicks) == (other.vessel, other.waxes, other.wicks)
        and wicks[mine.wick.id].series == wicks[other.wick.id].series
        and not exceeds(abs(_load(one.candle.seen.burn.made) - load), LOAD_REACH)
    )


def _load(made: Made) -> float:
    """Return the oils weighed in as a share of the wax."""
    return fsum(made.fragrance.values()) / fsum(made.wax.values())


def _burnable_g(product: Product) -> float:
    """Return how much of one candle burns: its fill, less what passed candles left in the mean."""
    ends = [candle.seen.end for candle in product.evidence.passed]
    left = [end.left_g for end in ends if end is not None and end.left_g is not None]
    return product.combination.net_g - (fsum(left) / len(left) if left else 0.0)


def trial_of(account: Account, burned: Burned) -> Trial:
    """Return what a test candle tells of the size of its wick."""
    candle, wick = burned.candle, burned.combination.identities.wick
    return Trial(
        step=account.studio.wicks[wick.id].step,
        coverage=_coverage(account, candle),
        rate_g_per_h=account.burns[candle.id].rate_g_per_h,
        passed=candle.came_through,
        too_cold=_failed_by(candle, _COLD, _COLD_SIGHTS),
        too_hot=_failed_by(candle, _HOT, _HOT_SIGHTS),
    )


def _failed_by(candle: CandleVerdict, codes: frozenset[str], sights: frozenset[str]) -> bool:
    return any(
        reason.code in codes or (reason.code == "seen" and reason.details["word"] in sights)
        for reason in candle.failures
    )


def _coverage(account: Account, candle: CandleVerdict) -> float | None:
    """Return the widest pool, once the candle had the cycles that a pool may take, or is full."""
    protocol, figures = account.studio.protocol, account.burns[candle.id]
    shares = list(_shares(candle, figures.cycles))
    widest = max(shares, default=0.0)
    due = len(shares) >= protocol.full_pool_by
    return widest if due or widest >= full_share(protocol) else None


def _shares(candle: CandleVerdict, figures: Sequence[CycleFigures]) -> Iterator[float]:
    for at, one in enumerate(figures):
        if is_full(candle.seen, at) and one.coverage is not None:
            yield one.coverage


def wicks_of(account: Account, product: Product, step: int | None) -> list[str]:
    """Return the ids of the wicks of that step in the series of the recipe's wick."""
    wicks = account.studio.wicks
    series = wicks[product.recipe.wick].series
    return sorted(ident for ident, one in wicks.items() if (one.series, one.step) == (series, step))
