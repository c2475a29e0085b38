"""All proofs that wait, in the order in which they can be through, and what the store lacks."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.account import Account
from handbook_builder.derived.board import Board
from handbook_builder.derived.orders import Wanted, lacking
from handbook_builder.derived.plan.ladder import LadderPlan
from handbook_builder.derived.plan.needs import Need, lead_of
from handbook_builder.derived.plan.proof import ProofPlan, proof_plan
from handbook_builder.derived.reach import each_of
from handbook_builder.derived.stock import stock_of
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.combination import code_of_combination


@dataclass(frozen=True, slots=True)
class Planned:
    """A proof that waits, and what the store lacks for it once those before it took theirs.

    `twin_of` is the recipe before it that is the same candle: one proof serves both, so that
    nothing is poured for this one.
    """

    plan: ProofPlan
    lacks: tuple[Need, ...]
    twin_of: str | None

    @property
    def ident(self) -> str:
        """Return the id of the recipe."""
        return self.plan.product.recipe.source.id


def planned(account: Account, board: Board) -> Mapping[str, Planned]:
    """Return each product that test candles can still bring on, by id, the soonest first."""
    plans = [proof_plan(account, board, one) for one in account.judged.products.values()]
    asked = sorted((one for one in plans if one.is_asked), key=_soonest)
    twins = _twins(asked)
    poured = [one for one in asked if _ident(one) not in twins]
    lacks = lacking(stock_of(account), [_wanted(one) for one in poured])
    by_ident = {_ident(one): need for one, need in zip(poured, lacks, strict=True)}
    return {
        ident: Planned(one, by_ident.get(ident, ()), twins.get(ident))
        for one in asked
        for ident in (_ident(one),)
    }


def planned_of(account: Account, board: Board, ident: str) -> Planned:
    """Return the proof of one product among all that wait; of one that needs none, an empty one."""
    found = planned(account, board).get(ident)
    product = account.judged.products[ident]
    return found or Planned(proof_plan(account, board, product), (), None)


def _ident(plan: ProofPlan) -> str:
    return plan.product.recipe.source.id


def _soonest(plan: ProofPlan) -> tuple[date, str]:
    through = date.max if plan.calendar is None else plan.calendar.through_on
    return (through, plan.product.recipe.title)


def _twins(plans: Sequence[ProofPlan]) -> dict[str, str]:
    """Return the recipes that are the same candle as one before them, by id, with that one."""
    first: dict[str, str] = {}
    found: dict[str, str] = {}
    for plan in plans:
        before = first.setdefault(code_of_combination(plan.product.combination), _ident(plan))
        if before != _ident(plan):
            found[_ident(plan)] = before
    return found


def _wanted(plan: ProofPlan) -> Wanted:
    return Wanted(Ref.to("recipes", _ident(plan)), plan.to_pour, plan.needs)


def wanted_by(plans: Mapping[str, Planned]) -> tuple[Wanted, ...]:
    """Return what proofs are to be poured, each candle once."""
    return tuple(
        _wanted(one.plan) for one in plans.values() if one.plan.to_pour and one.twin_of is None
    )


def lacks_of_ladder(
    account: Account, plans: Mapping[str, Planned], ladder: LadderPlan
) -> tuple[Need, ...]:
    """Return what the store lacks for a ladder, once all proofs that wait took theirs."""
    own = Wanted(Ref.to("vessels", ladder.ask.vessel), len(ladder.rungs), ladder.needs)
    return lacking(stock_of(account), [*wanted_by(plans), own])[-1]


def batch_wanted(account: Account, ident: str, count: int) -> Wanted:
    """Return what a batch of so many candles of a product takes, packed as its recipe says."""
    return Wanted(Ref.to("recipes", ident), count, tuple(_batch_needs(account, ident, count)))


def _batch_needs(account: Account, ident: str, count: int) -> Iterator[Need]:
    for item, each in each_of(account, ident):
        amount = float(each * count)
        yield Need(item, amount, *lead_of(account.studio, account.judged.as_of, item))
