"""What a vessel holds: volumes by water and by dimensions, and the density of a mixture."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.guard import not_negative, positive

# NIST SP 811 and HB 44, Appendix C: a US gallon of 231 cubic inches is 128 US fluid ounces, so
# that 1 fl oz is 29.5735295625 mL exactly.
ML_PER_US_FLUID_OUNCE: Final = 29.5735295625

_MM3_PER_ML: Final = 1000.0
_COLDEST_C: Final = 0.0
_WARMEST_C: Final = 40.0


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a mixture: its mass (or share of the mass), and its density alone."""

    mass_share: float
    density_g_per_ml: float

    def __post_init__(self) -> None:
        """Refuse a negative mass and a density of 0 or less."""
        not_negative(self.mass_share, "mass_share")
        positive(self.density_g_per_ml, "density_g_per_ml")


def water_density_g_per_ml(at_c: float) -> float:
    """Return the density of air-free water at one atmosphere, in g/mL.

    0.999974950 · (1 - (t - 3.983035)² (t + 301.797) / (522528.9 (t + 69.34881))), by Tanaka et
    al. 2001, Metrologia 38, 301-309, p. 305. Outside the formula's 0 to 40 °C: `ValueError`.
    """
    if not _COLDEST_C <= at_c <= _WARMEST_C:
        msg = f"the density of water is known from 0 to 40 °C, not at {at_c} °C"
        raise ValueError(msg)
    bent = (at_c - 3.983035) ** 2 * (at_c + 301.797) / (522528.9 * (at_c + 69.34881))
    return 0.999974950 * (1.0 - bent)


def volume_by_water_ml(water_g: float, at_c: float) -> float:
    """Return the volume in mL that `water_g` grams of water at `at_c` °C fill: mass by density.

    Not corrected for the buoyancy of air: about a tenth of a percent, less than a fill line shows.
    """
    return positive(water_g, "water_g") / water_density_g_per_ml(at_c)


def cylinder_volume_ml(diameter_mm: float, height_mm: float) -> float:
    """Return the volume of a straight-sided vessel in mL: V = π d² h / 4."""
    positive(diameter_mm, "diameter_mm")
    positive(height_mm, "height_mm")
    return math.pi * diameter_mm**2 * height_mm / 4.0 / _MM3_PER_ML


def headspace_volume_ml(diameter_mm: float, inside_height_mm: float, headspace_mm: float) -> float:
    """Return the volume of a straight-sided vessel in mL, up to `headspace_mm` below its rim.

    A headspace that leaves no height to fill is a `ValueError`.
    """
    not_negative(headspace_mm, "headspace_mm")
    return cylinder_volume_ml(diameter_mm, inside_height_mm - headspace_mm)


def mixture_density_g_per_ml(parts: Sequence[Part]) -> float:
    """Return the density of a mixture in g/mL, by ideal mixing of volumes.

    Its volume is the sum of the parts' own: 1 / d = Σ (w_i / d_i). The parts' masses need not
    add up to 1. A mixture of no mass at all is a `ValueError`.
    """
    mass = math.fsum(part.mass_share for part in parts)
    volume = math.fsum(part.mass_share / part.density_g_per_ml for part in parts)
    return positive(mass, "the mass of the mixture") / volume


def us_fluid_ounces(volume_ml: float) -> float:
    """Return a volume in US fluid ounces, the ounces that a vessel is sold by."""
    return not_negative(volume_ml, "volume_ml") / ML_PER_US_FLUID_OUNCE


def cylinder_height_mm(volume_ml: float, diameter_mm: float) -> float:
    """Return how high a volume stands in a straight-sided vessel, in mm: h = 4 V / (π d²)."""
    not_negative(volume_ml, "volume_ml")
    positive(diameter_mm, "diameter_mm")
    return 4.0 * volume_ml * _MM3_PER_ML / (math.pi * diameter_mm**2)
