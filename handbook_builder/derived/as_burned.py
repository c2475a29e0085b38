"""How a product burned that passed: what a buyer can be told from its own test candles."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.burns import pool_readings
from handbook_builder.figures.pool import FULL, coverage
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.candles import CandleVerdict

_SLACK: Final = 1e-9  # what floats add to a share of a diameter


@dataclass(frozen=True, slots=True)
class FirstBurn:
    """How the pools of a product's candles did in their first burn, a number a candle, in hours.

    `met_h` is when a pool had met the wall: between two readings, or by the first reading, where
    it was there already. `short_h` is how long the others burned without meeting it. Of `unread`
    candles nobody read the pool. By the burn of number `by_burn` every pool had met the wall; None
    when one was never read there.
    """

    met_h: tuple[float, ...]
    short_h: tuple[float, ...]
    unread: int
    by_burn: int | None

    @property
    def candles(self) -> int:
        """Return how many candles it is about."""
        return len(self.met_h) + len(self.short_h) + self.unread


@dataclass(frozen=True, slots=True)
class LongestBurn:
    """The longest burn: so long every candle burned at once, and so long one of them did."""

    every_h: float
    most_h: float


@dataclass(frozen=True, slots=True)
class AsBurned:
    """What the passed candles of a product showed; None is what nobody read."""

    candles: int
    first: FirstBurn
    longest: LongestBurn | None
    hottest_wall_c: float | None
    highest_flame_mm: float | None


def as_burned(account: Account, product: Product) -> AsBurned:
    """Return how the passed candles of a product burned; misuse burns are none of them."""
    passed = product.evidence.passed
    cycles = [numbered.cycle for candle in passed for numbered in candle.seen.cycles]
    return AsBurned(
        candles=len(passed),
        first=_first_burn(account, passed),
        longest=_longest(passed),
        hottest_wall_c=_most(cycle.wall_c for cycle in cycles),
        highest_flame_mm=_most(cycle.flame_mm for cycle in cycles),
    )


def _first_burn(account: Account, passed: Sequence[CandleVerdict]) -> FirstBurn:
    met, short, unread = [], [], 0
    for candle in passed:
        cycle = candle.seen.cycles[0].cycle  # a candle that passed was lit
        met_h = _met_h(account, candle)
        if met_h is not None:
            met.append(met_h)
        elif pool_readings(cycle):
            short.append(_lasted_h(cycle))
        else:
            unread += 1
    by_burn = _by_burn(account, passed)
    return FirstBurn(tuple(sorted(met)), tuple(sorted(short)), unread, by_burn)


def _by_burn(account: Account, passed: Sequence[CandleVerdict]) -> int | None:
    """Return the number of the burn by which each candle's pool had once met the wall."""
    numbers = [
        next((seen.index + 1 for seen in candle.seen.cycles
              if _at_wall(account, candle, seen.cycle) is not None), None)
        for candle in passed
    ]  # fmt: skip
    known = [number for number in numbers if number is not None]
    return max(known) if known and len(known) == len(numbers) else None


def _met_h(account: Account, candle: CandleVerdict) -> float | None:
    """Return the hour of its first burn by which a candle's pool had met the wall, or None."""
    between_h = account.burns[candle.id].cycles[0].hours_to_wall
    if between_h is not None:
        return between_h
    return _at_wall(account, candle, candle.seen.cycles[0].cycle)


def _at_wall(account: Account, candle: CandleVerdict, cycle: Cycle) -> float | None:
    """Return the hour of the first reading in which the pool was at the wall, or None."""
    inside_mm = account.studio.inside_diameter_mm(candle.seen.burn.made)
    readings = pool_readings(cycle)
    return next(
        (hour for hour, pool in readings if coverage(pool, inside_mm) >= FULL - _SLACK), None
    )


def _lasted_h(cycle: Cycle) -> float:
    """Return how long a burn lasted whose pool was read; the last reading, where unsaid."""
    return cycle.burned_h or pool_readings(cycle)[-1][0]


def _longest(passed: Iterable[CandleVerdict]) -> LongestBurn | None:
    """Return the longest burns, or None where some candle's were not timed."""
    each = [_most(_burned(candle)) for candle in passed]
    known = [longest_h for longest_h in each if longest_h is not None]
    if not known or len(known) < len(each):
        return None
    return LongestBurn(min(known), max(known))


def _burned(candle: CandleVerdict) -> Iterator[float | None]:
    return (numbered.cycle.burned_h for numbered in candle.seen.cycles)


def _most(values: Iterable[float | None]) -> float | None:
    return max((value for value in values if value is not None), default=None)
