"""The protocol in force: the shipped one, with what the studio has tightened or added."""

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, TypeAlias

from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.fields import Report
from handbook_builder.reading.front import split
from handbook_builder.reading.kinds.house import Limit, ProtocolRecord
from handbook_builder.reading.kinds.readings import CRITICAL
from handbook_builder.reading.shape import Source, places_of, read_shape

LimitSlot: TypeAlias = tuple[str, bool, str, str | None]

SHIPPED_FILE: Final = Path(__file__).parent.parent / "protocols" / "default.md"


@dataclass(frozen=True, slots=True, kw_only=True)
class Protocol:
    """The rules that every test candle and vessel of the studio is judged by.

    `limit_places` are where each limit is written, by its slot.
    """

    id: str
    source: Source
    test_candles: int
    pourings: int
    cycle_h: float
    cycle_tolerance_h: float
    rest_h: float
    trim_mm: float
    load_tolerance: float
    fill_tolerance: float
    balance: float
    stop_at_mm: float
    min_wall_mm: Mapping[str, float] | None
    min_opening: float
    thermal_shock_k: float | None
    full_pool_by: int
    needs: tuple[str, ...]
    limits: tuple[Limit, ...]
    observations: Mapping[str, str]
    limit_places: Mapping[LimitSlot, Place]

    def min_wall_of(self, material: str) -> float | None:
        """Return the least wall of a vessel of `material` in millimetres, or None without one."""
        return None if self.min_wall_mm is None else self.min_wall_mm.get(material)

    def place_of(self, path: str) -> Place:
        """Return where a rule is written ("rest", "limits[0]"): here, else as shipped."""
        source = self.source if path in self.source.places else shipped().source
        return source.place(path)


@dataclass(frozen=True, slots=True)
class Looser:
    """One rule in which a protocol asks less than the shipped one.

    `key` is the protocol's; `what` names the limit, the reading or the word that it is about, if
    any. The values are in the unit of the key, or words.
    """

    key: str
    what: str
    own: object
    shipped: object


@lru_cache(maxsize=1)
def shipped() -> ProtocolRecord:
    """Return the protocol that ships with the program, read as any other record is."""
    data = SHIPPED_FILE.read_bytes()
    front, problems = split(data, "default.md")
    if front is None or problems:  # pragma: no cover -- a fault of ours, and tested against
        raise ValueError(problems)
    source = Source("protocols", "default", "default.md", places_of(front.root), front.body)
    report = Report("default.md")
    record = read_shape(ProtocolRecord, front.root, report, "", source=source)
    if not isinstance(record, ProtocolRecord):  # pragma: no cover -- as above
        raise ValueError(report.problems)  # noqa: TRY004 -- not about a type
    return record


def in_force(own: ProtocolRecord | None) -> Protocol:
    """Return the shipped protocol, overridden key by key by the studio's own."""
    base = shipped()
    given = own or base
    values: dict[str, Any] = {}
    for field in dataclasses.fields(ProtocolRecord):
        mine = getattr(given, field.name)
        values[field.name] = getattr(base, field.name) if mine is None else mine
    values["limits"] = _merged_limits(base.limits, given.limits)
    observations = {**(base.observations or {}), **(given.observations or {})}
    values["observations"] = MappingProxyType(observations)
    places = _limit_places(base) | _limit_places(given)
    return Protocol(id=given.source.id, limit_places=MappingProxyType(places), **values)


def _limit_places(record: ProtocolRecord) -> dict[LimitSlot, Place]:
    """Return where each limit of a record is written."""
    return {
        limit.slot: record.source.place(f"limits[{at}]") for at, limit in enumerate(record.limits)
    }


def _merged_limits(base: tuple[Limit, ...], own: tuple[Limit, ...]) -> tuple[Limit, ...]:
    replaced = {one.slot: one for one in own}
    kept = [replaced.pop(one.slot, one) for one in base]
    return (*kept, *(one for one in own if one.slot in replaced))


def loosened(own: ProtocolRecord) -> Iterator[Problem]:
    """Yield a problem for each published limit or critical observation made looser."""
    published = {one.slot: one for one in shipped().limits if one.published}
    for index, limit in enumerate(own.limits):
        base = published.get(limit.slot)
        if base is not None and _is_looser(limit, base):
            place = own.source.place(f"limits[{index}]")
            yield problem(
                place,
                "loosened",
                {
                    "measure": limit.measure,
                    "bound": "at most" if limit.upper else "at least",
                    "found": f"{limit.bound:g}",
                    "limit": f"{base.bound:g}",
                    "source": base.source,
                },
            )
    for word in CRITICAL:
        verdict = (own.observations or {}).get(word, "fail")
        if verdict != "fail":
            place = own.source.place(f"observations.{word}")
            yield problem(place, "loosened_observation", {"word": word, "found": verdict})


def _is_looser(limit: Limit, base: Limit) -> bool:
    return limit.bound > base.bound if limit.upper else limit.bound < base.bound


# A rule that asks less when it is smaller, and one that asks less when it is greater.
_LESS_IS_LOOSER: Final = (
    "test_candles", "cycle_h", "rest_h", "min_opening", "thermal_shock_k", "stop_at_mm",
)  # fmt: skip
_MORE_IS_LOOSER: Final = (
    "cycle_tolerance_h", "load_tolerance", "fill_tolerance", "balance", "full_pool_by", "trim_mm",
)  # fmt: skip
_MILDER: Final = ("fail", "watch", "note")


def looser_than_shipped(protocol: Protocol) -> tuple[Looser, ...]:
    """Return every rule of a protocol in force that asks less than the shipped one."""
    base = in_force(None)
    return (*_looser_rules(protocol, base), *_looser_limits(protocol, base))


def _looser_rules(own: Protocol, base: Protocol) -> Iterator[Looser]:
    for keys, sign in ((_LESS_IS_LOOSER, 1), (_MORE_IS_LOOSER, -1)):
        for key in keys:
            mine, shipped_one = getattr(own, key), getattr(base, key)
            if sign * mine < sign * shipped_one:
                yield Looser(key, "", mine, shipped_one)
    for word in base.needs:
        if word not in own.needs:
            yield Looser("needs", word, None, None)
    for word, verdict in base.observations.items():
        if _MILDER.index(own.observations[word]) > _MILDER.index(verdict):
            yield Looser("observations", word, own.observations[word], verdict)


def _looser_limits(own: Protocol, base: Protocol) -> Iterator[Looser]:
    mine = {one.slot: one for one in own.limits}
    for limit in base.limits:
        if _is_looser(mine[limit.slot], limit):
            yield Looser("limits", limit.measure, mine[limit.slot].bound, limit.bound)
