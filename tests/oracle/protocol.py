"""The shipped protocol, written down a second time, and a studio's own merged over it."""

from fractions import Fraction

from .read import Book, Record, quantity


def _limit(measure: str, side: str, bound: str, on_breach: str) -> Record:
    return {"measure": measure, side: bound, "on_breach": on_breach}


# records.md, "The default, in short", made exact by the list of the shipped default protocol.
# Where each figure comes from is said there and in the protocol the package ships; here they are
# the expectation.
SHIPPED: Record = {
    "test_candles": "3",
    "pourings": "1",
    "stop_at": "12 mm",
    "balance": "5 %",
    "cycle": "4 h",
    "cycle_tolerance": "15 min",
    "rest": "1 h",
    "trim": "6 mm",
    "load_tolerance": "0.2 %",
    "fill_tolerance": "2 %",
    "thermal_shock": "delta 50 degC",
    "min_opening": "80 %",
    "full_pool_by": "3",
    "needs": ["before", "after", "burned", "pool", "flame", "wall", "tilt", "cycles"],
    "limits": [
        _limit("flame", "at_most", "75 mm", "fail"),
        _limit("wall", "at_most", "60 degC", "watch"),
        _limit("wall", "at_most", "80 degC", "fail"),
        _limit("depth", "at_most", "13 mm", "watch"),
        _limit("coverage", "at_least", "95 %", "fail"),
        _limit("after_smoke", "at_most", "30 s", "watch"),
        _limit("mean_after_smoke", "at_most", "30 s", "fail"),
        # EN 15426 tests at 20 +/- 5 degC
        _limit("room", "at_least", "15 degC", "watch"),
        _limit("room", "at_most", "25 degC", "watch"),
    ],
    "observations": {
        "secondary_ignition": "fail",
        "flare_up": "fail",
        "crack": "fail",
        "leak": "fail",
        "sooting": "fail",
        "drowning": "fail",
        "tunnelling": "fail",
        "smoking": "watch",
        "mushrooming": "watch",
        "flickering": "watch",
        "wick_drift": "watch",
        "afterglow": "watch",
        "wet_spots": "note",
        "frosting": "note",
        "sweating": "note",
    },
}


def limit_key(limit: Record) -> tuple[str, str, str, str]:
    """Return what makes two limits the same one: measure, side, what a breach is, material."""
    side = "at_most" if "at_most" in limit else "at_least"
    return (limit["measure"], side, limit["on_breach"], limit.get("material", ""))


def protocol_of(book: Book) -> Record:
    """Return the protocol in force: the shipped one, or the studio's own laid over it by key."""
    name = book["studio"]["studio"]["protocol"]
    if name == "default":
        return SHIPPED
    own = book["protocols"][name]
    # says "its `limits` entries replace shipped entries with the same (measure, at_most/at_least,
    # on_breach) and add others; observations merge by word"
    limits = {limit_key(limit): limit for limit in [*SHIPPED["limits"], *own.get("limits", [])]}
    words = {**SHIPPED["observations"], **own.get("observations", {})}
    return {**SHIPPED, **own, "limits": list(limits.values()), "observations": words}


def limits_for(protocol: Record, vessel: Record) -> list[Record]:
    """Return the limits on a candle in this vessel.

    "a limit may have `material` (it then applies only to vessels of that material)".
    """
    own = vessel["material"]
    return [limit for limit in protocol["limits"] if limit.get("material", own) == own]


def min_wall_for(protocol: Record, material: str) -> Fraction | None:
    """Return the thinnest wall allowed: "a length, or a map of material to length"."""
    written = protocol.get("min_wall")
    if isinstance(written, dict):
        written = written.get(material)
    return None if written is None else quantity(written)
