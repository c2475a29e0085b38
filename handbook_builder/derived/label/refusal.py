"""Why a product may have no label. Missing or doubtful evidence is never a reason to print one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.hazards import MARKETS
from handbook_builder.hazards.classify import Result
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.batches import BatchState

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


def batch_refusals(account: Account, ident: str, batch: str | None) -> tuple[Refusal, ...]:
    """Return why a batch may have no label of a product: it is of another, or is not as proven."""
    if batch is None:
        return ()
    if account.studio.batches[batch].recipe != ident:
        recipe = account.studio.batches[batch].recipe
        return (Refusal("batch_of_another", {"batch": batch, "recipe": recipe}),)
    state = account.batches[batch].verdict.state
    if state not in _MAY_BE_LABELLED:
        return (Refusal("batch_not_as_proven", {"batch": batch, "state": state}),)
    return ()
