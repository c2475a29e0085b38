"""What it takes to prove a product: how many candles, for how long, and from when to when."""

from dataclasses import dataclass
from datetime import date
from math import fsum

from handbook_builder.derived.account import Account
from handbook_builder.derived.board import BY_TESTS, Board
from handbook_builder.derived.plan.calendar import Backward, Calendar, Pour, backward
from handbook_builder.derived.plan.life import life_of
from handbook_builder.derived.plan.needs import Need, needs_of
from handbook_builder.derived.remaining import LifeGuess
from handbook_builder.figures.schedule import cycles_for
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.more_tests import PAST_TESTING
from handbook_builder.verdicts.reason import Reason


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
    life: LifeGuess | None
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
    """Return what `product` still takes to be proven: what the board waits for."""
    studio, recipe, day = account.studio, product.recipe, account.judged.as_of
    found = next((one for one in board.outlooks if one.product is product), None)
    life = life_of(account, product)
    pour = None if found is None else found.pour
    to_pour = 0 if found is None else found.to_pour
    counted = () if found is None else found.counted
    left = () if life is None else _left_h(account, board, counted, life)
    weights = account.products[recipe.source.id].masses
    return ProofPlan(
        product=product,
        in_the_way=tuple(one for one in product.missing if one.code in PAST_TESTING),
        others=tuple(one for one in product.missing if one.code not in PAST_TESTING | BY_TESTS),
        counted=counted,
        to_pour=to_pour,
        pourings=0 if found is None else found.pourings,
        life=life,
        pour=pour,
        burning_h=None if life is None else fsum(left) + to_pour * life.hours_h,
        lit=None if pour is None else to_pour * pour.cycles + _lit(studio, left),
        needs=needs_of(studio, day, recipe, weights, to_pour) if to_pour else (),
        calendar=None if found is None else found.calendar,
    )


def _lit(studio: Studio, left_h: tuple[float, ...]) -> int:
    return sum(cycles_for(one, studio.protocol.cycle_h) for one in left_h)


def proof_by(
    account: Account, board: Board, plan: ProofPlan, by: date, lacks: tuple[Need, ...] = ()
) -> Backward | None:
    """Return a plan reckoned back from the day `by`; None where it has no calendar.

    `lacks` is what the store lacks for it, and must be ordered first.
    """
    if plan.pour is None:
        return None
    return backward(account, board.waiting, plan.pour, by, lacks)


def _left_h(
    account: Account, board: Board, counted: tuple[str, ...], life: LifeGuess
) -> tuple[float, ...]:
    """Return the hours that each candle counted on has left: its own, or by its sisters' life."""
    own = {one.id: one.left.hours_h for one in board.waiting if one.left is not None}
    return tuple(
        own.get(ident, max(0.0, life.hours_h - account.burns[ident].hours_h)) for ident in counted
    )
