"""One product: its evidence, its status, and everything that stands in the way."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.candles import CandleVerdict, candle_failed
from handbook_builder.verdicts.combination import Combination, Difference, differences, within
from handbook_builder.verdicts.incidents import (
    burned_from,
    open_about_recipe,
    open_about_twin,
    open_incident,
    open_incidents,
)
from handbook_builder.verdicts.papers import lacking
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screened, Screening, vessel_not_cleared

# Bad news reaches further than good: a failure counts within twice the tolerances.
REACH = 2.0
SUSPENDING: Final = frozenset({"open_incident", "proof_lot_suspended"})


class Status(StrEnum):
    """The words for a product, in the order in which they are tried."""

    RETIRED = "retired"
    SUSPENDED = "suspended"
    FAILED = "failed"
    APPROVED = "approved"
    HELD = "held"
    IN_TEST = "in_test"
    UNTESTED = "untested"


@dataclass(frozen=True, slots=True)
class Burned:
    """A test candle with its verdict and what it was made of.

    `by_date` is what it was by the day it was poured, when that is not what its record states.
    """

    candle: CandleVerdict
    combination: Combination
    by_date: Combination | None = None

    def is_within(self, target: Combination, protocol: Protocol, times: float) -> bool:
        """Return whether the candle speaks about `target`; a failure does by its day as well."""
        kinds = (self.combination, self.by_date)
        asked = kinds if self.candle.verdict is Verdict.FAIL else kinds[:1]
        return any(name is not None and within(name, target, protocol, times) for name in asked)

    def would_reach(self, target: Combination, protocol: Protocol) -> bool:
        """Return whether the candle would speak against `target`, had it failed."""
        kinds = (self.combination, self.by_date)
        return any(kind is not None and within(kind, target, protocol, REACH) for kind in kinds)


@dataclass(frozen=True, slots=True)
class Evidence:
    """The test candles that speak about one combination, by how they speak.

    Those of a `ladder` that failed stand in `failed`; the rest teach, and count as no test.
    """

    passed: tuple[CandleVerdict, ...]
    failed: tuple[CandleVerdict, ...]
    burning: tuple[CandleVerdict, ...]
    incomplete: tuple[CandleVerdict, ...]
    void: tuple[CandleVerdict, ...]
    misuse: tuple[CandleVerdict, ...] = ()
    ladder: tuple[CandleVerdict, ...] = ()

    @property
    def pourings(self) -> int:
        """Return on how many days the candles that passed were poured."""
        return len({candle.seen.burn.made.on for candle in self.passed})


@dataclass(frozen=True, slots=True)
class NearMiss:
    """A test candle of the same recipe that is no evidence, and in what it differs."""

    candle: CandleVerdict
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """One recipe with everything that its verdict is made from."""

    recipe: Recipe
    combination: Combination
    evidence: Evidence
    missing_candles: tuple[Reason, ...]
    screened: Screened
    near_misses: tuple[NearMiss, ...]
    twins: tuple[Recipe, ...]


@dataclass(frozen=True, slots=True)
class Product:
    """The verdict on one recipe's combination, with everything it rests on."""

    recipe: Recipe
    combination: Combination
    status: Status
    missing: tuple[Reason, ...]
    evidence: Evidence
    near_misses: tuple[NearMiss, ...]
    screened: Screened


def evidence_for(studio: Studio, target: Combination, burned: Sequence[Burned]) -> Evidence:
    """Return the candles that match `target`, and the failed ones within twice the tolerances."""
    found: dict[Verdict, list[CandleVerdict]] = {word: [] for word in Verdict}
    for burn in burned:
        word = burn.candle.verdict
        reach = REACH if word is Verdict.FAIL else 1.0
        if burn.is_within(target, studio.protocol, reach):
            found[word].append(burn.candle)
    return Evidence(
        passed=tuple(found[Verdict.PASS]),
        failed=tuple(found[Verdict.FAIL]),
        burning=tuple(found[Verdict.BURNING]),
        incomplete=tuple(found[Verdict.INCOMPLETE]),
        void=tuple(found[Verdict.VOID]),
        misuse=tuple(found[Verdict.MISUSE]),
        ladder=tuple(found[Verdict.LADDER]),
    )


