"""What one candle takes out of the store, to the microgram: for a pour, a plan and an order."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from handbook_builder.figures.load import Masses
from handbook_builder.figures.pour import MILLION, micrograms
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio


def kept_ppm(studio: Studio) -> int:
    """Return how much of what is weighed gets into candles, in parts of a million."""
    return round((1.0 - studio.info.pitcher_loss) * MILLION)


def takes_of(studio: Studio, recipe: Recipe, weights: Masses) -> Iterator[tuple[Ref, Fraction]]:
    """Yield what one candle of these weights takes of everything that burns or holds it.

    In grams, what stays in the pitcher included, or in pieces. What it is packed in is left out: a
    test candle leaves the studio in nothing.
    """
    for folder, masses_g in _weighed(weights).items():
        for ident, mass_g in masses_g.items():
            yield Ref.to(folder, ident), Fraction(micrograms(mass_g), kept_ppm(studio))
    yield Ref.to("vessels", recipe.vessel), Fraction(1)
    yield Ref.to("wicks", recipe.wick), Fraction(recipe.wicks)


def packed_in(recipe: Recipe) -> Iterator[tuple[Ref, Fraction]]:
    """Yield how many pieces of each packaging one candle takes."""
    for ident, number in recipe.packaging.items():
        yield Ref.to("packaging", ident), Fraction(number)


def _weighed(weights: Masses) -> Mapping[str, Mapping[str, float]]:
    return {
        "waxes": weights.wax_g,
        "fragrances": weights.fragrance_g,
        "colorants": weights.colorant_g,
    }
