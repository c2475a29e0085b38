"""What was taken from a lot against what was bought of it, in words."""

from dataclasses import dataclass

from handbook_builder.derived.lot_balance import LotBalance, lot_balances
from handbook_builder.derived.lots import Lot
from handbook_builder.pages.desk import Desk, Link


@dataclass(frozen=True, slots=True)
class BalanceShown:
    """What was taken and bought, and a sentence when they cannot both be right.

    `tests` are the test candles that say they were poured from the lot.
    """

    taken: str
    bought: str
    tolerance: str
    over: str | None
    tests: tuple[Link, ...]


def balance_shown(desk: Desk, lot: Lot) -> BalanceShown | None:
    """Return the balance of a lot, or None for one that no bill lists."""
    found = lot_balances(desk.studio, desk.day).get((lot.item, lot.lot))
    if found is None:
        return None
    taken = _amount(desk, found, found.amount)
    bought = _amount(desk, found, found.bought)
    over = desk.phrase("lot_balance.over", taken=taken, bought=bought)
    return BalanceShown(
        taken=taken,
        bought=bought,
        tolerance=desk.words.percent(found.tolerance),
        over=over if found.is_overdrawn else None,
        tests=tuple(desk.test(taking.burn) for taking in found.taken if taking.burn is not None),
    )


def _amount(desk: Desk, balance: LotBalance, amount: float) -> str:
    if balance.unit == "g":
        return desk.mass(amount)
    return desk.phrase("lot_balance.pieces", count=f"{amount:.0f}")
