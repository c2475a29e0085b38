"""Plans as plain structures, for other programs: `plan --json`, in one of four forms.

All of them have `as_of` and `kind` (ladder | proof | proofs | change). Masses are grams, hours
hours, days ISO dates, and money is text; `cost` is null in an account without money.

`ladder`: `ladders`: [{series, ground (burns | fits | none), doubt (few | wide | beyond | null),
rungs: [{wick, step, likely, chance, rate_g_per_h: {mean, low, high, candles}, speaks_against:
[burns]}], kin: [burns], pools (how many of them told of their pool), widens_mm and scatter_mm:
{low, high}, cycles, hours, load_on_wax, net_g, needs, lacks, calendar, cost}]. `first`, with
several oils: [in the order of work].

`proof`: `recipe`, `status`, `short`, `counted_on`, `to_pour`, `pourings`, `life_h` with `life_of`
(own | like | null) and `life_candles`, `cycles`, `hours`, `needs`, `lacks`, `twin_of`, `calendar`,
`cost`, `in_the_way`, `also_missing`, and `by`, null unless asked: {by, can, pour_by, earliest,
earliest_if_bought, orders: [{item, amount, unit, supplier, lead_days, order_by, late}]}.

`proofs`: `proofs`, each as `proof`.

`change`: `item`, `spec`, `on`, `products`: [{recipe, status, then, falls, lost, again, twin_of,
hours, new, batches: [{batch, on, made, out, at_hand}]}], `ask_again`, `first`, `hours`, `needs`,
`cost`.

`needs`: [{item, amount, unit (g | pieces), supplier, lead_days}], and `lacks` the same of what the
store lacks once the proofs before it took theirs (of a ladder, once all of them did); the proof of
a `twin_of` another recipe is one with that. `calendar`, null while no day
can be named: {pour_on, cured_on, through_on, most_at_once, assumed}. `first`: [{what (recipes/ID |
fragrances/ID), near: {burn, measure, reading, bound, margin (1 is far, 0 at the limit)},
hottest_wall_c, load_on_wax, kin, own}].
"""

from collections.abc import Iterable

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.plan import plan_cost
from handbook_builder.derived.plan.calendar import Backward, Calendar
from handbook_builder.derived.plan.change import Change, Touched
from handbook_builder.derived.plan.kin import Rate
from handbook_builder.derived.plan.ladder import LadderPlan, Rung
from handbook_builder.derived.plan.nearest import Worst
from handbook_builder.derived.plan.needs import Need
from handbook_builder.derived.plan.planned import Planned
from handbook_builder.reports.plain import fields_of
from handbook_builder.reports.reasons import Say, told


def ladder_report(
    account: Account,
    plans: Iterable[LadderPlan],
    lacks: Iterable[Iterable[Need]],
    first: Iterable[Worst],
) -> dict[str, object]:
    """Return the ladders of a vessel, what the store lacks for each, and the order of proofs."""
    return {
        "as_of": account.judged.as_of,
        "kind": "ladder",
        "ladders": [
            _ladder(account, plan) | {"lacks": [_need(one) for one in each]}
            for plan, each in zip(plans, lacks, strict=True)
        ],
        "first": [_worst(one) for one in first],
    }


def proof_report(
    account: Account, planned: Planned, by: Backward | None, say: Say
) -> dict[str, object]:
    """Return what a product still takes; `say` puts a reason into words."""
    plan, life = planned.plan, planned.plan.life
    return {
        "as_of": account.judged.as_of,
        "kind": "proof",
        "recipe": plan.product.recipe.source.id,
        "status": plan.product.status,
        "short": plan.short,
        "counted_on": plan.counted,
        "to_pour": plan.to_pour,
        "pourings": plan.pourings,
        "life_h": None if life is None else life.hours_h,
        "life_of": None if life is None else "like" if life.by_rate else "own",
        "life_candles": None if life is None else life.candles,
        "cycles": plan.cycles,
        "hours": plan.burning_h,
        "needs": [_need(one) for one in plan.needs],
        "lacks": [_need(one) for one in planned.lacks],
        "twin_of": planned.twin_of,
        "calendar": _calendar(plan.calendar),
        "cost": _cost(account, plan.needs, plan.lit),
        "in_the_way": told(plan.in_the_way, say),
        "also_missing": told(plan.others, say),
        "by": None if by is None else _by(by),
    }


