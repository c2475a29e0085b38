"""Records that tell of one candle twice: no two candles weigh alike again and again.

That two weighings to a tenth of a gram do not agree three times by chance is common practice, no
published source.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from itertools import combinations
from typing import Final

from handbook_builder.verdicts.seen import Seen

ENOUGH: Final = 3
_DIGITS: Final = 6

Pairs = frozenset[tuple[float, float]]


def copies_among(candles: Iterable[Seen]) -> Mapping[str, tuple[str, ...]]:
    """Return for each test candle that repeats others the ids of those others, in order.

    Two repeat each other when the masses before and after agree in three cycles, or in all of
    them when both have ended after fewer.
    """
    pairs = {candle.burn.source.id: (_pairs(candle), candle.end is not None) for candle in candles}
    found: dict[str, set[str]] = defaultdict(set)
    for one, other in sorted(_sharing(pairs)):
        if _repeats(*pairs[one], *pairs[other]):
            found[one].add(other)
            found[other].add(one)
    return {ident: tuple(sorted(others)) for ident, others in found.items()}


def _pairs(seen: Seen) -> Pairs:
    """Return the masses before and after of every cycle that has both, in grams."""
    return frozenset(
        (round(cycle.cycle.before_g, _DIGITS), round(cycle.cycle.after_g, _DIGITS))
        for cycle in seen.cycles
        if cycle.cycle.before_g is not None and cycle.cycle.after_g is not None
    )


def _sharing(pairs: Mapping[str, tuple[Pairs, bool]]) -> set[tuple[str, str]]:
    """Return every two candles that share a cycle's masses; most share none with any."""
    holders: dict[tuple[float, float], list[str]] = defaultdict(list)
    for ident, (masses, _) in pairs.items():
        for mass in masses:
            holders[mass].append(ident)
    return {two for idents in holders.values() for two in combinations(sorted(idents), 2)}


def _repeats(one: Pairs, one_ended: bool, other: Pairs, other_ended: bool) -> bool:  # noqa: FBT001 -- two like pairs
    if len(one & other) >= ENOUGH:
        return True
    return one_ended and other_ended and one == other
