"""Readings and cycles: what fails, what is missing or contradicts itself, what is watched."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from fractions import Fraction

from .protocol import limits_for
from .read import Record, clock_of, day_of, exceeds, quantity

LAST_NEEDS = {"before", "after", "burned", "flame"}
OF_THE_CANDLE = {"tilt", "cycles"}  # words of `needs` that are no reading of a cycle
CRITICAL = {"secondary_ignition", "flare_up", "crack", "leak"}


@dataclass
class Told:
    """What is said of a cycle or a candle, as codes."""

    failures: list[str] = field(default_factory=list)
    gaps: list[str] = field(default_factory=list)
    watches: list[str] = field(default_factory=list)

    @property
    def verdict(self) -> str:
        """2. Cycle: `fail`, else `incomplete`, else `pass`."""
        return "fail" if self.failures else "incomplete" if self.gaps else "pass"


@dataclass(frozen=True)
class Place:
    """A cycle among the others of its candle."""

    burn: Record
    vessel: Record
    protocol: Record
    cycle: Record
    previous: Record | None
    number: int
    full: bool
    last_full: bool  # of an ended candle
    how: str | None

    @property
    def misuse(self) -> bool:
        """Tell whether the candle was burned as a buyer should not."""
        return is_misuse(self.burn)


def is_misuse(burn: Record) -> bool:
    """Tell whether a burn says `as: misuse`."""
    return burn.get("as") == "misuse"


def width(burn: Record, vessel: Record) -> Fraction:
    """Return the inside diameter: "the burn's own ... when it has one, else the vessel's"."""
    return quantity(burn["made"].get("inside_diameter", vessel["inside_diameter"]))


def breached(limit: Record, value: Fraction) -> bool:
    """Tell whether a value breaks a limit; a value on the limit does not."""
    if "at_most" in limit:
        return exceeds(value, quantity(limit["at_most"]))
    return exceeds(quantity(limit["at_least"]), value)


def code_of(limit: Record) -> str:
    """Return "`<measure>_over` / `<measure>_under`"."""
    return f"{limit['measure']}_{'over' if 'at_most' in limit else 'under'}"


def read_of(key: str, place: Place) -> str | None:
    """Return a reading as written: "`room` is read from the cycle, else from the burn"."""
    if key == "room" and "room" not in place.cycle:
        room: str | None = place.burn.get("room")
        return room
    return place.cycle.get(key)


def coverage_due(place: Place) -> bool:
    """Tell whether coverage is due.

    "in full cycles from full_pool_by on, and in the last full cycle of" a candle that went out,
    "whatever its number"; and in the last cycle of one that was stopped, when it is no shorter
    than a whole one.
    """
    late = place.number >= int(place.protocol["full_pool_by"])
    if place.last_full and place.how == "went_out":
        return True
    return late and (place.full or stopped_after_a_whole_one(place))


def stopped_after_a_whole_one(place: Place) -> bool:
    """Tell whether a candle was stopped at the end of a cycle that was long enough."""
    if place.how != "stopped" or "burned" not in place.cycle:
        return False
    whole = quantity(place.protocol["cycle"]) - quantity(place.protocol["cycle_tolerance"])
    return not exceeds(whole, quantity(place.cycle["burned"]))


def measured(measure: str, place: Place) -> Fraction | None:
    """Return what a per-cycle limit measures (base units), or None when not read or not due."""
    if measure == "mean_after_smoke":  # once per candle, never of a cycle
        return None
    if measure == "coverage":
        pool = place.cycle.get("pool") if coverage_due(place) else None
        # says "Coverage = pool / inside diameter"
        return None if pool is None else quantity(pool) / width(place.burn, place.vessel)
    written = read_of(measure, place)
    return None if written is None else quantity(written)


def _limits(place: Place, told: Told) -> None:
    for limit in limits_for(place.protocol, place.vessel):
        value = measured(limit["measure"], place)
        if value is None or not breached(limit, value):
            continue
        # says of misuse "breaches of limits are watches whatever on_breach says"
        fails = limit["on_breach"] == "fail" and not place.misuse
        (told.failures if fails else told.watches).append(code_of(limit))


def _sights(place: Place, told: Told) -> None:
    for word in place.cycle.get("seen", []):
        how = place.protocol["observations"][word]
        if how == "note":
            continue
        # says of misuse "the four critical words fail, other words with `fail` or `watch` are
        # watches, notes stay notes"
        fails = how == "fail" and (word in CRITICAL or not place.misuse)
        (told.failures if fails else told.watches).append("seen")


def needed(place: Place) -> set[str]:
    """Return the readings that are due.

    "Readings in `needs` are due in every full cycle", and in a whole last one of a candle that was
    stopped; else "in the last, `before`, `after`, `burned` and `flame`"; a full cycle also needs
    the reading of every limit that can fail, "after_smoke ... while a mean_after_smoke limit ...
    can fail".
    """
    if not place.full and not stopped_after_a_whole_one(place):
        return LAST_NEEDS | ({"pool"} if coverage_due(place) else set())
    due = set(place.protocol["needs"]) - OF_THE_CANDLE
    for limit in limits_for(place.protocol, place.vessel):
        if limit["on_breach"] == "fail":
            due.add(limit["measure"])
    if "mean_after_smoke" in due:
        due.remove("mean_after_smoke")
        due.add("after_smoke")
    if "coverage" in due:
        due.remove("coverage")
        due |= {"pool"} if coverage_due(place) else set()
    return due


def unread(place: Place) -> set[str]:
    """Return the readings that are due and not there."""
    return {key for key in needed(place) if read_of(key, place) is None}


def width_agrees(made: Record, vessel: Record) -> bool:
    """Tell whether a burn's diameter is the vessel's: off by 2 % of the vessel's at the most."""
    theirs = quantity(vessel["inside_diameter"])
    return not exceeds(abs(quantity(made["inside_diameter"]) - theirs), theirs / 50)


