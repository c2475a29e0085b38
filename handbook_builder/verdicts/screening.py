"""The vessel's own screening, before any recipe: whether it can take a flame."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from handbook_builder.problems import Place
from handbook_builder.reading.kinds.items import HeatEvidence, LeakTest, Vessel
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio, counting, spec_as_of
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason, quantity

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


def vessel_not_cleared(vessel: Screened) -> Reason:
    """Return that a vessel is not cleared, with the line that says so first."""
    details = {"vessel": vessel.vessel.source.id, "screening": vessel.screening.value}
    return Reason("vessel_not_cleared", vessel.reasons[0].place, details)


def screened(studio: Studio, vessel: Vessel, day: date) -> Screened:
    """Return the screening of `vessel` as it is sold on `day`, with what is on file by then.

    What was said or tested of a former specification speaks of that one only, for good and ill.
    """
    evidence = counting(vessel, vessel.heat_evidence, day)
    leaks = counting(vessel, vessel.leak_test, day)
    clearing = tuple(entry for entry in evidence if _clears(studio, entry))
    against = (
        *_material(vessel),
        *_walls(vessel, studio.protocol),
        *_leaks(vessel, leaks),
        *_mouth(vessel, studio.protocol),
        *_failed(vessel, evidence),
    )
    unknown = (
        *_unsaid(vessel, studio.protocol),
        *_untested(vessel, leaks),
        *_unanswered(studio, vessel, evidence),
        *(() if clearing else _no_word(studio, vessel, evidence, day)),
    )
    word = Screening.REFUSED if against else Screening.ASK_FIRST if unknown else Screening.CLEARED
    return Screened(vessel, word, against, unknown, clearing)


def _clears(studio: Studio, one: HeatEvidence) -> bool:
    if one.kind == "sold_for_candles":
        return studio.suppliers[one.by].kind == "candle_supplier"
    if one.kind == "makers_word":
        return one.result == "passed"
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
    wall, least = vessel.wall_mm, protocol.min_wall_of(vessel.material)
    if wall is not None and least is not None:
        if exceeds(least, wall):
            details = {"wall": quantity(wall, "mm"), "least": quantity(least, "mm")}
            yield Reason("wall_too_thin", _at(vessel, "wall"), details)
    # Drinkware is thin until its wall is measured and the protocol says what is thick enough.
    elif vessel.drinkware and wall is None:
        yield Reason("drinkware", _at(vessel, "drinkware"))
    elif vessel.drinkware:
        known = {"wall": quantity(wall, "mm"), "material": vessel.material}
        yield Reason("drinkware_no_limit", _at(vessel, "wall"), known)


def _leaks(vessel: Vessel, tests: tuple[LeakTest, ...]) -> Iterator[Reason]:
    if vessel.porous and vessel.sealed is False:
        yield Reason("not_sealed", _at(vessel, "sealed"))
    for test in tests:
        if test.result == "wet":
            yield Reason("leaked", _at(vessel, "leak_test"), {"on": test.on})


def _mouth(vessel: Vessel, protocol: Protocol) -> Iterator[Reason]:
    if vessel.opening_mm is None:
        return
    least_mm = protocol.min_opening * vessel.inside_diameter_mm
    if exceeds(least_mm, vessel.opening_mm):
        details = {"opening": quantity(vessel.opening_mm, "mm"), "least": quantity(least_mm, "mm")}
        yield Reason("narrow_mouth", _at(vessel, "opening"), details)


def _failed(vessel: Vessel, evidence: tuple[HeatEvidence, ...]) -> Iterator[Reason]:
    for index, one in enumerate(vessel.heat_evidence):
        if one in evidence and one.result == "failed":
            details = {"kind": one.kind, "by": one.by, "on": one.on}
            yield Reason("heat_failed", _at(vessel, f"heat_evidence[{index}]"), details)


def _unsaid(vessel: Vessel, protocol: Protocol) -> Iterator[Reason]:
    """Yield what the record must say and does not: what is unsaid is no answer."""
    solid = vessel.material not in _BURNS_OR_MELTS
    details = {"vessel": vessel.source.id, "material": vessel.material}
    if vessel.porous is None and solid:
        yield Reason("porous_unsaid", vessel.source.place(), details)
    if vessel.drinkware is None and solid:
        yield Reason("drinkware_unsaid", vessel.source.place(), details)
    if vessel.opening_mm is None:
        yield Reason("opening_unsaid", vessel.source.place(), details)
    least = protocol.min_wall_of(vessel.material)
    if vessel.wall_mm is None and least is not None:
        yield Reason(
            "wall_unsaid", vessel.source.place(), {**details, "least": quantity(least, "mm")}
        )


def _untested(vessel: Vessel, tests: tuple[LeakTest, ...]) -> Iterator[Reason]:
    if not vessel.porous:
        return
    if vessel.sealed is None:
        yield Reason("seal_unknown", _at(vessel, "porous"))
    if not tests:
        yield Reason("leak_untested", _at(vessel, "porous"))


def _unanswered(
    studio: Studio, vessel: Vessel, evidence: tuple[HeatEvidence, ...]
) -> Iterator[Reason]:
    """Yield each word and test without a result, whatever else clears: it may have been a no."""
    place = _at(vessel, "heat_evidence")
    for entry in evidence:
        if entry.kind == "makers_word" and entry.result is None:
            yield Reason("word_without_answer", place, {"by": entry.by, "on": entry.on})
        elif entry.kind == "thermal_shock_test" and entry.result is None:
            yield _too_small(studio, place, entry)


def _too_small(studio: Studio, place: Place, one: HeatEvidence) -> Reason:
    needed = studio.protocol.thermal_shock_k
    details = {
        "shock": quantity(one.difference_k, "k"),
        "needed": quantity(needed, "k"),
        "result": one.result,
    }
    return Reason("shock_too_small", place, details)


def _no_word(
    studio: Studio, vessel: Vessel, evidence: tuple[HeatEvidence, ...], day: date
) -> Iterator[Reason]:
    """Yield that no heat evidence is there, or why what is there does not count."""
    place = _at(vessel, "heat_evidence")
    if not evidence:
        former = [entry.on for entry in vessel.heat_evidence if entry.on <= day]
        details = {"spec": spec_as_of(vessel, day), "on": max(former, default=day)}
        yield Reason("former_evidence" if former else "no_heat_evidence", place, details)
    for entry in evidence:
        if entry.kind == "sold_for_candles":
            yield Reason("not_a_candle_supplier", place, {"by": entry.by})
        elif entry.kind == "thermal_shock_test" and entry.result == "passed":
            yield _too_small(studio, place, entry)
