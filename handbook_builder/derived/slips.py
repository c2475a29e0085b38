"""What can hardly be in a cycle that is about to be written, and no verdict speaks of."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from handbook_builder.derived.at_bench import AtBench, last_cycle
from handbook_builder.reading.kinds.making import Burn, Cycle, Made
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason

# How far a first weight may be off: a vessel's own weight varies, and so do wick and sticker.
_VESSEL_VARIES: Final = 0.10
_BESIDE_G: Final = 5.0
# A scale is begun some minutes before the flame, and its clock may be in another time zone.
_BEGUN_BEFORE: Final = timedelta(minutes=30)
_WIDEST_ZONES: Final = timedelta(hours=14)


@dataclass(frozen=True, slots=True)
class Slip:
    """Something that reads like a slip of the pen: a code, and what its sentence names."""

    code: str
    details: Mapping[str, object]


def questions_of(verdict: CandleVerdict) -> tuple[Reason, ...]:
    """Return what is asked about before the newest cycle is written.

    Whatever speaks against the candle, which a slip may well do: all but a reading that was not
    taken, and what is only to be watched.
    """
    watches = verdict.cycles[-1].watches
    return tuple(one for one in last_cycle(verdict) if one not in watches)


def slips(bench: AtBench, burn: Burn, stamped: datetime | None) -> tuple[Slip, ...]:
    """Return what can hardly be in the newest cycle of `burn`; `stamped` is the scale's moment."""
    return (*_twice(burn), *_first_mass(bench, burn), *_stamped(burn.cycles[-1], stamped))


def _twice(burn: Burn) -> Iterator[Slip]:
    """Yield each cycle on file that began at the same time, or still burned then."""
    *earlier, new = burn.cycles
    begun = started(new)
    for number, one in enumerate(earlier, 1):
        its_own, details = started(one), {"cycle": len(burn.cycles), "other": number}
        if one.on == new.on:
            yield Slip("started_twice", details)
        elif begun and its_own and its_own < begun < its_own + timedelta(hours=one.burned_h or 0):
            yield Slip("overlaps", details)


def started(cycle: Cycle) -> datetime | None:
    """Return when a cycle was lit, where its record says the time."""
    return None if cycle.on.at is None else datetime.combine(cycle.on.day, cycle.on.at)


def poured_g(made: Made) -> float:
    """Return the mass of all that was poured into a test candle."""
    return sum(sum(one.values()) for one in (made.wax, made.fragrance, made.colorant))


def _first_mass(bench: AtBench, burn: Burn) -> Iterator[Slip]:
    """Yield when the first weight of all cannot be that of this vessel with this fill."""
    before_g = burn.cycles[0].before_g
    if len(burn.cycles) > 1 or before_g is None:
        return
    fill_g, empty_g = poured_g(burn.made), bench.studio.vessels[burn.made.vessel].empty_mass_g
    if exceeds(fill_g, before_g):
        yield Slip("too_light", {"before_g": before_g, "poured_g": fill_g})
    elif empty_g is not None and exceeds(
        abs(before_g - empty_g - fill_g), _VESSEL_VARIES * empty_g + _BESIDE_G
    ):
        details = {"before_g": before_g, "poured_g": fill_g, "empty_g": empty_g}
        yield Slip("far_off", {**details, "due_g": empty_g + fill_g})


def _stamped(cycle: Cycle, stamped: datetime | None) -> Iterator[Slip]:
    """Yield when the times in a scale's file are those of another burn."""
    if stamped is None:
        return
    moment, begun = stamped.replace(tzinfo=None), started(cycle)
    away = _BEGUN_BEFORE if stamped.tzinfo is None else _WIDEST_ZONES
    if begun is not None:
        fits = abs(begun - moment) <= away
    elif stamped.tzinfo is None:
        fits = cycle.on.day == moment.date()
    else:
        fits = abs((cycle.on.day - moment.date()).days) <= 1
    if not fits:
        on = cycle.on.day if begun is None else f"{begun:%Y-%m-%d %H:%M}"
        yield Slip("stamped", {"on": on, "stamped": f"{moment:%Y-%m-%d %H:%M}"})
