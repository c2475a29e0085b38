"""Test candles for a recipe: what was weighed out, and how the candle burned."""

from collections.abc import Iterable
from datetime import date, timedelta

from . import faults, series
from .draw import Draw
from .incidents import bought_by, held_by, made_of
from .match import net_fill, oil_shares, recipe_waxes, spec_on
from .protocol import protocol_of
from .read import Record, amounts, day_of, poured_g, quantity

LOTS = ("L-1", "L-2")


def _deviations(draw: Draw, recipe: Record) -> tuple[str, float]:
    """Return which measure is off, and by how many tolerances."""
    ways = ["fill"]
    if isinstance(recipe["fragrance"], dict):
        ways += ["load", "load"]
    if len(recipe_waxes(recipe)) > 1:
        ways += ["wax", "wax"]
    if "colorant" in recipe:
        ways.append("dye")
    size = draw.rng.choice([0.9, 1.1, 1.9, 2.1])
    return draw.rng.choice(ways), size * draw.rng.choice([-1, 1])


def _masses(
    draw: Draw, recipe: Record, off: tuple[str, float], digits: int
) -> dict[str, dict[str, str]]:
    """Return made.wax, made.fragrance and made.colorant, one measure off by so many tolerances."""
    way, size = off
    protocol = protocol_of(draw.book)
    load = float(quantity(protocol["load_tolerance"]))
    fill = float(quantity(protocol["fill_tolerance"])) * size
    net = float(net_fill(draw.book, recipe)) * (1 + (fill if way == "fill" else 0))
    shifted = {
        "wax": {k: float(v) for k, v in sorted(recipe_waxes(recipe).items())},
        "load": {k: float(v) for k, v in sorted(oil_shares(recipe).items())},
        "dye": {k: float(v) for k, v in sorted(amounts(recipe.get("colorant")).items())},
    }
    if way in shifted:
        first, *others = shifted[way]
        # no more than half of the share itself: of a trace the tolerance is less
        step = size * min(load, shifted[way][first] / 2)
        shifted[way][first] = max(0.0, shifted[way][first] + step)
        if way == "wax":
            shifted[way][others[0]] -= step
    waxes, oils, dyes = shifted["wax"], shifted["load"], shifted["dye"]
    wax_g = net * (1 - sum(oils.values())) / (1 + sum(dyes.values()))
    parts = {
        "wax": {k: share * wax_g for k, share in waxes.items()},
        "fragrance": {k: share * net for k, share in oils.items()},
        "colorant": {k: share * wax_g for k, share in dyes.items()},
    }
    return {
        key: {k: draw.pen.mass(max(g, 0.0001), digits) for k, g in masses.items()}
        for key, masses in parts.items()
        if masses
    }


def _on_the_edge(recipe: Record) -> dict[str, dict[str, str]] | None:
    """Return masses exactly one shipped tolerance away, in short decimals of grams."""
    oils, waxes = oil_shares(recipe), list(recipe_waxes(recipe))
    plain = recipe["fill"] == "200 g" and len(waxes) == 1 and "colorant" not in recipe
    if not plain or recipe["load_basis"] != "total" or len(oils) != 1:
        return None
    ((oil, share),) = oils.items()
    oil_g = round(float(share) * 200 + 0.4, 1)  # 0.2 percentage points of 200 g
    return {"wax": {waxes[0]: f"{200 - oil_g:.1f} g"}, "fragrance": {oil: f"{oil_g:.1f} g"}}


def plain_made(
    draw: Draw, recipe: Record, poured: date, off: tuple[str, float] = ("fill", 0.0)
) -> Record:
    """Return what was really used: as the recipe says, or off by so many tolerances in one way."""
    made: Record = {"on": str(poured), "vessel": recipe["vessel"], "wick": recipe["wick"]}
    made |= _masses(draw, recipe, off, 6 if off[1] else draw.rng.choice([1, 3]))
    none = {"fragrance": "none", "colorant": "none"}
    return none | made | {"wicks": recipe.get("wicks", "1")}


def made_for(draw: Draw, recipe: Record, poured: date, *, stray: bool) -> Record:
    """Return what was used for one test candle, in some of them not what the recipe says."""
    off = _deviations(draw, recipe) if stray else ("fill", 0.0)
    made = plain_made(draw, recipe, poured, off)
    edge = _on_the_edge(recipe)
    if edge and draw.chance(0.3):
        made |= edge
    if stray and draw.chance(0.15):
        made["wick"] = draw.rng.choice(draw.ids("wicks"))
    if stray and draw.chance(0.1):
        made["vessel"] = draw.rng.choice(draw.ids("vessels"))
    named = _named_specs(draw, made)
    return made | ({"spec": named} if named else {})


