"""The same scent in another vessel: what happens to its cost and its margin."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from handbook_builder.derived.money.bills import CandleCost, Prices, candle_cost
from handbook_builder.derived.money.pricing import Offer, by_margin, offer_at
from handbook_builder.figures.load import masses
from handbook_builder.once import once
from handbook_builder.reading.kinds.making import Recipe, RecipeFill
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.fills import net_fill
from handbook_builder.verdicts.judge import Judged


@dataclass(frozen=True, slots=True)
class Swap:
    """The scent in one vessel.

    `proven` is the approved product that holds it there, or None: then the cost is an estimate
    with the present make-up filled to that vessel's line, and nothing is proven. `own` says that
    it is the product itself. `margin` is what is left at the product's present price, `keeping`
    the price that would keep its present margin.
    """

    vessel: str
    own: bool
    proven: str | None
    cost: CandleCost
    change: Decimal | None
    margin: Decimal | None
    keeping: Decimal | None


def swaps_of(
    judged: Judged,
    product: Product,
    costs: Mapping[str, CandleCost],
    prices: Prices,
    offer: Offer | None,
) -> tuple[Swap, ...]:
    """Return the product itself, then its scent in every other vessel, the proven ones first."""
    own = costs[product.recipe.source.id]
    found = [
        _swap(judged, vessel, proven, cost, own, offer)
        for vessel, proven, cost in _elsewhere(judged, product, costs, prices)
    ]
    found.sort(key=lambda one: (one.proven is None, one.vessel, one.proven or ""))
    mine = product.recipe.source.id if product.status is Status.APPROVED else None
    first = _swap(judged, product.recipe.vessel, mine, own, own, offer)
    return (replace(first, own=True), *found)


def _elsewhere(
    judged: Judged, product: Product, costs: Mapping[str, CandleCost], prices: Prices
) -> Iterator[tuple[str, str | None, CandleCost]]:
    """Yield every other vessel for products, with each product of that scent proven in it."""
    for ident, vessel in judged.studio.vessels.items():
        if vessel.use == "practice" or ident == product.recipe.vessel:
            continue
        proven = _proven(judged, product.recipe, ident)
        for other in proven:
            yield ident, other, costs[other]
        if not proven:
            yield ident, None, _estimate(judged, product, ident, prices)


def _proven(judged: Judged, recipe: Recipe, vessel: str) -> list[str]:
    """Return the approved products in a vessel that hold the same oils."""
    return list(_by_scent(judged).get((vessel, frozenset(recipe.fragrance)), ()))


@once
def _by_scent(judged: Judged) -> Mapping[tuple[str, frozenset[str]], tuple[str, ...]]:
    """Return the approved products by their vessel and their oils."""
    found: dict[tuple[str, frozenset[str]], list[str]] = defaultdict(list)
    for ident, one in judged.products.items():
        if one.status is Status.APPROVED:
            found[one.recipe.vessel, frozenset(one.recipe.fragrance)].append(ident)
    return {scent: tuple(products) for scent, products in found.items()}


def _estimate(judged: Judged, product: Product, vessel: str, prices: Prices) -> CandleCost:
    """Return what the present make-up would cost in another vessel, filled to its line."""
    moved = replace(product.recipe, vessel=vessel, fill=RecipeFill())
    net_g = net_fill(judged.studio, moved).net_g
    weights = masses(product.combination.make_up, net_g)
    return candle_cost(judged.studio, moved, weights, prices)


def _swap(  # noqa: PLR0913, PLR0917 -- one argument a thing to compare
    judged: Judged,
    vessel: str,
    proven: str | None,
    cost: CandleCost,
    own: CandleCost,
    offer: Offer | None,
) -> Swap:
    change = None if cost.total is None or own.total is None else cost.total - own.total
    at_price = keeping = None
    if offer is not None and offer.margin is not None and cost.total is not None:
        at_price = offer_at(cost.total, offer.price).margin
        kept = by_margin(judged.studio, cost.total, max(offer.margin, Decimal(0)))
        keeping = None if kept is None else kept.price
    return Swap(vessel, False, proven, cost, change, at_price, keeping)  # noqa: FBT003
