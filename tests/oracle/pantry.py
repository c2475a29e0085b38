"""Items for generated studios: vessels of every screening, waxes, wicks, oils, protocols."""

from collections.abc import Callable
from datetime import date, timedelta
from random import Random

from .read import Record
from .spell import Pen

START = date(2026, 1, 5)

SUPPLIERS = {
    "wick-and-wax": {"kind": "candle_supplier"},
    "corner-shop": {"kind": "general"},
    "pot-maker": {"kind": "maker"},
}


def paper_day(rng: Random) -> str:
    """Return a date long before the tests; now and then among or after them."""
    late = rng.random() < 0.06
    return str(START + timedelta(days=rng.randrange(5, 90) if late else -rng.randrange(10, 90)))


def own_protocol(rng: Random) -> Record:
    """Return a studio's own protocol: some keys, none looser than what is published."""
    changes: dict[str, object] = {
        "test_candles": rng.choice(["2", "4"]),
        "cycle": rng.choice(["3 h", "180 min"]),
        "cycle_tolerance": rng.choice(["30 min", "0.5 h"]),
        "rest": "2 h",
        "trim": "5 mm",
        "load_tolerance": "0.3 %",
        "fill_tolerance": "3 %",
        "balance": rng.choice(["4 %", "8 %", "20 %"]),
        "min_wall": "2.5 mm",
        "thermal_shock": "delta 60 degC",
        "min_opening": "70 %",
        "full_pool_by": "2",
        "needs": ["before", "after", "burned", "flame", "pool", "depth"],
        "limits": _own_limits(rng),
        "observations": {"smoking": "fail", "wet_spots": "watch"},
    }
    if rng.random() < 0.25:
        return changes  # every key said
    kept = rng.sample(sorted(changes), rng.randrange(1, 6))
    return {key: changes[key] for key in kept}


def _own_limits(rng: Random) -> list[Record]:
    source = "a stricter rule of our own"
    told = {"source": source, "published": "no"}
    limits: list[Record] = [
        {"measure": "flame", "at_most": "60 mm", "on_breach": "fail", **told},
        {"measure": "wall", "at_most": "72 degC", "on_breach": "fail", **told},
        {"measure": "depth", "at_most": "20 mm", "on_breach": "fail", **told},
        {"measure": "coverage", "at_least": "90 %", "on_breach": "fail", **told},
        {"measure": "mean_after_smoke", "at_most": "20 s", "on_breach": "fail", **told},
        {"measure": "flame", "at_most": "50 mm", "on_breach": "watch", **told},
    ]
    return rng.sample(limits, rng.randrange(1, 4))


def _proof(rng: Random, kind: str, by: str) -> Record:
    return {"kind": kind, "on": paper_day(rng), "by": by}


def _shock(rng: Random, pen: Pen, kelvin: float, result: str) -> Record:
    proof = _proof(rng, "thermal_shock_test", "ash")
    return proof | {"difference": pen.difference(kelvin), "result": result}


def _leak_test(rng: Random, result: str) -> Record:
    return {"on": paper_day(rng), "hours": rng.choice(["24", "48"]), "result": result}


Change = Callable[[Random, Pen, float], Record]

CLEARED: dict[str, Change] = {
    "sold": lambda r, _p, _w: {"heat_evidence": [_proof(r, "sold_for_candles", "wick-and-wax")]},
    "word": lambda r, _p, _w: {"heat_evidence": [_proof(r, "makers_word", "pot-maker")]},
    "shock": lambda r, p, _w: {"heat_evidence": [_shock(r, p, r.choice([62, 75]), "passed")]},
    "second": lambda r, _p, _w: {
        "heat_evidence": [
            _proof(r, "sold_for_candles", "corner-shop"),
            _proof(r, "makers_word", "pot-maker"),
        ]
    },
    "tight pot": lambda r, p, _w: {
        "material": "concrete",
        "porous": p.yes(),
        "sealed": p.yes(),
        "leak_test": _leak_test(r, "dry"),
    },
    "open enough": lambda _r, p, w: {"opening": p.length(w * 0.82)},
}
ASK: dict[str, Change] = {
    "no word": lambda _r, _p, _w: {"heat_evidence": []},
    "general shop": lambda r, _p, _w: {
        "heat_evidence": [_proof(r, "sold_for_candles", "corner-shop")]
    },
    "weak shock": lambda r, p, _w: {"heat_evidence": [_shock(r, p, 49.5, "passed")]},
    "sealed?": lambda r, p, _w: {
        "material": "ceramic",
        "porous": p.yes(),
        "leak_test": _leak_test(r, "dry"),
    },
    "untested pot": lambda _r, p, _w: {
        "material": "stone",
        "porous": p.yes(),
        "sealed": p.yes(),
    },
}
REFUSED: dict[str, Change] = {
    "burns": lambda r, _p, _w: {"material": r.choice(["wood", "plastic", "shell"])},
    "thin drinkware": lambda _r, p, _w: {"drinkware": p.yes(), "wall": p.length(1.8)},
    "thick drinkware": lambda _r, p, _w: {"drinkware": p.yes(), "wall": p.length(3.2)},
    "raw pot": lambda r, p, _w: {
        "material": "ceramic",
        "porous": p.yes(),
        "sealed": p.no(),
        "leak_test": _leak_test(r, "dry"),
    },
    "wet pot": lambda r, p, _w: {
        "material": "concrete",
        "porous": p.yes(),
        "sealed": p.yes(),
        "leak_test": _leak_test(r, "wet"),
    },
    "narrow": lambda _r, p, w: {"opening": p.length(w * 0.65)},
    "cracked": lambda r, p, _w: {
        "heat_evidence": [
            _proof(r, "makers_word", "pot-maker"),
            _shock(r, p, 80, "failed"),
        ]
    },
}


