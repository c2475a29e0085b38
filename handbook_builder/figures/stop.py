"""How long a candle burns until so little wax is left that it should be put out."""

from collections.abc import Sequence
from dataclasses import dataclass

from handbook_builder.figures.fill import cylinder_volume_ml
from handbook_builder.figures.guard import not_negative, positive
from handbook_builder.figures.life import claimable_life_h
from handbook_builder.figures.spread import spread


@dataclass(frozen=True, slots=True)
class BurnDown:
    """One cycle on the way down: when it began and ended, and the wax left at both times."""

    from_h: float
    to_h: float
    before_g: float
    after_g: float


@dataclass(frozen=True, slots=True)
class StopLife:
    """Hours from first light to the stop mark, over a product's candles.

    `low_h` to `high_h` is the 95 % prediction interval for one more candle, None with one candle.
    `claim_h` is what a label may say, None when nothing may be said.
    """

    shortest_h: float
    low_h: float | None
    high_h: float | None
    claim_h: int | None


def stop_mass_g(density_g_per_ml: float, diameter_mm: float, stop_at_mm: float) -> float:
    """Return the wax that is left at the stop mark, in grams: a disc of that height.

    m = density · π d² h / 4, with the density of the solid mixture.
    """
    density = positive(density_g_per_ml, "density_g_per_ml")
    return density * cylinder_volume_ml(diameter_mm, stop_at_mm)


def life_to_stop_h(cycles: Sequence[BurnDown], stop_g: float) -> float | None:
    """Return after how many hours no more than `stop_g` grams of wax were left.

    Between the two weighings of a cycle the mass is taken to fall along a straight line. None
    when more was left after the last weighing.
    """
    not_negative(stop_g, "stop_g")
    for cycle in cycles:
        if cycle.before_g <= stop_g:  # what was trimmed off between two cycles brought it there
            return cycle.from_h
        if cycle.after_g <= stop_g:
            fallen = (cycle.before_g - stop_g) / (cycle.before_g - cycle.after_g)
            return cycle.from_h + fallen * (cycle.to_h - cycle.from_h)
    return None


def stop_life(hours: Sequence[float]) -> StopLife:
    """Return the life to the stop mark of a product from the `hours` of each of its candles.

    The claim is the least of the shortest such life and the lower end of the interval of `spread`,
    rounded down as `claimable_life_h` has it; with one candle there is no such end, and no claim.
    ValueError without a candle.
    """
    found = spread(hours)
    shortest = min(hours)
    least = 0.0 if found.low is None else min(shortest, found.low)
    return StopLife(shortest, found.low, found.high, claimable_life_h(least) or None)
