"""What a candle is, and whether a test candle is evidence for it."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Final

from handbook_builder.figures.load import MakeUp, measured_make_up
from handbook_builder.once import once
from handbook_builder.reading.kinds.items import Item
from handbook_builder.reading.kinds.making import Made, Recipe
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.protocol import Protocol
from handbook_builder.studio.studio import Studio, spec_as_of
from handbook_builder.verdicts.code import code_of
from handbook_builder.verdicts.fills import make_up, net_fill
from handbook_builder.verdicts.readings import exceeds

# A tolerance in points of the candle would make any dye another: common practice, no source.
MOST_OF_A_TRACE: Final = 0.5


@dataclass(frozen=True, slots=True, order=True)
class Named:
    """An item in one specification of its maker."""

    id: str
    spec: int


@dataclass(frozen=True, slots=True)
class Identities:
    """The factors that are the same or not: no tolerance makes a cotton 8 of a cotton 10."""

    vessel: Named
    wick: Named
    wicks: int
    waxes: frozenset[Named]
    fragrances: frozenset[Named]
    colorants: frozenset[Named]


@dataclass(frozen=True, slots=True)
class Combination:
    """What a candle is: its identities, its shares and its net fill."""

    identities: Identities
    make_up: MakeUp
    net_g: float


@dataclass(frozen=True, slots=True)
class Difference:
    """One factor in which two combinations differ: `former` and `now`, as words or numbers.

    `factor` is vessel, wick, wicks, wax, fragrance, colorant, or the share of one of the last
    three (`fragrance_share`), or net. `item` names what the share is of.
    """

    factor: str
    item: str
    former: object
    now: object


def combination_of_recipe(studio: Studio, recipe: Recipe, day: date) -> Combination:
    """Return what the recipe's candle is on `day`, in the specifications sold that day."""
    if studio.recipes.get(recipe.source.id) is recipe:
        return _on_file(studio, recipe.source.id, day)
    return _combined(studio, recipe, day)


@once
def _on_file(studio: Studio, recipe: str, day: date) -> Combination:
    return _combined(studio, studio.recipes[recipe], day)


def _combined(studio: Studio, recipe: Recipe, day: date) -> Combination:
    def named(item: Item) -> Named:
        return Named(item.source.id, spec_as_of(item, day))

    identities = Identities(
        vessel=named(studio.vessels[recipe.vessel]),
        wick=named(studio.wicks[recipe.wick]),
        wicks=recipe.wicks,
        waxes=frozenset(named(studio.waxes[ident]) for ident in recipe.wax),
        fragrances=frozenset(named(studio.fragrances[ident]) for ident in recipe.fragrance),
        colorants=frozenset(named(studio.colorants[ident]) for ident in recipe.colorant),
    )
    return Combination(identities, make_up(recipe), net_fill(studio, recipe).net_g)


def combination_of_candle(studio: Studio, made: Made, *, by_date: bool = False) -> Combination:
    """Return what a test candle was, by the masses weighed, not by what its recipe hoped.

    Its specifications are those that it states, or `by_date` those that were sold that day.
    """

    def named(folder: str, ident: str) -> Named:
        item = Ref.to(folder, ident)
        stated = None if by_date else made.spec.get(item)
        return Named(ident, spec_as_of(studio.item(item), made.on) if stated is None else stated)

    identities = Identities(
        vessel=named("vessels", made.vessel),
        wick=named("wicks", made.wick),
        wicks=made.wicks,
        waxes=frozenset(named("waxes", one) for one in made.wax),
        fragrances=frozenset(named("fragrances", one) for one in made.fragrance),
        colorants=frozenset(named("colorants", one) for one in made.colorant),
    )
    net_g = fsum((*made.wax.values(), *made.fragrance.values(), *made.colorant.values()))
    return Combination(identities, measured_make_up(made.wax, made.fragrance, made.colorant), net_g)


