"""All that is known of money in a studio: for its owner, and for nobody at the bench."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from handbook_builder.derived.burns import BurnFigures
from handbook_builder.derived.money.bills import CandleCost, Prices, candle_cost, prices_on
from handbook_builder.derived.money.products import ProductMoney, product_money
from handbook_builder.derived.money.swaps import Swap, swaps_of
from handbook_builder.derived.money.vessels import Keep, keep
from handbook_builder.figures.load import Masses
from handbook_builder.once import Found
from handbook_builder.verdicts.judge import Judged


@dataclass(frozen=True)
class Money:
    """Every price, every product's cost, offers and swaps, and what each vessel earns."""

    prices: Prices
    costs: Mapping[str, CandleCost]
    products: Mapping[str, ProductMoney]
    swaps: Mapping[str, tuple[Swap, ...]]
    find_keep: Callable[[], Keep]

    @cached_property
    def keep(self) -> Keep:
        """Return what each vessel earns, which takes the money of every product."""
        return self.find_keep()


def money_of(
    judged: Judged, weights: Mapping[str, Masses], burns: Mapping[str, BurnFigures]
) -> Money:
    """Return all that is known of money as of the day of the verdicts."""
    studio, prices = judged.studio, prices_on(judged.studio, judged.as_of)
    costs = Found(
        judged.products,
        lambda ident: candle_cost(studio, studio.recipes[ident], weights[ident], prices),
    )
    products = Found(
        judged.products, lambda ident: product_money(judged, ident, costs[ident], burns)
    )
    swaps = Found(
        judged.products,
        lambda ident: swaps_of(
            judged, judged.products[ident], costs, prices, products[ident].asked
        ),
    )
    return Money(prices, costs, products, swaps, lambda: keep(judged, prices, products, burns))
