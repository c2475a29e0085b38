"""Volumes, densities, and the two ounces that a vessel is sold and filled by."""

import math
from dataclasses import FrozenInstanceError
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.fill import (
    Part,
    cylinder_height_mm,
    cylinder_volume_ml,
    headspace_volume_ml,
    mixture_density_g_per_ml,
    us_fluid_ounces,
    volume_by_water_ml,
    water_density_g_per_ml,
)
from handbook_builder.figures.net import declared

LENGTHS = st.floats(1.0, 500.0)
DENSITIES = st.floats(0.2, 3.0)
SHARES = st.floats(1e-6, 1e3)


# The formula is Tanaka et al. 2001, Metrologia 38, 301-309, p. 305, read in two public
# implementations. The values are computed from it, apart from this code, to 1e-4 kg/m3.
@pytest.mark.parametrize(
    ("at_c", "kg_per_m3"),
    [
        (0, 999.8428),
        (4, 999.9749),
        (10, 999.7027),
        (15, 999.1026),
        (20, 998.2067),
        (21, 997.9950),
        (22, 997.7730),
        (23, 997.5408),
        (25, 997.0470),
        (30, 995.6488),
        (35, 994.0326),
        (40, 992.2152),
    ],
)
def test_water_by_tanaka(at_c: float, kg_per_m3: float) -> None:
    """The density of water is the formula's, at both ends of its range and between."""
    assert 1000 * water_density_g_per_ml(at_c) == pytest.approx(kg_per_m3, abs=5.1e-5)


def test_water_to_the_last_digit() -> None:
    """At 40 °C the formula gives 0.992215209..., computed with forty decimals."""
    assert water_density_g_per_ml(40.0) == pytest.approx(0.99221520913244131, rel=1e-14)


# Kell 1975, its formula from memory, unconfirmed; values computed from that formula. It says
# 0.0026 kg/m3 less than Tanaka at 20 °C.
@pytest.mark.parametrize(("at_c", "kg_per_m3"), [(20, 998.2041), (25, 997.0449)])
def test_water_agrees_with_an_older_formula(at_c: float, kg_per_m3: float) -> None:
    """An independent formula gives the same density to five digits."""
    assert 1000 * water_density_g_per_ml(at_c) == pytest.approx(kg_per_m3, abs=0.003)


def test_water_is_densest_where_the_formula_says() -> None:
    """The formula's greatest density, 0.999974950, is at 3.983035 °C (Tanaka et al. 2001)."""
    assert water_density_g_per_ml(3.983035) == 0.999974950


@pytest.mark.parametrize("at_c", [-0.001, 40.001, math.nan, math.inf])
def test_water_outside_the_formula(at_c: float) -> None:
    """The formula is not stretched beyond 0 to 40 °C."""
    with pytest.raises(ValueError, match=r"^the density of water is known from 0 to 40 °C, not at"):
        water_density_g_per_ml(at_c)


@given(st.floats(4.0, 39.0), st.floats(0.01, 1.0))
def test_warmer_water_is_lighter(at_c: float, warmer: float) -> None:
    """Above 4 °C the density falls, and the same mass fills more."""
    assert water_density_g_per_ml(at_c + warmer) < water_density_g_per_ml(at_c)
    assert volume_by_water_ml(200.0, at_c + warmer) > volume_by_water_ml(200.0, at_c)


def test_volume_by_water() -> None:
    """210.4 g of water at 21 °C fill 210.8 mL: mass over Tanaka's density, worked by hand."""
    assert volume_by_water_ml(210.4, 21.0) == pytest.approx(210.4 / 0.9979950, rel=1e-7)


def test_no_water_is_no_measure() -> None:
    """A vessel weighed with no water has no volume."""
    with pytest.raises(ValueError, match=r"^water_g must be a finite number above 0, not 0.0$"):
        volume_by_water_ml(0.0, 20.0)


def test_cylinder() -> None:
    """A tumbler of 80 mm and 100 mm holds 160000 π mm3, by the formula for a cylinder."""
    assert cylinder_volume_ml(80.0, 100.0) == pytest.approx(160.0 * math.pi, rel=1e-15)


def test_a_litre_cube_in_the_round() -> None:
    """A cylinder of 2/√π dm and 1 dm holds one litre: its floor is one square decimetre."""
    assert cylinder_volume_ml(200.0 / math.sqrt(math.pi), 100.0) == pytest.approx(1000.0, rel=1e-14)


@pytest.mark.parametrize(
    ("diameter_mm", "height_mm", "name"),
    [(0.0, 1.0, "diameter_mm"), (-1.0, 1.0, "diameter_mm"), (1.0, 0.0, "height_mm")],
)
def test_no_cylinder(diameter_mm: float, height_mm: float, name: str) -> None:
    """Without a width or a height there is no vessel."""
    with pytest.raises(ValueError, match=rf"^{name} must be"):
        cylinder_volume_ml(diameter_mm, height_mm)


