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
from handbook_builder.pages.reference import bound_shown
from handbook_builder.reading.kinds.house import Limit, ProtocolRecord
from handbook_builder.reading.kinds.items import MATERIALS
from handbook_builder.reading.kinds.readings import MEASURES, SEEN_WORDS
from handbook_builder.studio.protocol import Protocol, in_force

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
    for field in dataclasses.fields(ProtocolRecord):
        if field.name not in _LISTED:
            stem, _, suffix = field.name.rpartition("_")
            name = stem if suffix in _SUFFIXES else field.name
            here, there = (_key(desk, each, field.name) for each in (own, shipped))
            yield name, _beside(desk, here, there)
    for measure in MEASURES:
        for breach in ("fail", "watch"):
            for upper in (True, False):
                here, there = (
                    _bounds(desk, _on_side(each.limits, measure, breach, upper=upper))
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
        if set(value) == set(MATERIALS) and len(set(value.values())) == 1:
            return _one(desk, min(value.values()), field)  # one for all, as it was written
        return ", ".join(f"{name} {_one(desk, each, field)}" for name, each in value.items())
    return _one(desk, value, field)


def _one(desk: Desk, value: float, field: str) -> str:
    suffix = field.rpartition("_")[2]
    if suffix in _SUFFIXES:
        return desk.words.quantity(value, _SUFFIXES[suffix])
    return desk.words.percent(value) if isinstance(value, float) else str(value)


def _on_side(limits: Iterable[Limit], measure: str, breach: str, *, upper: bool) -> list[Limit]:
    """Return the limits on one side of a reading: for all vessels, then the tighter ones for some.

    A limit for one material that is no tighter than the one for all never comes to bear.
    """
    found = [
        limit
        for limit in limits
        if (limit.measure, limit.on_breach, limit.upper) == (measure, breach, upper)
    ]
    for_all = [one.bound for one in found if one.material is None]
    sign = 1 if upper else -1
    bears = [
        one
        for one in found
        if one.material is None or all(sign * one.bound < sign * bound for bound in for_all)
    ]
    return sorted(bears, key=lambda one: one.material or "")


def _bounds(desk: Desk, limits: list[Limit]) -> str:
    """Return the bounds of the limits with their unit, each for whom it is."""
    if not limits:
        return desk.phrase("guides.none")
    return ", ".join(
        desk.phrase("guides.for_material", material=limit.material, bound=bound_shown(desk, limit))
        if limit.material
        else bound_shown(desk, limit)
        for limit in limits
    )


def _seen(desk: Desk, word: str, own: Protocol, shipped: Protocol) -> str:
    """Return what a sight means here, or nothing where it means what the shipped protocol says."""
    here = own.observations[word]
    if here == shipped.observations[word]:
        return ""
    return desk.phrase("guides.seen", meaning=desk.phrase(f"breaches.{here}"))
