"""Vessels for generated studios: of every screening, in sizes that can be."""

import math
from collections.abc import Callable
from random import Random

from .pantry import paper_day, raised, with_papers
from .protocol import min_wall_for
from .read import Record
from .spell import Pen

Change = Callable[[Random, Pen, float], Record]
SUPPLIER, MAKER = "wick-and-wax", "pot-maker"


def _proof(rng: Random, kind: str, by: str, result: str = "") -> Record:
    proof = {"kind": kind, "on": paper_day(rng), "by": by}
    return proof | ({"result": result} if result else {})


def _sold(rng: Random) -> Record:
    return _proof(rng, "sold_for_candles", SUPPLIER)


def _shock(rng: Random, pen: Pen, kelvin: float, result: str) -> Record:
    proof = _proof(rng, "thermal_shock_test", "ash", result)
    return proof | {"difference": pen.difference(kelvin)}


def _leak(rng: Random, result: str) -> Record:
    return {"on": paper_day(rng), "hours": rng.choice(["24", "48"]), "result": result}


def _pot(rng: Random, pen: Pen, *results: str, sealed: bool | None = True) -> Record:
    """Return a body that drinks, with leak tests of such results."""
    pot: Record = {"material": rng.choice(["concrete", "ceramic", "stone"]), "porous": pen.yes()}
    if sealed is not None:
        pot["sealed"] = pen.yes() if sealed else pen.no()
    if results:
        tests = [_leak(rng, result) for result in results]
        pot["leak_test"] = tests if len(tests) > 1 else tests[0]
    return pot


CLEARED: dict[str, Change] = {
    "sold": lambda r, _p, _w: {"heat_evidence": [_sold(r)]},
    "word": lambda r, _p, _w: {"heat_evidence": [_proof(r, "makers_word", MAKER, "passed")]},
    "shock": lambda r, p, _w: {"heat_evidence": [_shock(r, p, r.choice([62, 75]), "passed")]},
    "second": lambda r, _p, _w: {
        "heat_evidence": [
            _proof(r, "sold_for_candles", "corner-shop"),
            _proof(r, "makers_word", MAKER, "passed"),
        ]
    },
    "tight pot": lambda r, p, _w: _pot(r, p, "dry"),
    "pot tested twice": lambda r, p, _w: _pot(r, p, "dry", "dry"),
    "just open enough": lambda _r, p, w: {"opening": p.length(w * 0.82)},
}
ASK: dict[str, Change] = {
    "no word": lambda _r, _p, _w: {"heat_evidence": []},
    "general shop": lambda r, _p, _w: {
        "heat_evidence": [_proof(r, "sold_for_candles", "corner-shop")]
    },
    "word without answer": lambda r, _p, _w: {"heat_evidence": [_proof(r, "makers_word", MAKER)]},
    "weak shock": lambda r, p, _w: {"heat_evidence": [_shock(r, p, 49.5, "passed")]},
    "shock without result": lambda r, p, _w: {"heat_evidence": [_shock(r, p, 75, "")]},
    "open word": lambda r, _p, _w: {"heat_evidence": [_sold(r), _proof(r, "makers_word", MAKER)]},
    "open shock": lambda r, p, _w: {"heat_evidence": [_sold(r), _shock(r, p, 75, "")]},
    "sealed?": lambda r, p, _w: _pot(r, p, "dry", sealed=None),
    "untested pot": lambda r, p, _w: _pot(r, p),
}
REFUSED: dict[str, Change] = {
    "burns": lambda r, _p, _w: {"material": r.choice(["wood", "plastic", "shell"])},
    "drinkware": lambda _r, p, _w: {"drinkware": p.yes()},
    "thin drinkware": lambda _r, p, _w: {"drinkware": p.yes(), "wall": p.length(1.8)},
    "thick drinkware": lambda _r, p, _w: {"drinkware": p.yes(), "wall": p.length(5.0)},
    "raw pot": lambda r, p, _w: _pot(r, p, "dry", sealed=False),
    "wet pot": lambda r, p, _w: _pot(r, p, "wet"),
    "pot that leaked once": lambda r, p, _w: _pot(r, p, "wet", "dry"),
    "narrow": lambda _r, p, w: {"opening": p.length(w * 0.65)},
    "cracked": lambda r, p, _w: {
        "heat_evidence": [_proof(r, "makers_word", MAKER, "passed"), _shock(r, p, 80, "failed")]
    },
    "maker says no": lambda r, _p, _w: {
        "heat_evidence": [_proof(r, "makers_word", MAKER, "failed")]
    },
}
UNSAID = ("porous", "drinkware", "opening", "wall", "sealed", "leak_test", "heat_evidence")


