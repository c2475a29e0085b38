"""What a candle is, and whether a test candle speaks for a recipe."""

import math
from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from .read import SLACK, Book, Record, amounts, day_of, poured_g, quantity

Identity = tuple[object, ...]


def spec_on(item: Record, day: date) -> int:
    """Return an item's spec as of a day.

    "spec_as_of(item, day) = 1 + the number of those dates on or before the day".
    """
    return 1 + sum(day_of(since) <= day for since in spec_days(item))


def spec_days(item: Record) -> list[str]:
    """Return the days of `spec_since`: "one date, or a list of dates", one for each from 2 on."""
    written = item.get("spec_since", [])
    return [written] if isinstance(written, str) else list(written)


def recipe_waxes(recipe: Record) -> dict[str, Fraction]:
    """Return each wax's share of all the wax."""
    if isinstance(recipe["wax"], str):
        return {recipe["wax"]: Fraction(1)}
    return amounts(recipe["wax"])


def recipe_identity(book: Book, recipe: Record, day: date) -> Identity:
    """Return the identities a recipe holds, with today's specs."""

    def held(kind: str, ids: Iterable[str]) -> frozenset[tuple[str, int]]:
        return frozenset((name, spec_on(book[kind][name], day)) for name in ids)

    return (
        held("vessels", [recipe["vessel"]]),
        held("waxes", recipe_waxes(recipe)),
        held("wicks", [recipe["wick"]]),
        int(recipe.get("wicks", "1")),
        held("fragrances", amounts(recipe.get("fragrance"))),
        held("colorants", amounts(recipe.get("colorant"))),
    )


def candle_identity(book: Book, made: Record, *, dated: bool = False) -> Identity:
    """Return the identities of a test candle: the specs of the day it was made.

    "A candle made before that date carries the former spec (unless `made.spec` says otherwise)";
    dated, whatever it says.
    """
    said = {} if dated else made.get("spec", {})
    poured = day_of(made["on"])

    def held(kind: str, ids: Iterable[str]) -> frozenset[tuple[str, int]]:
        return frozenset(
            (name, int(said.get(f"{kind}/{name}", spec_on(book[kind][name], poured))))
            for name in ids
        )

    return (
        held("vessels", [made["vessel"]]),
        held("waxes", amounts(made["wax"])),
        held("wicks", [made["wick"]]),
        int(made.get("wicks", "1")),
        held("fragrances", amounts(made.get("fragrance"))),
        held("colorants", amounts(made.get("colorant"))),
    )


def load_on_wax(recipe: Record) -> Fraction:
    """Return the summed load on wax (oil mass / wax mass) in either basis."""
    oil = sum(amounts(recipe.get("fragrance")).values(), Fraction(0))
    dye = sum(amounts(recipe.get("colorant")).values(), Fraction(0))
    if recipe["load_basis"] == "wax":
        return oil
    wax = (1 - oil) / (1 + dye)  # of the finished candle; the dye is a share of the wax
    return oil / wax


def oil_shares(recipe: Record) -> dict[str, Fraction]:
    """Return each oil's share of the finished candle: "8 % of the wax and 7.407 % ... same"."""
    oils = amounts(recipe.get("fragrance"))
    if recipe["load_basis"] == "total":
        return oils
    dye = sum(amounts(recipe.get("colorant")).values(), Fraction(0))
    whole = 1 + sum(oils.values(), Fraction(0)) + dye
    return {name: load / whole for name, load in oils.items()}


def water_density(t: Fraction) -> Fraction:
    """Return the density of water in g/mL at t degC (Tanaka et al. 2001, Metrologia 38, 301)."""
    top = (t - Fraction("3.983035")) ** 2 * (t + Fraction("301.797"))
    bottom = Fraction("522528.9") * (t + Fraction("69.34881"))
    return Fraction("0.999974950") * (1 - top / bottom)


def fill_volume(vessel: Record) -> Fraction:
    """Return the vessel's volume to the fill line in mL."""
    fill = vessel["fill"]
    if "water" in fill:
        return quantity(fill["water"]) / water_density(quantity(fill["at"]))
    if "volume" in fill:
        return quantity(fill["volume"])
    height = quantity(vessel["inside_height"]) - quantity(fill["headspace"])
    width = quantity(vessel["inside_diameter"])
    return Fraction(math.pi) * width**2 * height / 4 / 1000  # mm3 to mL


