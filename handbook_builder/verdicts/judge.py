"""The whole studio judged as of one day."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from types import MappingProxyType

from handbook_builder.once import once
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.found import burns_by_recipe
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
    Identities,
    combination_of_candle,
    combination_of_recipe,
    within,
)
from handbook_builder.verdicts.copies import copies_among
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screened, screened
from handbook_builder.verdicts.seen import Seen, seen_on
from handbook_builder.verdicts.series import gone_missing
from handbook_builder.verdicts.unsaid import left_in_doubt


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Judged:
    """Every vessel, test candle and product with its verdict, each by id, as of `as_of`."""

    studio: Studio
    as_of: date
    vessels: Mapping[str, Screened]
    burns: Mapping[str, Burned]
    products: Mapping[str, Product]


# What of a candle was seen: its record, how many cycles, its end, whether it is set aside, and whom
# it repeats. With the rest of the studio as it is, its verdict follows from that, whatever the day.
_Shown = tuple[str, int, bool, bool, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Memory:
    """What was found out about the test candles of one studio, to be asked about other days.

    `repeats` are the only candles that may repeat others, or None while that is not known: whoever
    repeats another on any day does so once all is seen.
    """

    repeats: frozenset[str] | None = None
    burned: dict[_Shown, Burned] = field(default_factory=dict)
    doubts: dict[_Shown, tuple[Reason, ...]] = field(default_factory=dict)


def judge(
    studio: Studio, day: date, memory: Memory | None = None, only: str | None = None
) -> Judged:
    """Return the verdicts on everything in `studio`, with nothing seen that is dated later.

    `memory` is what the same test candles were found to be on other days; of the products, `only`
    one may be asked about.
    """
    memory = Memory() if memory is None else memory
    vessels = {ident: screened(studio, one, day) for ident, one in sorted(studio.vessels.items())}
    burns = dict(_burned(studio, day, memory))
    gone = cache(lambda recipe: tuple(_gone(studio, recipe, day, memory)))
    products = dict(_products(studio, day, vessels, tuple(burns.values()), gone, only))
    return Judged(
        studio, day, MappingProxyType(vessels), MappingProxyType(burns), MappingProxyType(products)
    )


@once
def failed_in(judged: Judged) -> tuple[Burned, ...]:
    """Return the test candles that failed, in the order of their ids."""
    return tuple(one for one in judged.burns.values() if one.candle.verdict is Verdict.FAIL)


@once
def burned_alike(judged: Judged) -> Mapping[Identities, tuple[Burned, ...]]:
    """Return the test candles by what they state to be made of, in the order of their ids."""
    found: dict[Identities, list[Burned]] = defaultdict(list)
    for one in judged.burns.values():
        found[one.combination.identities].append(one)
    return {identities: tuple(burns) for identities, burns in found.items()}


@once
def burned_of(judged: Judged) -> Mapping[str, tuple[Burned, ...]]:
    """Return the test candles by the recipe that they name, in the order of their ids."""
    found: dict[str, list[Burned]] = defaultdict(list)
    for one in judged.burns.values():
        found[one.candle.seen.burn.recipe].append(one)
    return {recipe: tuple(burns) for recipe, burns in found.items()}


def _burned(studio: Studio, day: date, memory: Memory) -> Iterator[tuple[str, Burned]]:
    candles = {ident: seen_on(burn, day) for ident, burn in sorted(studio.burns.items())}
    known = {ident: seen for ident, seen in candles.items() if seen is not None}
    able = known.keys() if memory.repeats is None else known.keys() & memory.repeats
    copies = copies_among(known[ident] for ident in sorted(able))
    for ident, seen in known.items():
        shown = _shown(seen, copies.get(ident, ()))
        if shown not in memory.burned:
            memory.burned[shown] = burned(studio, seen, copies.get(ident, ()))
        yield ident, memory.burned[shown]


def _shown(seen: Seen, copies: tuple[str, ...] = ()) -> _Shown:
    return (seen.burn.source.id, len(seen.cycles), seen.end is not None, seen.is_void, copies)


def burned(studio: Studio, seen: Seen, copies: tuple[str, ...]) -> Burned:
    """Return a test candle with its verdict and what it was made of."""
    made = seen.burn.made
    stated = combination_of_candle(studio, made)
    by_date = combination_of_candle(studio, made, by_date=True) if made.spec else None
    return Burned(candle_verdict(studio, seen, copies), stated, by_date)


def _gone(studio: Studio, ident: str, day: date, memory: Memory) -> Iterator[Reason]:
    """Yield what shows that one of a recipe's test candles is not on file."""
    burns = sorted(burns_by_recipe(studio).get(ident, ()), key=lambda one: one.source.id)
    yield from gone_missing(studio.recipes[ident], burns, day)
    for one in burns:
        seen = seen_on(one, day)
        if seen is not None:
            shown = _shown(seen)
            if shown not in memory.doubts:
                memory.doubts[shown] = tuple(left_in_doubt(studio, one, day))
            yield from memory.doubts[shown]


