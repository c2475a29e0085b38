"""A candle that cannot fit its vessel is a fault of the records."""

from collections.abc import Iterator

from handbook_builder.problems import Problem, problem
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.fills import brim_ml, net_fill


def misfits(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each recipe whose stated fill would run over the brim."""
    for recipe in studio.recipes.values():
        brim = brim_ml(studio.vessels[recipe.vessel])
        fill = net_fill(studio, recipe)
        if brim is not None and fill.volume_ml > brim:
            details = {
                "fill_g": fill.net_g,
                "need_ml": fill.volume_ml,
                "vessel": recipe.vessel,
                "brim_ml": brim,
            }
            yield problem(recipe.source.place("fill"), "cannot_fit", details)
