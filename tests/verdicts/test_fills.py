"""What a vessel holds and what goes into it, worked out by hand beside each case."""

import math
from typing import TYPE_CHECKING

import pytest

from handbook_builder.reading.kinds.items import Fill, cylinder_mm
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.fills import NetFill, brim_ml, make_up, net_fill, volume_ml
from tests.records_in_text import BASE, OIL, RECIPE, VESSEL, WAX, linked

if TYPE_CHECKING:
    from collections.abc import Mapping

LIQUID = WAX.replace("max_load", "liquid_density: {density: 0.84 g/mL, at: 65 degC}\nmax_load")
TO_LINE = RECIPE.replace("fill: 108 g", "fill: to_line")
HOT = RECIPE.replace("fill: 108 g", "fill: to_line_hot")


def studio(**texts: str) -> Studio:
    """Return the base studio with some records replaced; `_` stands for `/` in their names."""
    files: dict[str, str] = dict(BASE)
    files |= {
        name.replace("__", "/").replace("_", "-") + ".md": text for name, text in texts.items()
    }
    return linked(files)


def fill(**texts: str) -> NetFill:
    """Return the net fill of the recipe `fig`."""
    found = studio(**texts)
    return net_fill(found, found.recipes["fig"])


def vessel_volume(form: str, more: str = "") -> float:
    """Return the volume to the line of a vessel with this form of fill."""
    text = VESSEL.replace("{volume: 210 mL}", form).replace("fill:", f"{more}fill:")
    vessel = studio(vessels__tumbler=text).vessels["tumbler"]
    return volume_ml(vessel, vessel.fill)


def test_the_forms_of_a_fill() -> None:
    """A volume as it is; water by its density; a cylinder by its dimensions.

    Water at 21 °C: 0.997 995 0 g/mL (Tanaka et al. 2001, Metrologia 38, p. 305, computed from the
    formula). Cylinder: π/4 · 72² · 78 mm³.
    """
    assert vessel_volume("{volume: 210 mL}") == 210.0
    assert vessel_volume("{water: 210.4 g, at: 21 degC}") == pytest.approx(210.4 / 0.9979950)
    tall = vessel_volume("{headspace: 12 mm}", "inside_height: 90 mm\n")
    assert tall == pytest.approx(math.pi / 4 * 72**2 * 78 / 1000)


def test_a_line_and_a_brim_by_headspace() -> None:
    """Both by the dimensions: 78 mm and 90 mm of a cylinder 72 mm wide."""
    text = VESSEL.replace("{volume: 210 mL}", "{headspace: 12 mm}").replace(
        "fill:", "brim: {headspace: 0 mm}\ninside_height: 90 mm\nfill:"
    )
    area_ml_per_mm = math.pi / 4 * 72**2 / 1000
    vessel = studio(vessels__tumbler=text).vessels["tumbler"]
    assert brim_ml(vessel) == pytest.approx(90 * area_ml_per_mm)
    found = fill(vessels__tumbler=text, recipes__fig=TO_LINE)
    assert found.volume_ml == pytest.approx(78 * area_ml_per_mm)


def test_a_headspace_that_nothing_can_be_reckoned_from() -> None:
    """Linking refuses such a record; reaching the formula with one would be our own fault."""
    vessel = studio().vessels["tumbler"]
    with pytest.raises(ValueError, match="tumbler has no headspace to reckon with"):
        cylinder_mm(vessel, Fill(headspace_mm=3.0))


def test_a_brim() -> None:
    """In the same forms, or not on record."""
    assert brim_ml(studio().vessels["tumbler"]) is None
    text = VESSEL.replace("fill:", "brim: {volume: 250 mL}\nfill:")
    assert brim_ml(studio(vessels__tumbler=text).vessels["tumbler"]) == 250.0


