"""One component a substance: what several oils say of the same CAS number, put together."""

from fractions import Fraction

from .words import LIMITABLE, Component


def _least(told: list[dict[str, Fraction]]) -> dict[str, Fraction]:
    """Return the lowest value of each key."""
    keys = {key for values in told for key in values}
    return {key: min(values[key] for values in told if key in values) for key in keys}


def _greatest(factors: list[Fraction | None]) -> Fraction | None:
    return max((factor for factor in factors if factor is not None), default=None)


def _together(same: list[Component]) -> Component:
    """Return what holds of a substance that stands on several lines, each time the worse."""
    words = [line["hazards"] for line in same]
    hazards = {word for told in words if told is not None for word in told}
    limits = _least([line["limits"] for line in same])
    usable = {word for own in hazards for word in LIMITABLE.get(own, ())}
    return {
        "name": min(line["name"] for line in same),
        "share": sum((line["share"] for line in same), Fraction(0)),
        "hazards": hazards,
        "unknown": any(told is None for told in words),
        "m_acute": _greatest([line["m_acute"] for line in same]),
        "m_chronic": _greatest([line["m_chronic"] for line in same]),
        "ate": _least([line["ate"] for line in same]),
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
    for line in components:
        if line["share"] == 0:
            continue
        key = ("cas", line["cas"]) if line["cas"] else ("name", line["name"])
        groups.setdefault(key, []).append(line)
    return [_together(same) for same in groups.values()]
