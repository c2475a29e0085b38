"""The vessel's own screening, before any recipe: what speaks against it, and what is unknown."""

from datetime import date
from fractions import Fraction

from .evidence import counting, seen_by
from .protocol import min_wall_for
from .read import Book, Record, exceeds, is_no, is_yes, quantity

BURNS_OR_MELTS = {"wood", "plastic", "shell"}
ANSWERED = {"makers_word", "thermal_shock_test"}  # evidence that is nothing without a result


def _known(record: Record, key: str) -> Fraction | None:
    return quantity(record[key]) if key in record else None


def _against_walls(vessel: Record, protocol: Record) -> list[str]:
    wall, least = _known(vessel, "wall"), min_wall_for(protocol, vessel["material"])
    drinkware = is_yes(vessel.get("drinkware"))
    if wall is None:
        # says "`drinkware` when the wall is unsaid"
        return ["drinkware"] if drinkware else []
    if least is None:
        # says "`drinkware_no_limit` when the wall is on file and no min_wall applies"
        return ["drinkware_no_limit"] if drinkware else []
    return ["wall_too_thin"] if exceeds(least, wall) else []


def against(vessel: Record, protocol: Record, day: date) -> list[str]:
    """Return a code for each thing that speaks against a vessel."""
    opening = _known(vessel, "opening")
    due = quantity(protocol["min_opening"]) * quantity(vessel["inside_diameter"])
    proofs, leaks = counting(vessel, "heat_evidence", day), counting(vessel, "leak_test", day)
    clauses = {
        "burns_or_melts": vessel["material"] in BURNS_OR_MELTS,
        "not_sealed": is_yes(vessel.get("porous")) and is_no(vessel.get("sealed")),
        "leaked": any(test["result"] == "wet" for test in leaks),
        "narrow_mouth": opening is not None and exceeds(due, opening),
        "heat_failed": any(proof.get("result") == "failed" for proof in proofs),
    }
    told = [code for code, holds in clauses.items() if holds]
    return sorted(told + _against_walls(vessel, protocol))


def clears(proof: Record, protocol: Record, suppliers: dict[str, Record]) -> bool:
    """Tell whether one counting entry clears a vessel."""
    if proof["kind"] == "sold_for_candles":
        # says "sold_for_candles by a candle_supplier"
        return suppliers.get(proof["by"], {}).get("kind") == "candle_supplier"
    if proof.get("result") != "passed":
        return False  # "no result does not clear any more"
    if proof["kind"] == "makers_word":
        return True
    # says "thermal_shock_test passed at >= the protocol's difference"
    shown = _known(proof, "difference")
    return shown is not None and not exceeds(quantity(protocol["thermal_shock"]), shown)


def _unproven(proof: Record) -> str | None:
    """Return why a counting entry that does not clear is not enough."""
    if proof["kind"] == "sold_for_candles":
        return "not_a_candle_supplier"
    if proof.get("result") == "failed":
        return None  # told among what speaks against it
    if proof["kind"] == "thermal_shock_test":
        return "shock_too_small"
    return "word_without_answer" if "result" not in proof else None


def _unknown_heat(vessel: Record, protocol: Record, book: Book, day: date) -> list[str]:
    proofs = counting(vessel, "heat_evidence", day)
    if any(clears(proof, protocol, book.get("suppliers", {})) for proof in proofs):
        # says "every counting makers_word without a result ..., and every counting
        # thermal_shock_test without a result ..., ALSO when other evidence clears"
        proofs = [one for one in proofs if one["kind"] in ANSWERED and "result" not in one]
        return [code for code in map(_unproven, proofs) if code is not None]
    if proofs:
        return [code for code in map(_unproven, proofs) if code is not None]
    former = seen_by(vessel.get("heat_evidence"), day)
    return ["former_evidence"] if former else ["no_heat_evidence"]


def unknown(vessel: Record, protocol: Record, book: Book, day: date) -> list[str]:
    """Return a code for each thing that has to be asked or tested first."""
    body = vessel["material"] not in BURNS_OR_MELTS
    porous = is_yes(vessel.get("porous"))
    in_force = min_wall_for(protocol, vessel["material"]) is not None
    clauses = {
        "porous_unsaid": body and "porous" not in vessel,
        "drinkware_unsaid": body and "drinkware" not in vessel,
        "opening_unsaid": "opening" not in vessel,
        "wall_unsaid": in_force and "wall" not in vessel,
        "seal_unknown": porous and "sealed" not in vessel,
        "leak_untested": porous and not counting(vessel, "leak_test", day),
    }
    told = [code for code, holds in clauses.items() if holds]
    return sorted(told + _unknown_heat(vessel, protocol, book, day))


def screened(vessel: Record, protocol: Record, book: Book, day: date) -> dict[str, object]:
    """Return screening and codes: "refused if any against, else ask_first if any unknown"."""
    bad, open_ = against(vessel, protocol, day), unknown(vessel, protocol, book, day)
    word = "refused" if bad else "ask_first" if open_ else "cleared"
    return {"screening": word, "against": bad, "unknown": open_}
