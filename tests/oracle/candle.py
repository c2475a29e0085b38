"""Readings, cycles and test candles: verdicts 1 to 3 of the design, clause by clause."""

from datetime import date, datetime, timedelta
from fractions import Fraction

from .read import Record, amounts, clock_of, day_of, quantity

SLACK = Fraction(1, 10**9)


def breached(limit: Record, value: Fraction) -> bool:
    """Tell whether a value breaks a limit: "at_most: value <= bound + 1e-9", mirrored below."""
    if "at_most" in limit:
        return value > quantity(limit["at_most"]) + SLACK
    return value < quantity(limit["at_least"]) - SLACK


def coverage_due(number: int, protocol: Record, *, full: bool) -> bool:
    """Coverage: "due from cycle number `full_pool_by` on, in full cycles"."""
    return full and number >= int(protocol["full_pool_by"])


def measured(measure: str, cycle: Record, vessel: Record, *, coverage: bool) -> Fraction | None:
    """Return what a per-cycle limit measures (base units), or None when not read or not due."""
    if measure == "coverage":
        if not coverage or "pool" not in cycle:
            return None
        # says "Coverage = pool / inside diameter"
        return quantity(cycle["pool"]) / quantity(vessel["inside_diameter"])
    if measure == "mean_after_smoke":  # once per candle, never of a cycle
        return None
    return quantity(cycle[measure]) if measure in cycle else None


def cycle_fails(
    cycle: Record, number: int, vessel: Record, protocol: Record, *, full: bool
) -> bool:
    """2. Cycle: "`fail` if any failing limit is breached or a critical thing was seen"."""
    due = coverage_due(number, protocol, full=full)
    for limit in protocol["limits"]:
        value = measured(limit["measure"], cycle, vessel, coverage=due)
        if limit["on_breach"] == "fail" and value is not None and breached(limit, value):
            return True
    words = protocol["observations"]
    return any(words.get(word) == "fail" for word in cycle.get("seen", []))


def lacks_reading(cycle: Record, number: int, protocol: Record, *, full: bool) -> bool:
    """Tell whether a needed reading is missing.

    "Readings in `needs` are due in every full cycle; in the last, `before`, `after`, `burned` and
    `flame`"; a full cycle also needs the reading of every per-cycle limit that can fail.
    """
    if not full:
        return any(key not in cycle for key in ("before", "after", "burned", "flame"))
    needed = set(protocol["needs"])
    for limit in protocol["limits"]:
        measure = limit["measure"]
        if limit["on_breach"] != "fail" or measure == "mean_after_smoke":
            continue
        if measure != "coverage":
            needed.add(measure)
        elif coverage_due(number, protocol, full=full):
            needed.add("pool")
    return any(key not in cycle for key in needed)


def wrong_length(cycle: Record, protocol: Record, *, full: bool, how: str | None) -> bool:
    """Tell whether a cycle "is shorter or longer than the cycle tolerance".

    "a final, shorter cycle that ends in the candle going out is whole".
    """
    if "burned" not in cycle:
        return False  # already incomplete: a missing reading
    burned = quantity(cycle["burned"])
    target, tolerance = quantity(protocol["cycle"]), quantity(protocol["cycle_tolerance"])
    if burned > target + tolerance:
        return True
    if burned < target - tolerance:
        return full or how != "went_out"
    return False