def _products(  # noqa: PLR0913, PLR0917 -- one a thing that a verdict is made from
    studio: Studio,
    day: date,
    vessels: Mapping[str, Screened],
    burned: Sequence[Burned],
    gone: Callable[[str], tuple[Reason, ...]],
    only: str | None,
) -> Iterator[tuple[str, Product]]:
    others = _Others(studio, day, burned)
    for ident in others.targets if only is None else (only,):
        target, recipe = others.targets[ident], studio.recipes[ident]
        candles = others.candles_of(target)
        evidence = evidence_for(studio, target, candles)
        sharing = (*others.alike(target, REACH), *_recipes_of(studio, target, candles))
        case = Case(
            recipe=recipe,
            combination=target,
            evidence=evidence,
            missing_candles=tuple(_missing_candles(sharing, gone)),
            screened=vessels[recipe.vessel],
            near_misses=near_misses(studio, recipe, target, others.filed.get(ident, ())),
            twins=tuple(others.twins(target, candles, evidence)),
        )
        yield ident, product(studio, day, case)


class _Others:
    """All recipes and test candles by what they are made of: no other can be the same candle."""

    def __init__(self, studio: Studio, day: date, burned: Sequence[Burned]) -> None:
        self.studio, self.burned = studio, burned
        self.targets = {
            ident: combination_of_recipe(studio, recipe, day)
            for ident, recipe in sorted(studio.recipes.items())
        }
        self.made: dict[Identities, list[str]] = defaultdict(list)
        for ident, target in self.targets.items():
            self.made[target.identities].append(ident)
        self.tested: dict[Identities, list[int]] = defaultdict(list)
        self.filed: dict[str, list[Burned]] = defaultdict(list)
        for at, one in enumerate(burned):
            kinds = (one.combination, one.by_date)
            for identities in {kind.identities for kind in kinds if kind is not None}:
                self.tested[identities].append(at)
            self.filed[one.candle.seen.burn.recipe].append(one)

    def candles_of(self, target: Combination) -> list[Burned]:
        """Return the candles that may speak about `target`, within tolerances or not."""
        return [self.burned[at] for at in self.tested.get(target.identities, ())]

    def alike(self, target: Combination, times: float) -> list[str]:
        """Return the recipes that are this candle within `times` the tolerances, itself too."""
        protocol = self.studio.protocol
        return [
            ident
            for ident in self.made.get(target.identities, ())
            if within(self.targets[ident], target, protocol, times)
        ]

    def twins(
        self, target: Combination, candles: Sequence[Burned], evidence: Evidence
    ) -> Iterator[Recipe]:
        """Yield the recipes that are this candle, or that a candle which proves it speaks for."""
        passed = {candle.id for candle in evidence.passed}
        proof = [candle for candle in candles if candle.candle.id in passed]
        filed = {one.candle.seen.burn.recipe for one in proof}
        shared = {ident for one in proof for ident in self._spoken_for(one.combination)}
        for ident in sorted({*self.alike(target, 1.0), *filed, *shared} & self.targets.keys()):
            yield self.studio.recipes[ident]

    def _spoken_for(self, candle: Combination) -> Iterator[str]:
        """Yield the recipes that a candle speaks for."""
        for ident in self.made.get(candle.identities, ()):
            if within(candle, self.targets[ident], self.studio.protocol, 1.0):
                yield ident


def _recipes_of(studio: Studio, target: Combination, candles: Sequence[Burned]) -> list[str]:
    """Return the recipes whose test candles speak about this one, or would if they had failed."""
    return [
        candle.candle.seen.burn.recipe
        for candle in candles
        if candle.would_reach(target, studio.protocol)
    ]


def _missing_candles(
    sharing: Sequence[str], gone: Callable[[str], tuple[Reason, ...]]
) -> Iterator[Reason]:
    """Yield that candles are missing: the recipe's own, and those of any that shares evidence.

    A candle that vanished from a recipe of the same make-up might have spoken against this one.
    """
    for recipe in sorted(set(sharing)):
        for one in gone(recipe):
            yield Reason("missing_candle", one.place, {"recipe": recipe, "why": one})
