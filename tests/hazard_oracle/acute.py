"""Acute toxicity by each route, from the estimate of the whole mixture."""

from fractions import Fraction

from .words import ACUTE, ACUTE_BARE, ROUTES, Component, percent

# T3.1.1, upper ends of categories 1 to 4, inclusive [C]: mg/kg, ppmV, mg/l
TOPS = {
    "oral": ("5", "50", "300", "2000"),
    "dermal": ("50", "200", "1000", "2000"),
    "gas": ("100", "500", "2500", "20000"),
    "vapour": ("0.5", "2", "10", "20"),
    "mist": ("0.05", "0.5", "1", "5"),
}
# T3.1.2, what a category alone counts as [C(Canada HPR 8.1.7)]
POINTS = {
    "oral": ("0.5", "5", "100", "500"),
    "dermal": ("5", "50", "300", "1100"),
    "gas": ("10", "100", "700", "4500"),
    "vapour": ("0.05", "0.5", "3", "11"),
    "mist": ("0.005", "0.05", "0.5", "1.5"),
}
# "0.1 % Cat 1-3" and "1 % Cat 4" [S, Table 1.1]
CUT_OFFS = {1: percent("0.1"), 2: percent("0.1"), 3: percent("0.1"), 4: percent("1")}
UNKNOWN = percent("10")  # "over 10 % corrected" [C(Canada HPR 8.1.6)]


def category(estimate: Fraction, route: str) -> int | None:
    """Return the category of an estimate, or None beyond the fourth: CLP has no fifth."""
    tops = enumerate(TOPS[route], start=1)
    return next((number for number, top in tops if estimate <= Fraction(top)), None)


def stated(one: Component, route: str) -> int | None:
    """Return the worst category that a sheet states for a route; without a route, for each."""
    told = [ACUTE[word][0] for word in one["hazards"] if word in ACUTE and ACUTE[word][1] == route]
    told += [ACUTE_BARE[word] for word in one["hazards"] if word in ACUTE_BARE]
    return min(told, default=None)


def estimate(one: Component, route: str) -> Fraction | None:
    """Return what a component counts as on a route, or None where it does not count.

    The sheet's own estimate goes first, unless it says less than the class beside it.
    """
    own, word = one["ate"].get(route), stated(one, route)
    top = Fraction(TOPS[route][(word or 4) - 1])
    if own is not None and own <= top:
        return Fraction(own)
    return Fraction(POINTS[route][word - 1]) if word else None


def _counted(pool: list[Component], route: str) -> list[tuple[Component, Fraction]]:
    found = []
    for one in pool:
        toxic = estimate(one, route)
        number = None if toxic is None else category(toxic, route)
        if toxic is not None and number is not None and one["share"] >= CUT_OFFS[number]:
            found.append((one, toxic))
    return found


def unknown_share(pool: list[Component], route: str) -> Fraction:
    """Return the share of what is not known on a route, however little of each there is."""
    unknown = [one for one in pool if one["unknown"] and estimate(one, route) is None]
    return sum((one["share"] for one in unknown), Fraction(0))


def acute(pool: list[Component]) -> dict[str, list[str]]:
    """Return the class on each route: 100 / ATEmix = sum of C / ATE, less what is unknown."""
    found = {}
    for route in ROUTES:
        counted = _counted(pool, route)
        burden = sum((one["share"] / toxic for one, toxic in counted), Fraction(0))
        unknown = unknown_share(pool, route)
        known = 1 - unknown if unknown > UNKNOWN else Fraction(1)
        number = category(known / burden, route) if burden else None
        if number:
            found[f"Acute Tox. {number} ({route})"] = [one["name"] for one, _ in counted]
    return found
