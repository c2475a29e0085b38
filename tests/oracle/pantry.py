"""Items for generated studios: waxes, wicks, oils, suppliers, and the dated papers about them."""

from datetime import date, timedelta
from random import Random

from .match import spec_days
from .read import Record, day_of, listed
from .spell import Pen

START = date(2026, 1, 5)

SUPPLIERS = {
    "wick-and-wax": {"kind": "candle_supplier"},
    "corner-shop": {"kind": "general"},
    "pot-maker": {"kind": "maker"},
}
PAPERS = ("heat_evidence", "leak_test", "certificate", "safety_sheet", "lead_free")


def paper_day(rng: Random) -> str:
    """Return a date long before the tests; now and then among or after them."""
    late = rng.random() < 0.05
    return str(START + timedelta(days=rng.randrange(5, 90) if late else -rng.randrange(10, 90)))


def raised(rng: Random, chance: float) -> Record:
    """Return a raised specification, now and then: before, among or after the tests."""
    if rng.random() >= chance:
        return {}
    first = rng.choice([-200, -200, -20, -20, 10, 30, 60, 400])
    days = [str(START + timedelta(days=first))]
    if rng.random() < 0.3:
        days.append(str(START + timedelta(days=first + rng.choice([1, 25, 110, 180]))))
    if len(days) == 1 and rng.random() < 0.7:
        return {"spec": "2", "spec_since": days[0]}
    return {"spec": str(len(days) + 1), "spec_since": days}


def with_papers(rng: Random, item: Record) -> Record:
    """Return an item whose papers are of its specification, or of the one before it.

    A new make needs new papers: dated since then, or saying of which make they speak.
    """
    told = dict(item)
    for key in PAPERS:
        if key in told:
            told[key] = _renewed(rng, told, key)
    return told


def _renewed(rng: Random, item: Record, key: str) -> object:
    entries = [dict(entry) for entry in listed(item[key])]
    spec, since = item.get("spec", "1"), (spec_days(item) or [None])[-1]
    way = rng.choices(["leave", "say", "later", "add", "say former"], [18, 32, 16, 32, 2])[0]
    if since is None:
        if rng.random() < 0.06:
            entries = [entry | {"spec": spec} for entry in entries]
    elif way == "say":
        entries = [entry | {"spec": spec} for entry in entries]
    elif way == "say former":
        entries = [entry | {"spec": str(int(spec) - 1)} for entry in entries]
    elif way in {"later", "add"}:
        day = {"on": str(day_of(since) + timedelta(days=rng.choice([-1, 0, 0, 1, 1, 2])))}
        old = entries if way == "add" else []
        entries = old + [entry | day for entry in entries]
    elif rng.random() < 0.1:
        entries *= 2
    if key == "heat_evidence" or len(entries) != 1 or rng.random() < 0.15:
        return entries
    return entries[0]


def wax(rng: Random, pen: Pen) -> Record:
    """Return a wax."""
    record: Record = {
        "kind": rng.choice(["soy", "coconut", "paraffin"]),
        "density": pen.density(rng.uniform(0.86, 0.93)),
        "max_load": pen.share(rng.choice([0.11, 0.11, 0.12, 0.12, 0.12, 0.12, 0.12, 0.08])),
        "cure": pen.days(rng.choice([3, 7, 14])),
    }
    if rng.random() < 0.6:
        record["liquid_density"] = {
            "density": pen.density(rng.uniform(0.78, 0.87)),
            "at": pen.heat(70.0),
        }
    if rng.random() < 0.4:  # in the one order of heat
        record["flash_point"] = pen.heat(rng.choice([160.0, 220.0]))
        record |= {"heat_to": pen.heat(85.0), "add_at": pen.heat(80.0), "pour_at": pen.heat(62.0)}
    return record | raised(rng, 0.05)


def wick(rng: Random, step: int) -> Record:
    """Return a wick; one in three has a metal core, most of those with the lead-free word."""
    record: Record = {"series": "braid", "size": str(2 * step), "step": str(step)}
    record["core"] = rng.choice(["none", "cotton", "paper", "cotton", "zinc", "tin"])
    if record["core"] in {"zinc", "tin"} and rng.random() < 0.85:
        record["lead_free"] = {"on": paper_day(rng), "by": "wick-and-wax"}
    return with_papers(rng, record | raised(rng, 0.06))


def fragrance(rng: Random, pen: Pen) -> Record:
    """Return an oil; one paper or the limit is missing now and then, or the limit is low."""
    record: Record = {"density": pen.density(rng.uniform(0.9, 1.05))}
    if rng.random() < 0.96:
        low = rng.random() < 0.05
        record["max_use"] = pen.share(rng.choice([0.05, 0.055] if low else [0.1, 0.12, 1.0]))
    if rng.random() < 0.97:
        record["certificate"] = {"on": paper_day(rng), "amendment": "51"}
    if rng.random() < 0.97:
        record["safety_sheet"] = {"on": paper_day(rng), "revision": "3"}
    return with_papers(rng, record | raised(rng, 0.07))
