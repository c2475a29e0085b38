"""Burn series made from known parameters: what a candle does, blurred as a bench blurs it.

Each cycle's rate scatters by 3 % (room, draught, trimming), weighings lie on a scale of 0.1 g,
times on the minute, widths and heights on the millimetre, the wall on the degree. These figures
are this project's own; made-up series prove nothing about candles, only that the diagnosis finds
what was put in, and nothing that was not.
"""

import random
from dataclasses import dataclass

from handbook_builder.figures.diagnosis import CandleRead, CycleRead, Marks

MARKS = Marks(full_share=0.95, full_pool_by=3, flame_mm=40.0, depth_mm=13.0, wall_c=60.0)
LOOKS_H = (0.5, 1.0, 2.0, 3.0)


@dataclass(frozen=True)
class Behaviour:
    """What a candle does, before anybody reads it. The values given here are a sound candle's.

    `pool_share` is how far the pool comes in the end, `wall_h` when it is there; `rate_change`
    and `flame_change` are changes over the life as shares of the beginning; `seen` are words with
    the chance of each in a cycle.
    """

    diameter_mm: float = 72.0
    cycles: int = 8
    rate_g_per_h: float = 5.5
    rate_change: float = 0.0
    pool_share: float = 1.0
    wall_h: float = 2.6
    depth_mm: float = 9.0
    flame_mm: float = 22.0
    flame_change: float = 0.0
    wall_c: float = 42.0
    wall_rise_c: float = 12.0
    left_share: float = 0.03
    seen: tuple[tuple[str, float], ...] = (("wet_spots", 0.2), ("frosting", 0.2))


def burned(does: Behaviour, seed: int) -> CandleRead:
    """Return the readings of one candle that behaves so."""
    chance = random.Random(seed)  # noqa: S311 -- not for secrets
    hours, cycles = 0.0, []
    for number in range(1, does.cycles + 1):
        one = _full_cycle(does, chance, number, hours)
        cycles.append(one)
        hours += one.burned_h or 0.0
    last = CycleRead(
        number=does.cycles + 1, is_full=False, start_h=hours, burned_h=1.5,
        rate_g_per_h=does.rate_g_per_h * 0.6, pool_mm=30.0, flame_mm=8.0,
    )  # fmt: skip
    return CandleRead(does.diameter_mm, (*cycles, last), does.left_share)


def _full_cycle(does: Behaviour, chance: random.Random, number: int, start_h: float) -> CycleRead:
    burned_h = round(chance.uniform(3.75, 4.25) * 60) / 60
    along = (number - 1) / (does.cycles - 1)
    heat = 0.92 if number == 1 else 1.0  # the first flame has the pool still to make
    rate = does.rate_g_per_h * heat * (1 + does.rate_change * along) * chance.gauss(1, 0.03)
    before_g = round(400 + chance.random(), 1)
    after_g = round(before_g - rate * burned_h, 1)
    looks = {hour: _pool(does, chance, hour, number) for hour in LOOKS_H}
    pool_mm = _pool(does, chance, burned_h, number)
    return CycleRead(
        number=number,
        is_full=True,
        start_h=start_h,
        burned_h=burned_h,
        rate_g_per_h=(before_g - after_g) / burned_h,
        pool_mm=pool_mm,
        depth_mm=float(round(does.depth_mm + chance.gauss(0, 0.8))),
        flame_mm=float(round(does.flame_mm * (1 + does.flame_change * along) + chance.gauss(0, 2))),
        wall_c=float(round(does.wall_c + does.wall_rise_c * along + chance.gauss(0, 1))),
        pools_mm=(*sorted(looks.items()), (burned_h, pool_mm)) if number <= 3 else (),
        seen=tuple(word for word, often in does.seen if chance.random() < often),
    )


def _pool(does: Behaviour, chance: random.Random, hour: float, number: int) -> float:
    """Return a pool that widens with the root of time, as heat does, as far as it gets."""
    slow = 1.3 if number == 1 else 1.0
    share = min(does.pool_share, 0.95 * (hour / (does.wall_h * slow)) ** 0.5)
    return float(round(min(does.diameter_mm, share * does.diameter_mm + chance.gauss(0, 0.7))))
