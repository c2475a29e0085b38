"""What can hardly be in a cycle that is about to be written, and no verdict speaks of."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from handbook_builder.derived.asked import Shown, asked
from handbook_builder.derived.asked_rows import table_of
from handbook_builder.derived.at_bench import AtBench, last_cycle
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.reason import Quantity, Reason

# A scale is begun some minutes before the flame, and its clock may be in another time zone.
_BEGUN_BEFORE: Final = timedelta(minutes=30)
_WIDEST_ZONES: Final = timedelta(hours=14)


Details = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Slip:
    """Something that reads like a slip of the pen: a code, and what its sentence names."""

    code: str
    details: Details


def questions_of(verdict: CandleVerdict) -> tuple[Reason, ...]:
    """Return what is asked about before the newest cycle is written.

    Whatever speaks against the candle, which a slip may well do: all but a reading that was not
    taken, and what is only to be watched.
    """
    watches = verdict.cycles[-1].watches
    return tuple(reason for reason in last_cycle(verdict) if reason not in watches)


def by_the_table(bench: AtBench, burn: Burn) -> tuple[Reason, ...]:
    """Return what the table of rules asks about the newest cycle: what the bench page asks, too.

    The verdict asks the same, and what was seen and how long it rested besides.
    """
    table, number = table_of(bench.studio, burn), len(burn.cycles)
    return tuple(
        Reason(
            one.code,
            burn.source.place(f"cycles[{number - 1}].{one.key}"),
            {"cycle": number, **{name: _detail(it) for name, it in one.shown.items()}},
        )
        for one in asked(table.grounds, table.rules, burn)
    )


def _detail(shown: Shown) -> object:
    """Return a blank as the sentences of reasons take it."""
    is_number = isinstance(shown.value, float | int)
    return Quantity(float(shown.value), shown.unit) if is_number else shown.value


def slips(bench: AtBench, burn: Burn, stamped: datetime | None) -> tuple[Slip, ...]:
    """Return what can hardly be in the newest cycle of `burn`; `stamped` is the scale's moment."""
    return (
        *_cut(burn, bench.burn),
        *_twice(burn),
        *_unlikely(bench, burn),
        *_stamped(burn.cycles[-1], stamped),
    )


def _cut(burn: Burn, on_file: Burn) -> Iterator[Slip]:
    """Yield when the record that a cycle is added to has another number of them than it says."""
    stated, found = on_file.lit, len(on_file.cycles)
    if stated is not None and stated != found and len(burn.cycles) > found:
        yield Slip("lit_differs", {"stated": stated, "found": found})


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


def _unlikely(bench: AtBench, burn: Burn) -> Iterator[Slip]:
    """Yield each value of the newest cycle that hardly any candle can show."""
    table, number = table_of(bench.studio, burn), {"cycle": len(burn.cycles)}
    for one in asked(table.grounds, table.slips, burn):
        yield Slip(one.code, {**number, **{name: it.value for name, it in one.shown.items()}})


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
