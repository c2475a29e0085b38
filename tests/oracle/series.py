"""One test candle drafted in numbers: a clean burn, then one fault put into it on purpose."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random
from typing import Any

from .read import Record, quantity
from .spell import Pen

Cycle = dict[str, Any]
READINGS = ("before", "after", "burned", "pool", "flame", "wall")


@dataclass(frozen=True)
class Rules:
    """The protocol's figures that a draft steers by, in the units of the names."""

    cycle_min: int
    tolerance_min: int
    rest_min: int
    full_pool_by: int
    flame_mm: float
    wall_c: float
    mean_smoke_s: float
    fatal_words: tuple[str, ...]


def _bound(protocol: Record, measure: str) -> float:
    bounds = [
        quantity(limit["at_most"])
        for limit in protocol["limits"]
        if limit["measure"] == measure and limit["on_breach"] == "fail"
    ]
    return float(min(bounds))


def rules_of(protocol: Record) -> Rules:
    """Return the figures of a merged protocol."""
    words = protocol["observations"]
    return Rules(
        cycle_min=int(quantity(protocol["cycle"]) * 60),
        tolerance_min=int(quantity(protocol["cycle_tolerance"]) * 60),
        rest_min=int(quantity(protocol["rest"]) * 60),
        full_pool_by=int(protocol["full_pool_by"]),
        flame_mm=_bound(protocol, "flame"),
        wall_c=_bound(protocol, "wall"),
        mean_smoke_s=round(_bound(protocol, "mean_after_smoke") * 3600, 3),
        fatal_words=tuple(sorted(word for word, how in words.items() if how == "fail")),
    )


@dataclass(frozen=True)
class Poured:
    """A candle as it left the bench."""

    on: date
    cure_days: int
    width_mm: float
    net_g: float


@dataclass
class Draft:
    """A test candle in numbers: g, mm, degC, minutes, seconds; a string stands as written."""

    rng: Random
    rules: Rules
    made_on: date
    width_mm: float
    cycles: list[Cycle]
    end: Record | None

    def full(self) -> Cycle:
        """Return some cycle that is not the last."""
        return self.rng.choice(self.cycles[:-1])

    def any(self) -> Cycle:
        """Return some cycle."""
        return self.rng.choice(self.cycles)

    def covered(self) -> Cycle:
        """Return some full cycle in which coverage is due."""
        return self.rng.choice(self.cycles[self.rules.full_pool_by - 1 : -1])

    def later(self) -> tuple[Cycle, Cycle]:
        """Return a cycle that has one before it, after the one before it."""
        index = self.rng.randrange(1, len(self.cycles))
        return self.cycles[index - 1], self.cycles[index]


