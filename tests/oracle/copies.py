"""Records that are one candle written down twice."""

from collections.abc import Mapping
from datetime import date
from itertools import combinations

from .cycle import visible_cycles, visible_end
from .read import Record, quantity

Pairs = set[tuple[int, int]]
ENOUGH = 3
MICROGRAMS = 10**6


def pairs(burn: Record, day: date) -> Pairs:
    """Return "(before, after) in grams, rounded to 1e-6, of its seen cycles that have both"."""
    return {
        (round(quantity(c["before"]) * MICROGRAMS), round(quantity(c["after"]) * MICROGRAMS))
        for c in visible_cycles(burn, day)
        if "before" in c and "after" in c
    }


def copied(burns: Mapping[str, Record], day: date) -> set[str]:
    """Return the burns that are copies of another.

    "they share 3 pairs or more, or when both have ended and have the same one or two pairs and no
    others (all cycles agree)".
    """
    found: set[str] = set()
    read = {name: pairs(burn, day) for name, burn in burns.items()}
    ended = {name for name, burn in burns.items() if visible_end(burn, day) is not None}
    for one, other in combinations(sorted(read), 2):
        alike = bool(read[one]) and read[one] == read[other] and {one, other} <= ended
        if alike or len(read[one] & read[other]) >= ENOUGH:
            found |= {one, other}
    return found