@given(LENGTHS, LENGTHS, st.floats(0.0, 0.99))
def test_headspace_and_fill_make_the_whole(diameter: float, height: float, part: float) -> None:
    """What is filled below the headspace and what the headspace holds add up to the vessel."""
    headspace = height * part
    filled = headspace_volume_ml(diameter, height, headspace)
    above = cylinder_volume_ml(diameter, headspace) if headspace > 0 else 0.0
    assert filled + above == pytest.approx(cylinder_volume_ml(diameter, height), rel=1e-9)


@pytest.mark.parametrize(
    ("headspace_mm", "name"), [(-0.1, "headspace_mm"), (90.0, "height_mm"), (91.0, "height_mm")]
)
def test_impossible_headspace(headspace_mm: float, name: str) -> None:
    """A headspace above the rim, or one that takes the whole vessel, is a mistake."""
    with pytest.raises(ValueError, match=rf"^{name} must be"):
        headspace_volume_ml(70.0, 90.0, headspace_mm)


def test_mixture_by_volumes() -> None:
    """90 g at 0.9 and 10 g at 1.0 fill 110 mL: 100 / 110, from the formula of ideal mixing."""
    parts = [Part(90.0, 0.9), Part(10.0, 1.0)]
    assert mixture_density_g_per_ml(parts) == pytest.approx(100.0 / 110.0, rel=1e-15)


@given(st.lists(st.builds(Part, SHARES, DENSITIES), min_size=1, max_size=6), SHARES)
def test_mixture_is_between_and_scales(parts: list[Part], times: float) -> None:
    """A mixture is as dense as its parts or between, however large it is."""
    density = mixture_density_g_per_ml(parts)
    each = [part.density_g_per_ml for part in parts]
    assert min(each) * (1 - 1e-12) <= density <= max(each) * (1 + 1e-12)
    more = [Part(part.mass_share * times, part.density_g_per_ml) for part in parts]
    assert mixture_density_g_per_ml(more) == pytest.approx(density, rel=1e-12)


@pytest.mark.parametrize("parts", [[], [Part(0.0, 0.9)]])
def test_mixture_of_nothing(parts: list[Part]) -> None:
    """Nothing has no density."""
    with pytest.raises(ValueError, match=r"^the mass of the mixture must be"):
        mixture_density_g_per_ml(parts)


@pytest.mark.parametrize(
    ("mass", "density", "name"), [(-0.1, 1.0, "mass_share"), (1.0, 0.0, "density_g_per_ml")]
)
def test_impossible_part(mass: float, density: float, name: str) -> None:
    """No part of a mixture has a negative mass or no density."""
    with pytest.raises(ValueError, match=rf"^{name} must be"):
        Part(mass, density)


def test_a_part_stays_as_it_was_checked() -> None:
    """Nobody can make a checked part impossible afterwards."""
    with pytest.raises(FrozenInstanceError):
        Part(1.0, 0.9).mass_share = -1.0  # type: ignore[misc]


def test_fluid_ounces() -> None:
    """128 US fluid ounces are a gallon of 3.785411784 L, exactly (NIST HB 44, Appendix C)."""
    assert us_fluid_ounces(3785.411784) == pytest.approx(128.0, rel=1e-15)


def test_the_trap_of_the_two_ounces() -> None:
    """A vessel of 9 fl oz to the brim is declared as 8.4 oz of wax at 0.90 g/mL, even when full.

    9 x 29.5735295625 mL x 0.90 g/mL / 28.349523125 g = 8.4497 oz, by the exact factors of NIST
    SP 811; a label is rounded down.
    """
    brim_ml = 9 * 29.5735295625
    assert us_fluid_ounces(brim_ml) == pytest.approx(9.0, rel=1e-15)
    assert declared(brim_ml * 0.90).ounces == Decimal("8.4")


@given(st.floats(1.0, 1e5), st.floats(0.2, 0.958))
def test_wax_always_weighs_less_than_its_fluid_ounces(volume: float, density: float) -> None:
    """Below 0.9586 g/mL there are fewer ounces of wax to declare than fluid ounces."""
    assert declared(volume * density).ounces < us_fluid_ounces(volume)


def test_an_empty_vessel_holds_nothing() -> None:
    """No volume is no ounces."""
    assert us_fluid_ounces(0.0) == 0.0


def test_impossible_ounces() -> None:
    """A negative volume is a mistake."""
    with pytest.raises(ValueError, match=r"^volume_ml must be"):
        us_fluid_ounces(-1.0)


def test_a_height_is_the_inverse_of_a_volume() -> None:
    """210 mL in 72 mm: 210,000 mm³ over π · 36² = 4071.504 mm² is 51.578 mm; 0 mL stand at 0."""
    assert cylinder_height_mm(210, 72) == pytest.approx(51.578, abs=0.001)
    assert cylinder_volume_ml(72, cylinder_height_mm(210, 72)) == pytest.approx(210)
    assert cylinder_height_mm(0, 72) == 0
