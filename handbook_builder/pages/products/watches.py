"""What was watched in test candles that passed: each sort once, at its worst."""

from collections import defaultdict
from collections.abc import Iterable

from handbook_builder.pages.desk import Desk
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.reason import Quantity, Reason


def watched(desk: Desk, candles: Iterable[CandleVerdict]) -> tuple[str, ...]:
    """Return a sentence for each sort of thing watched, and in how many cycles more it was."""
    found: dict[tuple[str, object], list[tuple[str, Reason]]] = defaultdict(list)
    for candle in candles:
        for cycle in candle.cycles:
            for reason in cycle.watches:
                sort = (reason.code, reason.details.get("word"))
                found[sort].append((candle.seen.burn.candle, reason))
    return tuple(_sentence(desk, several) for several in found.values())


def _sentence(desk: Desk, several: list[tuple[str, Reason]]) -> str:
    candle, reason = max(several, key=lambda one: _beyond(one[1]))
    what, more = desk.words.say(reason), len(several) - 1
    if not more:
        return desk.phrase("watched", candle=candle, what=what)
    cycles = desk.phrase(f"more_cycles.{'many' if more > 1 else 'one'}", count=more)
    return desk.phrase("watched_more", candle=candle, what=what, more=cycles)


def _beyond(reason: Reason) -> float:
    """Return how far a reading lies beyond its limit; what was merely seen lies nowhere."""
    reading, limit = (reason.details.get(name) for name in ("reading", "limit"))
    if isinstance(reading, Quantity) and isinstance(limit, Quantity):
        return abs(reading.value - limit.value)
    return 0.0
