"""Protocols of a studio's own, for generated studios: none looser than what is published."""

from random import Random

from .read import Record

NEEDS = ["before", "after", "burned", "flame", "pool"]


def own_protocol(rng: Random) -> Record:
    """Return a studio's own protocol: some keys, or every key."""
    changes: dict[str, object] = {
        "test_candles": rng.choice(["2", "4"]),
        "pourings": rng.choice(["1", "2", "2"]),
        "cycle": rng.choice(["3 h", "180 min"]),
        "cycle_tolerance": rng.choice(["30 min", "0.5 h"]),
        "rest": "2 h",
        "trim": "5 mm",
        "stop_at": "15 mm",
        "load_tolerance": "0.3 %",
        "fill_tolerance": "3 %",
        "balance": rng.choice(["4 %", "8 %", "20 %"]),
        "min_wall": _min_wall(rng),
        "thermal_shock": "delta 60 degC",
        "min_opening": "70 %",
        "full_pool_by": "2",
        "needs": NEEDS + rng.choice([["depth"], ["tilt"], ["cycles", "room"], ["wall", "tilt"]]),
        "limits": own_limits(rng),
        "observations": {"smoking": "fail", "wet_spots": "watch"},
    }
    if rng.random() < 0.25:
        return changes  # every key said
    kept = {"limits", *rng.sample(sorted(changes), rng.randrange(1, 7))}
    return {key: changes[key] for key in sorted(kept)}


def _min_wall(rng: Random) -> object:
    if rng.random() < 0.5:
        return "2.5 mm"
    return {"glass": "2.5 mm", "ceramic": "4 mm", "stone": "6 mm"}


def own_limits(rng: Random) -> list[Record]:
    """Return a few limits of a studio's own, for all vessels or for one material."""
    fails: list[Record] = [
        {"measure": "flame", "at_most": "60 mm"},
        {"measure": "wall", "at_most": "72 degC"},
        {"measure": "wall", "at_most": "62 degC", "material": "metal"},
        {"measure": "wall", "at_most": "68 degC", "material": "glass"},
        {"measure": "depth", "at_most": "20 mm"},
        {"measure": "depth", "at_least": "4 mm", "material": "glass"},
        {"measure": "coverage", "at_least": "90 %"},
        {"measure": "after_smoke", "at_most": "25 s"},
        {"measure": "mean_after_smoke", "at_most": "20 s"},
        {"measure": "mean_after_smoke", "at_most": "18 s", "material": "glass"},
        {"measure": "room", "at_most": "25 degC"},
    ]
    watches: list[Record] = [
        {"measure": "flame", "at_most": "50 mm"},
        {"measure": "flame", "at_least": "15 mm"},
        {"measure": "wall", "at_most": "50 degC", "material": "metal"},
        {"measure": "coverage", "at_least": "98 %"},
        {"measure": "mean_after_smoke", "at_most": "9 s"},
        {"measure": "room", "at_least": "18 degC"},
    ]
    told = {"source": "a stricter rule of our own", "published": "no"}
    limits = [one | told | {"on_breach": "fail"} for one in fails]
    limits += [one | told | {"on_breach": "watch"} for one in watches]
    return rng.sample(limits, rng.randrange(2, 8))
