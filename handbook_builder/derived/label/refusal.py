"""Why a product may have no label. Missing or doubtful evidence is never a reason to print one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.hazards import MARKETS
from handbook_builder.figures.net import Outcome
from handbook_builder.hazards.classify import Result
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.batches import BatchState
from handbook_builder.verdicts.former import code_on

# A batch that stands so is the candle that was proven, or will be once it has cured.
_MAY_BE_LABELLED: Final = frozenset({BatchState.AS_PROVEN, BatchState.CURING})


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason against a label: a code with its sentence in `words.yml`, and its details."""

    code: str
    details: Mapping[str, object] = field(default_factory=dict)


def refusals(
    account: Account, ident: str, market: str, hazards: Result | None
) -> tuple[Refusal, ...]:
    """Return everything that keeps a product from a label for a market, the gravest first."""
    return tuple(_refusals(account, ident, market, hazards))


def _refusals(
    account: Account, ident: str, market: str, hazards: Result | None
) -> Iterator[Refusal]:
    status = account.judged.products[ident].status
    if status is not Status.APPROVED:
        yield Refusal("not_approved", {"status": status})
    if market in MARKETS and (hazards is None or not hazards.complete):
        notes = () if hazards is None else hazards.missing
        yield Refusal("hazards_unknown", {"notes": notes})
    if not account.studio.info.address:
        yield Refusal("no_address")
    if market in MARKETS and hazards is not None and hazards.h:
        yield from () if account.studio.info.contact else (Refusal("no_contact"),)


def batch_refusals(
    account: Account, ident: str, market: str, batch: str | None
) -> tuple[Refusal, ...]:
    """Return why a batch may have no label of a product: of another, not as proven, or too light.

    `batch` is the id of one that was poured by the account's day, or None.
    """
    if batch is None:
        return ()
    recipe, figures = account.studio.batches[batch].recipe, account.batches[batch]
    if recipe != ident:
        return (Refusal("batch_of_another", {"batch": batch, "recipe": recipe}),)
    if figures.verdict.state not in _MAY_BE_LABELLED:
        details = {"batch": batch, "state": figures.verdict.state}
        return (Refusal("batch_not_as_proven", details),)
    if code := _other_code(account, ident, batch):
        details = {"batch": batch, "code": code, "now": account.products[ident].code}
        return (Refusal("batch_of_former_make", details),)
    check = figures.checks.get(market)
    if check is not None and check.outcome is Outcome.FAILED:
        return (Refusal("batch_too_light", {"batch": batch}),)
    return ()


def _other_code(account: Account, ident: str, batch: str) -> str | None:
    """Return the code of a batch where it is not the product's own of today.

    An item that its maker changed in between makes another candle, also when that is proven too.
    """
    code = code_on(account.studio, ident, account.studio.batches[batch].on)
    return None if code == account.products[ident].code else code
