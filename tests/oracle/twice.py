"""Candles written down twice: readings of one copied into another, in whole or in part."""

from copy import deepcopy

from .draw import Draw
from .honest import too_light
from .read import Record


def copy_readings(draw: Draw) -> None:
    """Copy readings from one burn into another, now and then: all of them, or some cycles."""
    burns = draw.book.get("burns", {})
    if len(burns) < 2 or not draw.chance(0.07):
        return
    one, name = draw.rng.sample(sorted(burns), 2)
    other = deepcopy(burns[name])
    if draw.chance(0.4):
        for key in ("cycles", "end", "lit"):
            other.pop(key, None)
            if key in burns[one]:
                other[key] = deepcopy(burns[one][key])
    else:
        _copy_masses(draw, burns[one], other)
    if not too_light(other):
        burns[name] = other


def _copy_masses(draw: Draw, one: Record, other: Record) -> None:
    pairs = list(zip(one["cycles"], other["cycles"], strict=False))
    for mine, theirs in pairs[: draw.rng.choice([1, 2, 3, 3])]:
        masses = {key: mine[key] for key in ("before", "after") if key in mine}
        if len(masses) == 2 and {"before", "after"} <= theirs.keys():
            theirs.update(masses)


def write_twice(draw: Draw) -> None:
    """Write one candle of one or two cycles down twice, now and then, or nearly."""
    burns = draw.book.get("burns", {})
    if len(burns) < 2 or not draw.chance(0.03):
        return
    one, other = (burns[name] for name in draw.rng.sample(sorted(burns), 2))
    if len(one["cycles"]) < 2 or "end" not in one or too_light(other | {"cycles": one["cycles"]}):
        return
    pools = [cycle["pool"] for cycle in one["cycles"] if "pool" in cycle]
    one["cycles"] = one["cycles"][: draw.rng.choice([1, 2])]
    one["cycles"][0]["pool"] = pools[-1] if pools else "60 mm"
    one["end"]["cycles"] = str(len(one["cycles"]))
    for burn in (one, other):
        burn.pop("lit", None)
    other |= {"cycles": deepcopy(one["cycles"]), "end": deepcopy(one["end"])}
    if draw.chance(0.3):
        del other["end"]
    elif draw.chance(0.3):
        other["cycles"][-1]["after"] = "301.3 g"
