"""Batches and lots as one plain structure, for `figures --json` and `trace --json`."""

from collections.abc import Callable, Iterable
from typing import Any

from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import given_by
from handbook_builder.derived.lot_balance import LotBalance, lot_balances
from handbook_builder.derived.lots import Lot, deliveries_of, lots_on
from handbook_builder.figures.net import LotCheck
from handbook_builder.verdicts.batches import cured_on
from handbook_builder.verdicts.reason import Reason

Say = Callable[[Reason], str]


def trade_report(account: Account, say: Say) -> dict[str, Any]:
    """Return `batches` by id and `lots` by their name in addresses (see `reports.figures`)."""
    return {
        "batches": {ident: plain_batch(account, ident, say) for ident in account.batches},
        "lots": plain_lots(account, lots_on(account.studio, account.judged.as_of)),
    }


def plain_lots(account: Account, lots: Iterable[Lot]) -> dict[str, Any]:
    """Return some lots by their name in addresses, each with what was taken from it."""
    balances = lot_balances(account.studio, account.judged.as_of)
    return {one.key: plain_lot(one, balances.get((one.item, one.lot))) for one in lots}


def plain_batch(account: Account, ident: str, say: Say) -> dict[str, Any]:
    """Return one batch; `given` names who has its candles."""
    batch, figures = account.studio.batches[ident], account.batches[ident]
    verdict, label = figures.verdict, figures.declared
    return {
        "recipe": batch.recipe,
        "on": batch.on.isoformat(),
        "state": verdict.state.value,
        "code": batch.code,
        "cured_on": cured_on(account.studio, batch).isoformat(),
        "reasons": [say(one) for one in verdict.reasons],
        "notes": [say(one) for one in verdict.notes],
        "incidents": [one.number for one in verdict.incidents],
        "made": figures.made,
        "out": figures.given,
        "left": figures.left,
        "lots": [_used(account, item, lot) for item, lot in sorted(batch.lots.items())],
        "given": [
            {"on": one.on.isoformat(), "to": one.to, "count": one.count, "how": one.how}
            for one in given_by(account.judged, batch)
        ],
        "load_on_wax": figures.load_on_wax,
        "fill_g": figures.fill_g,
        "mean_net_g": figures.mean_net_g,
        "declared_g": label.grams,
        "declared_oz": str(label.ounces),
        "net_checks": {market: _check(one) for market, one in figures.checks.items()},
    }


def _used(account: Account, item: str, lot: str) -> dict[str, Any]:
    bills = deliveries_of(account.studio, account.judged.as_of, item, lot)
    return {"item": item, "lot": lot, "purchases": [one.purchase for one in bills]}


def _check(check: LotCheck | None) -> dict[str, Any] | None:
    if check is None:
        return None
    return {
        "outcome": check.outcome.value,
        "average": check.average.value,
        "individual": check.individual.value,
        "labelled_g": check.labelled_g,
        "lot": check.lot_size,
        "weighed": check.weighed,
        "needed": check.needed,
        "mean_g": check.mean_g,
        "sd_g": check.sd_g,
        "least_mean_g": check.least_mean_g,
        "short_below_g": check.limit_g,
        "short": check.short,
        "none_below_g": check.bound_g,
        "far_short": check.far_short,
    }


def plain_lot(lot: Lot, balance: LotBalance | None) -> dict[str, Any]:
    """Return one lot: back to its purchases, forwards to its batches and test candles."""
    return {
        "unit": None if balance is None else balance.unit,
        "taken": None if balance is None else balance.amount,
        "bought": None if balance is None else balance.bought,
        "overdrawn": balance is not None and balance.is_overdrawn,
        "tests": [one.burn for one in balance.taken if one.burn is not None] if balance else [],
        "item": lot.item,
        "lot": lot.lot,
        "incidents": [one.number for one in lot.incidents],
        "purchases": [
            {
                "purchase": one.purchase,
                "supplier": one.supplier,
                "on": one.on.isoformat(),
                "quantity": one.quantity,
            }
            for one in lot.deliveries
        ],
        "batches": list(lot.batches),
    }
