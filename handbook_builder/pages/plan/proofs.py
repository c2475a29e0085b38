"""Proofs that are still to be burned, in words: how many candles, how long, from when to when."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from handbook_builder.derived.orders import to_buy
from handbook_builder.derived.plan.calendar import Backward, Order
from handbook_builder.derived.plan.nearest import Worst
from handbook_builder.derived.plan.planned import Planned
from handbook_builder.derived.plan.proof import ProofPlan
from handbook_builder.pages.board.reckoned import about_h, several
from handbook_builder.pages.desk import Desk, Link, name_of, ref_link
from handbook_builder.pages.plan.told import (
    amount_told,
    calendar_told,
    cost_told,
    lacks_told,
    needs_told,
    total_told,
)
from handbook_builder.reading.kinds.readings import MEASURES
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.approval import Status
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class ProofTold:
    """What a product still takes to be proven: in short for a table, and line by line."""

    link: Link
    word: Word
    to_pour: int
    on_board: int
    hours: str | None
    through: str
    total: str | None
    takes: tuple[str, ...]
    cost: str | None
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FirstRow:
    """One proof in the order of work, and why it comes there."""

    link: Link
    near: str
    wall: str
    load: str
    told: str


def proof_told(desk: Desk, one: Planned) -> ProofTold:
    """Return a proof in words."""
    plan = one.plan
    return ProofTold(
        link=desk.product(plan.product.recipe),
        word=desk.words.status(plan.product.status),
        to_pour=plan.to_pour,
        on_board=len(plan.counted),
        hours=None if plan.burning_h is None else about_h(desk, plan.burning_h),
        through=_through(desk, plan),
        total=total_told(desk, plan.needs, plan.lit),
        takes=tuple(_takes(desk, one)),
        cost=cost_told(desk, plan.needs, plan.lit) if plan.is_asked else None,
        others=tuple(desk.words.say(reason) for reason in (*plan.in_the_way, *plan.others)),
    )


def _through(desk: Desk, plan: ProofPlan) -> str:
    if not plan.is_asked:
        return desk.phrase("plan.proof.nothing")
    if plan.calendar is None:
        return desk.phrase("outlook.unknown")
    return desk.words.day(plan.calendar.through_on)


def _takes(desk: Desk, one: Planned) -> Iterator[str]:
    plan = one.plan
    if not plan.is_asked:
        yield _why_none(desk, plan)
        return
    yield several(desk, "plan.proof.short", plan.short)
    if plan.counted:
        letters = ", ".join(desk.studio.burns[ident].candle for ident in plan.counted)
        yield several(desk, "outlook.counted", len(plan.counted), candles=letters)
    if plan.to_pour:
        yield several(desk, "plan.proof.pour", plan.to_pour)
    if plan.pourings > 1:
        yield desk.phrase("plan.proof.pourings", days=plan.pourings)
    yield _life(desk, plan)
    if plan.calendar is not None:
        yield from calendar_told(desk, plan.calendar)
    needs = needs_told(desk, plan.needs)
    if needs is not None:
        yield needs
        yield _lacks(desk, one)


def _lacks(desk: Desk, one: Planned) -> str:
    """Return what the store lacks of what goes in, or that another proof serves for it."""
    if one.twin_of is not None:
        twin = desk.product(desk.studio.recipes[one.twin_of]).title
        return desk.phrase("plan.proof.twin", twin=twin)
    return lacks_told(desk, one.lacks)


def _why_none(desk: Desk, plan: ProofPlan) -> str:
    if plan.product.status is Status.APPROVED:
        return desk.phrase("plan.proof.approved")
    return desk.phrase("plan.proof.in_the_way" if plan.in_the_way else "plan.proof.enough")


def _life(desk: Desk, plan: ProofPlan) -> str:
    life = plan.life
    if life is None or plan.burning_h is None or plan.cycles is None:
        return desk.phrase("plan.proof.no_life")
    return desk.phrase(
        f"plan.proof.life_{'rate' if life.by_rate else 'own'}",
        life_h=about_h(desk, life.hours_h),
        candles=several(desk, "plan.candles", life.candles),
        cycles=several(desk, "board.cycles", plan.cycles),
        hours=about_h(desk, plan.burning_h),
    )


def by_told(desk: Desk, one: Planned, found: Backward | None, by: date) -> tuple[str, ...]:
    """Return a plan reckoned back from a day, or that it cannot be done, and the earliest day."""
    if not one.plan.is_asked:
        return (desk.phrase("plan.by.nothing", by=by),)
    if found is None:
        return (desk.phrase("plan.by.unknown", by=by),)
    return tuple(_by(desk, one, found))


def _by(desk: Desk, one: Planned, found: Backward) -> Iterator[str]:
    plan, earliest = one.plan, found.earliest.through_on
    if found.pour_by is None:
        yield desk.phrase("plan.by.cannot", by=found.by, earliest=earliest)
    elif not plan.to_pour:
        yield desk.phrase("plan.by.burning", by=found.by, earliest=earliest)
    else:
        yield desk.phrase("plan.by.pour", by=found.by, pour_by=found.pour_by)
        yield from (_order(desk, order) for order in found.orders)
        yield from () if one.lacks else (desk.phrase("plan.has_all"),)
    if one.lacks and found.bought is not None and desk.studio.suppliers:
        yield desk.phrase("plan.by.bought", on=found.bought.through_on)


def _order(desk: Desk, order: Order) -> str:
    need = order.need
    buy = to_buy(desk.studio, need.item, need.amount)
    what = amount_told(desk, replace(need, amount=buy))
    if order.order_by is None:
        return desk.phrase("plan.by.no_lead", what=what)
    details = {
        "what": what,
        "supplier": name_of(need.supplier or ""),
        "lead": desk.words.quantity(float(need.lead_days or 0), "days"),
        "on": order.order_by,
    }
    return desk.phrase("plan.by.late" if order.is_late else "plan.by.order", **details)


def first_told(desk: Desk, found: Iterable[Worst]) -> tuple[FirstRow, ...]:
    """Return the order in which proofs are best burned, and why."""
    return tuple(_first(desk, one) for one in found)


def _first(desk: Desk, one: Worst) -> FirstRow:
    near = desk.phrase("plan.first.unread")
    if one.near is not None:
        near = desk.phrase(
            f"plan.first.{'own' if one.is_own else 'kin'}",
            measure=desk.words.measure(one.near.measure),
            reading=_measured(desk, one.near.measure, one.near.reading),
            bound=_measured(desk, one.near.measure, one.near.bound),
            candle=desk.test(one.near.burn).title,
        )
    wall = desk.maybe(one.hottest_wall_c, "c") or desk.phrase("plan.first.no_wall")
    load = desk.words.percent(round(one.load_on_wax, 4))
    told = desk.phrase("plan.first.told", near=near, wall=wall, load=load)
    return FirstRow(_link(desk, one.what), near, wall, load, told)


def _link(desk: Desk, what: Ref) -> Link:
    is_item = what.is_item
    return ref_link(what) if is_item else desk.product(desk.studio.recipes[what.id])


def _measured(desk: Desk, measure: str, value: float) -> str:
    return desk.words.quantity(round(value, 3), MEASURES[measure].name)
