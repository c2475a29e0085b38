"""Test candles: verdict 3 of the design, clause by clause, with a code for each reason."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from .balance import balanced
from .cycle import (
    Told,
    breached,
    code_of,
    is_misuse,
    judged_cycles,
    visible_cycles,
    visible_end,
    width_agrees,
)
from .incidents import made_of
from .match import spec_on
from .protocol import limits_for
from .read import Book, Record, day_of, exceeds, poured_g, quantity


@dataclass(frozen=True)
class Candle:
    """A judged test candle."""

    verdict: str
    told: Told
    cycles: list[Told]


def is_void(burn: Record, day: date) -> bool:
    """Tell whether the test was set aside: "from the day they were voided"."""
    return "void" in burn and day_of(burn["void"]["on"]) <= day


def mean_after_smoke(burn: Record, day: date) -> Fraction | None:
    """Return the mean (h) over all visible cycles that have an after-smoke, None without any."""
    read = [quantity(c["after_smoke"]) for c in visible_cycles(burn, day) if "after_smoke" in c]
    return sum(read, Fraction(0)) / len(read) if read else None


def cured(burn: Record, waxes: dict[str, Record], first: Record) -> bool:
    """First cycle's date "is at least the longest `cure` of its waxes after `made.on`"."""
    waited_h = Fraction((day_of(first["on"]) - day_of(burn["made"]["on"])).days * 24)
    return not any(exceeds(quantity(waxes[wax]["cure"]), waited_h) for wax in burn["made"]["wax"])


def _unnamed_specs(book: Book, made: Record) -> list[str]:
    """Return the items in a later specification that the record does not name.

    "spec_as_of(item, made.on) > 1 and made.spec does not name the item".
    """
    paths = [path.split("/") for path in sorted(made_of(made) - made.get("spec", {}).keys())]
    return [name for kind, name in paths if spec_on(book[kind][name], day_of(made["on"])) > 1]


def _as_poured(book: Book, burn: Record, protocol: Record, cycles: list[Record]) -> list[str]:
    """Return the gaps that are "asked of a candle from the day it is seen"."""
    made, vessel = burn["made"], book["vessels"][burn["made"]["vessel"]]
    told = ["spec_unsaid"] * len(_unnamed_specs(book, made))
    if "inside_diameter" not in made:
        told.append("diameter_unsaid")
    elif not width_agrees(made, vessel):
        told.append("diameter_disagrees")
    if made.get("tilt", "untried") == "untried" and "tilt" in protocol["needs"]:
        told.append("tilt_missing")
    if exceeds(quantity(burn["scale"]), poured_g(made) / 100):
        told.append("scale_too_coarse")
    if cycles and "before" in cycles[0] and "empty_mass" in vessel:
        # says "|before - empty_mass - poured| exceeds 10 % of empty_mass + 5 g"
        empty = quantity(vessel["empty_mass"])
        off = abs(quantity(cycles[0]["before"]) - empty - poured_g(made))
        if exceeds(off, empty / 10 + 5):
            told.append("first_mass_off")
    return told


def _at_the_end(burn: Record, end: Record, protocol: Record) -> list[str]:
    """Return the gaps of an end: "A pass needs `end` with `went_out`, `vessel: sound` ..."."""
    count = len(burn["cycles"])
    clauses = {
        "stopped": end["how"] == "stopped",
        "end_vessel_missing": end.get("vessel", "unseen") == "unseen",
        "end_tilt_missing": end.get("tilt", "untried") == "untried",
        "no_full_cycle": count == 1,
        "cycle_count_missing": "cycles" not in end and "cycles" in protocol["needs"],
        "cycle_count": "cycles" in end and int(end["cycles"]) != count,
    }
    return [code for code, holds in clauses.items() if holds]


def _gaps(book: Book, burn: Record, protocol: Record, day: date, end: Record | None) -> list[str]:
    cycles = visible_cycles(burn, day)
    told = _as_poured(book, burn, protocol, cycles)
    if cycles and not cured(burn, book["waxes"], cycles[0]):
        told.append("not_cured")
    limits = limits_for(protocol, book["vessels"][burn["made"]["vessel"]])
    means = [one for one in limits if one["measure"] == "mean_after_smoke"]
    due = any(limit["on_breach"] == "fail" for limit in means)
    if due and mean_after_smoke(burn, day) is None:
        told.append("after_smoke_missing")  # a limit whose reading is missing is never a pass
    return [*told, "not_ended"] if end is None else told + _at_the_end(burn, end, protocol)


def _mean_smoke(burn: Record, vessel: Record, protocol: Record, day: date) -> Told:
    """Hold the mean after-smoke of an ended candle against its limits."""
    told, mean = Told(), mean_after_smoke(burn, day)
    for limit in limits_for(protocol, vessel):
        if limit["measure"] != "mean_after_smoke" or mean is None or not breached(limit, mean):
            continue
        # says of misuse "mean after-smoke breach is a watch"
        fails = limit["on_breach"] == "fail" and not is_misuse(burn)
        (told.failures if fails else told.watches).append(code_of(limit))
    return told


def _end_failures(end: Record) -> list[str]:
    """Tell `vessel: cracked | leaking | broken`, or `tilt: fell`."""
    told = []
    if end.get("vessel") in {"cracked", "leaking", "broken"}:
        told.append("vessel_unsound")
    if end.get("tilt") == "fell":
        told.append("fell")
    return told


def _verdict(burn: Record, told: Told, day: date, end: Record | None) -> str:
    """Return the verdict: "fail when there is any failure, void or not. Else void ..."."""
    if told.failures:
        return "fail"
    if is_void(burn, day):
        return "void"
    if is_misuse(burn):
        return "misuse"
    if burn.get("as") == "ladder":
        return "ladder"  # "Ladder candles say `as: ladder`: they teach and never prove"
    if end is None:
        return "burning"
    return "incomplete" if told.gaps else "pass"


def judged_candle(
    book: Book, burn: Record, protocol: Record, day: date, *, copied: bool = False
) -> Candle:
    """3. Test candle, with its cycles."""
    vessel = book["vessels"][burn["made"]["vessel"]]
    cycles, end = judged_cycles(burn, vessel, protocol, day), visible_end(burn, day)
    told = Told()
    if burn["made"].get("tilt") == "fell":
        told.failures.append("fell_new")
    if end is not None:
        smoke = _mean_smoke(burn, vessel, protocol, day)
        told.failures += _end_failures(end) + smoke.failures
        cycles[-1].watches += smoke.watches  # "a watch on the last seen cycle of an ended candle"
    if not is_misuse(burn):
        told.gaps += _gaps(book, burn, protocol, day, end)
        told.gaps += ["copied"] if copied else []
        if end is not None:
            balance = balanced(burn, end, protocol)
            told.gaps += balance.gaps
            cycles[-1].watches += balance.watches
    for cycle in cycles:
        told.failures += cycle.failures
        told.gaps += cycle.gaps
        told.watches += cycle.watches
    return Candle(_verdict(burn, told, day, end), told, cycles)
