"""Whether a test candle that has ended was burned: the masses tell.

The rules of a pass ask for cycles and an end; these ask that there was a test in between. How
much wax may be left or lost is common practice, no published source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum
from typing import Final

from handbook_builder.reading.kinds.making import Made
from handbook_builder.studio.protocol import Protocol
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason, quantity
from handbook_builder.verdicts.seen import Seen

# Of the net fill: more left than this is no end, and more burned and left than was poured is a
# contradiction. What neither burned nor is left is watched; how much of it keeps a candle from
# passing is for the protocol to say (`balance`).
MOST_LEFT: Final = 0.25
MOST_FOUND: Final = 1.10
WATCHED_LOSS: Final = 0.05


@dataclass(frozen=True, slots=True)
class Balance:
    """What was poured, burned and left, in grams."""

    poured_g: float
    burned_g: float
    left_g: float | None

    @property
    def most_left_g(self) -> float:
        """Return what is left; unsaid, it is all that has not burned, and never less than none."""
        return max(self.poured_g - self.burned_g, 0.0) if self.left_g is None else self.left_g

    @property
    def lost_g(self) -> float:
        """Return what neither burned nor was weighed at the end.

        Unsaid, nothing was weighed: to leave a key out is never better than to write it.
        """
        return self.poured_g - self.burned_g - (self.left_g or 0.0)


def balance_of(seen: Seen) -> Balance | None:
    """Return the balance of an ended candle, or None while a mass that it needs is not read."""
    burned = burned_g(seen)
    if burned is None or seen.end is None:
        return None
    return Balance(poured_g(seen.burn.made), burned, seen.end.left_g)


def burned_g(seen: Seen) -> float | None:
    """Return what burned from first light to the last weight, or None while either is not read."""
    first, last = seen.cycles[0].cycle.before_g, seen.cycles[-1].cycle.after_g
    if first is None or last is None:
        return None
    # What was cut before the first cycle was cut before its first weight.
    return first - last - fsum(cycle.cycle.trimmed_g or 0.0 for cycle in seen.cycles[1:])


def poured_g(made: Made) -> float:
    """Return the net fill of a test candle, as it was weighed."""
    return fsum((*made.wax.values(), *made.fragrance.values(), *made.colorant.values()))


def unproven(seen: Seen, protocol: Protocol) -> Iterator[Reason]:
    """Yield what shows that an ended candle was not burned from first light to last."""
    if seen.end is None:
        return
    if len(seen.cycles) == 1:
        yield Reason("no_full_cycle", seen.burn.source.place("cycles"))
    found = balance_of(seen)
    if found is not None:
        yield from _out_of_balance(seen, found)
        if exceeds(found.lost_g, protocol.balance * found.poured_g):
            yield _lost(seen, found)


def _out_of_balance(seen: Seen, found: Balance) -> Iterator[Reason]:
    source, poured, left = seen.burn.source, found.poured_g, found.most_left_g
    details = {
        "burned": quantity(found.burned_g, "g"),
        "left": quantity(left, "g"),
        "poured": quantity(poured, "g"),
    }
    if exceeds(left, MOST_LEFT * poured):
        yield Reason("too_much_left", source.place("end.left"), details)
    if exceeds(found.burned_g + (found.left_g or 0.0), MOST_FOUND * poured):
        yield Reason("more_than_poured", source.place("end"), details)


def watched_loss(seen: Seen, protocol: Protocol) -> tuple[Reason, ...]:
    """Return the wax that neither burned nor is left, when it is more than weighing explains."""
    found = balance_of(seen) if seen.end is not None else None
    if found is None or exceeds(found.lost_g, protocol.balance * found.poured_g):
        return ()
    return (_lost(seen, found),) if exceeds(found.lost_g, WATCHED_LOSS * found.poured_g) else ()


def _lost(seen: Seen, found: Balance) -> Reason:
    details = {"lost": quantity(found.lost_g, "g"), "poured": quantity(found.poured_g, "g")}
    code = "left_missing" if found.left_g is None else "unaccounted"
    return Reason(code, seen.burn.source.place("end"), details)
