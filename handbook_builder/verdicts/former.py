"""A batch that was poured as a candle that its recipe is no more, and what may have been in it."""

from datetime import date

from handbook_builder.once import once
from handbook_builder.reading.kinds.making import made_of
from handbook_builder.reading.kinds.trade import Batch
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.found import burns_by_recipe
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.code import plain
from handbook_builder.verdicts.combination import code_of_combination, combination_of_recipe


def is_former(studio: Studio, batch: Batch) -> bool:
    """Return whether a batch was poured as a candle that its recipe is no more.

    A batch bears the code of the combination that it was poured as; without one it is its
    recipe's. The code is that of the recipe on the day of the batch.
    """
    if batch.code is None:
        return False
    return plain(code_on(studio, batch.recipe, batch.on)) != plain(batch.code)


@once
def code_on(studio: Studio, recipe: str, day: date) -> str:
    """Return the code of what a recipe's candle is on `day`."""
    return code_of_combination(combination_of_recipe(studio, studio.recipes[recipe], day))


def formerly_in(studio: Studio, batch: Batch) -> frozenset[Ref]:
    """Return what may be in a batch of a former make-up, and in none of another.

    What it was stands in its code alone, which nobody can read back. It was proven by test candles
    of its recipe, so that whatever was in any of them by then may be in it.
    """
    if not is_former(studio, batch):
        return frozenset()
    burns = burns_by_recipe(studio).get(batch.recipe, ())
    return frozenset(
        item for burn in burns if burn.made.on <= batch.on for item in made_of(burn.made)
    )