def test_a_stated_fill() -> None:
    """The recipe's own mass wins; its volume follows from the density of the mixture.

    100 g of wax at 0.90 and 8 g of oil at 0.98 take 111.111 + 8.163 mL for 108 g.
    """
    found = fill()
    assert (found.net_g, found.stated, found.hot) == (108.0, True, False)
    assert found.volume_ml == pytest.approx(100 / 0.90 + 8 / 0.98)
    assert found.density_g_per_ml == pytest.approx(108 / (100 / 0.90 + 8 / 0.98))


def test_filled_to_the_line() -> None:
    """210 mL of the mixture that has set; a molten density on file changes nothing of it."""
    assert fill(recipes__fig=TO_LINE, waxes__soy=LIQUID) == fill(recipes__fig=TO_LINE)
    found = fill(recipes__fig=TO_LINE)
    assert (found.stated, found.hot, found.volume_ml) == (False, False, 210.0)
    assert found.net_g == pytest.approx(210 * 108 / (100 / 0.90 + 8 / 0.98))


def test_filled_hot() -> None:
    """A recipe that says so is reckoned with the molten density, which it needs."""
    found = fill(recipes__fig=HOT, waxes__soy=LIQUID)
    assert found.hot
    assert found.net_g == pytest.approx(210 * 108 / (100 / 0.84 + 8 / 0.98))


def test_a_blend() -> None:
    """Set or hot as the recipe says; oils add up.

    60 g at 0.84 or 0.90, 40 g at 0.80, 5 g of oil at 0.98 and 3 g at 1.02.
    """
    blend = TO_LINE.replace("wax: soy", "wax: {soy: 60 %, other: 40 %}").replace(
        "{fig-oil: 8 %}", "{fig-oil: 5 %, rose-oil: 3 %}"
    )
    texts: Mapping[str, str] = {
        "recipes__fig": blend,
        "fragrances__rose_oil": OIL.replace("0.98", "1.02"),
        "waxes__other": WAX.replace("0.90", "0.80"),
    }
    oils = 5 / 0.98 + 3 / 1.02
    cold = fill(**texts, waxes__soy=LIQUID)
    assert not cold.hot
    assert cold.density_g_per_ml == pytest.approx(108 / (60 / 0.90 + 40 / 0.80 + oils))
    molten = {"waxes__other": LIQUID.replace("0.84", "0.78"), "waxes__soy": LIQUID}
    hot = fill(**{**texts, **molten, "recipes__fig": blend.replace("to_line", "to_line_hot")})
    assert hot.hot
    assert hot.density_g_per_ml == pytest.approx(108 / (60 / 0.84 + 40 / 0.78 + oils))


def test_without_a_scent() -> None:
    """Wax alone."""
    found = fill(recipes__fig=TO_LINE.replace("{fig-oil: 8 %}", "none"))
    assert found.net_g == pytest.approx(210 * 0.90)


def test_a_load_on_the_total() -> None:
    """7.5 % of the total is 7.5 g of oil to 92.5 g of wax."""
    recipe = RECIPE.replace("8 %", "7.5 %").replace("basis: wax", "basis: total")
    found = fill(recipes__fig=recipe)
    assert found.density_g_per_ml == pytest.approx(100 / (92.5 / 0.90 + 7.5 / 0.98))
    shares = make_up(studio(recipes__fig=recipe).recipes["fig"])
    assert dict(shares.fragrance) == pytest.approx({"fig-oil": 0.075})


def test_a_dye_takes_its_share() -> None:
    """8 g of oil and 1 g of dye to 100 g of wax: the oil is 8/109 of the candle."""
    recipe = RECIPE.replace("load_basis", "colorant: {red: 1 %}\nload_basis")
    found = studio(recipes__fig=recipe, colorants__red="---\nform: flakes\n---\n")
    shares = make_up(found.recipes["fig"])
    assert dict(shares.fragrance) == pytest.approx({"fig-oil": 8 / 109})
    assert dict(shares.colorant) == pytest.approx({"red": 0.01})
