"""What candles that all passed are worth as evidence."""

import math
from typing import Final

from handbook_builder.figures.guard import positive

_CONFIDENCE: Final = 0.95  # one-sided


def failure_upper_bound(n: int) -> float:
    """Return the largest share of bad candles that `n` clean ones still leave likely, at 95 %.

    1 - (1 - 0.95)^(1/n): one-sided, exact for the binomial with no failure (Clopper and Pearson's
    bound). No candle at all is a `ValueError`.
    """
    return -math.expm1(math.log1p(-_CONFIDENCE) / positive(n, "n"))
