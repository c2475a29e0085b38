"""What each recipient has: a name is a way into the batches. For the owner alone."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import given_by
from handbook_builder.reading.kinds.trade import Given


@dataclass(frozen=True, slots=True)
class Handed:
    """Candles of one batch that went to a recipient."""

    batch: str
    given: Given


def folded(name: str) -> str:
    """Return a name as it is compared: capitals and the width of gaps do not count."""
    return " ".join(name.split()).casefold()


def recipients(account: Account) -> dict[str, str]:
    """Return every recipient known by the day as they are written, by how they are compared."""
    return {folded(handed.given.to): handed.given.to for handed in _handed(account)}


def handed_to(account: Account, name: str) -> tuple[Handed, ...]:
    """Return all that went to a recipient by the day, the oldest first."""
    found = (handed for handed in _handed(account) if folded(handed.given.to) == folded(name))
    return tuple(sorted(found, key=lambda one: (one.given.on, one.batch)))


def _handed(account: Account) -> Iterator[Handed]:
    for ident in account.batches:
        for handed in given_by(account.judged, account.studio.batches[ident]):
            yield Handed(ident, handed)
