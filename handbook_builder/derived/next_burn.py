"""The next test candles of a recipe: their letters, their make-up, and what to weigh."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.worked_out import lots_on_shelf
from handbook_builder.figures.load import Masses, masses, rounded_masses
from handbook_builder.reading.kinds.making import Burn, Recipe
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.studio import Studio, spec_as_of
from handbook_builder.verdicts.combination import code_of_combination, combination_of_recipe
from handbook_builder.verdicts.fills import net_fill
from handbook_builder.verdicts.incidents import held_by
from handbook_builder.verdicts.screening import Screened, screened
from handbook_builder.verdicts.series import letters


@dataclass(frozen=True, slots=True)
class NextBurn:
    """What the next test candles of a recipe are to be, as of the day they are poured.

    `newest` is the newest test candle of the studio, or None, and `scale_g` the readability of the
    scale that it was weighed on. `raised` names each item in a specification above the first.
    `on_file` counts the recipe's test candles that are on file, `poured` those that its letters
    speak of; `together` are those poured on the same day. `lots` are those of each item that were
    bought by then.
    """

    recipe: Recipe
    on: date
    letters: tuple[str, ...]
    code: str
    net_g: float
    weights: Masses
    newest: Burn | None
    raised: Mapping[str, int]
    screened: Screened
    on_file: int
    poured: int
    together: tuple[Burn, ...]
    lots: Mapping[Ref, tuple[str, ...]]

    @property
    def scale_g(self) -> float | None:
        """Return the readability of the scale that the newest test candle was weighed on."""
        return None if self.newest is None else self.newest.scale_g

    @property
    def candles(self) -> int:
        """Return how many are poured together on the day, as the records of that day will say."""
        return max((burn.made.candles for burn in self.together), default=0) + len(self.letters)


def next_burn(studio: Studio, recipe: Recipe, on: date, candles: int) -> NextBurn:
    """Return the make-up of the next `candles` test candles of `recipe`, poured together."""
    combination = combination_of_recipe(studio, recipe, on)
    net_g = net_fill(studio, recipe).net_g
    weights, newest = masses(combination.make_up, net_g), _newest(studio)
    burns = [burn for burn in studio.burns.values() if burn.recipe == recipe.source.id]
    poured = _poured(burns)
    return NextBurn(
        recipe=recipe,
        on=on,
        letters=letters(poured + candles)[poured:],
        code=code_of_combination(combination),
        net_g=net_g,
        weights=_shown(weights, None if newest is None else newest.scale_g),
        newest=newest,
        raised=_raised(studio, recipe, on),
        screened=screened(studio, studio.vessels[recipe.vessel], on),
        on_file=len(burns),
        poured=poured,
        together=tuple(burn for burn in burns if burn.made.on == on),
        lots=lots_on_shelf(studio, _burned_items(recipe), on),
    )


def _burned_items(recipe: Recipe) -> list[Ref]:
    """Return what goes into a test candle and may have come in lots: a box does not burn."""
    return [item for item in held_by(recipe) if item.burns]


def _shown(weights: Masses, scale_g: float | None) -> Masses:
    """Return the weights as the scale shows them; where it shows no wax at all, as they are."""
    if scale_g is None or all(mass_g < scale_g for mass_g in weights.wax_g.values()):
        return weights
    return rounded_masses(weights, scale_g).masses


def _poured(burns: Sequence[Burn]) -> int:
    """Return how many were poured by their last letter: none is used twice, if one is missing."""
    used = {burn.candle for burn in burns}
    first = 0
    while used:
        used.discard(letters(first + 1)[first])
        first += 1
    return first


def _newest(studio: Studio) -> Burn | None:
    return max(studio.burns.values(), key=lambda one: (one.made.on, one.source.id), default=None)


def _raised(studio: Studio, recipe: Recipe, on: date) -> dict[str, int]:
    """Return each item of the recipe in a later specification than its first."""
    named = {
        "vessels": (recipe.vessel,),
        "waxes": recipe.wax,
        "wicks": (recipe.wick,),
        "fragrances": recipe.fragrance,
        "colorants": recipe.colorant,
    }
    items = [
        Ref.to(kind, named_item) for kind in ITEM_FOLDERS for named_item in named.get(kind, ())
    ]
    specs = {item: spec_as_of(studio.item(item), on) for item in items}
    return {item: spec for item, spec in specs.items() if spec > 1}
