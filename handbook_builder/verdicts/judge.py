"""The whole studio judged as of one day."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING

from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import (
    REACH,
    Burned,
    Case,
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
from handbook_builder.verdicts.seen import seen_on
from handbook_builder.verdicts.series import gone_missing

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
        combination = combination_of_candle(studio, seen.burn.made)
        yield ident, Burned(candle_verdict(studio, seen, copies.get(ident, ())), combination)


def _gone(studio: Studio, day: date) -> Iterator[tuple[str, tuple[Reason, ...]]]:
    """Yield each recipe with what shows that one of its test candles is not on file."""
    shortest_h = studio.protocol.cycle_h - studio.protocol.cycle_tolerance_h
    by_recipe: dict[str, list[Burn]] = defaultdict(list)
    for _, burn in sorted(studio.burns.items()):
        by_recipe[burn.recipe].append(burn)
    for ident, recipe in studio.recipes.items():
        yield ident, gone_missing(recipe, by_recipe[ident], day, shortest_h)


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
        candles = [one for one in burned if one.combination.identities == target.identities]
        sharing = (
            *_alike(studio, target, targets, REACH),
            *_recipes_of(studio, target, candles),
        )
        case = Case(
            recipe=recipe,
            combination=target,
            evidence=evidence_for(studio, target, candles),
            missing_candles=tuple(_missing_candles(sharing, gone)),
            screened=vessels[recipe.vessel],
            near_misses=near_misses(studio, recipe, target, burned),
            twins=tuple(studio.recipes[one] for one in _alike(studio, target, targets, 1.0)),
        )
        yield ident, product(studio, day, case)


def _alike(
    studio: Studio, target: Combination, targets: Mapping[str, Combination], times: float
) -> list[str]:
    """Return the recipes that are this candle within `times` the tolerances, itself among them."""
    return [ident for ident, one in targets.items() if within(one, target, studio.protocol, times)]


def _recipes_of(studio: Studio, target: Combination, candles: Sequence[Burned]) -> list[str]:
    """Return the recipes whose test candles speak about this one, for good or ill."""
    return [
        one.candle.seen.burn.recipe
        for one in candles
        if within(one.combination, target, studio.protocol, REACH)
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
