"""What one product costs, may be sold for, and takes to prove."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handbook_builder.derived.burns import BurnFigures
from handbook_builder.derived.money.bills import CandleCost
from handbook_builder.derived.money.channels import Channelled, channelled
from handbook_builder.derived.money.pricing import (
    Offer,
    Proving,
    an_hour,
    burned_by,
    by_multiple,
    made_so_far,
    multiples_of,
    proving,
)
from handbook_builder.verdicts.judge import Judged


@dataclass(frozen=True, slots=True)
class ProductMoney:
    """What one candle costs and may be sold for.

    `hour` is the cost of one burning hour, `hour_price` what retail asks for it, both over the
    mean life of the candles that passed.
    """

    cost: CandleCost
    hour: Decimal | None
    wholesale: Offer | None
    retail: Offer | None
    hour_price: Decimal | None
    proving: Proving
    channels: Mapping[str, Channelled]

    @property
    def asked(self) -> Offer | None:
        """Return the offer that a buyer pays: retail, or wholesale where there is no other."""
        return self.retail or self.wholesale


def product_money(
    judged: Judged, ident: str, cost: CandleCost, burns: Mapping[str, BurnFigures]
) -> ProductMoney:
    """Return the money of one product, of which one candle costs `cost`."""
    studio, product = judged.studio, judged.products[ident]
    burned = burned_by([burns[candle.id] for candle in product.evidence.passed])
    wholesale, retail = (
        by_multiple(studio, cost.total, multiple) for multiple in multiples_of(studio)
    )
    return ProductMoney(
        cost=cost,
        hour=an_hour(cost.total, burned),
        wholesale=wholesale,
        retail=retail,
        hour_price=an_hour(None if retail is None else retail.price, burned),
        proving=proving(studio, cost.total, burned, made_so_far(studio, ident, judged.as_of)),
        channels=channelled(studio, cost.total),
    )
