"""The numbers of the protocol in force, by the names under which a guide asks for them.

A guide writes `{{ limit.rest }}` for a key of the protocol, `{{ limit.wall_fail }}` for what a
reading may be at the most before the candle fails (`_watch`: before it is watched), with `_least`
at the end for what it must be at the least, and `{{ seen.smoking }}` for what a sight means here
where that is not what the shipped protocol says.
"""

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.house import (
    MEASURES,
    SEEN_WORDS,
    Limit,
    ProtocolRecord,
)
from handbook_builder.studio.protocol import Protocol, in_force
from handbook_builder.verdicts.cycles import breach_details

_SUFFIXES: Final = {"h": "h", "mm": "mm", "k": "k"}
_LISTED: Final = ("source", "limits", "observations", "needs")


def guide_values(desk: Desk) -> dict[str, str]:
    """Return every value that a guide may ask for, in words, by its name."""
    own, shipped = desk.studio.protocol, in_force(None)
    return {
        **{f"limit.{name}": text for name, text in _limits(desk, own, shipped)},
        **{f"seen.{word}": _seen(desk, word, own, shipped) for word in SEEN_WORDS},
    }


def _limits(desk: Desk, own: Protocol, shipped: Protocol) -> Iterator[tuple[str, str]]:
    for one in dataclasses.fields(ProtocolRecord):
        if one.name not in _LISTED:
            stem, _, suffix = one.name.rpartition("_")
            name = stem if suffix in _SUFFIXES else one.name
            here, there = (_key(desk, each, one.name) for each in (own, shipped))
            yield name, _beside(desk, here, there)
    for measure in MEASURES:
        for breach in ("fail", "watch"):
            for upper in (True, False):
                here, there = (
                    _bound(desk, _slot(each.limits, measure, breach, upper=upper))
                    for each in (own, shipped)
                )
                name = f"{measure}_{breach}{'' if upper else '_least'}"
                yield name, _beside(desk, here, there)


def _beside(desk: Desk, here: str, there: str) -> str:
    """Return a value as it holds here, with the shipped one in brackets where that differs."""
    if here == there:
        return here
    return desk.phrase("guides.differs", here=here, shipped=there)


def _key(desk: Desk, protocol: Protocol, field: str) -> str:
    """Return the value of one key of a protocol, with its unit."""
    value = getattr(protocol, field)
    if value is None:
        return desk.phrase("guides.none")
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_one(desk, each, field)}" for name, each in value.items())
    return _one(desk, value, field)


def _one(desk: Desk, value: float, field: str) -> str:
    suffix = field.rpartition("_")[2]
    if suffix in _SUFFIXES:
        return desk.words.quantity(value, _SUFFIXES[suffix])
    return desk.words.percent(value) if isinstance(value, float) else str(value)


def _slot(limits: Iterable[Limit], measure: str, breach: str, *, upper: bool) -> Limit | None:
    """Return the tightest of the limits on one side of a reading, or None where there is none."""
    found = [
        one for one in limits if (one.measure, one.on_breach, one.upper) == (measure, breach, upper)
    ]
    found.sort(key=lambda one: one.bound, reverse=not upper)
    return found[0] if found else None


def _bound(desk: Desk, limit: Limit | None) -> str:
    """Return the bound of a limit with its unit."""
    if limit is None:
        return desk.phrase("guides.none")
    (unit,) = (
        name.removeprefix("limit_")
        for name in breach_details(limit, None)
        if name.startswith("limit_")
    )
    return desk.words.quantity(limit.bound, unit)


def _seen(desk: Desk, word: str, own: Protocol, shipped: Protocol) -> str:
    """Return what a sight means here, or nothing where it means what the shipped protocol says."""
    here = own.observations[word]
    if here == shipped.observations[word]:
        return ""
    return desk.phrase("guides.seen", meaning=desk.phrase(f"breaches.{here}"))
