"""How long a test candle has left, and how long one more of its make-up would last."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from statistics import fmean
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.figures.burn import hours_left
from handbook_builder.verdicts.approval import Burned, Product
from handbook_builder.verdicts.combination import within
from handbook_builder.verdicts.judge import burned_alike
from handbook_builder.verdicts.readings import Verdict

_LAST_CYCLES: Final = 3


@dataclass(frozen=True, slots=True)
class LifeGuess:
    """How long a candle of a make-up lasts: the mean of its sisters.

    `measured` says that those sisters burned to their end; else they still burn, and their lives
    are reckoned from their rates. With `by_rate` there is no sister: it is its fill over the rate
    of `candles` in like vessels.
    """

    hours_h: float
    candles: int
    measured: bool
    by_rate: bool = False


@dataclass(frozen=True, slots=True)
class Weighed:
    """What the hours left of a candle were reckoned from.

    `empty_g` is the vessel with all that is not wax: by this candle's first weighing less what was
    poured, or as the vessel's record has it (`by_record`). `residue_g` is what `sisters` candles
    left in the mean when they went out, or 0 when there is none.
    """

    mass_g: float
    empty_g: float
    by_record: bool
    residue_g: float
    sisters: int
    rates: tuple[float, ...]

    @property
    def rate_g_per_h(self) -> float:
        """Return the mean of the rates, in grams an hour."""
        return fmean(self.rates)

    @property
    def left_h(self) -> float:
        """Return the hours that are left at that rate."""
        return hours_left(self.mass_g, self.empty_g + self.residue_g, self.rates)


@dataclass(frozen=True, slots=True)
class Left:
    """The hours that a candle has left: from its own weighings, or from the life of its sisters."""

    hours_h: float
    weighed: Weighed | None
    life: LifeGuess | None


def left_of(account: Account, burned: Burned) -> Left | None:
    """Return the hours that a candle has left, or None when nothing tells."""
    own = _weighed(account, burned)
    if own is not None:
        return Left(own.left_h, own, None)
    life = _life(account, _sisters(account, burned))
    if life is None:
        return None
    return Left(max(0.0, life.hours_h - account.burns[burned.candle.id].hours_h), None, life)


def life_guess(account: Account, product: Product) -> LifeGuess | None:
    """Return how long one more candle of the product would last, or None when nothing tells."""
    evidence, judged = product.evidence, account.judged.burns
    known = (*evidence.passed, *evidence.burning, *evidence.ladder)
    return _life(account, [judged[candle.id] for candle in known])


def _sisters(account: Account, burned: Burned) -> tuple[Burned, ...]:
    """Return the other candles of the same make-up, those set aside and misuse burns left out."""
    target, protocol = burned.combination, account.studio.protocol
    return tuple(
        burn
        for burn in burned_alike(account.judged).get(target.identities, ())
        if burn.candle.verdict is not Verdict.VOID
        and not burn.candle.seen.burn.is_misuse
        and burn.candle.id != burned.candle.id
        and within(burn.combination, target, protocol, 1.0)
    )


def _life(account: Account, sisters: Sequence[Burned]) -> LifeGuess | None:
    passed = [
        account.burns[sister.candle.id].hours_h for sister in sisters if sister.candle.came_through
    ]
    if passed:
        return LifeGuess(fmean(passed), len(passed), measured=True)
    burning = [sister for sister in sisters if sister.candle.still_burns]
    lives = [life for candle in burning if (life := _life_at_its_rate(account, candle)) is not None]
    return LifeGuess(fmean(lives), len(lives), measured=False) if lives else None


def _life_at_its_rate(account: Account, burned: Burned) -> float | None:
    own = _weighed(account, burned)
    return None if own is None else account.burns[burned.candle.id].hours_h + own.left_h


def _weighed(account: Account, burned: Burned) -> Weighed | None:
    """Return what a candle's own weighings tell, or None when they do not tell enough."""
    masses = [cycle.cycle.after_g for cycle in burned.candle.seen.cycles]
    rates, empty = _last_rates(account, burned), _empty(account, burned)
    if not masses or masses[-1] is None or not rates or fmean(rates) <= 0 or empty is None:
        return None
    residues = _residues(_sisters(account, burned))
    return Weighed(
        mass_g=masses[-1],
        empty_g=empty[0],
        by_record=empty[1],
        residue_g=fmean(residues) if residues else 0.0,
        sisters=len(residues),
        rates=rates,
    )


def _last_rates(account: Account, burned: Burned) -> tuple[float, ...]:
    """Return the rates of the last cycles that have one, the latest first."""
    cycles = reversed(account.burns[burned.candle.id].cycles)
    known = (cycle.rate_g_per_h for cycle in cycles if cycle.rate_g_per_h is not None)
    return tuple(islice(known, _LAST_CYCLES))


def _empty(account: Account, burned: Burned) -> tuple[float, bool] | None:
    """Return what is not wax in the candle's weight, and whether that is the vessel's record.

    Vessels differ by more than a cycle burns, and a record leaves the wick out: the candle's own
    first weighing, less what was poured into it, comes before the vessel's record.
    """
    burn, cycles = burned.candle.seen.burn, burned.candle.seen.cycles
    first = cycles[0].cycle.before_g if cycles and cycles[0].index == 0 else None
    if first is not None and first > burned.combination.net_g:
        return first - burned.combination.net_g, False
    recorded = account.studio.vessels[burn.made.vessel].empty_mass_g
    return None if recorded is None else (recorded, True)


def _residues(sisters: Sequence[Burned]) -> list[float]:
    ends = [sister.candle.seen.end for sister in sisters]
    return [
        end.left_g
        for end in ends
        if end is not None and end.how == "went_out" and end.left_g is not None
    ]
