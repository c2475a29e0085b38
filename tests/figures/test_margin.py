"""How much of the way to a limit is left; every value by hand."""

import pytest

from handbook_builder.figures.margin import margin_left


@pytest.mark.parametrize(
    ("reading", "bound", "far", "left"),
    [
        (64.0, 80.0, 20.0, 16 / 60),  # a wall of 64 °C, a limit of 80 °C, a room of 20 °C
        (20.0, 80.0, 20.0, 1.0),
        (80.0, 80.0, 20.0, 0.0),
        (86.0, 80.0, 20.0, -0.1),
        (30.0, 75.0, 0.0, 0.6),  # a flame of 30 mm
        (0.97, 0.95, 1.0, 0.4),  # a pool of 97 %, where 95 % are asked for
        (0.90, 0.95, 1.0, -1.0),
    ],
)
def test_margin_left(reading: float, bound: float, far: float, left: float) -> None:
    """1 as far from the limit as can be, 0 at it, less beyond, on either side."""
    assert margin_left(reading, bound, far) == pytest.approx(left)


def test_a_limit_as_far_as_can_be_has_no_way() -> None:
    """A share of it would be a share of nothing."""
    with pytest.raises(ValueError, match=r"^the way to the limit must be"):
        margin_left(1.0, 1.0, 1.0)
