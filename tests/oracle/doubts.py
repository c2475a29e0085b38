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


def end_unsaid(burn: Record, cycles: list[Record], protocol: Record) -> bool:
    """Tell whether a record without an end reads as if it had one.

    "cycles and no `end`, and (the last cycle's burned is on file and under cycle -
    cycle_tolerance, or ...)".
    """
    if "end" in burn or not cycles:
        return False
    last = cycles[-1]
    whole = quantity(protocol["cycle"]) - quantity(protocol["cycle_tolerance"])
    short = "burned" in last and exceeds(whole, quantity(last["burned"]))
    return short or burned_down(burn, cycles)


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
    if is_misuse(burn):
        # says "Not for misuse burns, but end_state_unsaid for the vessel's state also for them"
        return {"end_state_unsaid"} if end is not None and "vessel" not in end else set()
    cycles, seen = burn.get("cycles", []), visible_cycles(burn, day)
    clauses = {
        "record_cut": record_cut(burn),
        "end_unsaid": end_unsaid(burn, seen, protocol),
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