def _named_specs(draw: Draw, made: Record) -> dict[str, str]:
    """Return the specifications that a candle names: nearly all that are raised, and few others."""
    said = {}
    for path in sorted(made_of(made)):
        kind, name = path.split("/")
        item = draw.book[kind][name]
        now = spec_on(item, day_of(made["on"]))
        if draw.chance(0.95 if now > 1 else 0.03):
            said[path] = str(now)
        if draw.chance(0.04):
            said[path] = str(draw.rng.randint(1, int(item.get("spec", "1"))))
    return said


HOWS = ("untrimmed", "long", "draught", "hot_room", "moved")
FAULTS = {
    "near": faults.NEAR,
    "fails": faults.FAILS,
    "gaps": faults.GAPS,
    "odd": faults.ODD | faults.OPEN,
}


def _poured(draw: Draw, made: Record) -> series.Poured:
    vessel = draw.book["vessels"][made["vessel"]]
    cures = [quantity(draw.book["waxes"][wax]["cure"]) / 24 for wax in made["wax"]]
    empty = float(quantity(vessel["empty_mass"])) if "empty_mass" in vessel else 310.0
    width = float(quantity(vessel["inside_diameter"]))
    return series.Poured(day_of(made["on"]), int(max(cures)), width, float(poured_g(made)), empty)


def _draft(draw: Draw, made: Record, fate: str, how: str) -> series.Draft:
    """Return a candle in numbers that is to have this fate, and to show this misuse."""
    rules = series.rules_of(protocol_of(draw.book), draw.book["vessels"][made["vessel"]])
    draft = series.clean(draw.rng, rules, _poured(draw, made))
    kind = fate
    if fate in {"void", "misuse", "ladder"}:
        kind = draw.rng.choice(["clean", "near", "fails", "gaps"])
    if kind in FAULTS:
        told = kind == "gaps" and draw.chance(0.3)
        FAULTS[kind][draw.rng.choice(faults.NEVER if told else sorted(FAULTS[kind]))](draft)
    if fate == "burning" or (fate == "fails" and draw.chance(0.2)):
        faults.burning(draft)
    if how in faults.SHOWN:
        faults.SHOWN[how](draft)
    return draft


def _scale(draw: Draw, fate: str) -> str:
    """Return the scale's readability: now and then too coarse for what is to be shown."""
    if fate != "clean" and draw.chance(0.06):
        return draw.rng.choice(["1 g", "1.5 g", "2 g", "2.5 g", "5 g"])
    return draw.rng.choice(["0.1 g", "100 mg"])


def lots_by(draw: Draw, items: Iterable[str], day: date) -> dict[str, str]:
    """Return a lot for each of the items that was on a bill by that day."""
    found = {}
    for item in sorted(items):
        lots = [lot for lot in LOTS if bought_by(draw.book, item, lot, day)]
        if lots:
            found[item] = draw.rng.choice(lots)
    return found


def _named_lots(draw: Draw, made: Record) -> Record:
    """Return the lots that a burn names: of all that it holds, of some of it, or of nothing."""
    items = [item for item in sorted(held_by({"made": made})) if draw.chance(0.8)]
    lots = lots_by(draw, items, day_of(made["on"]))
    return {"lots": lots} if lots and draw.chance(0.6) else {}


def candle(draw: Draw, made: Record, fate: str) -> Record:
    """Return everything of a burn record but its recipe and letter, with the fate it is to have."""
    how = draw.rng.choice(HOWS) if fate == "misuse" else ""
    burn = series.written(_draft(draw, made, fate, how), draw.pen)
    burn["made"] = made | burn["made"]
    burn["scale"] = _scale(draw, fate)
    burn |= _named_lots(draw, made)
    if draw.chance(0.3):
        burn["by"] = "ash"
    if how:
        burn |= {"as": "misuse", "how": how}
    if fate == "ladder":
        burn |= {"as": "ladder", "made": burn["made"] | {"rungs": "3"}}
    if fate == "void" or (fate in {"misuse", "ladder"} and draw.chance(0.15)):
        voided = day_of(made["on"]) + timedelta(days=draw.rng.choice([1, 20, 40]))
        burn["void"] = {"why": "a draught", "by": "ash", "on": str(voided)}
    return burn
