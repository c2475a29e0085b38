"""What a plan costs: what goes into its candles, and the work at their cycles. For the owner."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from handbook_builder.derived.money.bills import Prices
from handbook_builder.derived.money.pricing import decimals_of
from handbook_builder.derived.plan.needs import Need
from handbook_builder.figures.price import proving_cost, up_to_coin
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class PlanCost:
    """What a plan costs in the studio's currency.

    `material` is of what has a price; `unpriced` names what has none yet, and then the sum is the
    least that it comes to. `work_h` are the hours at the cycles, None where the studio does not say
    how long one takes; `work` is what they cost, None where it does not say what an hour does.
    """

    material: Decimal
    unpriced: tuple[Ref, ...]
    work_h: Decimal | None
    work: Decimal | None

    @property
    def total(self) -> Decimal:
        """Return all that is known of it."""
        return self.material + (self.work or Decimal(0))


def plan_cost(studio: Studio, prices: Prices, needs: Iterable[Need], lit: int | None) -> PlanCost:
    """Return what a plan costs that takes `needs` and in which candles are lit `lit` times in all.

    At the prices that the studio reckons with, in whole coins, rounded up: it is to be set aside.
    """
    info, wanted = studio.info, tuple(needs)
    unpriced = tuple(need.item for need in wanted if need.item not in prices.by_item)
    costs = (
        Decimal(str(need.amount)) * prices.by_item[need.item].chosen(info.costing)
        for need in wanted
        if need.item in prices.by_item
    )
    material = sum(costs, Decimal(0))
    work_h = work = None
    if info.minutes_a_cycle is not None and lit is not None:
        work_h = lit * Decimal(str(info.minutes_a_cycle)) / 60
    if work_h is not None and info.labour is not None:
        work = up_to_coin(proving_cost(0, Decimal(0), work_h, info.labour), decimals_of(studio))
    return PlanCost(up_to_coin(material, decimals_of(studio)), unpriced, work_h, work)
