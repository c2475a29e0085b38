"""What the test candles of a product say: by verdict, in odds, and of former make-ups."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.figures.evidence import failure_upper_bound
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.products.proof import limits_of_odds, proof_of
from handbook_builder.pages.tests.glance import BurnPicture, pictures_of
from handbook_builder.pages.tests.lines import CandleLine, lines_of
from handbook_builder.pages.tests.pictures import Strip, strips_by_cycle
from handbook_builder.verdicts.approval import NearMiss, Product, Status, every_candle
from handbook_builder.verdicts.candles import CandleVerdict

_MORE: Final = (5, 10, 20, 30, 60)


@dataclass(frozen=True, slots=True)
class Spoken:
    """The test candles that speak about a product, by how they speak, and their pictures.

    `needed` is how many must pass.
    """

    passed: tuple[CandleLine, ...]
    failed: tuple[CandleLine, ...]
    burning: tuple[CandleLine, ...]
    incomplete: tuple[CandleLine, ...]
    void: tuple[CandleLine, ...]
    glances: tuple[BurnPicture, ...]
    ladder: tuple[CandleLine, ...]
    pictures: tuple[Strip, ...]
    needed: int


@dataclass(frozen=True, slots=True)
class Odds:
    """How strong the evidence is: a sentence, and what more clean candles would make of it."""

    sentence: str
    tighter: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Former:
    """Test candles of the recipe that differ from it in the same way."""

    sentence: str
    candles: tuple[Link, ...]


def spoken(desk: Desk, product: Product) -> Spoken:
    """Return the evidence, line by line."""
    found = product.evidence
    return Spoken(
        passed=lines_of(desk, found.passed),
        failed=lines_of(desk, found.failed),
        burning=lines_of(desk, found.burning),
        incomplete=lines_of(desk, found.incomplete),
        void=lines_of(desk, found.void),
        glances=pictures_of(desk, every_candle(product)),
        ladder=lines_of(desk, found.ladder),
        pictures=strips_by_cycle(desk, every_candle(product)),
        needed=desk.studio.protocol.test_candles,
    )


def bad_in_100(candles: int) -> int:
    """Return the upper bound of bad candles in a hundred after `candles` passed."""
    return round(failure_upper_bound(candles) * 100)


def odds(desk: Desk, product: Product) -> Odds:
    """Return how strong the evidence is, said plainly."""
    passed, proof = len(product.evidence.passed), proof_of(desk, product)
    limits = limits_of_odds(proof)
    if product.evidence.failed:
        return Odds(desk.phrase("odds.failed") + limits, ())
    if not passed:
        return Odds(desk.phrase("odds.none") + limits, ())
    sentence = desk.phrase("odds.full", passed=passed, poured=proof.poured, bad=bad_in_100(passed))
    return Odds(sentence + limits, tuple((n, bad_in_100(n)) for n in _MORE if n > passed))


def short_odds(desk: Desk, product: Product) -> str:
    """Return the odds in a short sentence for a list, with all that limits them."""
    passed, proof = len(product.evidence.passed), proof_of(desk, product)
    sentence = desk.phrase("odds.short", passed=passed, poured=proof.poured, bad=bad_in_100(passed))
    return sentence + limits_of_odds(proof)


def formers(desk: Desk, product: Product) -> tuple[Former, ...]:
    """Return the candles of former make-ups, those that differ in the same way together."""
    groups: dict[tuple[str, str], list[NearMiss]] = {}
    for miss in product.near_misses:
        unlike = "; ".join(desk.words.difference(difference) for difference in miss.differences)
        groups.setdefault((miss.candle.verdict.value, unlike), []).append(miss)
    return tuple(
        Former(_former(desk, verdict, unlike, misses), _links(desk, misses))
        for (verdict, unlike), misses in groups.items()
    )


def _former(desk: Desk, verdict: str, unlike: str, misses: Sequence[NearMiss]) -> str:
    many = "many" if len(misses) > 1 else "one"
    called = desk.phrase(f"former.verdicts.{verdict}")
    return desk.phrase(f"former.{many}", count=len(misses), verdict=called, differences=unlike)


def _links(desk: Desk, misses: Sequence[NearMiss]) -> tuple[Link, ...]:
    return tuple(
        Link(miss.candle.seen.burn.candle, desk.test(miss.candle.id).path) for miss in misses
    )


def since(desk: Desk, product: Product) -> date | None:
    """Return the day since when the product stands as it does, or None when none is on record."""
    found = product.evidence
    days: list[date]
    if product.status is Status.RETIRED:
        days = [] if product.recipe.retired is None else [product.recipe.retired]
    elif product.status is Status.SUSPENDED:
        days = [incident.on for incident in desk.studio.incidents.values()
                if incident.number in _open_numbers(product)]  # fmt: skip
    elif product.status is Status.FAILED:
        days = [_failed_on(candle) for candle in found.failed]
    elif product.status is Status.HELD:
        ends = sorted(candle.seen.cycles[-1].cycle.on.day for candle in found.passed)
        days = [ends[desk.studio.protocol.test_candles - 1]]
    else:
        days = [one.seen.burn.made.on for one in
                (*found.passed, *found.burning, *found.incomplete)]  # fmt: skip
    return min(days, default=None)


def _open_numbers(product: Product) -> set[object]:
    return {
        reason.details["number"] for reason in product.missing if reason.code == "open_incident"
    }


def _failed_on(candle: CandleVerdict) -> date:
    """Return the day of the first cycle that failed, or of the last when only the end did.

    One that fell over before its first light failed on the day it was poured.
    """
    failing = [cycle.number - 1 for cycle in candle.cycles if cycle.failures]
    days = {cycle.index: cycle.cycle.on.day for cycle in candle.seen.cycles}
    if failing:
        return days[failing[0]]
    return max(days.values(), default=candle.seen.burn.made.on)
