"""The vessel's own screening, before any recipe: whether it can take a flame."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from handbook_builder.problems import Place
from handbook_builder.reading.kinds.items import HeatEvidence, Vessel
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason

_BURNS_OR_MELTS: Final = ("wood", "plastic", "shell")


class Screening(StrEnum):
    """The words for a vessel."""

    CLEARED = "cleared"
    ASK_FIRST = "ask_first"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Screened:
    """How a vessel was screened: what speaks against it, what is not known, what clears it."""

    vessel: Vessel
    screening: Screening
    against: tuple[Reason, ...]
    unknown: tuple[Reason, ...]
    cleared_by: tuple[HeatEvidence, ...]

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Return why it is not cleared: what speaks against it, then what is not known."""
        return (*self.against, *self.unknown)


def screened(studio: Studio, vessel: Vessel, day: date) -> Screened:
    """Return the screening of `vessel` with the evidence dated on or before `day`."""
    evidence = tuple(one for one in vessel.heat_evidence if one.on <= day)
    clearing = tuple(one for one in evidence if _clears(studio, one))
    against = (
        *_material(vessel),
        *_walls(vessel, studio.protocol),
        *_leaks(vessel, day),
        *_mouth(vessel, studio.protocol),
        *_failed(vessel, day),
    )
    unknown = (*_untested(vessel, day), *_no_word(studio, vessel, evidence, clearing))
    word = Screening.REFUSED if against else Screening.ASK_FIRST if unknown else Screening.CLEARED
    return Screened(vessel, word, against, unknown, clearing)


def _clears(studio: Studio, one: HeatEvidence) -> bool:
    if one.kind == "sold_for_candles":
        return studio.suppliers[one.by].kind == "candle_supplier"
    if one.kind == "makers_word":
        return one.result != "failed"
    needed = studio.protocol.thermal_shock_k
    return (
        one.result == "passed"
        and one.difference_k is not None
        and needed is not None
        and not exceeds(needed, one.difference_k)
    )


def _at(vessel: Vessel, key: str) -> Place:
    return vessel.source.place(key)


def _material(vessel: Vessel) -> Iterator[Reason]:
    if vessel.material in _BURNS_OR_MELTS:
        yield Reason("burns_or_melts", _at(vessel, "material"), {"material": vessel.material})


def _walls(vessel: Vessel, protocol: Protocol) -> Iterator[Reason]:
    wall, least = vessel.wall_mm, protocol.min_wall_mm
    if wall is not None and least is not None:
        if exceeds(least, wall):
            details = {"wall_mm": wall, "least_mm": least}
            yield Reason("wall_too_thin", _at(vessel, "wall"), details)
    elif vessel.drinkware:
        # Drinkware is thin until its wall is measured and the protocol says what is thick enough.
        yield Reason("drinkware", _at(vessel, "drinkware"))


def _leaks(vessel: Vessel, day: date) -> Iterator[Reason]:
    if vessel.porous and vessel.sealed is False:
        yield Reason("not_sealed", _at(vessel, "sealed"))
    test = vessel.leak_test
    if test is not None and test.on <= day and test.result == "wet":
        yield Reason("leaked", _at(vessel, "leak_test"), {"on": test.on})


def _mouth(vessel: Vessel, protocol: Protocol) -> Iterator[Reason]:
    if vessel.opening_mm is None:
        return
    least_mm = protocol.min_opening * vessel.inside_diameter_mm
    if exceeds(least_mm, vessel.opening_mm):
        details = {"opening_mm": vessel.opening_mm, "least_mm": least_mm}
        yield Reason("narrow_mouth", _at(vessel, "opening"), details)


def _failed(vessel: Vessel, day: date) -> Iterator[Reason]:
    for index, one in enumerate(vessel.heat_evidence):
        if one.on <= day and one.result == "failed":
            details = {"kind": one.kind, "by": one.by, "on": one.on}
            yield Reason("heat_failed", _at(vessel, f"heat_evidence[{index}]"), details)


def _untested(vessel: Vessel, day: date) -> Iterator[Reason]:
    if not vessel.porous:
        return
    if vessel.sealed is None:
        yield Reason("seal_unknown", _at(vessel, "porous"))
    if vessel.leak_test is None or vessel.leak_test.on > day:
        yield Reason("leak_untested", _at(vessel, "porous"))


def _no_word(
    studio: Studio,
    vessel: Vessel,
    evidence: tuple[HeatEvidence, ...],
    clearing: tuple[HeatEvidence, ...],
) -> Iterator[Reason]:
    """Yield that no heat evidence is there, or why what is there does not count."""
    if clearing:
        return
    place = _at(vessel, "heat_evidence")
    if not evidence:
        yield Reason("no_heat_evidence", place)
    for one in evidence:
        if one.kind == "sold_for_candles":
            yield Reason("not_a_candle_supplier", place, {"by": one.by})
        elif one.kind == "thermal_shock_test" and one.result != "failed":
            needed = studio.protocol.thermal_shock_k
            details = {"shock_k": one.difference_k, "needed_k": needed, "result": one.result}
            yield Reason("shock_too_small", place, details)