def plans_report(account: Account, plans: Iterable[Planned], say: Say) -> dict[str, object]:
    """Return what every product that test candles can still bring on takes."""
    return {
        "as_of": account.judged.as_of,
        "kind": "proofs",
        "proofs": [proof_report(account, plan, None, say) for plan in plans],
    }


def change_report(account: Account, change: Change, say: Say) -> dict[str, object]:
    """Return what a change brings down; `say` puts a reason into words."""
    lit = [one.lit for one in change.proofs if one.lit is not None]
    return {
        "as_of": account.judged.as_of,
        "kind": "change",
        "item": change.item,
        "spec": change.spec,
        "on": change.on,
        "products": [_touched(one, say) for one in change.touched],
        "ask_again": told((*change.ask, *change.vessel), say),
        "first": [_worst(one) for one in change.first],
        "hours": change.burning_h,
        "needs": [_need(one) for one in change.needs],
        "cost": _cost(account, change.needs, sum(lit) if lit else None),
    }


def _ladder(account: Account, plan: LadderPlan) -> dict[str, object]:
    found = plan.ladder
    return {
        "series": plan.series,
        "ground": found.ground,
        "doubt": found.doubt,
        "rungs": [_rung(plan, rung) for rung in plan.rungs],
        "kin": [one.burned.candle.id for one in plan.kin],
        "pools": found.kin,
        "widens_mm": None if found.reach is None else found.reach.widens_mm,
        "scatter_mm": None if found.reach is None else found.reach.scatter_mm,
        "cycles": plan.cycles,
        "hours": plan.burning_h,
        "load_on_wax": plan.load_on_wax,
        "net_g": plan.net_g,
        "needs": [_need(one) for one in plan.needs],
        "calendar": _calendar(plan.calendar),
        "cost": _cost(account, plan.needs, len(plan.rungs) * plan.cycles),
    }


def _rung(plan: LadderPlan, one: Rung) -> dict[str, object]:
    return {
        "wick": one.wick,
        "step": one.step,
        "likely": one.step in plan.ladder.likely,
        "chance": one.chance,
        "rate_g_per_h": _rate(one.rate),
        "speaks_against": one.failed,
    }


def _rate(one: Rate | None) -> dict[str, object] | None:
    if one is None:
        return None
    low = None if one.interval is None else one.interval.low
    high = None if one.interval is None else one.interval.high
    return {"mean": one.mean_g_per_h, "low": low, "high": high, "candles": one.candles}


def _need(one: Need) -> dict[str, object]:
    return {
        "item": one.item,
        "amount": one.amount,
        "unit": "g" if one.item.is_weighed else "pieces",
        "supplier": one.supplier,
        "lead_days": one.lead_days,
    }


def _calendar(found: Calendar | None) -> dict[str, object] | None:
    return None if found is None else fields_of(found)


def _by(found: Backward) -> dict[str, object]:
    return {
        "by": found.by,
        "can": found.pour_by is not None,
        "pour_by": found.pour_by,
        "earliest": found.earliest.through_on,
        "earliest_if_bought": None if found.bought is None else found.bought.through_on,
        "orders": [
            _need(order.need) | {"order_by": order.order_by, "late": order.is_late}
            for order in found.orders
        ],
    }


def _touched(one: Touched, say: Say) -> dict[str, object]:
    return {
        "recipe": one.product.recipe.source.id,
        "status": one.product.status,
        "then": one.after,
        "falls": one.falls,
        "lost": one.lost,
        "again": one.again,
        "twin_of": one.twin_of,
        "hours": one.burning_h,
        "new": told(one.new, say),
        "batches": one.stock,
    }


def _worst(one: Worst) -> dict[str, object]:
    return {
        "what": one.what,
        "near": one.near,
        "hottest_wall_c": one.hottest_wall_c,
        "load_on_wax": one.load_on_wax,
        "kin": one.kin,
        "own": one.is_own,
    }


def _cost(account: Account, needs: tuple[Need, ...], lit: int | None) -> dict[str, object] | None:
    if account.money is None:
        return None
    found = plan_cost(account.studio, account.money.prices, needs, lit)
    return {**fields_of(found), "total": found.total}
