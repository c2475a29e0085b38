"""What each recipient has: a name is a way into the batches. For the owner alone."""

import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.batches import given_by
from handbook_builder.reading.kinds.trade import Given

_DIGITS: Final = 8


@dataclass(frozen=True, slots=True)
class Handed:
    """Candles of one batch that went to a recipient."""

    batch: str
    given: Given


def folded(name: str) -> str:
    """Return a name as it is compared: capitals and the width of gaps do not count."""
    return " ".join(name.split()).casefold()


def recipients(account: Account) -> dict[str, str]:
    """Return every recipient known by the day as first written, by how they are compared."""
    found: dict[str, str] = {}
    for handed in sorted(_handed(account), key=lambda one: (one.given.on, one.batch)):
        found.setdefault(folded(handed.given.to), handed.given.to)
    return found


def has_now(handed: Iterable[Handed]) -> int:
    """Return how many candles of these a recipient still has: what came back is taken off."""
    return sum(one.given.out for one in handed)


def buyer_key(name: str) -> str:
    """Return a name for addresses that no other recipient has."""
    plain = "-".join(re.findall(r"[a-z0-9]+", folded(name)))
    return f"{plain}--{hashlib.sha256(folded(name).encode()).hexdigest()[:_DIGITS]}"


def handed_to(account: Account, name: str) -> tuple[Handed, ...]:
    """Return all that went to a recipient by the day, the oldest first."""
    found = (handed for handed in _handed(account) if folded(handed.given.to) == folded(name))
    return tuple(sorted(found, key=lambda one: (one.given.on, one.batch)))


def _handed(account: Account) -> Iterator[Handed]:
    for ident in account.batches:
        for handed in given_by(account.judged, account.studio.batches[ident]):
            yield Handed(ident, handed)
