"""Published conversions and pairs of values, against the units that records are read in."""

import pytest

from handbook_builder.conversion import convert
from handbook_builder.units import (
    DIFFERENCE,
    LENGTH,
    MASS,
    TEMPERATURE,
    VOLUME,
    Dimension,
    read_quantity,
)


def read(text: str, dimension: Dimension) -> float:
    """Return the quantity of `text`, which must be one."""
    found = read_quantity(text, dimension)
    assert isinstance(found, float), found
    return found


# NIST SP 811 (2008) and HB 44 (2014), Appendix C, both read in their own text: exact by
# definition, apart from the fluid ounce, which is computed from the gallon (exact too).
@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1 oz", MASS, 28.349523125),
        ("1 lb", MASS, 453.59237),
        ("16 oz", MASS, 453.59237),
        ("1 in", LENGTH, 25.4),
        ("1 fl oz", VOLUME, 29.5735295625),
        ("128 fl oz", VOLUME, 3785.411784),
    ],
)
def test_exact_by_definition(text: str, dimension: Dimension, value: float) -> None:
    """What a record writes in customary units is read by the exact factors."""
    assert read(text, dimension) == pytest.approx(value, rel=1e-14)


def test_a_gallon_is_231_cubic_inches() -> None:
    """231 in3 are 3.785411784 L, exactly (HB 44, Appendix C)."""
    assert convert(1.0, "US_liquid_gallon", "inch ** 3") == pytest.approx(231.0, rel=1e-14)
    assert convert(1.0, "US_liquid_gallon", "liter") == pytest.approx(3.785411784, rel=1e-14)


def test_the_tables_print_seven_digits() -> None:
    """The fluid ounce of HB 44's tables, 29.57353 mL, is the exact one rounded."""
    assert round(read("1 fl oz", VOLUME), 5) == 29.57353


# t/°C = (t/°F - 32)/1.8, SP 811 (2008), read in its own text; the values are computed from it.
@pytest.mark.parametrize(
    ("text", "at_c"), [("160 degF", 71.111), ("185 degF", 85.0), ("68 degF", 20.0), ("32 °F", 0.0)]
)
def test_fahrenheit(text: str, at_c: float) -> None:
    """Fahrenheit is read by SP 811's formula."""
    assert read(text, TEMPERATURE) == pytest.approx(at_c, abs=5e-4)


def test_an_interval_is_no_temperature() -> None:
    """An interval of 1 °F is 5.555556 E-01 °C (SP 811, 2008, read in its own text)."""
    assert read("delta 1 degF", DIFFERENCE) == pytest.approx(0.5555556, abs=5e-8)


# Pairs that a standard or an authority prints side by side; each agrees to the digits printed.
# Read in the standard's own text: ASTM F1972-05 (tealight 1.5 in, 38 mm, by 0.75 in, 19 mm; room
# temperature 68 to 80 °F, 20 to 27 °C), ASTM C149-14 (baths within 1.1 °C, 2 °F), NFPA 2020
# (12 in, 30 cm, from anything that burns). From memory, unconfirmed: ASTM F2179 (50 °C, 90 °F).
@pytest.mark.parametrize(
    ("text", "dimension", "printed", "half_a_digit"),
    [
        ("1.5 in", LENGTH, 38.0, 0.5),
        ("0.75 in", LENGTH, 19.0, 0.5),
        ("68 degF", TEMPERATURE, 20.0, 0.5),
        ("80 degF", TEMPERATURE, 27.0, 0.5),
        ("delta 2 degF", DIFFERENCE, 1.1, 0.05),
        ("12 in", LENGTH, 300.0, 5.0),
        ("delta 90 degF", DIFFERENCE, 50.0, 0.5),
    ],
)
def test_printed_side_by_side(
    text: str, dimension: Dimension, printed: float, half_a_digit: float
) -> None:
    """The metric value printed beside a customary one is what a record would be read as."""
    assert read(text, dimension) == pytest.approx(printed, abs=half_a_digit)


def test_a_trimmed_wick_in_both_units() -> None:
    """1/4 in is 6.35 mm, printed as 6 mm (advice of fire departments and alarm makers)."""
    assert read("1/4 in", LENGTH) == pytest.approx(6.35, rel=1e-14)
