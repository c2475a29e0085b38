"""What of a test candle could be known on a day: nothing that is dated later."""

from dataclasses import dataclass
from datetime import date

from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import Cycle


@dataclass(frozen=True, slots=True)
class Numbered:
    """A cycle with its place in the file, counted from 0."""

    index: int
    cycle: Cycle


@dataclass(frozen=True, slots=True)
class Seen:
    """A test candle as of a day."""

    burn: Burn
    cycles: tuple[Numbered, ...]
    end: End | None
    is_void: bool


def seen_on(burn: Burn, day: date) -> Seen | None:
    """Return what is known of `burn` on `day`, or None when it was not yet poured.

    A candle that was lit was poured, whatever its record says of the day.

    The end is dated with the last cycle; it is not seen while any cycle is still to come. Cycles
    are burned in the order of the file: one that stands before a cycle that is seen is seen too,
    so that a mistyped year hides nothing.
    """
    known = [index for index, cycle in enumerate(burn.cycles) if cycle.on.day <= day]
    if burn.made.on > day and not known:
        return None
    begun = burn.cycles[: known[-1] + 1] if known else ()
    cycles = tuple(Numbered(index, cycle) for index, cycle in enumerate(begun))
    ended = bool(cycles) and len(cycles) == len(burn.cycles)
    is_void = burn.void is not None and burn.void.on <= day
    return Seen(burn, cycles, burn.end if ended else None, is_void)
