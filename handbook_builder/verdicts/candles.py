"""One test candle, from first light to its end."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from statistics import fmean
from typing import Final

from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.making import UNSEEN, UNTRIED
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.balance import unproven, watched_loss
from handbook_builder.verdicts.cycles import (
    CycleVerdict,
    breach_code,
    breach_details,
    cycle_verdicts,
    grounds_of,
    mean_limits,
)
from handbook_builder.verdicts.doubts import begun_in_doubt, ended_in_doubt
from handbook_builder.verdicts.readings import Verdict, against
from handbook_builder.verdicts.reason import Reason, quantity
from handbook_builder.verdicts.seen import Seen

_UNSOUND: Final = ("cracked", "leaking", "broken")


@dataclass(frozen=True, slots=True)
class CandleVerdict:
    """How one test candle was judged.

    `failures` made it fail; `gaps` are what keeps it from passing as it stands.
    """

    seen: Seen
    verdict: Verdict
    failures: tuple[Reason, ...]
    gaps: tuple[Reason, ...]
    cycles: tuple[CycleVerdict, ...]

    @property
    def id(self) -> str:
        """Return the id of the burn's record."""
        return self.seen.burn.source.id

    @property
    def came_through(self) -> bool:
        """Return whether it did all that a test asks, from first light to its end.

        So does what passed, and a candle of a ladder that would have, had it been one of the
        proof: whoever learns from burns asks this, and whoever proves something asks for a pass.
        """
        return self.verdict is Verdict.PASS or (self.verdict is Verdict.LADDER and not self.gaps)

    @property
    def still_burns(self) -> bool:
        """Return whether more cycles are to come, for the proof or for a ladder."""
        is_open = self.verdict is Verdict.LADDER and self.seen.end is None
        return is_open or self.verdict is Verdict.BURNING


def candle_failed(verdict: CandleVerdict) -> Reason:
    """Return that a test candle failed, with the line that shows it first."""
    burn = verdict.seen.burn
    details = {"burn": burn.source.id, "candle": burn.candle}
    return Reason("candle_failed", verdict.failures[0].place, details)


def candle_verdict(studio: Studio, seen: Seen, copies: tuple[str, ...] = ()) -> CandleVerdict:
    """Return the verdict of one test candle; a failure is told before anything that lacks.

    `copies` are the test candles whose records it repeats.
    """
    grounds = grounds_of(studio, seen)
    cycles = cycle_verdicts(grounds)
    means = mean_limits(grounds)
    smoked = tuple(_smoked(seen, means))
    failures = (
        *_bad_start(seen),
        *(reason for cycle in cycles for reason in cycle.failures),
        *_bad_end(seen),
        *(reason for word, reason in smoked if word is Verdict.FAIL),
    )
    watched = tuple(reason for word, reason in smoked if word is Verdict.WATCH)
    gaps = () if seen.burn.is_misuse else tuple(_gaps(studio, seen, cycles, means, copies))
    if not seen.burn.is_misuse:
        watched = (*watched, *watched_loss(seen, studio.protocol))
    cycles = _also_watched(cycles, watched)
    return CandleVerdict(seen, _word(seen, failures, gaps), failures, gaps, cycles)


def _gaps(
    studio: Studio,
    seen: Seen,
    cycles: tuple[CycleVerdict, ...],
    means: tuple[Limit, ...],
    copies: tuple[str, ...],
) -> Iterator[Reason]:
    """Yield all that keeps a candle from passing, though nothing of it failed."""
    yield from begun_in_doubt(studio, seen)
    yield from _copied(seen, copies)
    yield from _uncured(studio, seen)
    yield from (reason for cycle in cycles for reason in cycle.gaps)
    yield from _unread_smoke(seen, means)
    yield from unproven(seen, studio.protocol)
    yield from _open_end(seen)
    yield from ended_in_doubt(studio, seen)


