"""The hazards of each recipe's finished candle, from the sheets of its oils and dyes.

By the rules of the EU and Great Britain; a studio that sells in neither gets no such figure.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Final

from handbook_builder.figures.load import blended_limit
from handbook_builder.hazards.classify import Result, classify
from handbook_builder.hazards.component import Component, Note
from handbook_builder.hazards.steps import Mixture, Step, blend, steps
from handbook_builder.once import once
from handbook_builder.reading.kinds import components as written
from handbook_builder.reading.kinds.items import Colorant, Fragrance
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.studio import Studio, counting

MARKETS: Final = frozenset({"eu", "gb"})
# Shares are written with seven digits behind the point at the most: of fractions with no larger
# denominator the one nearest to a float is the decimal number that was written.
_FINEST: Final = 10**8
# Items by their ids, each with its share.
_Parts = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class CandleHazards:
    """The hazards of a candle at its own `load_on_wax`, and what changes them up to `up_to`.

    `result` is incomplete while a sheet is missing or not copied as a whole.
    """

    load_on_wax: Fraction
    up_to: Fraction
    result: Result
    steps: tuple[Step, ...]


def is_asked(studio: Studio) -> bool:
    """Return whether any market of the studio asks for these hazards."""
    return bool(MARKETS.intersection(studio.info.markets))


def candle_hazards(studio: Studio, recipe: Recipe, day: date) -> CandleHazards:
    """Return the hazards of a recipe's candle, by the sheets of `day`.

    Steps are looked for up to what the waxes take, or to the recipe's own load if that is more.
    """
    if studio.recipes.get(recipe.source.id) is recipe:
        return _on_file(studio, recipe.source.id, day)
    return _hazards(studio, recipe, day)


@once
def _on_file(studio: Studio, recipe: str, day: date) -> CandleHazards:
    return _hazards(studio, studio.recipes[recipe], day)


def _hazards(studio: Studio, recipe: Recipe, day: date) -> CandleHazards:
    load = sum(_oils_and_dyes(recipe)[0].values(), Fraction(0))
    limits = {ident: studio.waxes[ident].max_load for ident in recipe.wax}
    up_to = max(load, exactly(blended_limit(recipe.wax, limits)))
    return CandleHazards(
        load_on_wax=load,
        up_to=up_to,
        result=hazards_now(studio, recipe, day),
        steps=_steps(studio, *_portions(recipe), up_to),
    )


@once
def _steps(studio: Studio, oils: _Parts, dyes: _Parts, up_to: Fraction) -> tuple[Step, ...]:
    """Return the steps of whatever holds the same oils and dyes: they are of any load."""
    return steps(_mixture(studio, oils, dyes), up_to)


def hazards_now(studio: Studio, recipe: Recipe, day: date) -> Result:
    """Return the hazards of a recipe's candle at its own load, by the sheets of `day`."""
    mixture, load = mixture_of(studio, recipe)
    gaps = tuple(_gaps(studio, recipe, day))
    known = classify(mixture.at(load))
    return replace(
        known,
        complete=known.complete and not gaps,
        missing=(*gaps, *known.missing),
        told=(*known.told, *_taken(recipe)),
    )


def mixture_of(studio: Studio, recipe: Recipe) -> tuple[Mixture, Fraction]:
    """Return a recipe's candle but for its load, and that load of all oils on the wax's mass.

    The oils keep their proportions, and the dyes what they are of the wax.
    """
    load = sum(_oils_and_dyes(recipe)[0].values(), Fraction(0))
    return _mixture(studio, *_portions(recipe)), load


def _oils_and_dyes(recipe: Recipe) -> tuple[Mapping[str, Fraction], Mapping[str, Fraction]]:
    """Return the mass of each oil, and of each dye, over the mass of wax."""
    dyes = {ident: exactly(share) for ident, share in recipe.colorant.items()}
    return _loads(recipe, sum(dyes.values(), Fraction(0))), dyes


def _portions(recipe: Recipe) -> tuple[_Parts, _Parts]:
    """Return each oil as a share of all oils, and each dye as a share of the wax."""
    loads, dyes = _oils_and_dyes(recipe)
    load = sum(loads.values(), Fraction(0))
    return tuple((ident, part / load) for ident, part in loads.items()), tuple(dyes.items())


def _mixture(studio: Studio, oils: _Parts, dyes: _Parts) -> Mixture:
    known, colours = studio.fragrances, studio.colorants
    return Mixture(
        oil=blend((part, _components(known[ident])) for ident, part in oils),
        dyes=blend((part, _components(colours[ident])) for ident, part in dyes),
        dye_on_wax=sum((part for _, part in dyes), Fraction(0)),
    )


def _loads(recipe: Recipe, dye: Fraction) -> Mapping[str, Fraction]:
    """Return the mass of each oil over the mass of wax, whichever basis the recipe states.

    r = s (1 + c) / (1 - S), with S the oils' share of the candle and c the dyes' of the wax.
    """
    stated = {ident: exactly(share) for ident, share in recipe.fragrance.items()}
    if recipe.load_basis == "wax":
        return stated
    whole = (1 + dye) / (1 - sum(stated.values(), Fraction(0)))
    return {ident: share * whole for ident, share in stated.items()}


def exactly(value: float) -> Fraction:
    """Return the decimal number that a record had, of up to seven digits behind the point."""
    return Fraction(value).limit_denominator(_FINEST)


def _components(item: Fragrance | Colorant) -> tuple[Component, ...]:
    return tuple(_component(listed) for listed in item.components)


def _component(listed: written.Component) -> Component:
    """Return a component as the rules take it, at its share of the oil or dye."""
    doses = {
        "oral": listed.ate_oral,
        "dermal": listed.ate_dermal,
        "vapour": listed.ate_vapour,
        "mist": listed.ate_mist,
    }
    limits = {limit.of: exactly(limit.at) for limit in listed.limits}
    if listed.limit is not None:
        limits[listed.limitable[0]] = exactly(listed.limit)
    return Component(
        name=listed.name,
        cas=listed.cas,
        share=exactly(listed.share),
        hazards=listed.hazards,
        m_acute=None if listed.m_acute is None else exactly(listed.m_acute),
        m_chronic=None if listed.m_chronic is None else exactly(listed.m_chronic),
        ate={route: exactly(dose) for route, dose in doses.items() if dose is not None},
        limits=limits,
    )


def _gaps(studio: Studio, recipe: Recipe, day: date) -> Iterator[Note]:
    """Yield what keeps the lists of the oils and dyes from being believed whole.

    A safety sheet of a former make of the oil says nothing of the present one.
    """
    for ident in recipe.fragrance:
        oil = studio.fragrances[ident]
        if not counting(oil, oil.safety_sheet, day):
            yield Note("no_safety_sheet", ident)
        yield from _unlisted(oil)
    for ident in recipe.colorant:
        yield from _unlisted(studio.colorants[ident])


def _unlisted(item: Fragrance | Colorant) -> Iterator[Note]:
    """Yield that the list is not whole, or that nobody says so."""
    ident, listed = item.source.id, len(item.components)
    if item.sheet_lists is None:
        yield Note("sheet_lists_unsaid", ident)
    elif listed < item.sheet_lists:
        yield Note("components_missing", ident, detail=f"{listed}/{item.sheet_lists}")


def _taken(recipe: Recipe) -> Iterator[Note]:
    """Yield that a wax is taken to have no hazard: its record lists no components."""
    for ident in recipe.wax:
        yield Note("wax_taken_as_harmless", ident)
