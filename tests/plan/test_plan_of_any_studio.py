"""Plans of the demo and of drawn studios agree with the board, and keep to the shelf."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.board import board_of
from handbook_builder.derived.plan.proof import proof_by, proof_plan
from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import link
from handbook_builder.workshop import account_in
from tests.oracle.generate import studio

ROOT = Path(__file__).parents[2]


def demo() -> Account:
    """Return the demo."""
    found, _ = account_in(ROOT / "records", date(2026, 5, 1), ROOT)
    assert found is not None
    return found


def drawn(seed: int) -> Account:
    """Return a drawn studio."""
    files, day = studio(seed)
    found, problems = link(read_texts({path: text.encode() for path, text in files.items()}))
    assert found is not None, problems
    return account_of(found, day)


def with_places(account: Account, places: int | None, habit: int) -> Account:
    """Return the same studio with so many places and cycles a day."""
    info = replace(account.studio.info, places=places, cycles_a_day=habit)
    return account_of(replace(account.studio, info=info), account.judged.as_of)


def check(account: Account) -> int:
    """Hold every plan against the board and against itself; return how many had a calendar."""
    board = board_of(account)
    outlooks = {one.product.recipe.source.id: one for one in board.outlooks}
    dated = 0
    for ident, product in account.judged.products.items():
        plan = proof_plan(account, board, product)
        if not plan.is_asked:
            continue
        outlook = outlooks[ident]
        assert plan.counted == outlook.counted
        assert (plan.to_pour, plan.pourings) == (outlook.to_pour, outlook.pourings)
        if plan.calendar is None:
            assert plan.life is None or plan.life.hours_h > 1000
            assert outlook.through_on is None
            continue
        dated += 1
        through, places = plan.calendar.through_on, account.studio.info.places
        assert through == outlook.through_on, ident
        assert places is None or plan.calendar.most_at_once <= places
        _backward(account, ident, through)
    return dated


def _backward(account: Account, ident: str, through: date) -> None:
    """Reckon back from the earliest day, which begins today, and from the one before: too late."""
    board = board_of(account)
    plan, today = proof_plan(account, board, account.judged.products[ident]), account.judged.as_of
    just, late = (proof_by(account, board, plan, through - timedelta(days=less)) for less in (0, 1))
    assert just is not None
    assert late is not None
    assert just.earliest.through_on == through
    assert just.pour_by is not None
    assert late.pour_by is None
    if plan.to_pour:
        assert just.pour_by >= today
        ample = proof_by(account, board, plan, through + timedelta(days=10))
        assert ample is not None
        assert ample.pour_by is not None
        assert just.pour_by <= ample.pour_by <= through + timedelta(days=10)
        for order in ample.orders:
            lead = order.need.lead_days
            assert order.order_by == (
                None if lead is None else ample.pour_by - timedelta(days=lead)
            )


@pytest.mark.parametrize("habit", [1, 2])
@pytest.mark.parametrize("places", [None, 1, 2, 6])
def test_plans_of_the_demo(places: int | None, habit: int) -> None:
    """Each ends on the board's own day, and takes no more places than there are."""
    assert check(with_places(demo(), places, habit)) >= 4


@pytest.mark.parametrize("part", range(4))
def test_plans_of_drawn_studios(part: int) -> None:
    """Whatever a studio holds."""
    dated = 0
    for seed in range(part * 25, part * 25 + 25):
        account = drawn(seed)
        for places in (None, 1):
            dated += check(with_places(account, places, 1 + seed % 2))
    assert dated > 0


def test_fewer_places_never_end_sooner() -> None:
    """Each place less takes as long or longer."""
    ends: list[list[date]] = []
    for places in (1, 2, 3, None):
        account = with_places(demo(), places, 1)
        board = board_of(account)
        plans = [proof_plan(account, board, one) for one in account.judged.products.values()]
        ends.append([plan.calendar.through_on for plan in plans if plan.calendar is not None])
    assert all(list(one) == sorted(one, reverse=True) for one in zip(*ends, strict=True))
    assert ends[0] != ends[-1]
