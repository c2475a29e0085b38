"""The life to the stop mark: by hand, and its interval against SciPy."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t as scipy_t

from handbook_builder.figures.stop import BurnDown, life_to_stop_h, stop_life, stop_mass_g

HOURS = st.floats(0.5, 500.0)


def test_the_wax_at_the_mark_is_a_disc() -> None:
    """At 70 mm and 12 mm, π · 4.9 · 1.2 cm³ = 46.18 mL; at 0.9 g/mL 41.56 g (by hand, π = 22/7).

    22/7 is 0.04 % too large, so the exact value is 41.5632.
    """
    assert stop_mass_g(0.9, 70.0, 12.0) == pytest.approx(0.9 * 22 / 7 * 1.225 * 12, rel=5e-4)
    assert stop_mass_g(0.9, 70.0, 12.0) == pytest.approx(41.5632, abs=1e-4)


CYCLES = (
    BurnDown(0.0, 4.0, 108.0, 82.0),
    BurnDown(4.0, 8.0, 82.0, 56.0),
    BurnDown(8.0, 12.0, 56.0, 30.0),
)


@pytest.mark.parametrize(
    ("stop_g", "hours"),
    [
        (43.0, 10.0),  # half of the third cycle's 26 g
        (69.0, 6.0),  # half of the second's
        (56.0, 8.0),  # the weighing itself
        (30.0, 12.0),  # the last one
        (29.9, None),  # never reached
        (108.0, 0.0),  # there from the start
        (200.0, 0.0),
        (0.0, None),
    ],
)
def test_the_mark_is_read_between_two_weighings(stop_g: float, hours: float | None) -> None:
    """Straight from one weighing to the next, by hand; nothing beyond the last."""
    assert life_to_stop_h(CYCLES, stop_g) == hours


def test_what_is_cut_off_between_two_cycles_counts() -> None:
    """82 g after the first cycle, 50 g before the second: at 60 g the mark was passed at 4 h."""
    cut = (CYCLES[0], BurnDown(4.0, 8.0, 50.0, 24.0))
    assert life_to_stop_h(cut, 60.0) == 4.0


def test_a_mark_that_is_reached_by_the_cut_itself() -> None:
    """50 g before the second cycle, after 32 g were cut: at 50 g the mark is there at 4 h."""
    cut = (CYCLES[0], BurnDown(4.0, 8.0, 50.0, 50.0))
    assert life_to_stop_h(cut, 50.0) == 4.0


def test_what_cannot_be_is_named() -> None:
    """A value out of bounds is named as its caller has it."""
    with pytest.raises(ValueError, match=r"^density_g_per_ml "):
        stop_mass_g(0.0, 70.0, 12.0)
    with pytest.raises(ValueError, match=r"^stop_g "):
        life_to_stop_h(CYCLES, -1.0)


def test_no_weighing_no_life() -> None:
    """A candle without a cycle has no life, and a product without a candle none either."""
    assert life_to_stop_h((), 10.0) is None
    with pytest.raises(ValueError, match="at least one"):
        stop_life([])


def test_the_claim_is_the_lower_end_rounded_down() -> None:
    """30, 31 and 32 h: mean 31, s = 1, t(0.975, 2) = 4.3027 (tables), reach 4.3027 · √(4/3) = 4.97.

    The lower end is 26.03 h, below the shortest of 30 h; five-hour steps above 20 h make it 25 h.
    """
    found = stop_life([30.0, 31.0, 32.0])
    assert found.shortest_h == 30.0
    assert found.low_h == pytest.approx(31 - 4.3027 * math.sqrt(4 / 3), abs=1e-3)
    assert found.claim_h == 25


def test_equal_lives_claim_the_life_itself() -> None:
    """Without scatter both ends are the life: 12.9 h is 12 h, and 24.9 h is 20 h."""
    assert stop_life([12.9, 12.9, 12.9]).claim_h == 12
    assert stop_life([24.9, 24.9]).claim_h == 20


@pytest.mark.parametrize("hours", [[9.0], [10.0, 40.0], [0.2, 0.3, 0.9]])
def test_nothing_is_claimed_of_nothing(hours: list[float]) -> None:
    """One candle tells no spread; a wide spread or a life below an hour leaves nothing to say."""
    assert stop_life(hours).claim_h is None


@settings(deadline=None)
@given(st.lists(HOURS, min_size=2, max_size=20))
def test_the_interval_is_scipys(hours: list[float]) -> None:
    """And no claim is above the shortest life, above the interval's lower end, or below 1 h."""
    n, mean = len(hours), math.fsum(hours) / len(hours)
    sd = math.sqrt(math.fsum((one - mean) ** 2 for one in hours) / (n - 1))
    low = mean - float(scipy_t.ppf(0.975, n - 1)) * sd * math.sqrt(1 + 1 / n)
    found = stop_life(hours)
    assert found.low_h == pytest.approx(max(0.0, low), rel=1e-7, abs=1e-7)
    assert found.high_h == pytest.approx(2 * mean - low, rel=1e-7, abs=1e-7)
    if found.claim_h is None:
        assert min(low, *hours) < 1.0 + 1e-5
    else:
        assert 1 <= found.claim_h <= min(low, *hours) + 1e-5
