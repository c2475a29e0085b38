"""Doubts: what a record leaves unsaid or contradicts, and that might have been a failure."""

from datetime import date
from fractions import Fraction
from itertools import pairwise

from .balance import burned_g
from .cycle import (
    is_misuse,
    is_seen,
    places,
    runs_backwards,
    unread,
    visible_cycles,
    visible_end,
    width_agrees,
)
from .read import Book, Record, exceeds, poured_g, quantity

TWENTIETH = Fraction(1, 20)


def record_cut(burn: Record) -> bool:
    """Tell whether `end.cycles` or `lit` "is there and is not the number of cycles on file"."""
    told = (burn.get("end", {}).get("cycles"), burn.get("lit"))
    count = len(burn.get("cycles", []))
    return any(said is not None and int(said) != count for said in told)


def burned_down(burn: Record, cycles: list[Record]) -> bool:
    """Tell whether hardly anything is left of what was poured.

    "first before and last after are on file and poured - burned <= 5 % of poured".
    """
    burned, poured = burned_g(cycles), poured_g(burn["made"])
    return burned is not None and not exceeds(poured - burned, TWENTIETH * poured)


def end_unsaid(burn: Record, cycles: list[Record]) -> bool:
    """Tell whether a record without an end reads as if it had one: next to nothing is left."""
    return "end" not in burn and bool(cycles) and burned_down(burn, cycles)


def lit_unsaid(burn: Record, cycles: list[Record], protocol: Record) -> bool:
    """Tell whether a candle that burns on does not count how often it was lit."""
    burning = "end" not in burn and bool(cycles)
    return burning and "lit" not in burn and "cycles" in protocol["needs"]


def mass_in_doubt(burn: Record, vessel: Record, cycles: list[Record]) -> bool:
    """Tell whether the first weight is not that of this vessel with this wax in it.

    "|before - empty_mass - poured| exceeds 10 % of empty_mass + 5 g"
    """
    if "empty_mass" not in vessel or not cycles or "before" not in cycles[0]:
        return False
    empty = quantity(vessel["empty_mass"])
    off = abs(quantity(cycles[0]["before"]) - empty - poured_g(burn["made"]))
    return exceeds(off, empty / 10 + 5)


def reading_unsaid(burn: Record, vessel: Record, protocol: Record, day: date) -> bool:
    """Tell whether a due reading is neither there nor said not to have been read.

    "over the cycles seen; ... lacks a due reading that its `unread` does not name".
    """
    cycles, end = visible_cycles(burn, day), visible_end(burn, day)
    seen = places(burn, vessel, protocol, cycles, end)
    return any(unread(place) - set(place.cycle.get("unread", [])) for place in seen)


def doubts(book: Book, burn: Record, protocol: Record, day: date) -> set[str]:
    """Return the codes of all that is in doubt about a burn on a day that sees it, void or not."""
    if not is_seen(burn, day):
        return set()
    vessel = book["vessels"][burn["made"]["vessel"]]
    end, made, needs = visible_end(burn, day), burn["made"], protocol["needs"]
    seen = visible_cycles(burn, day)
    if is_misuse(burn):
        # says "Not for misuse burns, but end_state_unsaid for the vessel's state also for them";
        # and a cycle that was cut out of one may have held a sight that fails
        told = {
            "end_state_unsaid": end is not None and "vessel" not in end,
            "record_cut": record_cut(burn),
            "end_unsaid": end_unsaid(burn, seen),
            "lit_unsaid": lit_unsaid(burn, seen, protocol),
        }
        return {code for code, holds in told.items() if holds}
    cycles = burn.get("cycles", [])
    clauses = {
        "record_cut": record_cut(burn),
        "end_unsaid": end_unsaid(burn, seen),
        "lit_unsaid": lit_unsaid(burn, seen, protocol),
        "mass_in_doubt": mass_in_doubt(burn, vessel, seen),
        "reading_unsaid": reading_unsaid(burn, vessel, protocol, day),
        # says "`tilt` in needs, made.tilt unsaid, and ... at least one cycle is seen"
        "tilt_unsaid": "tilt" in needs and "tilt" not in made and bool(seen),
        "end_state_unsaid": end is not None and not {"vessel", "tilt"} <= end.keys(),
        "count_missing": end is not None and "cycles" not in end and "cycles" in needs,
        "dates_reversed": any(runs_backwards(now, then) for then, now in pairwise(cycles)),
        # says "made.inside_diameter unsaid, or off by more than 2 % of the vessel's"
        "width_in_doubt": "inside_diameter" not in made or not width_agrees(made, vessel),
    }
    return {code for code, holds in clauses.items() if holds}
