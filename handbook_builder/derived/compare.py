"""Test candles and recipes side by side: what differs first, then the readings cycle by cycle."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.burns import CycleFigures
from handbook_builder.reading.kinds.readings import BURNED, TABLE, Cycle, Reading
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.combination import Combination, differences
from handbook_builder.verdicts.readings import Verdict

_Read = Callable[[Cycle, CycleFigures], float | None]


@dataclass(frozen=True, slots=True)
class Compared:
    """What is compared cycle by cycle: a reading by its key, or the rate, with its unit."""

    key: str
    unit: str
    read: _Read


def _compared(reading: Reading) -> Compared:
    return Compared(reading.key, reading.unit.name, lambda cycle, _: reading.of(cycle))


RATE: Final = Compared("rate", "g_per_h", lambda _, figures: figures.rate_g_per_h)
# By the name that programs read. The time stands last: it is no trait of the candle.
READINGS: Final[Mapping[str, Compared]] = {
    "rate_g_per_h": RATE,
    **{
        one.field: _compared(one)
        for one in sorted(TABLE, key=lambda one: one is BURNED)
        if one.is_compared
    },
}


@dataclass(frozen=True, slots=True)
class Side:
    """One of those compared: a test candle, or a recipe with the candles that count for it."""

    id: str
    is_recipe: bool
    combination: Combination
    candles: tuple[Burned, ...]


@dataclass(frozen=True, slots=True)
class CameTo:
    """What the candles of a side came to, in the mean; None when nothing was weighed and timed.

    The hours and the wax burned of a recipe are of the candles that passed: one that was put out
    early would make its life look short.
    """

    cycles: tuple[int, ...]
    hours_h: float | None
    consumed_g: float | None
    rate_g_per_h: float | None


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor of the make-up: its value on each side, None where that side has no such item."""

    factor: str
    item: str
    values: tuple[object, ...]
    differs: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """What stands side by side.

    `factors` has those that differ first. `readings` has, for each reading and then for each
    cycle, a value for each side; of a recipe it is the mean of its candles.
    """

    sides: tuple[Side, ...]
    factors: tuple[Factor, ...]
    readings: Mapping[str, tuple[tuple[float | None, ...], ...]]
    seen: tuple[tuple[tuple[str, ...], ...], ...]

    @property
    def unlike(self) -> tuple[Factor, ...]:
        """Return the factors that differ."""
        return tuple(factor for factor in self.factors if factor.differs)


def burn_side(account: Account, ident: str) -> Side:
    """Return a test candle as one side."""
    burned = account.judged.burns[ident]
    return Side(ident, is_recipe=False, combination=burned.combination, candles=(burned,))


def recipe_side(account: Account, ident: str) -> Side:
    """Return a recipe as one side, with every candle that counts for it but misuse burns."""
    product = account.judged.products[ident]
    found = product.evidence
    counting = (*found.passed, *found.failed, *found.burning, *found.incomplete, *found.ladder)
    candles = tuple(
        account.judged.burns[burned.id] for burned in counting if not burned.seen.burn.is_misuse
    )
    return Side(ident, is_recipe=True, combination=product.combination, candles=candles)


def comparison(account: Account, sides: Sequence[Side]) -> Comparison:
    """Return two or more sides compared; each is held against the first."""
    lengths = (len(candle.candle.seen.cycles) for side in sides for candle in side.candles)
    numbers = range(max(lengths, default=0))
    return Comparison(
        sides=tuple(sides),
        factors=_factors(account, sides),
        readings={
            name: tuple(
                tuple(_mean(account, side, at, one.read) for side in sides) for at in numbers
            )
            for name, one in READINGS.items()
        },
        seen=tuple(tuple(_seen(side, at) for side in sides) for at in numbers),
    )


def came_to(account: Account, side: Side) -> CameTo:
    """Return what the candles of a side came to so far."""
    figures = [account.burns[candle.candle.id] for candle in side.candles]
    whole = [
        account.burns[candle.candle.id]
        for candle in side.candles
        if candle.candle.verdict is Verdict.PASS or not side.is_recipe
    ]
    lit = [one for one in whole if one.cycles]
    rates = [figure.rate_g_per_h for figure in figures if figure.rate_g_per_h is not None]
    return CameTo(
        cycles=tuple(len(figure.cycles) for figure in figures),
        hours_h=fmean(cycle.hours_h for cycle in lit) if lit else None,
        consumed_g=fmean(cycle.consumed_g for cycle in lit) if lit else None,
        rate_g_per_h=fmean(rates) if rates else None,
    )


def _mean(account: Account, side: Side, at: int, read: _Read) -> float | None:
    """Return a reading of one cycle, the mean over the side's candles that have it."""
    found = []
    for candle in side.candles:
        cycles = candle.candle.seen.cycles
        if at < len(cycles):
            value = read(cycles[at].cycle, account.burns[candle.candle.id].cycles[at])
            found += [] if value is None else [value]
    return fmean(found) if found else None


def _seen(side: Side, at: int) -> tuple[str, ...]:
    """Return what was seen in one cycle, each word once."""
    cycles = [candle.candle.seen.cycles for candle in side.candles]
    words = [word for cycle in cycles if at < len(cycle) for word in cycle[at].cycle.seen]
    return tuple(dict.fromkeys(words))


def _factors(account: Account, sides: Sequence[Side]) -> tuple[Factor, ...]:
    """Return every factor, those that differ ahead; tolerances are those of the protocol."""
    first, *others = (side.combination for side in sides)
    unlike = {
        (difference.factor, difference.item)
        for other in others
        for difference in differences(first, other, account.studio.protocol)
    }
    found = [
        Factor(factor, item, values, differs=(factor, item) in unlike)
        for factor, item, values in _laid_out([first, *others])
    ]
    return tuple(sorted(found, key=lambda one: not one.differs))


def _laid_out(
    several: Sequence[Combination],
) -> Iterator[tuple[str, str, tuple[object, ...]]]:
    """Yield each factor with its value on each side, as `differences` names them."""
    same = [candle.identities for candle in several]
    yield "vessel", "", tuple(one.vessel for one in same)
    yield "wick", "", tuple(one.wick for one in same)
    yield "wicks", "", tuple(one.wicks for one in same)
    yield "wax", "", tuple(tuple(sorted(one.waxes)) for one in same)
    yield "fragrance", "", tuple(tuple(sorted(one.fragrances)) for one in same)
    yield "colorant", "", tuple(tuple(sorted(one.colorants)) for one in same)
    for factor in ("wax", "fragrance", "colorant"):
        shares = [getattr(candle.make_up, factor) for candle in several]
        for item in sorted({ident for share in shares for ident in share}):
            yield f"{factor}_share", item, tuple(share.get(item) for share in shares)
    yield "net", "", tuple(candle.net_g for candle in several)
