"""How long a candle that is planned burns: by its sisters, or by candles much like it."""

from handbook_builder.derived.account import Account
from handbook_builder.derived.plan.kin import Place, kin_of, rate_at
from handbook_builder.derived.remaining import LifeGuess, life_guess
from handbook_builder.verdicts.approval import Product


def life_of(account: Account, product: Product) -> LifeGuess | None:
    """Return how long one more candle of the product burns, or None when nothing tells."""
    own = life_guess(account, product)
    if own is not None:
        return own
    recipe, studio = product.recipe, account.studio
    wick = studio.wicks[recipe.wick]
    width_mm = studio.vessels[recipe.vessel].inside_diameter_mm
    place = Place(width_mm, frozenset(recipe.wax), wick.series, recipe.wicks)
    rate = rate_at(kin_of(account, place), wick.step)
    if rate is None:
        return None
    hours_h = product.combination.net_g / rate.mean_g_per_h
    return LifeGuess(hours_h, rate.candles, measured=False, by_rate=True)