def runs_backwards(cycle: Record, previous: Record) -> bool:
    """Tell whether a cycle is dated before the one before it in the file.

    "by day; by time where both have one".
    """
    now, then = day_of(cycle["on"]), day_of(previous["on"])
    clock, earlier = clock_of(cycle["on"]), clock_of(previous["on"])
    if now == then and clock is not None and earlier is not None:
        return clock < earlier
    return now < then


def _length(place: Place) -> list[str]:
    """Tell a cycle "shorter or longer than the cycle tolerance".

    "a final, shorter cycle that ends in the candle going out is whole".
    """
    if "burned" not in place.cycle:
        return []
    burned = quantity(place.cycle["burned"])
    target = quantity(place.protocol["cycle"])
    tolerance = quantity(place.protocol["cycle_tolerance"])
    if exceeds(burned, target + tolerance):
        return ["too_long"]
    if exceeds(target - tolerance, burned) and (place.full or place.how != "went_out"):
        return ["too_short"]
    return []


def unrested(place: Place) -> list[str]:
    """Tell a cycle that "began before the rest time was over", or is dated backwards."""
    if place.previous is None:
        return []
    now, then = day_of(place.cycle["on"]), day_of(place.previous["on"])
    clocks = clock_of(place.cycle["on"]), clock_of(place.previous["on"])
    if runs_backwards(place.cycle, place.previous):
        return ["dates_backwards"]
    if clocks[0] is None or clocks[1] is None:
        # says "two cycles on one date without times make the later one `incomplete`; cycles on
        # different dates count as rested"
        if now == then:
            return ["rest_unknown"]
        return _half_told(place, clocks)
    if "burned" not in place.previous:
        return ["rest_unknown"]
    # says "rest is checked from times where both have them"
    gap = datetime.combine(now, clocks[0]) - datetime.combine(then, clocks[1])
    gap_h = Fraction(gap // timedelta(microseconds=1), 3_600_000_000)
    rested = gap_h - quantity(place.previous["burned"])
    return ["rest_too_short"] if exceeds(quantity(place.protocol["rest"]), rested) else []


def _half_told(place: Place, clocks: tuple[time | None, time | None]) -> list[str]:
    """Tell a cycle whose rest may have been too short, when one of the two has a time.

    The one without began at the worst moment of its day: "the later one at its beginning, the
    earlier one at its end".
    """
    if place.previous is None or clocks == (None, None):
        return []
    days = (day_of(place.cycle["on"]) - day_of(place.previous["on"])).days
    later = Fraction(0) if clocks[0] is None else _hours(clocks[0])
    earlier = Fraction(24) if clocks[1] is None else _hours(clocks[1])
    if "burned" not in place.previous:
        return ["rest_unknown"]  # it may have burned until now
    rested = 24 * days + later - earlier - quantity(place.previous["burned"])
    return ["rest_unknown"] if exceeds(quantity(place.protocol["rest"]), rested) else []


def _hours(clock: time) -> Fraction:
    return clock.hour + Fraction(clock.minute, 60)


def _masses(place: Place) -> list[str]:
    cycle, previous = place.cycle, place.previous
    before = quantity(cycle["before"]) if "before" in cycle else None
    told = []
    if before is not None and "after" in cycle:
        if exceeds(quantity(cycle["after"]), before):
            told.append("mass_went_up")
        elif not exceeds(before, quantity(cycle["after"])):
            told.append("nothing_burned")  # "both read and equal (within SLACK)"
    if before is not None and previous is not None and "after" in previous:
        # says "|before - last after| <= 2 x the scale's readability", trimmings allowed for
        trimmed = quantity(cycle["trimmed"]) if "trimmed" in cycle else Fraction(0)
        gap = abs(before + trimmed - quantity(previous["after"]))
        if exceeds(gap, 2 * quantity(place.burn["scale"])):
            told.append("mass_jumped")
    return told


def _contradictions(place: Place) -> list[str]:
    told = _masses(place)
    if day_of(place.cycle["on"]) < day_of(place.burn["made"]["on"]):
        told.append("before_pouring")
    if "pool" in place.cycle:
        # says "A pool wider than 102 % of the inside diameter is a contradiction"
        widest = Fraction(102, 100) * width(place.burn, place.vessel)
        if exceeds(quantity(place.cycle["pool"]), widest):
            told.append("pool_too_wide")
    return told


def judged(place: Place) -> Told:
    """Return all that is said of one cycle."""
    told = Told()
    _limits(place, told)
    _sights(place, told)
    if not place.misuse:  # "no gaps at all are told (cycles are pass or fail)"
        told.gaps += ["reading_missing"] * len(unread(place))  # also one that `unread` names
        told.gaps += _length(place) + unrested(place) + _contradictions(place)
    return told


def visible_cycles(burn: Record, day: date) -> list[Record]:
    """Return the cycles that a day sees.

    "A cycle is seen on a day when it, or any cycle that stands after it in the file, is dated on
    or before that day".
    """
    cycles: list[Record] = burn.get("cycles", [])
    seen = [index for index, cycle in enumerate(cycles) if day_of(cycle["on"]) <= day]
    return cycles[: max(seen, default=-1) + 1]


def visible_end(burn: Record, day: date) -> Record | None:
    """Return the end when seen: "only once all cycles are"."""
    cycles = burn.get("cycles", [])
    if "end" in burn and cycles and len(visible_cycles(burn, day)) == len(cycles):
        return dict(burn["end"])
    return None


def places(
    burn: Record, vessel: Record, protocol: Record, cycles: list[Record], end: Record | None
) -> list[Place]:
    """Return the place of each of these cycles, with or without an end after them."""
    return [
        Place(
            burn=burn,
            vessel=vessel,
            protocol=protocol,
            cycle=cycle,
            previous=cycles[index - 1] if index else None,
            number=index + 1,
            # says "Which cycles are full. All but the last."; with no end in sight, all
            full=end is None or index < len(cycles) - 1,
            # says "the cycle before the last one, when there are at least two"
            last_full=end is not None and index == len(cycles) - 2,
            how=end.get("how") if end else None,
        )
        for index, cycle in enumerate(cycles)
    ]


def judged_cycles(burn: Record, vessel: Record, protocol: Record, day: date) -> list[Told]:
    """Return what is said of each cycle that the day sees."""
    seen = places(burn, vessel, protocol, visible_cycles(burn, day), visible_end(burn, day))
    return [judged(place) for place in seen]


def is_seen(burn: Record, day: date) -> bool:
    """Tell whether a day sees a candle: "from the earlier of made.on and its earliest cycle on"."""
    days = [burn["made"]["on"], *(cycle["on"] for cycle in burn.get("cycles", []))]
    return min(day_of(on) for on in days) <= day
