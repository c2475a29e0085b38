"""The test candles that speak of a wick in a vessel: the same wax and series, a like width."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.diagnoses import full_share
from handbook_builder.derived.wicks import trial_of
from handbook_builder.figures.next_wick import Trial
from handbook_builder.figures.reach import PoolRead
from handbook_builder.figures.trend import Interval, trend
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.readings import Verdict

# Vessels whose widths differ by no more than this share are of like width (this project's own).
LIKE: Final = 0.2
_CONFIDENCE: Final = 0.95


@dataclass(frozen=True, slots=True)
class Place:
    """Where a wick is to burn: `wicks` of one series in a wax, or in several, `width_mm` wide."""

    width_mm: float
    waxes: frozenset[str]
    series: str
    wicks: int = 1


@dataclass(frozen=True, slots=True)
class Kin:
    """One candle that speaks of a place: its width, and what it tells of its wick."""

    burned: Burned
    width_mm: float
    trial: Trial


def kin_of(account: Account, place: Place) -> tuple[Kin, ...]:
    """Return the candles of the same waxes, series and number of wicks in vessels of like width.

    Oils, dyes and loads may be others. Candles that were set aside, misuse burns, and candles not
    lit yet say nothing; those of a ladder do.
    """
    return tuple(
        Kin(burned, account.studio.inside_diameter_mm(burned.candle.seen.burn.made),
            trial_of(account, burned))
        for burned in account.judged.burns.values()
        if _speaks(burned) and _is_alike(account.studio, burned, place)
    )  # fmt: skip


def _speaks(burned: Burned) -> bool:
    candle = burned.candle
    is_void = candle.verdict is Verdict.VOID
    return bool(candle.seen.cycles) and not is_void and not candle.seen.burn.is_misuse


def _is_alike(studio: Studio, burned: Burned, place: Place) -> bool:
    made = burned.candle.seen.burn.made
    off = abs(studio.inside_diameter_mm(made) - place.width_mm)
    return (
        studio.wicks[made.wick].series == place.series
        and made.wicks == place.wicks
        and made.wax.keys() == place.waxes
        and off <= LIKE * place.width_mm
    )


def pools_of(account: Account, kin: tuple[Kin, ...]) -> tuple[PoolRead, ...]:
    """Return the pools that were read, once they had the cycles that a pool may take."""
    return tuple(_pools(kin, full_share(account.studio.protocol)))


def _pools(kin: tuple[Kin, ...], full: float) -> Iterator[PoolRead]:
    for one in kin:
        share = one.trial.coverage
        if share is not None:
            is_full = share >= full
            yield PoolRead(one.trial.step, one.width_mm * min(share, full), is_full)


@dataclass(frozen=True, slots=True)
class Rate:
    """How fast one more candle would burn: the mean, and from where to where, in grams an hour.

    `interval` is a 95 % prediction interval, None where there is no line. `candles` is how many
    it was reckoned from.
    """

    mean_g_per_h: float
    interval: Interval | None
    candles: int


def rate_at(kin: tuple[Kin, ...], step: int) -> Rate | None:
    """Return the rate of one more candle with the wick of that step, or None without any rate.

    By the line of rates against steps; where there is none, by the nearest size that was burned.
    """
    rates = [
        (one.trial.step, one.trial.rate_g_per_h)
        for one in kin
        if one.trial.rate_g_per_h is not None and one.trial.rate_g_per_h > 0
    ]
    if not rates:
        return None
    line = trend([float(at) for at, _ in rates], [rate for _, rate in rates])
    if line is not None and line.at(step) > 0:
        return Rate(line.at(step), line.one_more(step, _CONFIDENCE), line.count)
    nearest = min(abs(at - step) for at, _ in rates)
    near = [rate for at, rate in rates if abs(at - step) == nearest]
    return Rate(fsum(near) / len(near), None, len(near))