def not_rested(cycle: Record, previous: Record | None, protocol: Record) -> bool:
    """Tell whether a cycle "began before the rest time was over", or dates run backwards."""
    if previous is None:
        return False
    now, then = day_of(cycle["on"]), day_of(previous["on"])
    now_clock, then_clock = clock_of(cycle["on"]), clock_of(previous["on"])
    if now < then:
        return True  # "dates run backwards"
    if now_clock is not None and then_clock is not None:
        # says "rest is checked from times where both have them"
        if "burned" not in previous:
            return True  # rest unknown
        gap = datetime.combine(now, now_clock) - datetime.combine(then, then_clock)
        gap_h = Fraction(gap // timedelta(microseconds=1), 3_600_000_000)
        return gap_h - quantity(previous["burned"]) < quantity(protocol["rest"])
    # "two cycles on one date without times make the later one `incomplete`; cycles on different
    # dates count as rested"
    return now == then


def contradicts(cycle: Record, previous: Record | None, burn: Record, vessel: Record) -> bool:
    """Tell whether "the numbers contradict"."""
    if day_of(cycle["on"]) < day_of(burn["made"]["on"]):
        return True  # "a cycle dated before made.on"
    before, after = cycle.get("before"), cycle.get("after")
    if before and after and quantity(after) > quantity(before):
        return True  # "mass went up"
    if previous is not None and before and previous.get("after"):
        # says "|before - last after| <= 2 x the scale's readability", trimmings allowed for
        trimmed = quantity(cycle["trimmed"]) if "trimmed" in cycle else Fraction(0)
        gap = abs(quantity(before) + trimmed - quantity(previous["after"]))
        if gap > 2 * quantity(burn["scale"]) + SLACK:
            return True
    if "pool" in cycle:
        # says "A pool wider than 102 % of the inside diameter is a contradiction"
        limit = Fraction(102, 100) * quantity(vessel["inside_diameter"])
        return quantity(cycle["pool"]) > limit
    return False


def visible_cycles(burn: Record, day: date) -> list[Record]:
    """Return the cycles dated on or before the day, in the order of the file."""
    return [cycle for cycle in burn.get("cycles", []) if day_of(cycle["on"]) <= day]


def visible_end(burn: Record, day: date) -> Record | None:
    """Return the end when seen: "`end` is dated with the last cycle"."""
    cycles = burn.get("cycles", [])
    if "end" in burn and cycles and all(day_of(cycle["on"]) <= day for cycle in cycles):
        return dict(burn["end"])
    return None


def is_void(burn: Record, day: date) -> bool:
    """Tell whether the test was set aside: "from the day they were voided"."""
    return "void" in burn and day_of(burn["void"]["on"]) <= day


def cycle_verdicts(burn: Record, vessel: Record, protocol: Record, day: date) -> list[str]:
    """Return `fail`, `incomplete` or `pass` for each visible cycle."""
    cycles, end = visible_cycles(burn, day), visible_end(burn, day)
    how = end["how"] if end else None
    verdicts = []
    for index, cycle in enumerate(cycles):
        previous = cycles[index - 1] if index else None
        # says "Which cycles are full. All but the last."; with no end in sight, all
        full = end is None or index < len(cycles) - 1
        if cycle_fails(cycle, index + 1, vessel, protocol, full=full):
            verdicts.append("fail")
        elif (
            lacks_reading(cycle, index + 1, protocol, full=full)
            or wrong_length(cycle, protocol, full=full, how=how)
            or not_rested(cycle, previous, protocol)
            or contradicts(cycle, previous, burn, vessel)
        ):
            verdicts.append("incomplete")
        else:
            verdicts.append("pass")
    return verdicts


def mean_after_smoke(burn: Record, day: date) -> Fraction | None:
    """Return the mean (h) over all visible cycles that have an after-smoke, None without any."""
    read = [quantity(c["after_smoke"]) for c in visible_cycles(burn, day) if "after_smoke" in c]
    return sum(read, Fraction(0)) / len(read) if read else None


def failing_means(protocol: Record) -> list[Record]:
    """Return the limits on the mean after-smoke that can fail a candle."""
    return [
        limit
        for limit in protocol["limits"]
        if limit["measure"] == "mean_after_smoke" and limit["on_breach"] == "fail"
    ]


def end_fails(burn: Record, end: Record, protocol: Record, day: date) -> bool:
    """`vessel: cracked | leaking | broken` or `tilt: fell` is a fail; so is the mean smoke."""
    if end.get("vessel") in {"cracked", "leaking", "broken"} or end.get("tilt") == "fell":
        return True
    mean = mean_after_smoke(burn, day)
    return mean is not None and any(breached(limit, mean) for limit in failing_means(protocol))


def cured(burn: Record, waxes: dict[str, Record], day: date) -> bool:
    """First cycle's date "is at least the longest `cure` of its waxes after `made.on`"."""
    first = day_of(visible_cycles(burn, day)[0]["on"])
    waited_h = Fraction((first - day_of(burn["made"]["on"])).days * 24)
    return all(waited_h >= quantity(waxes[wax]["cure"]) for wax in burn["made"]["wax"])


def no_test(burn: Record, cycles: list[str], end: Record, protocol: Record) -> bool:
    """Tell whether the masses show that an ended candle was not burned to its end.

    Not in the written rules, but in their spirit ("the numbers contradict"): one cycle alone is
    no test; of what was poured, a quarter may be left, and a tenth more may be found. How much
    may be lost is the protocol's `balance`, when it has one.
    """
    first, last = burn["cycles"][0].get("before"), burn["cycles"][-1].get("after")
    if len(cycles) == 1 or first is None or last is None:
        return len(cycles) == 1
    parts = (amounts(burn["made"].get(key)) for key in ("wax", "fragrance", "colorant"))
    poured = sum((grams for part in parts for grams in part.values()), Fraction(0))
    trimmed = sum(quantity(cycle["trimmed"]) for cycle in burn["cycles"] if "trimmed" in cycle)
    burned = quantity(first) - quantity(last) - trimmed
    left = quantity(end["left"]) if "left" in end else Fraction(0)
    lost = poured - burned - left
    return (
        left > poured / 4 + SLACK
        or ("balance" in protocol and lost > quantity(protocol["balance"]) * poured + SLACK)
        or burned + left > poured * 11 / 10 + SLACK
    )


def candle_verdict(
    burn: Record, vessel: Record, waxes: dict[str, Record], protocol: Record, day: date
) -> str:
    """3. Test candle: the first of void, fail, burning, pass, incomplete that holds."""
    if is_void(burn, day):
        return "void"
    cycles, end = cycle_verdicts(burn, vessel, protocol, day), visible_end(burn, day)
    if "fail" in cycles:
        return "fail"  # "as soon as a cycle or the end fails"
    if end is None:
        return "burning"  # "No `end` and no failing cycle: `burning`"
    if end_fails(burn, end, protocol, day):
        return "fail"
    unread = bool(failing_means(protocol)) and mean_after_smoke(burn, day) is None
    if unread or no_test(burn, cycles, end, protocol):
        return "incomplete"  # a limit whose reading is missing is never a pass
    # says "A pass needs `end` with `went_out`, `vessel: sound`, `tilt: steady`"
    kept = (end.get("how"), end.get("vessel"), end.get("tilt")) == ("went_out", "sound", "steady")
    whole = bool(cycles) and all(verdict == "pass" for verdict in cycles)
    return "pass" if kept and whole and cured(burn, waxes, day) else "incomplete"
