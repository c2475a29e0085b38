"""What candles that all passed are worth as evidence."""

import math
from decimal import ROUND_CEILING, Decimal, localcontext
from typing import Final

from handbook_builder.figures.guard import inner_share, positive

_DIGITS: Final = 60
_NOISE: Final = Decimal("1e-30")


def failure_upper_bound(n: int, confidence: float = 0.95) -> float:
    """Return the largest share of bad candles that `n` clean ones still leave likely.

    1 - (1 - C)^(1/n): one-sided, exact for the binomial with no failure (Clopper and Pearson's
    bound). No candle at all is a `ValueError`.
    """
    positive(n, "n")
    return -math.expm1(math.log1p(-inner_share(confidence, "confidence")) / n)


def success_run(confidence: float, reliability: float) -> int:
    """Return how many clean candles show that a share `reliability` of all is good.

    The least whole n with R^n <= 1 - C, that is ⌈ln(1 - C) / ln R⌉: the form without a prior,
    which asks for one more than the Bayesian form. Worked in decimals, since at an exact answer
    (C = 0.9, R = 0.1) the noise of floats would ask for one candle too many.
    """
    with localcontext(prec=_DIGITS):
        doubt = 1 - Decimal(str(inner_share(confidence, "confidence")))
        runs = doubt.ln() / Decimal(str(inner_share(reliability, "reliability"))).ln()
        return max(1, int((runs - _NOISE).to_integral_value(ROUND_CEILING)))
