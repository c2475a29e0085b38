"""How a figure came about: its formula, the values put in, and the lines they stand in."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk
from handbook_builder.problems import Place
from handbook_builder.reading.kinds.items import Vessel
from handbook_builder.verdicts.approval import Product


@dataclass(frozen=True, slots=True)
class Input:
    """One value that was put in; `where` is its record and line, or empty when it is derived."""

    label: str
    value: str
    where: str


@dataclass(frozen=True, slots=True)
class Working:
    """How one figure came about."""

    title: str
    formula: str
    inputs: tuple[Input, ...]
    result: str
    source: str


_Given = tuple[str, str, Place | None]


def _working(desk: Desk, kind: str, given: Iterator[_Given], result: str) -> Working:
    phrase = desk.words.phrases["pages"]["workings"][kind]
    inputs = tuple(
        Input(phrase["inputs"][name], value, str(place) if place else "")
        for name, value, place in given
    )
    return Working(phrase["title"], phrase["formula"], inputs, result, phrase["source"])


def of_volume(desk: Desk, vessel: Vessel) -> Working:
    """Return how the volume to the fill line came about."""
    fill = vessel.fill
    if fill.water_g is not None:
        kind = "fill_water"
    else:
        kind = "fill_headspace" if fill.headspace_mm is not None else "fill_stated"
    result = desk.volume(desk.account.vessels[vessel.source.id].fill_ml)
    return _working(desk, kind, _fill_given(desk, vessel), result)


def _fill_given(desk: Desk, vessel: Vessel) -> Iterator[_Given]:
    fill, place, show = vessel.fill, vessel.source.place, desk.words.quantity
    if fill.water_g is not None and fill.at_c is not None:
        yield "water", show(fill.water_g, "g"), place("fill.water")
        yield "at", show(fill.at_c, "c"), place("fill.at")
    elif fill.headspace_mm is not None and vessel.inside_height_mm is not None:
        yield "diameter", show(vessel.inside_diameter_mm, "mm"), place("inside_diameter")
        yield "height", show(vessel.inside_height_mm, "mm"), place("inside_height")
        yield "headspace", show(fill.headspace_mm, "mm"), place("fill.headspace")
    elif fill.volume_ml is not None:
        yield "volume", show(fill.volume_ml, "ml"), place("fill.volume")


def of_net_fill(desk: Desk, product: Product) -> Working:
    """Return how the net fill of a product came about."""
    fill = desk.account.products[product.recipe.source.id].fill
    kind = "net_stated" if fill.stated else "net_line"
    return _working(desk, kind, _net_given(desk, product), desk.mass(fill.net_g))


def _net_given(desk: Desk, product: Product) -> Iterator[_Given]:
    recipe = product.recipe
    fill = desk.account.products[recipe.source.id].fill
    if fill.stated:
        yield "net", desk.mass(fill.net_g), recipe.source.place("fill")
    yield "volume", desk.volume(fill.volume_ml), _volume_place(desk, product)
    density = desk.words.quantity(fill.density_g_per_ml, "g_per_ml")
    warmth = desk.phrase("densities.hot" if fill.hot else "densities.cold")
    yield "density", f"{density} ({warmth})", None
    yield from _densities(desk, product, hot=fill.hot)


def _volume_place(desk: Desk, product: Product) -> Place | None:
    fill = desk.account.products[product.recipe.source.id].fill
    vessel = desk.studio.vessels[product.recipe.vessel]
    return None if fill.stated else vessel.source.place("fill")


def _densities(desk: Desk, product: Product, *, hot: bool) -> Iterator[_Given]:
    show = desk.words.quantity
    for ident in product.recipe.wax:
        wax = desk.studio.waxes[ident]
        liquid = wax.liquid_density if hot else None
        value = liquid.density_g_per_ml if liquid else wax.density_g_per_ml
        key = "liquid_density" if liquid else "density"
        yield "wax", f"{ident}, {show(value, 'g_per_ml')}", wax.source.place(key)
    for ident in product.recipe.fragrance:
        oil = desk.studio.fragrances[ident]
        shown = show(oil.density_g_per_ml, "g_per_ml")
        yield "oil", f"{ident}, {shown}", oil.source.place("density")


def of_load(desk: Desk, product: Product) -> Working:
    """Return how the two ways of saying the load came about, from the recipe's lines."""
    result = desk.words.percent(desk.account.products[product.recipe.source.id].load_on_wax)
    return _working(desk, "load_wax", _load_given(desk, product), result)


def _load_given(desk: Desk, product: Product) -> Iterator[_Given]:
    recipe = product.recipe
    for ident, share in recipe.fragrance.items():
        basis = desk.phrase(f"bases.{recipe.load_basis}", load=desk.words.percent(share))
        yield "oil", f"{ident}, {basis}", recipe.source.place(f"fragrance.{ident}")
    for ident, share in recipe.colorant.items():
        basis = desk.phrase("bases.wax", load=desk.words.percent(share))
        yield "colorant", f"{ident}, {basis}", recipe.source.place(f"colorant.{ident}")