def _also_watched(
    cycles: tuple[CycleVerdict, ...], watched: tuple[Reason, ...]
) -> tuple[CycleVerdict, ...]:
    """Return the cycles, the last one watched for what only the end shows."""
    if not watched:
        return cycles
    *earlier, last = cycles
    return (*earlier, replace(last, watches=(*last.watches, *watched)))


def _word(seen: Seen, failures: tuple[Reason, ...], gaps: tuple[Reason, ...]) -> Verdict:
    """Return the verdict; a failure that was read is never set aside."""
    if failures:
        return Verdict.FAIL
    if seen.is_void:
        return Verdict.VOID
    if seen.burn.is_misuse:
        return Verdict.MISUSE
    if seen.burn.is_ladder:
        return Verdict.LADDER  # how far it came is in its gaps: none, and it came through
    if seen.end is None:
        return Verdict.BURNING
    return Verdict.INCOMPLETE if gaps else Verdict.PASS


def _bad_start(seen: Seen) -> Iterator[Reason]:
    if seen.burn.made.tilt == "fell":
        yield Reason("fell_new", seen.burn.source.place("made.tilt"))


def _copied(seen: Seen, copies: tuple[str, ...]) -> Iterator[Reason]:
    for twin in copies:
        yield Reason("copied", seen.burn.source.place("cycles"), {"other": twin})


def _bad_end(seen: Seen) -> Iterator[Reason]:
    end, source = seen.end, seen.burn.source
    if end is None:
        return
    if end.vessel in _UNSOUND:
        yield Reason("vessel_unsound", source.place("end.vessel"), {"word": end.vessel})
    if end.tilt == "fell":
        yield Reason("fell", source.place("end.tilt"))


def _open_end(seen: Seen) -> Iterator[Reason]:
    """Yield what the end still has to show."""
    end, source = seen.end, seen.burn.source
    if end is None:
        yield Reason("not_ended", source.place("cycles"))
        return
    if end.how != "went_out":
        yield Reason("stopped", source.place("end.how"), {"why": end.why})
    if end.vessel in {None, UNSEEN}:
        yield Reason("end_vessel_missing", source.place("end"))
    if end.tilt in {None, UNTRIED}:
        yield Reason("end_tilt_missing", source.place("end"))


def mean_after_smoke_s(seen: Seen) -> float | None:
    """Return the mean of every after-smoke time that was read, in seconds, or None."""
    times = [
        cycle.cycle.after_smoke_s for cycle in seen.cycles if cycle.cycle.after_smoke_s is not None
    ]
    return fmean(times) if times else None


def _smoked(seen: Seen, limits: tuple[Limit, ...]) -> Iterator[tuple[Verdict, Reason]]:
    """Yield each breach of the mean after-smoke time, which is judged at the end."""
    mean = mean_after_smoke_s(seen)
    for limit in limits:
        word = against(mean, limit)
        if seen.end is not None and word in (Verdict.FAIL, Verdict.WATCH):
            details = breach_details(limit, mean)
            reason = Reason(breach_code(limit), seen.burn.source.place("cycles"), details)
            yield Verdict.WATCH if seen.burn.is_misuse else word, reason


def _unread_smoke(seen: Seen, limits: tuple[Limit, ...]) -> Iterator[Reason]:
    if mean_after_smoke_s(seen) is None and any(limit.on_breach == "fail" for limit in limits):
        yield Reason("after_smoke_missing", seen.burn.source.place("cycles"))


def _uncured(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield when the first cycle came sooner than the slowest wax cures."""
    made = seen.burn.made
    cure_days = max(studio.waxes[ident].cure_days for ident in made.wax)
    if not seen.cycles:
        return
    cured_days = (seen.cycles[0].cycle.on.day - made.on).days
    if cured_days < cure_days:
        place = seen.burn.source.place(f"cycles[{seen.cycles[0].index}].on")
        yield Reason(
            "not_cured",
            place,
            {"cured": quantity(cured_days, "days"), "cure": quantity(cure_days, "days")},
        )
