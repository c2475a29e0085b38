"""How much to pour of something, as the scale will show it and in the units of the studio."""

from handbook_builder.conversion import convert
from handbook_builder.figures.pour import micrograms, scale_of
from handbook_builder.words import Words


def mass_to_pour(words: Words, scale_g: float | None, mass_g: float) -> str:
    """Return a mass with its unit: as the scale shows it, and else in the studio's own units.

    The scale's readability is `scale_g`, in grams. Where it shows another unit than the studio
    has, that one follows in brackets: what is weighed is read off the scale.
    """
    if scale_g is None:
        return _of_studio(words.units, mass_g)
    scale = scale_of(scale_g)
    steps = round(micrograms(mass_g) / scale.step_ug)
    shown = f"{scale.text(steps)} {scale.unit}" if steps else f"{mass_g:.2g} g"
    other = {"us": "oz", "metric": "g"}.get(words.units, "g" if scale.unit == "oz" else "oz")
    if shown.endswith(f" {other}"):
        return shown
    return f"{shown} ({_ounces(mass_g) if other == 'oz' else _grams(mass_g)})"


def _of_studio(units: str, mass_g: float) -> str:
    if units == "metric":
        return _grams(mass_g)
    first, second = _ounces(mass_g), _grams(mass_g)
    return f"{first} ({second})" if units == "us" else f"{second} ({first})"


def _grams(mass_g: float) -> str:
    return _told(mass_g, 2, "g")


def _ounces(mass_g: float) -> str:
    return _told(convert(mass_g, "gram", "ounce"), 3, "oz")


def _told(mass: float, decimals: int, unit: str) -> str:
    """Return a mass with its decimals, or with two digits where they would show nothing of it."""
    shown = f"{mass:.{decimals}f}"
    return f"{shown} {unit}" if any(one in shown for one in "123456789") else f"{mass:.2g} {unit}"
