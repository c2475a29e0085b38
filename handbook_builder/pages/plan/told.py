"""What every plan says alike: amounts, days, orders, what it costs."""

from collections.abc import Iterable, Iterator

from handbook_builder.derived.money.plan import PlanCost, plan_cost
from handbook_builder.derived.plan.calendar import Calendar
from handbook_builder.derived.plan.needs import Need
from handbook_builder.pages.board.reckoned import several
from handbook_builder.pages.desk import Desk, name_of
from handbook_builder.reading.refs import Ref


def several_things(desk: Desk, things: Iterable[str]) -> str:
    """Return things in a row, the last one after an "and"."""
    found = tuple(things)
    if len(found) < 2:  # noqa: PLR2004 -- one, or none
        return "".join(found)
    return desk.phrase("plan.and", first=", ".join(found[:-1]), last=found[-1])


def amount_told(desk: Desk, need: Need) -> str:
    """Return how much of an item is taken: so many pieces, or a mass."""
    name = name_of(need.item.id)
    if not need.item.is_weighed:
        return desk.phrase("plan.pieces", count=round(need.amount), item=name)
    return desk.phrase("plan.mass", mass=desk.mass(need.amount), item=name)


def needs_told(desk: Desk, needs: tuple[Need, ...]) -> str | None:
    """Return what a plan takes, or None where it takes nothing."""
    if not needs:
        return None
    shown = several_things(desk, (amount_told(desk, need) for need in needs))
    return desk.phrase("plan.takes", needs=shown)


def lacks_told(desk: Desk, lacks: tuple[Need, ...]) -> str:
    """Return what the store lacks for a plan, or that all of it is there."""
    if not lacks:
        return desk.phrase("plan.has_all")
    return desk.phrase(
        "plan.lacks", needs=several_things(desk, (amount_told(desk, need) for need in lacks))
    )


def calendar_told(desk: Desk, found: Calendar) -> Iterator[str]:
    """Yield when it is cured and through, and on how many places."""
    through = found.through_on.isoformat()
    if found.cured_on is None:
        yield desk.phrase("plan.through_board", through=through)
    else:
        on, cured = found.pour_on.isoformat(), found.cured_on.isoformat()
        yield desk.phrase("plan.through", on=on, cured=cured, through=through)
    yield _places(desk, found.most_at_once)
    if found.assumed:
        candles = several_things(desk, (desk.test(ident).title for ident in found.assumed))
        yield several(desk, "plan.assumed", len(found.assumed), candles=candles)


def _places(desk: Desk, most: int) -> str:
    info = desk.studio.info
    cycles = several(desk, "board.cycles", info.cycles_a_day)
    candles = several(desk, "plan.candles", most)
    if info.places is None:
        return desk.phrase("plan.room_for_all", candles=candles, cycles=cycles)
    return several(desk, "plan.places", info.places, candles=candles, cycles=cycles)


def cost_told(desk: Desk, needs: tuple[Need, ...], lit: int | None) -> str | None:
    """Return what a plan costs; None in the floor edition, which knows no money."""
    if desk.money is None:
        return None
    return _cost(desk, plan_cost(desk.studio, desk.money.prices, needs, lit))


def total_told(desk: Desk, needs: tuple[Need, ...], lit: int | None) -> str | None:
    """Return what a plan costs in all; None where that is not known, and in the floor edition."""
    if desk.money is None:
        return None
    cost = plan_cost(desk.studio, desk.money.prices, needs, lit)
    return None if cost.unpriced or cost.work is None else desk.words.money(cost.total)


def _cost(desk: Desk, cost: PlanCost) -> str:
    total, material = desk.words.money(cost.total), desk.words.money(cost.material)
    if cost.work is not None and cost.work_h is not None:
        work_h = desk.words.quantity(round(float(cost.work_h) * 4) / 4, "h")
        work = desk.words.money(cost.work)
        kind = "cost" if cost.material or cost.unpriced else "cost_work"
        told = desk.phrase(f"plan.{kind}", total=total, material=material, work=work, work_h=work_h)
    else:
        told = desk.phrase("plan.cost_material", material=material)
    if not cost.unpriced:
        return told
    if not cost.material and cost.work is None:
        return desk.phrase("plan.no_price", items=_names(desk, cost.unpriced))
    return f"{told} {desk.phrase('plan.unpriced', items=_names(desk, cost.unpriced))}"


def _names(desk: Desk, items: Iterable[Ref]) -> str:
    return several_things(desk, (name_of(item.id) for item in items))
