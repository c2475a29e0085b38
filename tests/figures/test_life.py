"""The life of a product: mean, spread, what one more candle may do, what a label may claim."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t as scipy_t

from handbook_builder.figures.life import Life, claimable_life_h, life

HOURS = st.floats(0.1, 500)


def test_three_candles_by_hand() -> None:
    """38, 40 and 42 h, worked out on paper.

    Mean 120 / 3 = 40. Deviations -2, 0, 2: s = sqrt((4 + 0 + 4) / 2) = 2.
    t(0.975, 2) = 4.302653 (any table of Student's t). Reach 4.302653 x 2 x sqrt(1 + 1/3)
    = 8.605306 x 1.1547005 = 9.936551: from 30.063449 to 49.936551.
    """
    found = life([40.0, 38.0, 42.0])
    assert (found.mean_h, found.shortest_h) == (40.0, 38.0)
    assert found.low_h == pytest.approx(30.063449, abs=1e-6)
    assert found.high_h == pytest.approx(49.936551, abs=1e-6)


def test_two_candles_by_hand() -> None:
    """10 and 20 h say next to nothing: the lower end stops at 0.

    Mean 15; s = sqrt(25 + 25) = 7.0710678; t(0.975, 1) = 12.706205; reach 12.706205 x 7.0710678 x
    sqrt(1.5) = 110.039: down to below 0, and up to 125.039.
    """
    found = life([10, 20])
    assert found.low_h == 0.0
    assert found.high_h == pytest.approx(125.039, abs=1e-3)


def test_one_candle() -> None:
    """One candle says nothing of the spread."""
    assert life([37.5]) == Life(37.5, 37.5, None, None)


def test_equally_long() -> None:
    """Candles that burned equally long have exactly that mean and no spread."""
    assert life([0.1, 0.1, 0.1]) == Life(0.1, 0.1, 0.1, 0.1)


def test_whole_numbers_make_fractions() -> None:
    """Hours given as whole numbers are averaged as fractions."""
    assert life([1, 2]).mean_h == 1.5
    assert isinstance(life([2, 2]).mean_h, float)


@settings(deadline=None)
@given(st.lists(HOURS, min_size=2, max_size=30))
def test_against_scipy(hours: list[float]) -> None:
    """The interval as SciPy has it, with the mean and deviation summed another way."""
    n, mean = len(hours), math.fsum(hours) / len(hours)
    scale = math.sqrt(math.fsum((one - mean) ** 2 for one in hours) / (n - 1))
    found = life(hours)
    wide = scale * math.sqrt((n + 1) / n)
    high = mean + float(scipy_t.ppf(0.975, n - 1)) * wide
    assert found.high_h == pytest.approx(high, rel=1e-9)
    assert found.low_h == pytest.approx(max(0, 2 * mean - high), rel=1e-9, abs=1e-9)


@settings(deadline=None)
@given(st.lists(HOURS, min_size=2, max_size=10))
def test_the_interval_holds_the_mean(hours: list[float]) -> None:
    """Zero to low to mean to high, and no candle shorter than the shortest."""
    found = life(hours)
    assert found.low_h is not None
    assert found.high_h is not None
    assert 0 <= found.low_h <= found.mean_h <= found.high_h
    assert found.shortest_h == min(hours) <= found.mean_h <= max(hours)


@settings(deadline=None)
@given(st.lists(HOURS, min_size=2, max_size=10), st.randoms(use_true_random=False))
def test_order_changes_nothing(hours: list[float], chance: object) -> None:
    """The candles may be named in any order: every figure stays the same to the last digit."""
    shuffled = hours.copy()
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert life(shuffled) == life(hours)


def test_no_candle() -> None:
    """A life needs a candle."""
    with pytest.raises(ValueError, match=r"^a life needs at least one candle$"):
        life([])


@pytest.mark.parametrize("hours", [-0.1, math.nan, math.inf])
def test_no_duration(hours: float) -> None:
    """What is no duration is refused, wherever it stands."""
    told = f"^{hours} h is not a duration$"
    with pytest.raises(ValueError, match=told):
        life([40.0, hours])
    with pytest.raises(ValueError, match=told):
        claimable_life_h(hours)


def test_no_time_at_all() -> None:
    """Zero hours are a duration."""
    assert life([0.0]).mean_h == 0.0
    assert claimable_life_h(0.0) == 0


@pytest.mark.parametrize(
    ("shortest", "claim"),
    [
        (0.9, 0),
        (4.0, 4),
        (17.0, 17),
        (19.99, 19),
        (20.0, 20),
        (21.0, 20),
        (24.99, 20),
        (25.0, 25),
        (38.2, 35),
        (40.0, 40),
        (104.5, 100),
    ],
)
def test_claimable(shortest: float, claim: int) -> None:
    """Whole hours up to 20, steps of five above: this project's own rule, no published source."""
    assert claimable_life_h(shortest) == claim


def test_minutes_add_up_to_the_hour() -> None:
    """42 burns of 50 min are 35 h, though as fractions of an hour they fall a hair short."""
    summed = sum([50 / 60] * 42)
    assert summed < 35
    assert claimable_life_h(summed) == 35


def test_no_more_than_a_hair() -> None:
    """A second short of the hour is short."""
    assert claimable_life_h(25 - 1 / 3600) == 20


@given(st.floats(0, 1000), st.floats(0, 100))
def test_a_longer_life_claims_no_less(shortest: float, more: float) -> None:
    """The claim never passes the life, is never far below it, and grows with it."""
    claim = claimable_life_h(shortest)
    assert claim - 1e-5 <= shortest < claim + 5
    assert claimable_life_h(shortest + more) >= claim
