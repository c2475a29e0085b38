"""Faults for drafted candles, put in on purpose: what fails, what is missing, what just holds."""

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta

from .series import Cycle, Draft, burn_down, leave

READINGS = ("before", "after", "burned", "pool", "flame", "wall", "after_smoke")
LAST = ("before", "after", "burned", "flame")
Fault = Callable[[Draft], None]


def _word(draft: Draft, word: str) -> None:
    cycle = draft.any()
    cycle["seen"] = [*cycle.get("seen", []), word]


def _amended(part: Cycle | None, **former: object) -> None:
    if part is not None:
        part.update(amended=["2025-01-01", "2025-01-02"], former=former)


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


def _drop(draft: Draft, cycle: Cycle, readings: Sequence[str], *, told: bool) -> None:
    """Take a reading out of a cycle, and say that it was not read, or nothing."""
    reading = draft.rng.choice(readings)
    cycle.pop(reading, None)
    if told:
        cycle["unread"] = [*cycle.get("unread", []), reading]


def _two_not_read(draft: Draft) -> None:
    cycle = draft.full()
    for reading in draft.rng.sample(READINGS, 2):
        _drop(draft, cycle, [reading], told=True)


def _no_smoke(draft: Draft, *, told: bool) -> None:
    for cycle in draft.cycles:
        cycle.pop("after_smoke", None)
        if told:
            cycle["unread"] = ["after_smoke"]


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


def _wider(draft: Draft, by: float) -> None:
    """Write a diameter that is so much more than the vessel's, and pools to match."""
    draft.made["inside_diameter"] = draft.width_mm * by
    for cycle in draft.cycles:
        if by > 1 and "pool" in cycle:
            cycle["pool"] = round(cycle["pool"] * by, 1)


def _unsaid(draft: Draft, key: str) -> None:
    draft.made.pop(key, None)


def _heavy(draft: Draft, beyond_g: float) -> None:
    """Move every reading so far from the empty vessel's mass, which may be 3 % off by itself."""
    edge = 0.1 * draft.poured.empty_g + 5 + beyond_g
    off = draft.cycles[0]["before"] - draft.net_g - draft.poured.empty_g
    shift = (edge - off) if draft.rng.random() < 0.5 else (-edge - off)
    for cycle in draft.cycles:
        cycle["before"] = round(cycle["before"] + shift, 1)
        cycle["after"] = round(cycle["after"] + shift, 1)


def _nothing_burned(draft: Draft) -> None:
    """Let a cycle end as heavy as it began; the one after burns what it did not."""
    index = draft.rng.randrange(0, len(draft.cycles) - 1)
    cycle, later = draft.cycles[index], draft.cycles[index + 1]
    # in grams: a reading in two units would not be the same to the last digit
    cycle["before"] = cycle["after"] = f"{cycle['before']:.1f} g"
    later["before"] = cycle["after"]
    if index:
        draft.cycles[index - 1]["after"] = cycle["before"]


def _left(draft: Draft, burned: float, left: float | None) -> None:
    """Let this part burn away, and say what part is left, or nothing."""
    burn_down(draft, burned)
    if draft.end is not None:
        draft.end.pop("left", None)
        if left is not None:
            draft.end["left"] = round(draft.net_g * left, 1)


def _lost(draft: Draft, part: float) -> None:
    burn_down(draft, 0.88)
    leave(draft, part)


def few(draft: Draft, count: int) -> None:
    """Leave only so many cycles, the last of them the last that there was."""
    last, kept = draft.cycles[-1], draft.cycles[: count - 1]
    last["before"] = kept[-1]["after"] if kept else draft.cycles[0]["before"]
    last.setdefault("after_smoke", 4.0)
    draft.cycles = [*kept, last]
    _pool_of_the_last_full(draft, draft.rng.choice([0.952, 0.97]))


def _pool_of_the_last_full(draft: Draft, part: float) -> None:
    if len(draft.cycles) > 1:
        draft.cycles[-2]["pool"] = round(draft.width_mm * part, 1)


