"""All that is known of money in a studio: for its owner, and for nobody at the bench."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handbook_builder.derived.burns import BurnFigures
from handbook_builder.derived.money.bills import Prices, candle_cost, prices_on
from handbook_builder.derived.money.products import ProductMoney, product_money
from handbook_builder.derived.money.vessels import Keep, keep
from handbook_builder.figures.load import Masses
from handbook_builder.verdicts.judge import Judged


@dataclass(frozen=True, slots=True)
class Money:
    """Every price, every product's cost and offers, and what each vessel earns."""

    prices: Prices
    products: Mapping[str, ProductMoney]
    keep: Keep


def money_of(
    judged: Judged, weights: Mapping[str, Masses], burns: Mapping[str, BurnFigures]
) -> Money:
    """Return all that is known of money as of the day of the verdicts."""
    prices = prices_on(judged.studio, judged.as_of)
    costs = {
        ident: candle_cost(judged.studio, one.recipe, weights[ident], prices)
        for ident, one in judged.products.items()
    }
    products = {
        ident: product_money(judged, ident, costs, prices, burns) for ident in judged.products
    }
    return Money(prices, MappingProxyType(products), keep(judged, prices, products, burns))
