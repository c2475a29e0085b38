"""Acute toxicity by each route, from the estimate of the whole mixture."""

from fractions import Fraction

from .words import ACUTE, ACUTE_BARE_INHALED, ACUTE_UNSAID, INHALED, ROUTES, Component, percent

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


def _told_by_estimate(substance: Component, word: str) -> list[str]:
    """Return the routes on which an estimate is of the category of a word without a route."""
    number, _ = ACUTE_UNSAID[word]
    possible = INHALED if word in ACUTE_BARE_INHALED else ROUTES
    return [
        route
        for route in possible
        if route in substance["ate"] and category(substance["ate"][route], route) == number
    ]


def _taken_for(substance: Component, word: str) -> str:
    """Return the route that a word without one is taken for where no estimate tells it.

    Swallowed, or inhaled as vapour: the first route without an estimate of its own.
    """
    _, routes = ACUTE_UNSAID[word]
    return next((route for route in routes if route not in substance["ate"]), routes[0])


def stated(substance: Component, route: str) -> int | None:
    """Return the worst category that a sheet states for a route."""
    told = []
    for word in substance["hazards"]:
        if word in ACUTE and ACUTE[word][1] == route:
            told.append(ACUTE[word][0])
        if word in ACUTE_UNSAID:
            meant = _told_by_estimate(substance, word) or [_taken_for(substance, word)]
            told += [ACUTE_UNSAID[word][0]] if route in meant else []
    return min(told, default=None)


def estimate(substance: Component, route: str) -> Fraction | None:
    """Return what a component counts as on a route, or None where it does not count.

    The sheet's own estimate goes first, unless it says less than the class beside it.
    """
    own, word = substance["ate"].get(route), stated(substance, route)
    top = Fraction(TOPS[route][(word or 4) - 1])
    if own is not None and own <= top:
        return Fraction(own)
    return Fraction(POINTS[route][word - 1]) if word else None


def _contradicted(substance: Component, route: str) -> bool:
    """Tell whether a class and the estimate beside it are of two categories, where it matters."""
    own, word, toxic = (
        substance["ate"].get(route),
        stated(substance, route),
        estimate(substance, route),
    )
    if own is None or word is None or toxic is None or category(own, route) == word:
        return False
    counts_as = category(toxic, route)
    return counts_as is not None and bool(substance["share"] >= CUT_OFFS[counts_as])


def doubtful(substance: Component) -> bool:
    """Tell whether a route is unsaid, or an estimate is against its class, at a share that counts.

    What is below the cut-off of its category changes nothing on whatever route.
    """
    unsaid = [word for word in substance["hazards"] if word in ACUTE_UNSAID]
    routeless = any(
        not _told_by_estimate(substance, word)
        and substance["share"] >= CUT_OFFS[stated(substance, _taken_for(substance, word)) or 4]
        for word in unsaid
    )
    return routeless or any(_contradicted(substance, route) for route in ROUTES)


def _counted(pool: list[Component], route: str) -> list[tuple[Component, Fraction]]:
    found = []
    for substance in pool:
        toxic = estimate(substance, route)
        number = None if toxic is None else category(toxic, route)
        if toxic is not None and number is not None and substance["share"] >= CUT_OFFS[number]:
            found.append((substance, toxic))
    return found


def unknown_share(pool: list[Component], route: str) -> Fraction:
    """Return the share of what is not known on a route, however little of each there is."""
    unknown = [
        substance
        for substance in pool
        if substance["unknown"]
        and estimate(substance, route) is None
        and route not in substance["ate"]
    ]
    return sum((substance["share"] for substance in unknown), Fraction(0))


def acute(pool: list[Component]) -> dict[str, list[str]]:
    """Return the class on each route: 100 / ATEmix = sum of C / ATE, less what is unknown."""
    found = {}
    for route in ROUTES:
        counted = _counted(pool, route)
        burden = sum((substance["share"] / toxic for substance, toxic in counted), Fraction(0))
        unknown = unknown_share(pool, route)
        known = 1 - unknown if unknown > UNKNOWN else Fraction(1)
        number = category(known / burden, route) if burden else None
        if number:
            found[f"Acute Tox. {number} ({route})"] = [
                substance["name"] for substance, _ in counted
            ]
    return found
