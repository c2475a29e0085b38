"""Which size fills a width: against a reckoning of its own with exact sums, and by limits."""

import math
from random import Random
from statistics import NormalDist

import pytest

from handbook_builder.figures.reach import PoolRead, reach

WIDTH = 70.0


def by_hand(pools: list[PoolRead], sizes: list[int], width: float) -> dict[int | None, float]:
    """Return the chances by the textbook: likelihood of each line times a flat prior, summed.

    In millimetres, with the standard library's own normal distribution, and no shortcut: the grid
    is the only thing that the two share, as the docstring of the module has it.
    """
    middle = sum(pool.step for pool in pools) / len(pools)
    found: dict[int | None, float] = dict.fromkeys([*sizes, None], 0.0)
    for scatter in (0.015, 0.025, 0.04, 0.06, 0.09, 0.14):
        law = NormalDist(0, scatter * width)
        for rise in range(1, 21):
            slope = 0.02 * rise * width
            for start in range(71):
                base = (0.25 + 0.025 * start) * width
                weight = 1.0
                for pool in pools:
                    off = pool.width_mm - base - slope * (pool.step - middle)
                    # In shares of the width, as the densities of one candle each are compared.
                    weight *= 1 - law.cdf(off) if pool.is_full else law.pdf(off) * width
                fills = [one for one in sorted(sizes)
                         if (base + slope * (one - middle)) / width >= 1.0 - 1e-9]  # fmt: skip
                found[fills[0] if fills else None] += weight
    whole = sum(found.values())
    return {step: weight / whole for step, weight in found.items()}


@pytest.mark.parametrize("seed", range(4))
def test_against_the_textbook(seed: int) -> None:
    """Short pools, full ones, and both; the sums agree to a millionth."""
    draw = Random(seed)  # noqa: S311 -- not for secrets
    pools = [
        PoolRead(draw.randint(1, 4), draw.uniform(45, 72), draw.random() < seed / 3)
        for _ in range(draw.randint(1, 7))
    ]
    found, hand = reach(pools, [1, 2, 3, 4, 5], WIDTH), by_hand(pools, [1, 2, 3, 4, 5], WIDTH)
    for step, chance in found.chances.items():
        assert chance == pytest.approx(hand[step], abs=1e-6), step
    assert found.none == pytest.approx(hand[None], abs=1e-6)
    assert sum(found.chances.values()) + found.none == pytest.approx(1.0)


def test_pools_on_a_line_tell_its_slope_and_the_size() -> None:
    """On W = 38 + 8 · step the pool of size 4 is 70 mm wide, and no smaller one is."""
    pools = [PoolRead(step, 38.0 + 8.0 * step, is_full=False) for step in (1, 2, 3) * 3]
    found = reach(pools, range(1, 8), 69.0)
    assert found.chances[4] > 0.95
    assert found.widens_mm.low <= 8.0 <= found.widens_mm.high
    assert found.widens_mm.high - found.widens_mm.low < 4.0
    assert found.scatter_mm.low < 2.0


def test_a_full_pool_tells_only_that_it_got_there() -> None:
    """However many there are of size 4, smaller ones stay open; larger ones do not."""
    found = reach([PoolRead(4, 66.5, is_full=True)] * 12, range(1, 8), 66.5)
    assert found.none + found.chances[6] + found.chances[7] < 0.02
    assert found.chances[1] + found.chances[2] + found.chances[3] > 0.5


def test_a_small_pool_rules_out_what_is_smaller() -> None:
    """Five candles of size 4 whose pool is half of the width."""
    found = reach([PoolRead(4, 35.0, is_full=False)] * 5, range(1, 8), 70.0)
    assert sum(found.chances[step] for step in (1, 2, 3, 4)) < 0.001


def test_what_is_farthest_off_has_no_logarithm_of_nothing() -> None:
    """A pool beyond anything that the grid thinks possible still has its chances."""
    pools = [PoolRead(1, 700.0, is_full=True), PoolRead(9, 1.0, is_full=False)]
    found = reach(pools, [1, 2], WIDTH)
    assert math.isclose(sum(found.chances.values()) + found.none, 1.0)


def test_the_order_of_pools_and_sizes_changes_nothing() -> None:
    """Nor does a size that is named twice."""
    pools = [PoolRead(1, 50.0, is_full=False), PoolRead(3, 66.0, is_full=True),
             PoolRead(2, 57.0, is_full=False)]  # fmt: skip
    one, other = reach(pools, [1, 2, 3], WIDTH), reach(pools[::-1], [3, 2, 1, 2], WIDTH)
    assert list(one.chances) == list(other.chances) == [1, 2, 3]
    assert list(one.chances.values()) == pytest.approx(list(other.chances.values()))


@pytest.mark.parametrize(
    ("pools", "sizes", "width", "said"),
    [
        ([], [1], 70.0, "a reach needs at least one pool and one size"),
        ([PoolRead(1, 50.0, is_full=False)], [], 70.0, "a reach needs at least one pool"),
        ([PoolRead(1, 50.0, is_full=False)], [1], 0.0, "width_mm must be"),
    ],
)
def test_of_nothing_there_is_no_reach(
    pools: list[PoolRead], sizes: list[int], width: float, said: str
) -> None:
    """A mistake of the program is stopped."""
    with pytest.raises(ValueError, match=f"^{said}"):
        reach(pools, sizes, width)
