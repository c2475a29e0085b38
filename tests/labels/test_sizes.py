"""The least sizes, each against what was read or is remembered."""

from math import sqrt

import pytest

from handbook_builder.labels.sizes import (
    FIRE_SIGN,
    LEADING,
    LETTERS,
    PICTOGRAM,
    Measure,
    Sure,
    letters_2024,
    net_weight_eu,
    net_weight_us,
    pictogram_side_mm,
)


def test_the_fixed_ones() -> None:
    """BAuA's example [S]; EN 15494:2019 4.3 [S]; CLP Annex I Table 1.3 [C]."""
    assert (LETTERS.measure, LETTERS.mm, LETTERS.sure) == (
        Measure.X_HEIGHT, 1.2, Sure.SECOND_HAND,
    )  # fmt: skip
    assert (FIRE_SIGN.mm, FIRE_SIGN.sure) == (5.0, Sure.SECOND_HAND)
    assert (PICTOGRAM.mm, PICTOGRAM.sure) == (10.0, Sure.READ)
    assert LEADING == 1.2  # Regulation (EU) 2024/2865, as two consultants tell it [S]


# Regulation (EU) 2024/2865 as two consultants tell it [S].
@pytest.mark.parametrize(
    ("litres", "x_height"),
    [(0.1, 1.2), (0.5, 1.2), (0.51, 1.4), (3, 1.4), (3.1, 1.8), (50, 1.8), (51, 2.0)],
)
def test_letters_by_the_size_of_the_package(litres: float, x_height: float) -> None:
    """A candle's vessel hardly ever holds more than half a litre."""
    assert letters_2024(litres).mm == x_height


# Directive 76/211/EEC Annex I 3.1, as the USDA's page on the EU tells it [S].
@pytest.mark.parametrize(
    ("grams", "figure"),
    [(20, 2), (50, 2), (50.1, 3), (200, 3), (200.1, 4), (1000, 4), (1000.1, 6)],
)
def test_the_figures_of_a_net_weight_in_the_eu(grams: float, figure: float) -> None:
    """Each step belongs to the lower height."""
    least = net_weight_eu(grams)
    assert (least.mm, least.measure) == (figure, Measure.FIGURE)


# 16 CFR 500.21(b), from memory, unconfirmed [M]. Square inches and inches by hand [X].
@pytest.mark.parametrize(
    ("square_inches", "inches"),
    [(5, 1 / 16), (5.1, 1 / 8), (25, 1 / 8), (26, 3 / 16), (100, 3 / 16), (101, 1 / 4),
     (400, 1 / 4), (401, 1 / 2)],
)  # fmt: skip
def test_the_type_of_a_net_weight_in_the_usa(square_inches: float, inches: float) -> None:
    """The area is of the package's side, not of the label."""
    least = net_weight_us(square_inches * 645.16, is_mixed_case=False)
    assert least.mm == pytest.approx(inches * 25.4)
    assert (least.measure, least.sure) == (Measure.CAPITAL, Sure.MEMORY)
    assert net_weight_us(1.0, is_mixed_case=True).measure is Measure.X_HEIGHT


def test_the_side_of_a_pictogram() -> None:
    """One fifteenth of the label, 10 mm at least; 52 x 74 mm / 15 is 16.02 mm squared [X]."""
    assert pictogram_side_mm(30 * 40) == 10.0  # 80 mm2 would be 8.94 mm
    assert pictogram_side_mm(45 * 50) == pytest.approx(sqrt(150))
    assert pictogram_side_mm(52 * 74) == pytest.approx(16.0167, abs=1e-4)
    assert pictogram_side_mm(200 * 200) == pictogram_side_mm(52 * 74)
