"""One test candle, from first light to its end."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from statistics import fmean
from typing import Final

from handbook_builder.reading.kinds.house import Limit
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.balance import unproven, watched_loss
from handbook_builder.verdicts.cycles import (
    Bench,
    CycleVerdict,
    breach_code,
    breach_details,
    cycle_verdicts,
)
from handbook_builder.verdicts.readings import Verdict, against
from handbook_builder.verdicts.reason import Reason
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


def candle_verdict(studio: Studio, seen: Seen) -> CandleVerdict:
    """Return the verdict of one test candle; a failure is told before anything that lacks."""
    diameter = studio.vessels[seen.burn.made.vessel].inside_diameter_mm
    cycles = cycle_verdicts(Bench(seen, studio.protocol, diameter))
    means = tuple(one for one in studio.protocol.limits if one.measure == "mean_after_smoke")
    failures = (
        *(reason for cycle in cycles for reason in cycle.failures),
        *_bad_end(seen),
        *_smoked(seen, means),
    )
    cycles = _with_lost_wax(cycles, watched_loss(seen, studio.protocol))
    gaps = (
        *_uncured(studio, seen),
        *(reason for cycle in cycles for reason in cycle.gaps),
        *_unread_smoke(seen, means),
        *unproven(seen, studio.protocol),
        *_open_end(seen),
    )
    return CandleVerdict(seen, _word(seen, failures, gaps), failures, gaps, cycles)


def _with_lost_wax(
    cycles: tuple[CycleVerdict, ...], lost: tuple[Reason, ...]
) -> tuple[CycleVerdict, ...]:
    """Return the cycles, the last one watched for wax that neither burned nor is left."""
    if not lost:
        return cycles
    *earlier, last = cycles
    return (*earlier, replace(last, watches=(*last.watches, *lost)))


def _word(seen: Seen, failures: tuple[Reason, ...], gaps: tuple[Reason, ...]) -> Verdict:
    if seen.is_void:
        return Verdict.VOID
    if failures:
        return Verdict.FAIL
    if seen.end is None:
        return Verdict.BURNING
    return Verdict.INCOMPLETE if gaps else Verdict.PASS


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
        yield Reason("stopped", source.place("end.how"), {"why": end.why or ""})
    if end.vessel is None:
        yield Reason("end_vessel_missing", source.place("end"))
    if end.tilt is None:
        yield Reason("end_tilt_missing", source.place("end"))


def mean_after_smoke_s(seen: Seen) -> float | None:
    """Return the mean of every after-smoke time that was read, in seconds, or None."""
    times = [one.cycle.after_smoke_s for one in seen.cycles if one.cycle.after_smoke_s is not None]
    return fmean(times) if times else None


def _smoked(seen: Seen, limits: tuple[Limit, ...]) -> Iterator[Reason]:
    """Yield each breach of the mean after-smoke time, which is judged at the end."""
    mean = mean_after_smoke_s(seen)
    for limit in limits:
        if seen.end is not None and against(mean, limit) is Verdict.FAIL:
            yield Reason(
                breach_code(limit), seen.burn.source.place("cycles"), breach_details(limit, mean)
            )


def _unread_smoke(seen: Seen, limits: tuple[Limit, ...]) -> Iterator[Reason]:
    if mean_after_smoke_s(seen) is None and any(one.on_breach == "fail" for one in limits):
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
        yield Reason("not_cured", place, {"cured_days": cured_days, "cure_days": cure_days})
