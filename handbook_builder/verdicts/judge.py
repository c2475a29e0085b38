"""The whole studio judged as of one day."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING

from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import (
    REACH,
    Burned,
    Case,
    Evidence,
    Product,
    evidence_for,
    near_misses,
    product,
)
from handbook_builder.verdicts.candles import candle_verdict
from handbook_builder.verdicts.combination import (
    Combination,
    combination_of_candle,
    combination_of_recipe,
    within,
)
from handbook_builder.verdicts.copies import copies_among
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screened, screened
from handbook_builder.verdicts.seen import Seen, seen_on
from handbook_builder.verdicts.series import gone_missing
from handbook_builder.verdicts.unsaid import left_in_doubt

if TYPE_CHECKING:
    from handbook_builder.reading.kinds.making import Burn


@dataclass(frozen=True, slots=True)
class Judged:
    """Every vessel, test candle and product with its verdict, each by id, as of `as_of`."""

    studio: Studio
    as_of: date
    vessels: Mapping[str, Screened]
    burns: Mapping[str, Burned]
    products: Mapping[str, Product]


def judge(studio: Studio, day: date) -> Judged:
    """Return the verdicts on everything in `studio`, with nothing seen that is dated later."""
    vessels = {ident: screened(studio, one, day) for ident, one in sorted(studio.vessels.items())}
    burns = dict(_burned(studio, day))
    gone = dict(_gone(studio, day))
    products = dict(_products(studio, day, vessels, tuple(burns.values()), gone))
    return Judged(
        studio, day, MappingProxyType(vessels), MappingProxyType(burns), MappingProxyType(products)
    )


def _burned(studio: Studio, day: date) -> Iterator[tuple[str, Burned]]:
    candles = {ident: seen_on(burn, day) for ident, burn in sorted(studio.burns.items())}
    known = {ident: seen for ident, seen in candles.items() if seen is not None}
    copies = copies_among(known.values())
    for ident, seen in known.items():
        yield ident, burned(studio, seen, copies.get(ident, ()))


def burned(studio: Studio, seen: Seen, copies: tuple[str, ...]) -> Burned:
    """Return a test candle with its verdict and what it was made of."""
    made = seen.burn.made
    stated = combination_of_candle(studio, made)
    by_date = combination_of_candle(studio, made, by_date=True) if made.spec else None
    return Burned(candle_verdict(studio, seen, copies), stated, by_date)


def _gone(studio: Studio, day: date) -> Iterator[tuple[str, tuple[Reason, ...]]]:
    """Yield each recipe with what shows that one of its test candles is not on file."""
    by_recipe: dict[str, list[Burn]] = defaultdict(list)
    for _, burn in sorted(studio.burns.items()):
        by_recipe[burn.recipe].append(burn)
    for ident, recipe in studio.recipes.items():
        burns = by_recipe[ident]
        doubts = (reason for one in burns for reason in left_in_doubt(studio, one, day))
        yield ident, (*gone_missing(recipe, burns, day), *doubts)


def _products(
    studio: Studio,
    day: date,
    vessels: Mapping[str, Screened],
    burned: Sequence[Burned],
    gone: Mapping[str, tuple[Reason, ...]],
) -> Iterator[tuple[str, Product]]:
    targets = {
        ident: combination_of_recipe(studio, recipe, day)
        for ident, recipe in sorted(studio.recipes.items())
    }
    for ident, target in targets.items():
        recipe = studio.recipes[ident]
        candles = [burn for burn in burned if burn.is_of(target)]
        evidence = evidence_for(studio, target, candles)
        sharing = (
            *_alike(studio, target, targets, REACH),
            *_recipes_of(studio, target, candles),
        )
        case = Case(
            recipe=recipe,
            combination=target,
            evidence=evidence,
            missing_candles=tuple(_missing_candles(sharing, gone)),
            screened=vessels[recipe.vessel],
            near_misses=near_misses(studio, recipe, target, burned),
            twins=tuple(_twins(studio, target, targets, candles, evidence)),
        )
        yield ident, product(studio, day, case)


def _twins(
    studio: Studio,
    target: Combination,
    targets: Mapping[str, Combination],
    candles: Sequence[Burned],
    evidence: Evidence,
) -> Iterator[Recipe]:
    """Yield the recipes that are this candle, or that a candle which proves it speaks for."""
    passed = {candle.id for candle in evidence.passed}
    proof = [candle for candle in candles if candle.candle.id in passed]
    filed = {one.candle.seen.burn.recipe for one in proof}
    alike = {*_alike(studio, target, targets, 1.0), *filed}
    for ident, other in targets.items():
        shared = any(within(one.combination, other, studio.protocol, 1.0) for one in proof)
        if ident in alike or shared:
            yield studio.recipes[ident]


def _alike(
    studio: Studio, target: Combination, targets: Mapping[str, Combination], times: float
) -> list[str]:
    """Return the recipes that are this candle within `times` the tolerances, itself among them."""
    return [ident for ident, one in targets.items() if within(one, target, studio.protocol, times)]


def _recipes_of(studio: Studio, target: Combination, candles: Sequence[Burned]) -> list[str]:
    """Return the recipes whose test candles speak about this one, or would if they had failed."""
    return [
        candle.candle.seen.burn.recipe
        for candle in candles
        if candle.would_reach(target, studio.protocol)
    ]


def _missing_candles(
    sharing: Sequence[str], gone: Mapping[str, tuple[Reason, ...]]
) -> Iterator[Reason]:
    """Yield that candles are missing: the recipe's own, and those of any that shares evidence.

    A candle that vanished from a recipe of the same make-up might have spoken against this one.
    """
    for recipe in sorted(set(sharing)):
        for one in gone[recipe]:
            yield Reason("missing_candle", one.place, {"recipe": recipe, "why": one})