def _few_short(draft: Draft) -> None:
    few(draft, draft.rng.choice([2, 3]))
    _pool_of_the_last_full(draft, draft.rng.choice([0.948, 0.7]))


def _count(draft: Draft, said: str) -> None:
    draft.count = said


def _no_end(draft: Draft) -> None:
    """Leave the end out, of a candle that says how often it was lit or does not."""
    draft.end = None
    if draft.rng.choice([True, False]):
        draft.lit = "right"


def _wrongly_lit(draft: Draft) -> None:
    """Let a candle that burns on say that it was lit once more, or once less."""
    _burned_down(draft, 0.8)
    draft.lit = "wrong"


def _burned_down(draft: Draft, part: float) -> None:
    """Let whole cycles burn this part of what was poured, without a word of an end."""
    draft.end = None
    draft.lit = "right"
    draft.cycles[-1] = draft.cycles[-2] | {"on": draft.cycles[-1]["on"]}
    draft.cycles[-1]["burned"] = draft.rules.cycle_min
    burn_down(draft, part)


def _mistyped(draft: Draft, index: int, days: int) -> None:
    """Write the date of one cycle so many days off."""
    on = draft.cycles[index]["on"]
    day = date.fromisoformat(on[:10]) + timedelta(days=days)
    draft.cycles[index]["on"] = str(day) + on[10:]


def _month(draft: Draft) -> None:
    """Mistype a date before the last by months, to and fro (half a year would be another fault)."""
    index = draft.rng.randrange(0, len(draft.cycles) - 1)
    days = draft.rng.choice([31, 61, 92])
    _mistyped(draft, index, -days if index and draft.rng.random() < 0.4 else days)


def _room(draft: Draft, deg_c: float) -> None:
    draft.any()["room"] = f"{deg_c:g} degC"


