"""What to weigh for any count of candles, in whole steps of the scale.

All of it is arithmetic of whole numbers, so that a browser which does the same with the same
numbers (`theme/assets/pour.js`) comes to the same digits. Masses are in micrograms, shares and
losses in millionths.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from handbook_builder.figures.guard import positive

MILLION: Final = 1_000_000
# A thousandth of a percentage point, and a hundredth of a per cent: what is shown of a share.
OFF_PARTS: Final = 100_000
LOAD_PARTS: Final = 10_000
_OUNCE_G: Final = 28.349523125  # exact, by the definition of the pound (NIST SP 811, Appendix B)


@dataclass(frozen=True, slots=True)
class Scale:
    """What a scale can show: one step in micrograms, written as `digits` / 10^`decimals` `unit`."""

    step_ug: int
    unit: str
    digits: int
    decimals: int

    def text(self, steps: int) -> str:
        """Return so many steps as the scale shows them, without the unit."""
        return decimal_text(steps * self.digits, self.decimals)


@dataclass(frozen=True, slots=True)
class Mix:
    """What goes into one candle, in micrograms, and what must hold when many are poured.

    `kept_ppm` is the share of the weighed mass that ends in a candle, in millionths; the rest
    stays in the pitcher. `tolerance_ppm` is how far a share may be off. The oils in `down` stand
    at a limit: they are rounded down.
    """

    wax_ug: Mapping[str, int]
    oil_ug: Mapping[str, int]
    colorant_ug: Mapping[str, int]
    down: frozenset[str]
    kept_ppm: int
    tolerance_ppm: int

    def __post_init__(self) -> None:
        """Seal the masses; no wax, nothing kept and a mass below zero are a `ValueError`."""
        positive(self.kept_ppm, "kept_ppm")
        positive(sum(self.wax_ug.values()), "the mass of wax")
        for name in ("wax_ug", "oil_ug", "colorant_ug"):
            part = dict(getattr(self, name))
            if min(part.values(), default=0) < 0:
                msg = f"{name} must not be below 0"
                raise ValueError(msg)
            object.__setattr__(self, name, MappingProxyType(part))


@dataclass(frozen=True, slots=True)
class Weighed:
    """The steps of the scale to weigh of each part, and what they come to.

    `load` is the oils' mass over the wax's and `share` their share of the whole, in hundredths of
    a per cent; `off` is by how much the share of any part misses the recipe's at the most, in
    thousandths of a percentage point. `fits` tells whether every part can be weighed and every
    share is within the tolerance; where it is false, these weights are not the recipe's candle.
    """

    wax: Mapping[str, int]
    oil: Mapping[str, int]
    colorant: Mapping[str, int]
    load: int
    share: int
    off: int
    fits: bool

    @property
    def total(self) -> int:
        """Return all steps together."""
        return sum((*self.wax.values(), *self.oil.values(), *self.colorant.values()))


def half_up(top: int, under: int) -> int:
    """Return `top` / `under` as the nearest whole number, a half upwards; neither is negative."""
    return (2 * top + under) // (2 * under)


def decimal_text(units: int, decimals: int) -> str:
    """Return `units` / 10^`decimals` with all its decimals: 25255 with one is "2525.5"."""
    if decimals == 0:
        return str(units)
    padded = str(units).rjust(decimals + 1, "0")
    return f"{padded[:-decimals]}.{padded[-decimals:]}"


def micrograms(mass_g: float) -> int:
    """Return a mass in grams as whole micrograms."""
    return round(Decimal(mass_g) * MILLION)


def scale_of(step_g: float) -> Scale:
    """Return the scale whose readability is `step_g`.

    It shows ounces when its step is a whole number of thousandths of an ounce. A step of less than
    a microgram is a `ValueError`.
    """
    step_ug = micrograms(positive(step_g, "step_g"))
    positive(step_ug, "a step in whole micrograms")
    thousandths = round(step_g / _OUNCE_G * 1000)
    if math.isclose(thousandths * _OUNCE_G / 1000, step_g):
        return Scale(step_ug, "oz", *_shortest(thousandths, 3))
    return Scale(step_ug, "g", *_shortest(step_ug, 6))


def _shortest(digits: int, decimals: int) -> tuple[int, int]:
    """Return the same number without decimals that are zero."""
    while decimals and digits % 10 == 0:
        digits, decimals = digits // 10, decimals - 1
    return digits, decimals


def weighed(mix: Mix, scale: Scale, count: int) -> Weighed:
    """Return what to weigh for `count` candles: m · n / (1 - loss), in steps of the scale.

    Wax is rounded first, and oils and colorants are worked from the rounded wax, so that their
    loads stay true to within half a step (a whole one for an oil that is rounded down). A count
    below one is a `ValueError`.
    """
    positive(count, "count")
    under = mix.kept_ppm * scale.step_ug
    wax = {one: half_up(ug * count * MILLION, under) for one, ug in mix.wax_ug.items()}
    all_wax, base = sum(wax.values()), sum(mix.wax_ug.values())
    oil = {
        one: all_wax * ug // base if one in mix.down else half_up(all_wax * ug, base)
        for one, ug in mix.oil_ug.items()
    }
    colorant = {one: half_up(all_wax * ug, base) for one, ug in mix.colorant_ug.items()}
    return _judged(mix, wax, oil, colorant)


def _judged(
    mix: Mix, wax: dict[str, int], oil: dict[str, int], colorant: dict[str, int]
) -> Weighed:
    steps = (MappingProxyType(wax), MappingProxyType(oil), MappingProxyType(colorant))
    all_wax = sum(wax.values())
    if not all(each for part in steps for each in part.values()):
        return Weighed(*steps, load=0, share=0, off=0, fits=False)
    all_oil = sum(oil.values())
    total = all_wax + all_oil + sum(colorant.values())
    misses = list(_misses(mix, *steps))
    return Weighed(
        *steps,
        load=half_up(all_oil * LOAD_PARTS, all_wax),
        share=half_up(all_oil * LOAD_PARTS, total),
        off=max(half_up(top * OFF_PARTS, under) for top, under in misses),
        fits=all(top * MILLION <= mix.tolerance_ppm * under for top, under in misses),
    )


def _misses(
    mix: Mix, wax: Mapping[str, int], oil: Mapping[str, int], colorant: Mapping[str, int]
) -> Iterator[tuple[int, int]]:
    """Yield by how much each share misses the recipe's, as a fraction.

    An oil's share is of the finished candle, a wax's of all wax, a colorant's of the wax: the
    shares by which a test candle is matched.
    """
    base, all_wax = sum(mix.wax_ug.values()), sum(wax.values())
    whole = base + sum(mix.oil_ug.values()) + sum(mix.colorant_ug.values())
    total = all_wax + sum(oil.values()) + sum(colorant.values())
    for part, part_ug, steps, ug in (
        (wax, mix.wax_ug, all_wax, base),
        (oil, mix.oil_ug, total, whole),
        (colorant, mix.colorant_ug, all_wax, base),
    ):
        for one, each in part.items():
            yield abs(each * ug - part_ug[one] * steps), steps * ug
