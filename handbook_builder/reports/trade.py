"""Batches and lots for other programs: in `figures --json`, and on their own by `trace --json`.

`trace --json`: `lots` and `batches` as `figures --json` has them (its docstring tells of both), and
`handed`: [{batch, on, to, count, how}], what went to a recipient, where one was asked for.
"""

from collections.abc import Iterable, Sequence

from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import given_by
from handbook_builder.derived.buyers import Handed
from handbook_builder.derived.lot_balance import LotBalance, lot_balances
from handbook_builder.derived.lots import Lot, deliveries_of, lots_on
from handbook_builder.figures.net import LotCheck
from handbook_builder.reading.refs import Ref
from handbook_builder.reports.plain import fields_of
from handbook_builder.reports.reasons import Say, said
from handbook_builder.verdicts.batches import cured_on


def trade_report(account: Account, say: Say) -> dict[str, object]:
    """Return `batches` by id and `lots` by their name in addresses (see `reports.figures`)."""
    return {
        "batches": {ident: batch_told(account, ident, say) for ident in account.batches},
        "lots": lots_told(account, lots_on(account.studio, account.judged.as_of)),
    }


def trace_report(
    account: Account,
    lots: Iterable[Lot],
    batches: Iterable[str],
    handed: Sequence[Handed],
    say: Say,
) -> dict[str, object]:
    """Return what was asked for; batches of which a recipient has candles are told, too."""
    asked = dict.fromkeys((*batches, *(passed_on.batch for passed_on in handed)))
    return {
        "lots": lots_told(account, lots),
        "batches": {ident: batch_told(account, ident, say) for ident in asked},
        "handed": [
            {"batch": passed_on.batch, **fields_of(passed_on.given)} for passed_on in handed
        ],
    }


def lots_told(account: Account, lots: Iterable[Lot]) -> dict[str, object]:
    """Return some lots by their name in addresses, each with what was taken from it."""
    balances = lot_balances(account.studio, account.judged.as_of)
    return {lot.key: _lot(lot, balances.get((lot.item, lot.lot))) for lot in lots}


def batch_told(account: Account, ident: str, say: Say) -> dict[str, object]:
    """Return one batch; `given` names who has its candles."""
    batch, figures = account.studio.batches[ident], account.batches[ident]
    verdict, label = figures.verdict, figures.declared
    return {
        "recipe": batch.recipe,
        "on": batch.on,
        "state": verdict.state,
        "code": batch.code,
        "cured_on": cured_on(account.studio, batch),
        "reasons": said(verdict.reasons, say),
        "notes": said(verdict.notes, say),
        "incidents": [incident.number for incident in verdict.incidents],
        "made": figures.made,
        "out": figures.given,
        "kept": figures.kept,
        "left": figures.left,
        "lots": [_used(account, item, lot) for item, lot in sorted(batch.lots.items())],
        "given": tuple(given_by(account.judged, batch)),
        "load_on_wax": figures.load_on_wax,
        "fill_g": figures.fill_g,
        "mean_net_g": figures.mean_net_g,
        "declared_g": label.grams,
        "declared_oz": label.ounces,
        "net_checks": {market: _check(one) for market, one in figures.checks.items()},
    }


def _used(account: Account, item: Ref, lot: str) -> dict[str, object]:
    bills = deliveries_of(account.studio, account.judged.as_of, item, lot)
    return {"item": item, "lot": lot, "purchases": [bill.purchase for bill in bills]}


def _check(check: LotCheck | None) -> dict[str, object] | None:
    if check is None:
        return None
    return {
        "outcome": check.outcome,
        "average": check.average,
        "individual": check.individual,
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


def _lot(lot: Lot, balance: LotBalance | None) -> dict[str, object]:
    """Return one lot: back to its purchases, forwards to its batches and test candles."""
    return {
        "unit": None if balance is None else balance.unit,
        "taken": None if balance is None else balance.amount,
        "bought": None if balance is None else balance.bought,
        "overdrawn": balance is not None and balance.is_overdrawn,
        "tests": [taking.burn for taking in balance.taken if taking.burn is not None]
        if balance
        else [],
        "item": lot.item,
        "lot": lot.lot,
        "incidents": [incident.number for incident in lot.incidents],
        "purchases": lot.deliveries,
        "batches": lot.batches,
    }