def near_misses(
    studio: Studio, recipe: Recipe, target: Combination, burned: Sequence[Burned]
) -> tuple[NearMiss, ...]:
    """Return the recipe's own test candles that do not count for it as it stands."""
    return tuple(
        NearMiss(burn.candle, differences(burn.combination, target, studio.protocol))
        for burn in burned
        if burn.candle.seen.burn.recipe == recipe.source.id
        and not within(burn.combination, target, studio.protocol, 1.0)
    )


def every_candle(product: Product) -> tuple[CandleVerdict, ...]:
    """Return the product's test candles, but for those set aside and for misuse burns."""
    found = product.evidence
    counting = (*found.passed, *found.failed, *found.burning, *found.incomplete)
    return tuple(burned for burned in counting if not burned.seen.burn.is_misuse)


def product(studio: Studio, day: date, case: Case) -> Product:
    """Return the verdict: approved only when every clause holds, and no clause left unsaid."""
    recipe, evidence = case.recipe, case.evidence
    missing = (
        *_retired(recipe, day),
        *_incidents(studio, case, day),
        *proof_lots(studio, evidence, day),
        *_burned(studio, recipe, evidence),
        *_vessel(recipe, case.screened),
        *lacking(studio, recipe, case.combination.make_up, day),
        *case.missing_candles,
    )
    return Product(
        recipe=recipe,
        combination=case.combination,
        status=_status(missing, evidence, studio.protocol.test_candles),
        missing=missing,
        evidence=evidence,
        near_misses=case.near_misses,
        screened=case.screened,
    )


def _retired(recipe: Recipe, day: date) -> Iterator[Reason]:
    if recipe.retired is not None and recipe.retired <= day:
        yield Reason("retired", recipe.source.place("retired"), {"on": recipe.retired})


def _incidents(studio: Studio, case: Case, day: date) -> Iterator[Reason]:
    """Yield the open incidents about the recipe, what is in it, or the same candle elsewhere."""
    about = {incident.number: incident for incident in open_about_recipe(studio, case.recipe, day)}
    for twin in case.twins:
        about |= {incident.number: incident for incident in open_about_twin(studio, twin, day)}
    for _, one in sorted(about.items()):
        yield open_incident(one)


def proof_lots(studio: Studio, evidence: Evidence, day: date) -> Iterator[Reason]:
    """Yield each open incident about a lot that the proof was burned from, or may have been."""
    for incident in open_incidents(studio, day):
        burned = [
            candle for candle in evidence.passed if burned_from(studio, candle.seen.burn, incident)
        ]
        if burned:
            details = {
                "number": incident.number, "on": incident.on, "about": incident.about,
                "lot": incident.lot,
                "what": incident.what, "candles": tuple(burn.seen.burn.candle for burn in burned),
            }  # fmt: skip
            yield Reason("proof_lot_suspended", incident.source.place(), details)


def _burned(studio: Studio, recipe: Recipe, evidence: Evidence) -> Iterator[Reason]:
    yield from (candle_failed(candle) for candle in evidence.failed)
    needed, passed = studio.protocol.test_candles, len(evidence.passed)
    if passed < needed:
        counts = {"passed": passed, "needed": needed, "short": needed - passed}
        yield Reason("too_few_passed", recipe.source.place(), counts)
    elif evidence.pourings < studio.protocol.pourings:
        counts = {"pourings": evidence.pourings, "needed": studio.protocol.pourings}
        yield Reason("too_few_pourings", recipe.source.place(), counts)


def _vessel(recipe: Recipe, vessel: Screened) -> Iterator[Reason]:
    source = vessel.vessel.source
    if vessel.screening is not Screening.CLEARED:
        yield vessel_not_cleared(vessel)
    if vessel.vessel.use == "practice":
        yield Reason("vessel_practice", source.place("use"), {"vessel": recipe.vessel})


def _status(missing: Sequence[Reason], evidence: Evidence, needed: int) -> Status:
    """Return the first status that holds."""
    codes = {reason.code for reason in missing}
    holds = {
        Status.RETIRED: "retired" in codes,
        Status.SUSPENDED: bool(codes & SUSPENDING),
        Status.FAILED: bool(evidence.failed),
        Status.APPROVED: not missing,
        Status.HELD: len(evidence.passed) >= needed,
        Status.IN_TEST: bool(evidence.passed or evidence.burning or evidence.incomplete),
    }
    return next((status for status, does in holds.items() if does), Status.UNTESTED)