def net_fill(book: Book, recipe: Record) -> Fraction:
    """Return the recipe's net fill in g: its mass, or the volume times the mixture density.

    Ideal mixing: 1 / density = sum of w_i / density_i over wax and oil, without colorant.
    "`to_line` (volume to the line of wax that has set: solid densities), or `to_line_hot`
    (liquid densities of all its waxes ...)".
    """
    if recipe["fill"] not in {"to_line", "to_line_hot"}:
        return quantity(recipe["fill"])
    hot = recipe["fill"] == "to_line_hot"
    parts: list[tuple[Fraction, Fraction]] = []  # (parts by mass for 1 of wax, g/mL)
    for name, share in recipe_waxes(recipe).items():
        wax = book["waxes"][name]
        density = wax["liquid_density"]["density"] if hot else wax["density"]
        parts.append((share, quantity(density)))
    # the oils' shares of all oil are the same in both bases
    oils = amounts(recipe.get("fragrance"))
    load, whole = load_on_wax(recipe), sum(oils.values(), Fraction(0))
    for name, oil in oils.items():
        parts.append((load * oil / whole, quantity(book["fragrances"][name]["density"])))
    mass = sum((m for m, _ in parts), Fraction(0))
    volume = sum((m / density for m, density in parts), Fraction(0))
    return fill_volume(book["vessels"][recipe["vessel"]]) * mass / volume


def _within(measured: Fraction, wanted: Fraction, tolerance: Fraction) -> bool:
    return abs(measured - wanted) <= tolerance + SLACK


def _share_holds(measured: Fraction, wanted: Fraction, protocol: Record, times: int) -> bool:
    """Tell whether a share is near enough.

    "off by load_tolerance, and by no more than half of the target's own share (min of the two),
    times 2 for failures".
    """
    return _within(measured, wanted, times * min(quantity(protocol["load_tolerance"]), wanted / 2))


def alike(  # noqa: PLR0913 - all that a likeness depends on
    book: Book, one: Record, other: Record, protocol: Record, day: date, *, times: int
) -> bool:
    """Tell whether two recipes are the same candle within so many times the tolerances.

    The second is what is measured by: its fill is the one that the tolerance is a part of.
    """
    if recipe_identity(book, one, day) != recipe_identity(book, other, day):
        return False
    fill = net_fill(book, other)
    spread = times * quantity(protocol["fill_tolerance"]) * fill
    pairs = (
        (oil_shares(one), oil_shares(other)),
        (recipe_waxes(one), recipe_waxes(other)),
        (amounts(one.get("colorant")), amounts(other.get("colorant"))),
    )
    return _within(net_fill(book, one), fill, spread) and all(
        _share_holds(mine[name], yours, protocol, times)
        for mine, all_yours in pairs
        for name, yours in all_yours.items()
    )


def matches(  # noqa: PLR0913 - all that a match depends on
    book: Book, recipe: Record, made: Record, protocol: Record, day: date, *, failed: bool = False
) -> bool:
    """Tell whether a candle agrees with a recipe.

    "A test candle counts for a combination when its identities are equal and its *measured* load
    and fill agree within the protocol's tolerances"; "Bad news reaches further than good": a failed
    one within twice of them, "by its stated specifications AND by those that its date gives".
    """
    ours = recipe_identity(book, recipe, day)
    theirs = {candle_identity(book, made, dated=dated) for dated in {False, failed}}
    return ours in theirs and _measures(book, recipe, made, protocol, times=2 if failed else 1)


def _measures(book: Book, recipe: Record, made: Record, protocol: Record, *, times: int) -> bool:
    """Tell whether what was weighed agrees within so many times the tolerances."""
    wax, oil, dye = (amounts(made.get(key)) for key in ("wax", "fragrance", "colorant"))
    all_wax = sum(wax.values(), Fraction(0))
    # says "Net fill is the sum of the masses in `made` (wax, fragrance, colorant)"
    net = poured_g(made)
    fill = net_fill(book, recipe)
    if not _within(net, fill, times * quantity(protocol["fill_tolerance"]) * fill):
        return False
    parts = (
        (oil, net, oil_shares(recipe)),
        (wax, all_wax, recipe_waxes(recipe)),
        (dye, all_wax, amounts(recipe.get("colorant"))),
    )
    return all(
        _share_holds(grams[name] / whole, share, protocol, times)
        for grams, whole, shares in parts
        for name, share in shares.items()
    )
