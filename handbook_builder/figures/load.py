"""What a candle is made of: loads on the wax and of the total, and the masses to weigh."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import fsum
from types import MappingProxyType
from typing import Final

from handbook_builder.figures.guard import not_negative, positive

# Shares are written with few digits; this only forgives what floats add to them.
_SLACK: Final = 1e-6


def _sealed(shares: Mapping[str, float], name: str) -> Mapping[str, float]:
    """Return a copy that nobody can change, of finite values that are not negative."""
    return MappingProxyType({ident: not_negative(one, name) for ident, one in shares.items()})


@dataclass(frozen=True, slots=True)
class MakeUp:
    """What a candle is, whatever its size.

    `wax` holds each wax's share of the wax (together 1), `fragrance` each oil's share of the
    finished candle, `colorant` each colorant's mass over the mass of wax.
    """

    wax: Mapping[str, float]
    fragrance: Mapping[str, float]
    colorant: Mapping[str, float]

    def __post_init__(self) -> None:
        """Seal the shares; waxes that do not add up to the whole wax are a `ValueError`."""
        for name in ("wax", "fragrance", "colorant"):
            object.__setattr__(self, name, _sealed(getattr(self, name), name))
        if abs(fsum(self.wax.values()) - 1.0) > _SLACK:
            msg = f"the shares of the wax must add up to 1, not {fsum(self.wax.values())}"
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Masses:
    """The mass of everything that is weighed into one candle, in grams."""

    wax_g: Mapping[str, float]
    fragrance_g: Mapping[str, float]
    colorant_g: Mapping[str, float]

    def __post_init__(self) -> None:
        """Seal the masses."""
        for name in ("wax_g", "fragrance_g", "colorant_g"):
            object.__setattr__(self, name, _sealed(getattr(self, name), name))


@dataclass(frozen=True, slots=True)
class RoundedMasses:
    """Masses as a scale can show them, and the load on the wax that they come to."""

    masses: Masses
    load_on_wax: float


def make_up_on_wax(
    wax: Mapping[str, float], loads: Mapping[str, float], colorant: Mapping[str, float]
) -> MakeUp:
    """Return the make-up for oils given by their mass over the mass of wax.

    One part of wax takes Σr of oils and Σc of colorants, so that oil i is r_i / (1 + Σr + Σc) of
    the finished candle.
    """
    whole = 1.0 + fsum(loads.values()) + fsum(colorant.values())
    return MakeUp(wax, {ident: load / whole for ident, load in loads.items()}, colorant)


def make_up_on_total(
    wax: Mapping[str, float], shares: Mapping[str, float], colorant: Mapping[str, float]
) -> MakeUp:
    """Return the make-up for oils given by their share of the finished candle."""
    return MakeUp(wax, shares, colorant)


def measured_make_up(
    wax_g: Mapping[str, float], fragrance_g: Mapping[str, float], colorant_g: Mapping[str, float]
) -> MakeUp:
    """Return the make-up of a candle by the masses that were weighed, in grams.

    No wax at all is a `ValueError`.
    """
    all_wax_g = positive(fsum(wax_g.values()), "the mass of wax")
    net_g = all_wax_g + fsum(fragrance_g.values()) + fsum(colorant_g.values())
    return MakeUp(
        {ident: mass_g / all_wax_g for ident, mass_g in wax_g.items()},
        {ident: mass_g / net_g for ident, mass_g in fragrance_g.items()},
        {ident: mass_g / all_wax_g for ident, mass_g in colorant_g.items()},
    )


def _wax_share(make_up: MakeUp) -> float:
    """Return the wax's share of the finished candle: (1 - S) / (1 + c)."""
    left = positive(1.0 - fsum(make_up.fragrance.values()), "the share left by the oils")
    return left / (1.0 + fsum(make_up.colorant.values()))


def total_load_on_wax(make_up: MakeUp) -> float:
    """Return the mass of all oils over the mass of wax: S (1 + c) / (1 - S).

    S is the oils' share of the finished candle, c the colorants' mass over that of the wax. Oils
    that leave no room for wax are a `ValueError`.
    """
    return fsum(make_up.fragrance.values()) / _wax_share(make_up)


def masses(make_up: MakeUp, net_g: float) -> Masses:
    """Return what to weigh for one candle of `net_g` grams; the masses add up to it.

    Oils that leave no room for wax are a `ValueError`.
    """
    wax_g = positive(net_g, "net_g") * _wax_share(make_up)
    return Masses(
        {ident: wax_g * share for ident, share in make_up.wax.items()},
        {ident: net_g * share for ident, share in make_up.fragrance.items()},
        {ident: wax_g * share for ident, share in make_up.colorant.items()},
    )


def blended_limit(shares: Mapping[str, float], limits: Mapping[str, float]) -> float:
    """Return the limit of a blend: the mean of its waxes' limits, weighted by their shares.

    A wax without a limit, and a blend of nothing, are a `ValueError`.
    """
    if missing := sorted(shares.keys() - limits.keys()):
        msg = f"no limit for {', '.join(missing)}"
        raise ValueError(msg)
    whole = positive(fsum(shares.values()), "the sum of the shares")
    return fsum(share * limits[ident] for ident, share in shares.items()) / whole


def rounded_masses(masses: Masses, readability_g: float) -> RoundedMasses:
    """Return the masses in steps of the scale's `readability_g`, and the load they come to.

    Wax is rounded first; oils and colorants are worked from the rounded wax, so that their loads
    stay true to within half a step. A scale too coarse to show any wax is a `ValueError`.
    """
    step = Decimal(str(positive(readability_g, "readability_g")))
    wax_g = {ident: _to_step(mass_g, step) for ident, mass_g in masses.wax_g.items()}
    weighed_g = positive(fsum(wax_g.values()), "the mass of wax that the scale can show")
    scaled = weighed_g / fsum(masses.wax_g.values())
    fragrance_g, colorant_g = (
        {ident: _to_step(mass_g * scaled, step) for ident, mass_g in part.items()}
        for part in (masses.fragrance_g, masses.colorant_g)
    )
    load = fsum(fragrance_g.values()) / weighed_g
    return RoundedMasses(Masses(wax_g, fragrance_g, colorant_g), load)


def _to_step(mass_g: float, step: Decimal) -> float:
    """Return the multiple of `step` nearest to `mass_g`, as the float that prints as it."""
    return float(round(Decimal(mass_g) / step) * step)