FAILS: dict[str, Fault] = {
    "flame": lambda d: d.any().update(flame=d.rules.flame_mm + d.rng.choice([0.1, 8.0])),
    "wall": lambda d: d.any().update(wall=d.rules.wall_c + d.rng.choice([0.1, 6.0])),
    "coverage": lambda d: d.covered().update(pool=round(d.width_mm * 0.948, 1)),
    "smoke": lambda d: _smoke(d, d.rules.mean_smoke_s + d.rng.choice([0.1, 5])),
    "word": lambda d: _word(d, d.rng.choice(d.rules.fatal_words)),
    "vessel": lambda d: _end(d, "vessel", d.rng.choice(["cracked", "leaking", "broken"])),
    "short candle": _few_short,
    "tilt": lambda d: _end(d, "tilt", "fell"),
    "tilt new": lambda d: d.made.update(tilt="fell"),
}
GAPS: dict[str, Fault] = {
    "reading": lambda d: _drop(d, d.full(), READINGS, told=False),
    "not read": lambda d: _drop(d, d.full(), READINGS, told=True),
    "two not read": _two_not_read,
    "last reading": lambda d: _drop(d, d.cycles[-1], LAST, told=False),
    "last not read": lambda d: _drop(d, d.cycles[-1], LAST, told=True),
    "no smoke": lambda d: _no_smoke(d, told=False),
    "smoke not read": lambda d: _no_smoke(d, told=True),
    "one smoke": lambda d: _drop(d, d.full(), ["after_smoke"], told=d.rng.random() < 0.5),
    "not tried new": lambda d: d.made.update(tilt="untried"),
    "not tried": lambda d: _end(d, "tilt", "untried"),
    "not seen": lambda d: _end(d, "vessel", "unseen"),
    "gain": _gain,
    "nothing burned": _nothing_burned,
    "heavier": lambda d: _heavier(d, 0.3),
    "untold trim": lambda d: _trimmed(d, 0.2),
    "too long": lambda d: _length(d, 1),
    "too short": lambda d: _short(d, 1),
    "no rest": lambda d: _timed(d, d.rng.choice([1, 30])),
    "one day": _same_day,
    "backwards": _backwards,
    "mistyped month": _month,
    "mistyped year": lambda d: _mistyped(d, -1, -365),
    "before pouring": _early,
    "not cured": _uncured,
    "wide pool": lambda d: d.full().update(pool=round(d.width_mm * 1.023, 1)),
    "stopped": _stopped,
    "no vessel": lambda d: _forget(d, "vessel"),
    "no tilt": lambda d: _forget(d, "tilt"),
    "no diameter": lambda d: _unsaid(d, "inside_diameter"),
    "other diameter": lambda d: _wider(d, d.rng.choice([0.975, 1.021, 1.06])),
    "no new tilt": lambda d: _unsaid(d, "tilt"),
    "no count": lambda d: _count(d, "unsaid"),
    "wrong count": lambda d: _count(d, "wrong"),
    "first mass": lambda d: _heavy(d, d.rng.choice([0.5, 9.0])),
    "left unsaid": lambda d: _left(d, d.rng.choice([0.8, 0.88, 0.92]), None),
    "hardly burned": lambda d: _left(d, d.rng.choice([0.5, 0.7]), None),
    "much left": lambda d: _left(d, 0.74, 0.253),
    "much found": lambda d: _left(d, 0.93, d.rng.choice([0.2, 0.24])),
    "more burned": lambda d: _left(d, 1.15, None),
    "lost": lambda d: _lost(d, d.rng.choice([0.053, 0.07, 0.1])),
    "one cycle": lambda d: few(d, 1),
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
    "deep": lambda d: d.any().update(depth=d.rng.choice([13.4, 20.5])),
    "early smoke": lambda d: d.cycles[0].update(after_smoke=33),
    "wide pool": lambda d: d.full().update(pool=round(d.width_mm * 1.017, 1)),
    "other diameter": lambda d: _wider(d, d.rng.choice([0.985, 1.018])),
    "first mass": lambda d: _heavy(d, -d.rng.choice([0.5, 9.0])),
    "room": lambda d: _room(d, d.rng.choice([15, 25])),
    "hot room": lambda d: _room(d, d.rng.choice([14.5, 25.5, 28])),
    "a quarter left": lambda d: _left(d, 0.76, 0.24),
    "much found": lambda d: _left(d, 0.9, 0.16),
    "lost": lambda d: _lost(d, 0.035),
    "two cycles": lambda d: few(d, 2),
    "three cycles": lambda d: few(d, 3),
    "low flame": lambda d: d.any().update(flame=d.rng.choice([12.0, 14.9])),
    "first trim": lambda d: d.cycles[0].update(trimmed=0.4),
    "shallow": lambda d: d.any().update(depth=3.0),
    # "No rule reads either key": what a cycle once said counts for nothing, a failure too.
    "amended": lambda d: _amended(d.any(), flame=["220 mm", "19 mm"], seen="leak"),
    "amended end": lambda d: _amended(d.end, vessel="cracked", tilt="fell"),
}
# those of them that say so, and leave no doubt
NEVER = ("not read", "last not read", "two not read", "smoke not read", "not tried",
         "not tried new", "not seen")  # fmt: skip
# what no gap tells, and what holds the recipe all the same; and what just does not
OPEN: dict[str, Fault] = {
    "wrong lit": _wrongly_lit,
    "no end": _no_end,
    "burned down": lambda d: _burned_down(d, 0.96),
    "not burned down": lambda d: _burned_down(d, 0.93),
}
# how a misuse shows in the readings
SHOWN: dict[str, Fault] = {
    "long": lambda d: _length(d, d.rng.choice([30, 120])),
    "hot_room": lambda d: _room(d, d.rng.choice([25.5, 31])),
}
# what leaves the last cycle in the future of some days
ODD: dict[str, Fault] = {
    "late last": lambda d: _mistyped(d, -1, d.rng.choice([31, 92, 150])),
    "late month": lambda d: _mistyped(d, len(d.cycles) // 2, d.rng.choice([92, 150])),
}


def _forget(draft: Draft, key: str) -> None:
    if draft.end is not None:
        del draft.end[key]


def burning(draft: Draft) -> None:
    """Take the end away, and now and then the last cycles."""
    draft.end = None
    keep = draft.rng.randrange(0, len(draft.cycles))
    draft.cycles = draft.cycles[:keep]
