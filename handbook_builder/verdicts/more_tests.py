"""How many more test candles of a product make sense, and why no more than that."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from handbook_builder.verdicts.approval import SUSPENDING, Product, Status
from handbook_builder.verdicts.screening import Screening

OVER: Final = frozenset({"oil_over_max_use", "load_over_max_load"})
# What no further test candle of the recipe as it is can mend.
PAST_TESTING: Final = (
    SUSPENDING | OVER | {"candle_failed", "vessel_not_cleared", "vessel_practice", "retired"}
)


class Sense(StrEnum):
    """Why so many: the first of these that holds."""

    RETIRED = "retired"
    SUSPENDED = "suspended"
    FAILED = "failed"
    VESSEL = "vessel"
    PRACTICE = "practice"
    OVER = "over"
    ENOUGH = "enough"
    BURNING = "burning"
    MORE = "more"


@dataclass(frozen=True, slots=True)
class MoreTests:
    """How many more test candles could bring a product on, and the word for why."""

    sense: Sense
    candles: int


def more_tests(product: Product, needed: int) -> MoreTests:
    """Return how many more test candles make sense when `needed` must pass.

    None do as long as something that no candle can mend stands in the way: a failed candle, a
    vessel that is not cleared, a load above its limit.
    """
    evidence, codes = product.evidence, {reason.code for reason in product.missing}
    short = needed - len(evidence.passed)
    left = short - len(evidence.burning)
    holds = {
        Sense.RETIRED: product.status is Status.RETIRED,
        Sense.SUSPENDED: product.status is Status.SUSPENDED,
        Sense.FAILED: bool(evidence.failed),
        Sense.VESSEL: product.screened.screening is not Screening.CLEARED,
        Sense.PRACTICE: product.screened.vessel.use == "practice",
        Sense.OVER: bool(codes & OVER),
        Sense.ENOUGH: short <= 0,
        Sense.BURNING: left <= 0,
    }
    sense = next((one for one, does in holds.items() if does), Sense.MORE)
    return MoreTests(sense, left if sense is Sense.MORE else 0)