def _starts(rng: Random, rules: Rules, first: date, count: int) -> list[str]:
    """Return when each cycle began: dates alone, or two timed cycles a day."""
    if rng.random() < 0.6:
        days = [0]
        for _ in range(count - 1):
            days.append(days[-1] + rng.choice([1, 1, 2, 3]))
        return [str(first + timedelta(days=day)) for day in days]
    step = rules.cycle_min + rules.tolerance_min + rules.rest_min + rng.choice([5, 90])
    mark = rng.choice([" ", "T"])
    morning = datetime.combine(first, datetime.min.time()) + timedelta(hours=7, minutes=30)
    times = [morning + timedelta(days=i // 2, minutes=(i % 2) * step) for i in range(count)]
    return [f"{t:%Y-%m-%d}{mark}{t:%H:%M}" for t in times]


def clean(rng: Random, rules: Rules, poured: Poured) -> Draft:
    """Return a candle that passes every clause: full cycles, a last short one, a sound end."""
    count = rules.full_pool_by + rng.choice([1, 1, 2])
    first = poured.on + timedelta(days=poured.cure_days + rng.choice([0, 0, 1, 5]))
    weight = round(poured.net_g + 310.0, 1)
    # nine tenths of what was poured burn away, about evenly
    share = 0.9 * poured.net_g / count
    cycles: list[Cycle] = []
    for index, start in enumerate(_starts(rng, rules, first, count)):
        burned = rules.cycle_min + rng.choice([0, 0, 0, -5, 7])
        after = round(weight - share * rng.uniform(0.97, 1.03), 1)
        reach = 0.7 if index + 1 < rules.full_pool_by else 0.96
        cycle = {
            "on": start,
            "burned": burned,
            "before": weight,
            "after": after,
            "pool": round(poured.width_mm * (reach + rng.uniform(0, 0.04)), 1),
            "depth": round(rng.uniform(6, 12.5), 1),
            "flame": round(rng.uniform(18, 45), 1),
            "wall": round(rng.uniform(42, 59), 1),
        }
        if index == 0 or rng.random() < 0.7:
            cycle["after_smoke"] = round(rng.uniform(1, 15), 0)
        cycles.append(cycle)
        weight = after
    last = cycles[-1]
    last["burned"] = rng.choice([rules.cycle_min, rules.cycle_min // 2, 35])
    for key in ("pool", "depth", "wall"):
        if rng.random() < 0.6:
            del last[key]
    left = round(poured.net_g - (cycles[0]["before"] - weight), 1)
    end = {"how": "went_out", "left": max(left, 0.0), "vessel": "sound", "tilt": "steady"}
    return Draft(rng, rules, poured.on, poured.width_mm, cycles, end)


def _word(draft: Draft, word: str) -> None:
    cycle = draft.any()
    cycle["seen"] = [*cycle.get("seen", []), word]


def _smoke(draft: Draft, seconds: float) -> None:
    for cycle in draft.cycles:
        cycle["after_smoke"] = seconds


def _end(draft: Draft, key: str, value: str) -> None:
    if draft.end is not None:
        draft.end[key] = value


def _heavier(draft: Draft, by_g: float) -> None:
    """Let a cycle begin heavier than the last ended (in grams: it may be just at the limit)."""
    before, later = draft.later()
    start = round(before["after"] + by_g, 1)
    later["after"] = min(later["after"], start)
    before["after"], later["before"] = f"{before['after']:.1f} g", f"{start:.1f} g"


def _trimmed(draft: Draft, said_g: float) -> None:
    """Cut 0.8 g from the wick between two cycles, and say another mass or the same."""
    _heavier(draft, -0.8)
    for cycle in draft.cycles:
        if isinstance(cycle.get("before"), str):
            cycle["trimmed"] = f"{said_g:.1f} g"


def _timed(draft: Draft, short_min: int) -> None:
    """Start a cycle so many minutes before the rest is over (both have times)."""
    first = date.fromisoformat(draft.cycles[0]["on"][:10])
    for index, cycle in enumerate(draft.cycles):
        cycle["on"] = str(first + timedelta(days=2 * index))
    before, later = draft.later()
    start = datetime.fromisoformat(f"{before['on']} 08:00")
    before["burned"] = draft.rules.cycle_min  # whole hours: no float noise at exactly the rest
    begun = start + timedelta(minutes=before["burned"] + draft.rules.rest_min - short_min)
    before["on"], later["on"] = f"{start:%Y-%m-%d %H:%M}", f"{begun:%Y-%m-%d %H:%M}"


def _same_day(draft: Draft) -> None:
    before, later = draft.later()
    later["on"] = before["on"][:10]


def _backwards(draft: Draft) -> None:
    before, later = draft.later()
    before["on"], later["on"] = later["on"], before["on"]


def _early(draft: Draft) -> None:
    draft.cycles[0]["on"] = str(draft.made_on - timedelta(days=draft.rng.choice([1, 3])))


def _uncured(draft: Draft) -> None:
    """Move the whole series forward so that it begins on the day after pouring."""
    shift = date.fromisoformat(draft.cycles[0]["on"][:10]) - draft.made_on - timedelta(days=1)
    for cycle in draft.cycles:
        cycle["on"] = str(date.fromisoformat(cycle["on"][:10]) - shift) + cycle["on"][10:]


def _drop(draft: Draft) -> None:
    draft.full().pop(draft.rng.choice(READINGS), None)


def _drop_last(draft: Draft) -> None:
    draft.cycles[-1].pop(draft.rng.choice(["before", "after", "burned", "flame"]), None)


def _no_smoke(draft: Draft) -> None:
    for cycle in draft.cycles:
        cycle.pop("after_smoke", None)


def _gain(draft: Draft) -> None:
    cycle = draft.any()
    cycle["after"] = round(cycle["before"] + draft.rng.choice([0.1, 3.0]), 1)


def _length(draft: Draft, over_min: int) -> None:
    edge = draft.rules.cycle_min + draft.rules.tolerance_min + over_min
    draft.any()["burned"] = edge


def _short(draft: Draft, under_min: int) -> None:
    edge = draft.rules.cycle_min - draft.rules.tolerance_min - under_min
    draft.full()["burned"] = edge


def _stopped(draft: Draft) -> None:
    if draft.end is not None:
        draft.end |= {"how": "stopped", "why": "ran out of time"}


Fault = Callable[[Draft], None]

FAILS: dict[str, Fault] = {
    "flame": lambda d: d.any().update(flame=d.rules.flame_mm + d.rng.choice([0.1, 8.0])),
    "wall": lambda d: d.any().update(wall=d.rules.wall_c + d.rng.choice([0.1, 6.0])),
    "coverage": lambda d: d.covered().update(pool=round(d.width_mm * 0.948, 1)),
    "smoke": lambda d: _smoke(d, d.rules.mean_smoke_s + d.rng.choice([0.1, 5])),
    "word": lambda d: _word(d, d.rng.choice(d.rules.fatal_words)),
    "vessel": lambda d: _end(d, "vessel", d.rng.choice(["cracked", "leaking", "broken"])),
    "tilt": lambda d: _end(d, "tilt", "fell"),
}
GAPS: dict[str, Fault] = {
    "reading": _drop,
    "last reading": _drop_last,
    "no smoke": _no_smoke,
    "gain": _gain,
    "heavier": lambda d: _heavier(d, 0.3),
    "untold trim": lambda d: _trimmed(d, 0.2),
    "too long": lambda d: _length(d, 1),
    "too short": lambda d: _short(d, 1),
    "no rest": lambda d: _timed(d, d.rng.choice([1, 30])),
    "one day": _same_day,
    "backwards": _backwards,
    "before pouring": _early,
    "not cured": _uncured,
    "wide pool": lambda d: d.full().update(pool=round(d.width_mm * 1.023, 1)),
    "stopped": _stopped,
}
NEAR: dict[str, Fault] = {
    "flame": lambda d: d.any().update(flame=d.rules.flame_mm - d.rng.choice([0, 0.1])),
    "wall": lambda d: d.any().update(wall=d.rules.wall_c - d.rng.choice([0, 0.1])),
    "coverage": lambda d: d.covered().update(pool=round(d.width_mm * 0.952, 1)),
    "smoke": lambda d: _smoke(d, d.rules.mean_smoke_s - d.rng.choice([0, 0.1])),
    "word": lambda d: _word(d, d.rng.choice(["mushrooming", "frosting", "flickering"])),
    "heavier": lambda d: _heavier(d, d.rng.choice([0.2, -0.2])),
    "told trim": lambda d: _trimmed(d, d.rng.choice([0.6, 0.8, 1.0])),
    "long": lambda d: _length(d, d.rng.choice([0, -1])),
    "short": lambda d: _short(d, d.rng.choice([0, -1])),
    "rest": lambda d: _timed(d, 0),
    "deep": lambda d: d.any().update(depth=13.4),
    "early smoke": lambda d: d.cycles[0].update(after_smoke=33),
    "wide pool": lambda d: d.full().update(pool=round(d.width_mm * 1.017, 1)),
}


def burning(draft: Draft) -> None:
    """Take the end away, and now and then the last cycles."""
    draft.end = None
    keep = draft.rng.randrange(0, len(draft.cycles))
    draft.cycles = draft.cycles[:keep]


_WRITERS: dict[str, Callable[[Pen, Any], str]] = {
    "burned": Pen.hours,
    "before": Pen.mass,
    "after": Pen.mass,
    "trimmed": Pen.mass,
    "left": Pen.mass,
    "pool": Pen.length,
    "depth": Pen.length,
    "flame": Pen.length,
    "wall": Pen.heat,
    "after_smoke": Pen.seconds,
}


def _exact(key: str, value: float, rules: Rules) -> bool:
    """Tell whether a value sits on its limit, where only base units are free of noise."""
    return (key == "flame" and value == rules.flame_mm) or (key == "wall" and value == rules.wall_c)


def written(draft: Draft, pen: Pen) -> tuple[list[Record], Record | None]:
    """Return cycles and end with every number spelled out."""

    def one(key: str, value: object) -> object:
        if isinstance(value, int | float):
            if _exact(key, value, draft.rules):
                return f"{value:g} {'mm' if key == 'flame' else 'degC'}"
            return _WRITERS[key](pen, value)
        return value

    cycles = [{key: one(key, v) for key, v in cycle.items()} for cycle in draft.cycles]
    end = None if draft.end is None else {key: one(key, v) for key, v in draft.end.items()}
    return cycles, end
