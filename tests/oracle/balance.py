"""The balance of an ended candle: what was poured, what burned, what is left."""

from fractions import Fraction

from .cycle import Told
from .read import Record, exceeds, poured_g, quantity

TWENTIETH, QUARTER, ELEVEN_TENTHS = Fraction(1, 20), Fraction(1, 4), Fraction(11, 10)


def burned_g(cycles: list[Record]) -> Fraction | None:
    """Return what burned away, wick that was cut between cycles left out; None when unread."""
    first, last = cycles[0].get("before"), cycles[-1].get("after")
    if first is None or last is None:
        return None
    # what was cut before the first cycle was gone when `before` was read
    cut = sum((quantity(c["trimmed"]) for c in cycles[1:] if "trimmed" in c), Fraction(0))
    return quantity(first) - quantity(last) - cut


def _lost(lost: Fraction, poured: Fraction, protocol: Record, code: str) -> Told:
    """Tell what neither burned nor is left: beyond `balance` a gap, else beyond 5 % a watch."""
    if exceeds(lost, quantity(protocol["balance"]) * poured):
        return Told(gaps=[code])
    return Told(watches=[code]) if exceeds(lost, TWENTIETH * poured) else Told()


def balanced(burn: Record, end: Record, protocol: Record) -> Told:
    """Return the gaps and watches of the balance."""
    poured, burned = poured_g(burn["made"]), burned_g(burn["cycles"])
    if burned is None:
        return Told()
    if "left" in end:
        left = quantity(end["left"])
        told = _lost(poured - burned - left, poured, protocol, "unaccounted")
        too_much = left
    else:
        # says "`left` that is unsaid is all that has not burned"
        left = Fraction(0)
        told = _lost(poured - burned, poured, protocol, "left_missing")
        too_much = poured - burned
    if exceeds(too_much, QUARTER * poured):
        told.gaps.append("too_much_left")
    if exceeds(burned + left, ELEVEN_TENTHS * poured):
        told.gaps.append("more_than_poured")
    return told
