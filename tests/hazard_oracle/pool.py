"""One component a substance: what several oils say of the same CAS number, put together."""

from fractions import Fraction

from .words import LIMITABLE, Component


def _least(told: list[dict[str, Fraction]]) -> dict[str, Fraction]:
    """Return the lowest value of each key."""
    keys = {key for one in told for key in one}
    return {key: min(one[key] for one in told if key in one) for key in keys}


def _greatest(factors: list[Fraction | None]) -> Fraction | None:
    return max((one for one in factors if one is not None), default=None)


def _together(same: list[Component]) -> Component:
    """Return what holds of a substance that stands on several lines, each time the worse."""
    words = [one["hazards"] for one in same]
    hazards = {word for told in words if told is not None for word in told}
    limits = _least([one["limits"] for one in same])
    usable = {word for own in hazards for word in LIMITABLE.get(own, ())}
    return {
        "name": min(one["name"] for one in same),
        "share": sum((one["share"] for one in same), Fraction(0)),
        "hazards": hazards,
        "unknown": any(told is None for told in words),
        "m_acute": _greatest([one["m_acute"] for one in same]),
        "m_chronic": _greatest([one["m_chronic"] for one in same]),
        "ate": _least([one["ate"] for one in same]),
        "limits": {word: limit for word, limit in limits.items() if word in usable},
        # a limit for what a sheet does not call the component by: not reckoned with, never complete
        "stray": bool(set(limits) - usable),
    }


def pooled(components: list[Component]) -> list[Component]:
    """Return one component for each substance, its share summed over the lines that name it.

    "Same CAS number adds up, across oils." A line without a CAS number is told by its name. A line
    with a share of nothing is of what is not in the candle, and its sheet says nothing of it.
    """
    groups: dict[tuple[str, str], list[Component]] = {}
    for one in (line for line in components if line["share"] > 0):
        key = ("cas", one["cas"]) if one["cas"] else ("name", one["name"])
        groups.setdefault(key, []).append(one)
    return [_together(same) for same in groups.values()]
