"""Ladders, against worlds whose true relation of wick, width and pool is known."""

from dataclasses import dataclass
from random import Random

import pytest

from handbook_builder.figures.ladder import Doubt, Ground, Ladder, ladder
from handbook_builder.figures.reach import PoolRead

FULL = 0.95
SEEDS = 100


@dataclass(frozen=True)
class World:
    """A world in which a wick of a step melts `base` + `rise` · step, give or take `scatter`."""

    base: float
    rise: float
    scatter: float
    steps: tuple[int, ...]
    width: float

    @property
    def right(self) -> int:
        """Return the smallest size whose pool is full, without scatter."""
        return next(one for one in self.steps if self.melts(one) >= FULL * self.width)

    def melts(self, step: int) -> float:
        """Return how wide a pool a size melts."""
        return self.base + self.rise * step


def world(draw: Random) -> World:
    """Return a world in which some size of the series is right."""
    width, rise = draw.uniform(50, 100), draw.uniform(3, 14)
    steps = tuple(range(1, draw.choice([4, 5, 6, 8, 10]) + 1))
    right = draw.uniform(0.6, len(steps))
    base = FULL * width - rise * right
    return World(base, rise, draw.uniform(0.01, 0.06) * width, steps, width)


def kin(draw: Random, one: World, count: int, off: float = 1.0) -> list[PoolRead]:
    """Return candles in vessels of like width, of sizes that a maker would try there."""
    found = []
    for _ in range(count):
        width = one.width * draw.uniform(0.81, 1.19)
        hoped = (FULL * width - one.base) / one.rise + draw.gauss(0.4, off)
        step = min(max(round(hoped), one.steps[0]), one.steps[-1])
        pool = one.melts(step) + draw.gauss(0, one.scatter)
        full = FULL * width
        found.append(PoolRead(step, min(max(pool, 4.0), full), is_full=pool >= full))
    return found


def asked(draw: Random, one: World, count: int, off: float = 1.0) -> Ladder:
    """Return the ladder in that world."""
    return ladder(kin(draw, one, count, off), one.steps, (), FULL * one.width)


@pytest.mark.parametrize(("count", "off"), [(5, 0.5), (5, 1.0), (8, 2.0), (30, 1.0)])
def test_the_right_size_is_on_the_ladder(count: int, off: float) -> None:
    """In 95 of 100 worlds or more, with five kin and with thirty; and most times it says one."""
    held = told = 0
    for seed in range(SEEDS):
        draw = Random(1000 * count + seed)  # noqa: S311 -- not for secrets
        one = world(draw)
        found = asked(draw, one, count, off)
        if found.ground is Ground.BURNS:
            told += 1
            held += one.right in found.rungs
    assert told >= 70
    assert held >= 0.95 * told


def test_it_takes_fewer_rungs_than_there_are_sizes() -> None:
    """A ladder of the whole series would always hold the right one."""
    of_eight = []
    for seed in range(SEEDS):
        draw = Random(seed)  # noqa: S311 -- not for secrets
        one = world(draw)
        if len(one.steps) >= 8:
            found = asked(draw, one, 12)
            of_eight += [len(found.rungs)] if found.ground is Ground.BURNS else []
    assert len(of_eight) > 15
    assert max(of_eight) <= 5
    assert sum(of_eight) / len(of_eight) < 4


@pytest.mark.parametrize("count", [0, 1, 4])
def test_with_too_little_it_says_so(count: int) -> None:
    """Fewer than five candles tell no size, in any world: it begins in the middle."""
    for seed in range(20):
        draw = Random(seed)  # noqa: S311 -- not for secrets
        one = world(draw)
        found = asked(draw, one, count)
        assert (found.ground, found.doubt, found.kin) == (Ground.NONE, Doubt.FEW, count)
        assert found.reach is None
        assert len(found.rungs) == 1
        below, above = (
            sum(step < found.rungs[0] for step in one.steps),
            sum(step > found.rungs[0] for step in one.steps),
        )
        assert abs(below - above) <= 1
