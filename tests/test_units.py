"""Our short definitions of units against pint's own, spelling by spelling."""

from itertools import product

import pint
import pytest

from handbook_builder import units
from handbook_builder.conversion import convert
from handbook_builder.units import DIFFERENCE, TEMPERATURE, UNITS, Dimension, Fault


@pytest.fixture(scope="module")
def full() -> "pint.UnitRegistry[float]":
    """Return pint's registry with all of its own definitions: the outside source."""
    return pint.UnitRegistry()


@pytest.mark.parametrize("spelling", sorted(UNITS))
@pytest.mark.parametrize("value", [0.0, 1.0, 37.5])
def test_every_spelling(spelling: str, value: float, full: "pint.UnitRegistry[float]") -> None:
    """To a part in a million million, for a zero, a one and something between."""
    unit, dimension = UNITS[spelling]
    expected = float(full.Quantity(value, unit).to(dimension.base).magnitude)
    assert convert(value, unit, dimension.base) == pytest.approx(expected, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("unit", "base"),
    [("delta_degF", "delta_degC"), ("gram", "ounce"), ("millimeter", "inch"),
     ("milliliter", "US_fluid_ounce"), ("degC", "degF")],
)  # fmt: skip
def test_the_way_back(unit: str, base: str, full: "pint.UnitRegistry[float]") -> None:
    """What pages show beside the metric."""
    expected = float(full.Quantity(37.5, unit).to(base).magnitude)
    assert convert(37.5, unit, base) == pytest.approx(expected, rel=1e-12)


def test_every_dimension_has_its_example() -> None:
    """The example of a message is one that the program itself would read."""
    dimensions = [one for one in vars(units).values() if isinstance(one, Dimension)]
    assert len(dimensions) == 9
    for one in dimensions:
        assert isinstance(units.read_quantity(one.example, one), float), one.word


@pytest.mark.parametrize(
    ("one", "other", "dimension"),
    [
        ("487700mg", "0.4877kg", units.MASS),
        ("0.1 kg", "100 g", units.MASS),
        ("2 lb 3 oz", "35 oz", units.MASS),
        ("3 h 50 min", "230 min", units.DURATION),
        ("2 3/4 in", "6.985 cm", units.LENGTH),
        ("60.8 degF", "16 degC", units.TEMPERATURE),
    ],
)
def test_one_quantity_is_one_number(one: str, other: str, dimension: Dimension) -> None:
    """Whatever unit it was written in: a mass must not go up by having been respelled.

    Source of the factors: NIST SP 811 (2008), Appendix B; the pound is exact.
    """
    assert units.read_quantity(one, dimension) == units.read_quantity(other, dimension)


@pytest.mark.parametrize(
    ("text", "code"),
    [("1e999999999 g", "not_finite"), ("1e-999999999 g", "out_of_range"),
     ("9" * 4000 + " g", "not_finite"), ("0." + "0" * 4000 + "1 g", "out_of_range")],
)  # fmt: skip
def test_no_number_is_too_much(text: str, code: str) -> None:
    """However many digits it would take to write one out, it is a fault at once."""
    found = units.read_quantity(text, units.MASS)
    assert isinstance(found, units.Fault)
    assert found.code == code


BEFORE = (
    "",
    "\u00b0",
    "\u00ba",
    "deg",
    "Deg",
    "deg ",
    "deg.",
    "degree ",
    "degrees",
    "d",
    "dg",
    "*",
)
SCALES = {"C": ("c", "C", "cc", "Celcius", "celsius", "centigrade"),
          "F": ("f", "F", "ff", "Farenheit", "fahrenheit", "farhenheit")}  # fmt: skip


@pytest.mark.parametrize("scale", SCALES)
def test_no_unit_of_the_other_temperature_scale_is_ever_suggested(scale: str) -> None:
    """However a unit is misspelt: 60 taken for the other scale is a wax that burns, or sets.

    What is read all the same is read in its own: (60 - 32) * 5 / 9 = 15.6, and 60 * 5 / 9 = 33.3.
    """
    read = {"C": {60.0}, "F": {15.6, 33.3}}[scale]
    for before, name in product(BEFORE, SCALES[scale]):
        for number, dimension in (("60 ", TEMPERATURE), ("delta 60 ", DIFFERENCE)):
            found = units.read_quantity(f"{number}{before}{name}", dimension)
            if isinstance(found, Fault):
                assert str(found.details.get("near", ""))[-1:] in ("", scale), (before, name)
            else:
                assert round(found, 1) in read, (before, name)