def vessel(rng: Random, pen: Pen) -> Record:
    """Return a vessel; about five of six are cleared."""
    width = rng.choice([58.0, 69.85, 71.0, 83.5])
    record: Record = {
        "material": rng.choice(["glass", "ceramic", "metal", "other"]),
        "supplier": rng.choice(["wick-and-wax", "pot-maker"]),
        "use": "practice" if rng.random() < 0.07 else "product",
        "inside_diameter": "2 3/4 in" if width == 69.85 else pen.length(width, 2),
        "heat_evidence": [_proof(rng, "sold_for_candles", "wick-and-wax")],
    }
    if rng.random() < 0.3:
        record["drinkware"] = pen.no()
    if rng.random() < 0.2:
        record["wall"] = pen.length(rng.choice([2.2, 3.0]))
    record |= _fill(rng, pen)
    pick = rng.choices([CLEARED, ASK, REFUSED], [84, 8, 8])[0]
    return record | pick[rng.choice(sorted(pick))](rng, pen, width) | _spec(rng, 0.06)


def _fill(rng: Random, pen: Pen) -> Record:
    way = rng.choice(["water", "volume", "headspace"])
    if way == "water":
        deg_c = rng.choice([18.0, 21.0, 23.5])
        return {"fill": {"water": pen.mass(rng.uniform(180, 260)), "at": pen.heat(deg_c)}}
    if way == "volume":
        ml = rng.uniform(180, 260)
        brim = {"brim": {"volume": pen.volume(ml * 1.6)}} if rng.random() < 0.5 else {}
        return {"fill": {"volume": pen.volume(ml)}} | brim
    return {"inside_height": pen.length(112.0), "fill": {"headspace": pen.length(12.0)}}


def _spec(rng: Random, chance: float) -> Record:
    """Return a raised specification, now and then: before, among or after the tests."""
    if rng.random() >= chance:
        return {}
    since = START + timedelta(days=rng.choice([-200, -200, 10, 30, 60, 400]))
    return {"spec": rng.choice(["2", "3"]), "spec_since": str(since)}


def wax(rng: Random, pen: Pen) -> Record:
    """Return a wax."""
    record: Record = {
        "kind": rng.choice(["soy", "coconut", "paraffin"]),
        "density": pen.density(rng.uniform(0.86, 0.93)),
        "max_load": pen.share(rng.choice([0.11, 0.11, 0.12, 0.12, 0.12, 0.08])),
        "cure": pen.days(rng.choice([3, 7, 14])),
    }
    if rng.random() < 0.6:
        record["liquid_density"] = {
            "density": pen.density(rng.uniform(0.78, 0.87)),
            "at": pen.heat(70.0),
        }
    return record | _spec(rng, 0.05)


def wick(rng: Random, step: int) -> Record:
    """Return a wick; one in three has a metal core, most of those with the lead-free word."""
    record: Record = {"series": "braid", "size": str(2 * step), "step": str(step)}
    record["core"] = rng.choice(["none", "cotton", "paper", "cotton", "zinc", "tin"])
    if record["core"] in {"zinc", "tin"} and rng.random() < 0.8:
        record["lead_free"] = {"on": paper_day(rng), "by": "wick-and-wax"}
    return record | _spec(rng, 0.05)


def fragrance(rng: Random, pen: Pen) -> Record:
    """Return an oil; one paper or the limit is missing now and then, or the limit is low."""
    record: Record = {"density": pen.density(rng.uniform(0.9, 1.05))}
    if rng.random() < 0.96:
        low = rng.random() < 0.07
        record["max_use"] = pen.share(rng.choice([0.05, 0.055] if low else [0.1, 0.12, 1.0]))
    if rng.random() < 0.96:
        record["certificate"] = {"on": paper_day(rng)}
    if rng.random() < 0.96:
        record["safety_sheet"] = {"on": paper_day(rng)}
    return record | _spec(rng, 0.05)
