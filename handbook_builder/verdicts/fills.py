"""What a vessel holds and what goes into it, worked out from the records."""

from dataclasses import dataclass
from math import fsum

from handbook_builder.figures.fill import (
    Part,
    headspace_volume_ml,
    mixture_density_g_per_ml,
    volume_by_water_ml,
)
from handbook_builder.figures.load import (
    MakeUp,
    make_up_on_total,
    make_up_on_wax,
    total_load_on_wax,
)
from handbook_builder.reading.kinds.items import Fill, Vessel, Wax, cylinder_mm
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class NetFill:
    """The mass of wax, oil and colorant in one candle, and how it was found.

    `density_g_per_ml` is of the mixture; `hot` says that it is of the molten wax, which a recipe
    asks for when it is filled hot to the line.
    `volume_ml` is what that mass takes up at that density. `stated` says that the recipe
    gives the mass itself.
    """

    net_g: float
    volume_ml: float
    density_g_per_ml: float
    hot: bool
    stated: bool


def volume_ml(vessel: Vessel, form: Fill) -> float:
    """Return the volume of one form of fill, in millilitres."""
    if form.water is not None:
        return volume_by_water_ml(*form.water)
    if form.volume_ml is not None:
        return form.volume_ml
    return headspace_volume_ml(*cylinder_mm(vessel, form))


def brim_ml(vessel: Vessel) -> float | None:
    """Return the volume to the brim in millilitres, or None when the record has none."""
    return None if vessel.brim is None else volume_ml(vessel, vessel.brim)


def make_up(recipe: Recipe) -> MakeUp:
    """Return the recipe's shares, whichever basis it states its load on."""
    build = make_up_on_wax if recipe.load_basis == "wax" else make_up_on_total
    return build(recipe.wax, recipe.fragrance, recipe.colorant)


def net_fill(studio: Studio, recipe: Recipe) -> NetFill:
    """Return the net fill of one candle of `recipe`.

    To the line it is the volume to the line of wax that has set, with the solid densities at
    20 °C, unless the recipe says that it is filled hot; by ideal mixing of volumes over wax and
    oil. A density that is written down later changes no candle that it does not name.
    """
    hot = recipe.fill.hot
    parts = [
        Part(share, _density(studio.waxes[ident], hot=hot)) for ident, share in recipe.wax.items()
    ]
    parts += _oil_parts(studio, recipe, total_load_on_wax(make_up(recipe)))
    density = mixture_density_g_per_ml(parts)
    stated_g = recipe.fill.mass_g
    if stated_g is not None:
        return NetFill(stated_g, stated_g / density, density, hot, stated=True)
    vessel = studio.vessels[recipe.vessel]
    to_line = volume_ml(vessel, vessel.fill)
    return NetFill(to_line * density, to_line, density, hot, stated=False)


def _density(wax: Wax, *, hot: bool) -> float:
    """Return the density to fill with; linking has seen to it that a molten one is on file."""
    molten = wax.liquid_density if hot else None
    return wax.density_g_per_ml if molten is None else molten.density_g_per_ml


def _oil_parts(studio: Studio, recipe: Recipe, load: float) -> list[Part]:
    """Return the oils' parts, as masses for one gram of wax."""
    total = fsum(recipe.fragrance.values())
    return [
        Part(load * one / total, studio.fragrances[ident].density_g_per_ml)
        for ident, one in recipe.fragrance.items()
    ]