def vessel(rng: Random, pen: Pen, protocol: Record) -> Record:
    """Return a vessel; about five of six are cleared."""
    width = rng.choice([58.0, 69.85, 71.0, 83.5])
    record: Record = {
        "material": rng.choice(["glass", "glass", "ceramic", "metal", "other", "stone"]),
        "supplier": rng.choice([SUPPLIER, MAKER]),
        "use": "practice" if rng.random() < 0.06 else "product",
        "inside_diameter": "2 3/4 in" if width == 69.85 else pen.length(width, 2),
        "opening": pen.length(width * rng.choice([0.85, 1.0, 1.0, 1.2])),
        "porous": pen.no(),
        "drinkware": pen.no(),
        "heat_evidence": [_sold(rng)],
    }
    record |= _sizes(rng, pen, width)
    if rng.random() < 0.75:
        record["empty_mass"] = pen.mass(rng.uniform(230, 380))
    pick = rng.choices([CLEARED, ASK, REFUSED, None], [72, 5, 6, 17])[0]
    if pick is not None:
        record |= pick[rng.choice(sorted(pick))](rng, pen, width)
    if pick is REFUSED:
        record = _wall(rng, pen, protocol, record["material"]) | record
        if rng.random() < 0.3:
            record.pop("wall", None)
    else:
        record |= _wall(rng, pen, protocol, record["material"])
    if rng.random() < 0.04:
        for key in rng.sample(UNSAID, 2):
            record.pop(key, None)
    if "leak_test" in record and "porous" not in record:
        del record["leak_test"]  # a vessel that is not said to drink has no wet test
    return with_papers(rng, record | raised(rng, 0.07))


def _wall(rng: Random, pen: Pen, protocol: Record, material: str) -> Record:
    """Return a wall, where the protocol asks for one mostly thick enough, and drinkware then."""
    least = min_wall_for(protocol, material)
    if least is None:
        return {"wall": pen.length(rng.choice([2.2, 3.0]))} if rng.random() < 0.3 else {}
    if rng.random() < 0.06:
        return {}
    edge = float(least) + rng.choice([0, 0, 0.4, 1.5, -0.1])
    told: Record = {"wall": f"{edge:g} mm"}
    return told | ({"drinkware": pen.yes()} if rng.random() < 0.2 else {})


def _sizes(rng: Random, pen: Pen, width: float) -> Record:
    """Return a fill, and at times a brim, a height that holds them, and a wall that bulges."""
    ml = rng.uniform(180, 260)
    way = rng.choice(["water", "volume", "headspace"])
    if way == "headspace":
        return {"inside_height": pen.length(112.0), "fill": {"headspace": pen.length(12.0)}}
    if way == "water":
        deg_c = rng.choice([18.0, 21.0, 23.5])
        told: Record = {"fill": {"water": pen.mass(ml * 0.998), "at": pen.heat(deg_c)}}
    else:
        told = {"fill": {"volume": pen.volume(ml)}}
    brim = max(ml * 1.15, 290)  # more than any recipe here fills
    if rng.random() < 0.4:
        told["brim"] = {"volume": pen.volume(brim)}
    if rng.random() < 0.4:
        bulge = rng.choice([0.0, 0.0, 0.1, 0.3])
        straight = brim * 1000 / (math.pi * width**2 / 4)
        told["inside_height"] = pen.length(straight / (1 + bulge) * rng.uniform(1.0, 1.2))
        if bulge:
            told["bulge"] = pen.share(bulge)
    return told
