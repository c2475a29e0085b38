"""What it takes to prove a product: how many candles, for how long, and from when to when."""

from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from handbook_builder.derived.account import Account
from handbook_builder.derived.board import Board
from handbook_builder.derived.plan.calendar import (
    Backward,
    Calendar,
    Pour,
    backward,
    calendar_of,
)
from handbook_builder.derived.plan.kin import Place, kin_of, rate_at
from handbook_builder.derived.plan.needs import Need, needs_of
from handbook_builder.derived.remaining import life_guess
from handbook_builder.figures.schedule import cycles_for
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.lighting import cure_days
from handbook_builder.verdicts.more_tests import PAST_TESTING
from handbook_builder.verdicts.reason import Reason

_BY_TESTS = frozenset({"too_few_passed", "too_few_pourings"})


@dataclass(frozen=True, slots=True)
class LifeOfOne:
    """How long one candle is to burn, and what that rests on.

    With `by_rate` it is its fill over the rate of `candles` in like vessels; else it is what
    `candles` of its own make-up came to, or come to at the rate they burn.
    """

    hours_h: float
    candles: int
    by_rate: bool


@dataclass(frozen=True, slots=True)
class ProofPlan:
    """What a product still takes to be proven, reckoned from the day of the account.

    `in_the_way` is what no test candle mends: then nothing is planned. `others` is what is missing
    besides. `counted` are candles on the board, and `to_pour` are to be poured, on `pourings`
    different days. `burning_h` are the hours that all of them are to burn yet, and `lit` is how
    often they are lit for that. These two, `pour` and `calendar` are None while no life is known.
    """

    product: Product
    in_the_way: tuple[Reason, ...]
    others: tuple[Reason, ...]
    counted: tuple[str, ...]
    to_pour: int
    pourings: int
    life: LifeOfOne | None
    pour: Pour | None
    burning_h: float | None
    lit: int | None
    needs: tuple[Need, ...]
    calendar: Calendar | None

    @property
    def short(self) -> int:
        """Return how many candles must still pass."""
        return len(self.counted) + self.to_pour

    @property
    def is_asked(self) -> bool:
        """Return whether any candle is still to pass."""
        return bool(self.short)

    @property
    def cycles(self) -> int | None:
        """Return how often one candle that is poured is to be lit; None while no life is known."""
        return None if self.pour is None else self.pour.cycles


def proof_plan(account: Account, board: Board, product: Product) -> ProofPlan:
    """Return what `product` still takes to be proven."""
    studio, day = account.studio, account.judged.as_of
    counted, to_pour, pourings = _candles(account, board, product)
    life = life_of(account, product)
    pour = _pour(account, product, life, Pour(to_pour, 0, 0, pourings, counted))
    left = () if life is None else _left_h(account, counted, life)
    weights = account.products[product.recipe.source.id].masses
    return ProofPlan(
        product=product,
        in_the_way=tuple(one for one in product.missing if one.code in PAST_TESTING),
        others=tuple(one for one in product.missing if one.code not in PAST_TESTING | _BY_TESTS),
        counted=counted,
        to_pour=to_pour,
        pourings=pourings,
        life=life,
        pour=pour,
        burning_h=None if life is None else fsum(left) + to_pour * life.hours_h,
        lit=None if pour is None else to_pour * pour.cycles + _lit(studio, left),
        needs=needs_of(studio, day, product.recipe, weights, to_pour) if to_pour else (),
        calendar=None if pour is None else calendar_of(account, board, pour, day),
    )


def _pour(account: Account, product: Product, life: LifeOfOne | None, candles: Pour) -> Pour | None:
    """Return the candles to be poured with their cycles and their cure; None without a life."""
    if life is None:
        return None
    cycles = cycles_for(life.hours_h, account.studio.protocol.cycle_h)
    cure = cure_days(account.studio, frozenset(product.recipe.wax))
    return replace(candles, cycles=cycles, cure_days=cure)


def _lit(studio: Studio, left_h: tuple[float, ...]) -> int:
    return sum(cycles_for(one, studio.protocol.cycle_h) for one in left_h)


def proof_by(account: Account, board: Board, plan: ProofPlan, by: date) -> Backward | None:
    """Return a plan reckoned back from the day `by`; None where it has no calendar."""
    if plan.pour is None:
        return None
    return backward(account, board, plan.pour, by, plan.needs)


def _candles(account: Account, board: Board, product: Product) -> tuple[tuple[str, ...], int, int]:
    """Return the candles counted on, how many are to be poured, and on how many days."""
    outlook = next((one for one in board.outlooks if one.product is product), None)
    counted = () if outlook is None else outlook.counted
    to_pour = 0 if outlook is None else outlook.to_pour
    days = {one.seen.burn.made.on for one in product.evidence.passed}
    days |= {account.studio.burns[ident].made.on for ident in counted}
    lacking = max(0, account.studio.protocol.pourings - len(days))
    codes = {one.code for one in product.missing}
    if codes & PAST_TESTING or not codes & _BY_TESTS:
        return (), 0, 0
    to_pour = max(to_pour, lacking)
    return counted, to_pour, max(lacking, min(1, to_pour))


def life_of(account: Account, product: Product) -> LifeOfOne | None:
    """Return how long a candle of the product burns: by its sisters, or by candles much like it."""
    own = life_guess(account, product)
    if own is not None:
        return LifeOfOne(own.hours_h, own.candles, by_rate=False)
    recipe, studio = product.recipe, account.studio
    wick = studio.wicks[recipe.wick]
    width_mm = studio.vessels[recipe.vessel].inside_diameter_mm
    place = Place(width_mm, frozenset(recipe.wax), wick.series, recipe.wicks)
    rate = rate_at(kin_of(account, place), wick.step)
    if rate is None:
        return None
    return LifeOfOne(product.combination.net_g / rate.mean_g_per_h, rate.candles, by_rate=True)


def _left_h(account: Account, counted: tuple[str, ...], life: LifeOfOne) -> tuple[float, ...]:
    """Return the hours that each candle counted on has left, by the life of its sisters."""
    return tuple(max(0.0, life.hours_h - account.burns[ident].hours_h) for ident in counted)
