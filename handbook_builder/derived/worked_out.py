"""What a new record can be told from those on file: a code, a fill in grams, the lots there are."""

from collections.abc import Iterable, Mapping
from datetime import date

from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import lines_by_item
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.fills import net_fill
from handbook_builder.verdicts.former import code_on


def batch_code(studio: Studio, recipe: str, on: date) -> str | None:
    """Return the code of what a batch of `recipe` is on its day, or None for an unknown recipe."""
    return code_on(studio, recipe, on) if recipe in studio.recipes else None


def fill_in_grams(studio: Studio, recipe: Recipe) -> float | None:
    """Return the grams that a fill to the line comes to, or None when the recipe gives a mass.

    Written down, no density and no vessel that is measured anew makes another candle of it.
    """
    known = (
        recipe.vessel in studio.vessels
        and recipe.wax.keys() <= studio.waxes.keys()
        and recipe.fragrance.keys() <= studio.fragrances.keys()
        and not (recipe.fill.hot and any(
            studio.waxes[ident].liquid_density is None for ident in recipe.wax
        ))
    )  # fmt: skip
    if recipe.fill.mass_g is not None or not known:
        return None
    return net_fill(studio, recipe).net_g


def lots_on_shelf(studio: Studio, items: Iterable[Ref], on: date) -> Mapping[Ref, tuple[str, ...]]:
    """Return the lots of each item that were bought by a day, the newest first."""
    lots = {item: _newest_lots(studio, item, on) for item in items}
    return {item: known for item, known in lots.items() if known}


def _newest_lots(studio: Studio, item: Ref, on: date) -> tuple[str, ...]:
    bought = [
        (billed.purchase.on, billed.line.lot)
        for billed in lines_by_item(studio).get(item, ())
        if billed.line.lot is not None and billed.purchase.on <= on
    ]
    return tuple(dict.fromkeys(lot for _, lot in sorted(bought, reverse=True)))