def code_of_combination(one: Combination) -> str:
    """Return the code: the same for the same factors, whatever their order and their units.

    Shares count to a hundredth of a percentage point, the fill to a tenth of a gram, so that
    8 % of the wax and 7.407 % of the total are one candle.
    """
    same, shares = one.identities, one.make_up
    canonical = {
        "vessel": [same.vessel.id, same.vessel.spec],
        "wick": [same.wick.id, same.wick.spec, same.wicks],
        "wax": _canonical(same.waxes, shares.wax),
        "fragrance": _canonical(same.fragrances, shares.fragrance),
        "colorant": _canonical(same.colorants, shares.colorant),
        "net": _fixed(one.net_g, 1),
    }
    return code_of(json.dumps(canonical, sort_keys=True))


def _canonical(named: frozenset[Named], shares: Mapping[str, float]) -> list[list[object]]:
    return [
        [named_item.id, named_item.spec, _fixed(shares[named_item.id] * 100, 2)]
        for named_item in sorted(named)
    ]


def _fixed(value: float, digits: int) -> str:
    """Return `value` with `digits` decimals, after the last digits that units blur are off."""
    return f"{round(value, 7):.{digits}f}"


def within(candle: Combination, target: Combination, protocol: Protocol, times: float) -> bool:
    """Return whether a test candle of the same identities is as near as `times` the tolerances."""
    if candle.identities != target.identities:
        return False
    gaps = _gaps(candle, target, protocol)
    return not any(exceeds(gap, times * allowed) for gap, allowed in gaps)


def _gaps(
    candle: Combination, target: Combination, protocol: Protocol
) -> Iterator[tuple[float, float]]:
    """Yield how far each measured factor lies from the target, and how far it may."""
    yield abs(candle.net_g - target.net_g), protocol.fill_tolerance * target.net_g
    for _, measured, hoped in _shares(candle.make_up, target.make_up):
        for ident, share in hoped.items():
            yield abs(measured[ident] - share), allowed_off(share, protocol)


def allowed_off(share: float, protocol: Protocol) -> float:
    """Return by how much a share may be off: of a trace, no more than half of it."""
    return min(protocol.load_tolerance, MOST_OF_A_TRACE * share)


def _shares(
    one: MakeUp, other: MakeUp
) -> tuple[tuple[str, Mapping[str, float], Mapping[str, float]], ...]:
    return (
        ("wax_share", one.wax, other.wax),
        ("fragrance_share", one.fragrance, other.fragrance),
        ("colorant_share", one.colorant, other.colorant),
    )


def differences(
    candle: Combination, target: Combination, protocol: Protocol
) -> tuple[Difference, ...]:
    """Return every factor in which a test candle is not the target, identities first."""
    same, now = candle.identities, target.identities
    plain = (
        ("vessel", same.vessel, now.vessel),
        ("wick", same.wick, now.wick),
        ("wicks", same.wicks, now.wicks),
        ("wax", tuple(sorted(same.waxes)), tuple(sorted(now.waxes))),
        ("fragrance", tuple(sorted(same.fragrances)), tuple(sorted(now.fragrances))),
        ("colorant", tuple(sorted(same.colorants)), tuple(sorted(now.colorants))),
    )
    unlike = [
        Difference(factor, "", former, here) for factor, former, here in plain if former != here
    ]
    return (*unlike, *_off(candle, target, protocol))


def _off(candle: Combination, target: Combination, protocol: Protocol) -> Iterator[Difference]:
    """Yield the measured factors that lie outside the tolerances."""
    for factor, measured, hoped in _shares(candle.make_up, target.make_up):
        for ident, share in hoped.items():
            found = measured.get(ident, share)
            if exceeds(abs(found - share), allowed_off(share, protocol)):
                yield Difference(factor, ident, found, share)
    if exceeds(abs(candle.net_g - target.net_g), protocol.fill_tolerance * target.net_g):
        yield Difference("net", "", candle.net_g, target.net_g)
