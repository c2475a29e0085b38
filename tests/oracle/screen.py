"""The vessel's own screening, before any recipe."""

from datetime import date
from fractions import Fraction

from .read import Record, day_of, is_no, is_yes, quantity


def entries(written: Record | list[Record] | None, day: date) -> list[Record]:
    """Return dated evidence (one entry or a list of them) dated on or before the day."""
    if not written:
        return []
    listed = written if isinstance(written, list) else [written]
    return [entry for entry in listed if day_of(entry["on"]) <= day]


def _known(record: Record, key: str) -> Fraction | None:
    return quantity(record[key]) if key in record else None


def refused(vessel: Record, protocol: Record, day: date) -> bool:
    """Tell whether anything speaks against the vessel."""
    wall, min_wall = _known(vessel, "wall"), _known(protocol, "min_wall")
    thick = wall is not None and min_wall is not None and wall >= min_wall
    thin = wall is not None and min_wall is not None and wall < min_wall
    opening = _known(vessel, "opening")
    chokes = opening is not None and opening < quantity(protocol["min_opening"]) * quantity(
        vessel["inside_diameter"]
    )
    leaks = any(test["result"] == "wet" for test in entries(vessel.get("leak_test"), day))
    proofs = entries(vessel.get("heat_evidence"), day)
    return any(
        [
            vessel["material"] in {"wood", "plastic", "shell"},  # burns or melts
            is_yes(vessel.get("drinkware")) and not thick,  # "not drinkware with thin walls"
            thin,  # "wall >= the protocol's `min_wall` when both are known"
            is_yes(vessel.get("porous")) and is_no(vessel.get("sealed")),
            leaks,
            chokes,  # "not so narrow that the flame chokes"
            any(proof.get("result") == "failed" for proof in proofs),
        ]
    )


def _proves(proof: Record, protocol: Record, suppliers: dict[str, Record]) -> bool:
    if proof["kind"] == "sold_for_candles":
        # says "`by` a supplier of kind `candle_supplier`"
        return bool(suppliers[proof["by"]]["kind"] == "candle_supplier")
    if proof["kind"] == "makers_word":
        return True  # "with date and person", both required keys
    # says "a thermal-shock test passed at the protocol's difference"
    shown, due = _known(proof, "difference"), _known(protocol, "thermal_shock")
    passed = proof.get("result") == "passed"
    return passed and shown is not None and due is not None and shown >= due


def screening(vessel: Record, protocol: Record, suppliers: dict[str, Record], day: date) -> str:
    """Return `refused`, `ask_first` (only evidence is missing) or `cleared`."""
    if refused(vessel, protocol, day):
        return "refused"
    porous = is_yes(vessel.get("porous"))
    if porous and "sealed" not in vessel:
        return "ask_first"
    if porous and not entries(vessel.get("leak_test"), day):
        return "ask_first"
    proofs = entries(vessel.get("heat_evidence"), day)
    if not any(_proves(proof, protocol, suppliers) for proof in proofs):
        return "ask_first"
    return "cleared"
