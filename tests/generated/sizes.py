"""How much of everything a studio has."""

from dataclasses import dataclass
from datetime import date
from typing import Final

AS_OF: Final = date(2026, 5, 1)


@dataclass(frozen=True, slots=True)
class Size:
    """A studio's size: how many of each it has on file after so many years."""

    years: int
    vessels: int
    oils: int
    wicks: int
    recipes: int
    candles: int
    cycles: int  # of one test candle
    batches: int
    purchases: int
    incidents: int


SIZES: Final = {
    "small": Size(1, 10, 8, 6, 24, 3, 10, 14, 16, 4),
    "quarter": Size(3, 15, 12, 8, 100, 4, 10, 375, 100, 6),
    "half": Size(5, 30, 20, 10, 200, 4, 10, 750, 200, 8),
    "ten-years": Size(10, 60, 40, 12, 400, 4, 10, 1500, 400, 16),
    "double": Size(10, 120, 80, 16, 800, 4, 10, 3000, 800, 32),
    "hundred": Size(10, 600, 400, 24, 4000, 4, 10, 15000, 4000, 160),
}
