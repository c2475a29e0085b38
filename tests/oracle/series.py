"""One test candle drafted in numbers: a clean burn, for a fault to be put into."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random
from typing import Any

from .protocol import limits_for
from .read import Record, quantity
from .spell import Pen

Cycle = dict[str, Any]


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
    balance: float
    fatal_words: tuple[str, ...]


def _bound(limits: list[Record], measure: str) -> float:
    bounds = [
        quantity(limit["at_most"])
        for limit in limits
        if limit["measure"] == measure and limit["on_breach"] == "fail" and "at_most" in limit
    ]
    return float(min(bounds))


def rules_of(protocol: Record, vessel: Record) -> Rules:
    """Return the figures of a merged protocol, for a candle in this vessel."""
    words, limits = protocol["observations"], limits_for(protocol, vessel)
    return Rules(
        cycle_min=int(quantity(protocol["cycle"]) * 60),
        tolerance_min=int(quantity(protocol["cycle_tolerance"]) * 60),
        rest_min=int(quantity(protocol["rest"]) * 60),
        full_pool_by=int(protocol["full_pool_by"]),
        flame_mm=_bound(limits, "flame"),
        wall_c=_bound(limits, "wall"),
        mean_smoke_s=round(_bound(limits, "mean_after_smoke") * 3600, 3),
        balance=float(quantity(protocol["balance"])),
        fatal_words=tuple(sorted(word for word, how in words.items() if how == "fail")),
    )


@dataclass(frozen=True)
class Poured:
    """A candle as it left the bench."""

    on: date
    cure_days: int
    width_mm: float
    net_g: float
    empty_g: float = 310.0


@dataclass
class Draft:
    """A test candle in numbers: g, mm, degC, minutes, seconds; a string stands as written."""

    rng: Random
    rules: Rules
    poured: Poured
    cycles: list[Cycle]
    end: Record | None
    made: Record  # what `made` says beside what went in
    room: float | None
    count: str = "right"  # what `end.cycles` says: right, wrong or unsaid
    lit: str = "unsaid"  # what `lit` says

    @property
    def made_on(self) -> date:
        """Return the pouring day."""
        return self.poured.on

    @property
    def width_mm(self) -> float:
        """Return the vessel's inside diameter."""
        return self.poured.width_mm

    @property
    def net_g(self) -> float:
        """Return what was poured."""
        return self.poured.net_g

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


def _cycle(rng: Random, rules: Rules, width_mm: float, number: int) -> Cycle:
    """Return the readings of one clean cycle, masses apart."""
    reach = 0.7 if number < rules.full_pool_by else 0.96
    return {
        "burned": rules.cycle_min + rng.choice([0, 0, 0, -5, 7]),
        "pool": round(width_mm * (reach + rng.uniform(0, 0.04)), 1),
        "depth": round(rng.uniform(6, 12.5), 1),
        "flame": round(rng.uniform(18, 45), 1),
        "wall": round(rng.uniform(42, 59), 1),
        "after_smoke": round(rng.uniform(1, 15), 0),
    }


def burn_down(draft: Draft, part: float) -> None:
    """Let this part of what was poured burn away over the cycles, about evenly."""
    weight = draft.cycles[0]["before"]
    share = part * draft.net_g / len(draft.cycles)
    for cycle in draft.cycles:
        cycle["before"] = weight
        weight = round(weight - share * draft.rng.uniform(0.97, 1.03), 1)
        cycle["after"] = weight


def burned_g(draft: Draft) -> float:
    """Return what burned away."""
    return float(draft.cycles[0]["before"] - draft.cycles[-1]["after"])


def leave(draft: Draft, lost: float) -> None:
    """Write down what is left, so that this part of what was poured is not accounted for."""
    if draft.end is not None:
        left = draft.net_g * (1 - lost) - burned_g(draft)
        draft.end["left"] = round(max(left, 0.0), 1)


