"""One test candle judged at the bench, even while records that it does not lean on are at fault."""

from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from handbook_builder.problems import Problem
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.records import Reading
from handbook_builder.studio.links import faults_of
from handbook_builder.studio.protocol import in_force
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.candles import CandleVerdict, candle_verdict
from handbook_builder.verdicts.cycles import grounds_of
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.seen import seen_on
from handbook_builder.verdicts.unsaid import lacking


@dataclass(frozen=True, slots=True)
class AtBench:
    """A burn on file, what it is judged with, and the faults of records that it can do without."""

    studio: Studio
    burn: Burn
    elsewhere: tuple[Problem, ...]


def at_bench(reading: Reading, ident: str) -> AtBench | tuple[Problem, ...]:
    """Return what the burn `ident` is judged with, or the faults that stand in the way.

    A fault of the burn itself, of the studio, its protocol, the vessel or a wax stands in the way;
    one of any other record does not, so that a reading is never lost for it.
    """
    problems = (*reading.problems, *(faults_of(reading) if reading.studio is not None else ()))
    burn: Burn | None = reading.records.get("burns", {}).get(ident)
    leant_on = _leant_on(reading, ident, burn)
    here = tuple(fault for fault in problems if fault.place.file.endswith(leant_on))
    if burn is None or reading.studio is None or here:
        return here or problems
    sealed: dict[str, Any] = {
        kind: MappingProxyType(records) for kind, records in reading.records.items()
    }
    protocol = in_force(sealed.pop("protocols").get(reading.studio.protocol))
    studio = Studio(info=reading.studio, protocol=protocol, photos=reading.photos, **sealed)
    return AtBench(studio, burn, problems)


def _leant_on(reading: Reading, ident: str, burn: Burn | None) -> tuple[str, ...]:
    """Return how the files end that the verdict of a burn leans on."""
    files = ["/studio.md", f"/burns/{ident}.md"]
    if reading.studio is not None:
        files.append(f"/protocols/{reading.studio.protocol}.md")
    if burn is not None:
        files.append(f"/vessels/{burn.made.vessel}.md")
        files += [f"/waxes/{one}.md" for one in burn.made.wax]
    return tuple(files)


def last_cycle(verdict: CandleVerdict) -> tuple[Reason, ...]:
    """Return what is said of the newest cycle, a reading that is missing apart.

    Failures come first, then gaps, then what is to be watched; of the first cycle, also whether
    the candle had cured.
    """
    cycle = verdict.cycles[-1]
    gaps = [gap for gap in cycle.gaps if gap.code != "reading_missing"]
    early = [gap for gap in verdict.gaps if gap.code == "not_cured" and cycle.number == 1]
    return (*cycle.failures, *gaps, *early, *cycle.watches)


def told_whole(bench: AtBench, burn: Burn) -> CandleVerdict:
    """Return the verdict of the candle on all that its record says, whatever the dates."""
    seen = seen_on(burn, date.max)
    if seen is None:  # pragma: no cover -- no record is dated later than that
        msg = "a burn that nobody can see"
        raise ValueError(msg)
    return candle_verdict(bench.studio, seen)


def unread_of(bench: AtBench, burn: Burn) -> tuple[str, ...]:
    """Return what is due in the newest cycle of a burn and neither there nor said to be unread."""
    seen = seen_on(burn, date.max)
    if seen is None or burn.is_misuse:
        return ()
    return lacking(grounds_of(bench.studio, seen), len(seen.cycles) - 1)
