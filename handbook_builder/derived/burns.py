"""The figures of one test candle, cycle by cycle and over its whole life."""

from dataclasses import dataclass
from math import fsum

from handbook_builder.figures.burn import (
    consumed_g,
    mean_rate,
    rate_g_per_h,
    rate_uncertainty_g_per_h,
)
from handbook_builder.figures.pool import coverage, hours_to_wall
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.seen import Seen


@dataclass(frozen=True, slots=True)
class CycleFigures:
    """What one cycle comes to; None wherever a reading that it needs is missing."""

    consumed_g: float | None
    rate_g_per_h: float | None
    rate_uncertainty_g_per_h: float | None
    coverage: float | None
    hours_to_wall: float | None


@dataclass(frozen=True, slots=True)
class BurnFigures:
    """What one candle comes to, over the cycles that were weighed and timed."""

    hours_h: float
    consumed_g: float
    rate_g_per_h: float | None
    cycles: tuple[CycleFigures, ...]


def burn_figures(seen: Seen, inside_diameter_mm: float) -> BurnFigures:
    """Return the figures of a candle as of the day it is seen on."""
    cycles = [one.cycle for one in seen.cycles]
    figures = tuple(_cycle(one, seen.burn.scale_g, inside_diameter_mm) for one in cycles)
    whole = [
        (figure.consumed_g, cycle.burned_h)
        for figure, cycle in zip(figures, cycles, strict=True)
        if figure.consumed_g is not None and cycle.burned_h
    ]
    masses, hours = [mass for mass, _ in whole], [hour for _, hour in whole]
    return BurnFigures(
        hours_h=fsum(one.burned_h or 0.0 for one in cycles),
        consumed_g=fsum(one.consumed_g or 0.0 for one in figures),
        rate_g_per_h=mean_rate(masses, hours) if whole else None,
        cycles=figures,
    )


def _cycle(cycle: Cycle, scale_g: float, inside_diameter_mm: float) -> CycleFigures:
    used = rate = doubt = None
    if cycle.before_g is not None and cycle.after_g is not None:
        used = consumed_g(cycle.before_g, cycle.after_g)
        if cycle.burned_h:
            rate = rate_g_per_h(used, cycle.burned_h)
            doubt = rate_uncertainty_g_per_h(used, cycle.burned_h, scale_g)
    pool = cycle.pool_mm
    return CycleFigures(
        consumed_g=used,
        rate_g_per_h=rate,
        rate_uncertainty_g_per_h=doubt,
        coverage=None if pool is None else coverage(pool, inside_diameter_mm),
        hours_to_wall=hours_to_wall(pool_readings(cycle), inside_diameter_mm),
    )


def pool_readings(cycle: Cycle) -> list[tuple[float, float]]:
    """Return the pool's readings through the cycle, the one at its end included."""
    readings = dict(cycle.checks)
    if cycle.pool_mm is not None and cycle.burned_h is not None:
        readings[cycle.burned_h] = cycle.pool_mm
    return sorted(readings.items())