def clean(rng: Random, rules: Rules, poured: Poured) -> Draft:
    """Return a candle that passes every clause: full cycles, a last short one, a sound end."""
    count = rules.full_pool_by + rng.choice([1, 1, 2])
    first = poured.on + timedelta(days=poured.cure_days + rng.choice([0, 0, 1, 5]))
    starts = _starts(rng, rules, first, count)
    cycles = [
        {"on": start} | _cycle(rng, rules, poured.width_mm, index + 1)
        for index, start in enumerate(starts)
    ]
    # no two vessels weigh the same, and a wick weighs something too
    empty = poured.empty_g * rng.uniform(0.97, 1.03) + rng.uniform(1, 4)
    cycles[0]["before"] = round(empty + poured.net_g, 1)
    end = {"how": "went_out", "vessel": "sound", "tilt": "steady"}
    made: Record = {"inside_diameter": poured.width_mm, "tilt": "steady"}
    room = round(rng.uniform(18.5, 23.5), 0)
    draft = Draft(rng, rules, poured, cycles, end, made, room)
    if rng.random() < 0.85:
        burn_down(draft, rng.uniform(0.86, 0.93))
        leave(draft, rng.choice([0, 0, 0.01, 0.03]))
    else:  # what is left was not weighed: next to nothing, or as much as the protocol allows
        burn_down(draft, rng.uniform(1.03 - rules.balance, 0.99))
    _last(draft)
    if rng.random() < 0.15:
        draft.room = None
    draft.lit = rng.choice(["right", "unsaid"])
    for cycle in draft.cycles:
        if draft.room is None or rng.random() < 0.15:
            cycle["room"] = round(rng.uniform(18.5, 23.5), 1)
    return draft


def _last(draft: Draft) -> None:
    last = draft.cycles[-1]
    last["burned"] = draft.rng.choice([draft.rules.cycle_min, draft.rules.cycle_min // 2, 35])
    for key in ("pool", "depth", "wall", "after_smoke"):
        if draft.rng.random() < 0.6:
            del last[key]


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
    "room": Pen.heat,
}


def _exact(key: str, value: float, rules: Rules) -> bool:
    """Tell whether a value sits on its limit, where only base units are free of noise."""
    return (key == "flame" and value == rules.flame_mm) or (key == "wall" and value == rules.wall_c)


def spelled(draft: Draft, pen: Pen, key: str, value: object) -> object:
    """Return one value as it is written; a string stands as it is."""
    if not isinstance(value, int | float):
        return value
    if _exact(key, value, draft.rules):
        return f"{value:g} {'mm' if key == 'flame' else 'degC'}"
    return _WRITERS[key](pen, value)


def _end(draft: Draft, pen: Pen) -> Record | None:
    if draft.end is None:
        return None
    end: Record = {key: spelled(draft, pen, key, v) for key, v in draft.end.items()}
    if draft.count != "unsaid":
        end["cycles"] = _said(draft, draft.count, least=1)
    return end


def _said(draft: Draft, how: str, least: int) -> str:
    """Return a number of cycles as it is told, rightly or wrongly."""
    more = draft.rng.choice([-1, 1]) if how == "wrong" else 0
    count = len(draft.cycles) + more
    return str(count if count >= least else count + 2)


def written(draft: Draft, pen: Pen) -> Record:
    """Return cycles, room and end with every number spelled out, and the rest of `made`."""
    cycles = [
        {key: spelled(draft, pen, key, v) for key, v in cycle.items()} for cycle in draft.cycles
    ]
    made = {key: pen.length(v, 3) if isinstance(v, float) else v for key, v in draft.made.items()}
    burn: Record = {"made": made, "cycles": cycles}
    if draft.room is not None:
        burn["room"] = pen.heat(draft.room)
    if draft.lit != "unsaid" and draft.end is None:  # beside an end it is a fault of the record
        burn["lit"] = _said(draft, draft.lit, least=0)
    end = _end(draft, pen)
    return burn if end is None else burn | {"end": end}
