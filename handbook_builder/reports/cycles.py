"""A cycle of a test candle, and what `log --json` says of the one that it has added.

`log --json`: {burn, file, scale_log: the copy of a scale's file that is kept, null without one,
candle: {verdict, reasons}, cycle: null where none was added, else its
`number` and all that `figures --json` has of a cycle}.
"""

from dataclasses import dataclass

from handbook_builder.derived.burns import CycleFigures
from handbook_builder.reading.kinds.making import End
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reports.reasons import Say, said
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict


@dataclass(frozen=True, slots=True)
class Judged:
    """One cycle with all that is told of it."""

    cycle: Cycle
    verdict: CycleVerdict
    figures: CycleFigures


@dataclass(frozen=True, slots=True)
class Logged:
    """A candle that was written to, and the `cycle` that was added or amended, if any."""

    burn: str
    file: str
    verdict: CandleVerdict
    cycle: Judged | None
    scale_log: str | None = None


def log_report(logged: Logged, say: Say) -> dict[str, object]:
    """Return how the candle stands now, and its new cycle."""
    candle, cycle = logged.verdict, logged.cycle
    return {
        "burn": logged.burn,
        "file": logged.file,
        "scale_log": logged.scale_log,
        "candle": {"verdict": candle.verdict, "reasons": failed_or_open(candle, say)},
        "cycle": None if cycle is None else _numbered(cycle, say),
    }


def _numbered(judged: Judged, say: Say) -> dict[str, object]:
    return {"number": judged.verdict.number, **cycle_told(judged, say)}


def cycle_told(judged: Judged, say: Say) -> dict[str, object]:
    """Return one cycle: how it was judged, its figures, and what was amended in it."""
    cycle, figures = judged.verdict, judged.figures
    return {
        "verdict": cycle.verdict,
        "reasons": failed_or_open(cycle, say),
        "watches": said(cycle.watches, say),
        **amended_told(judged.cycle),
        "consumed_g": figures.consumed_g,
        "rate_g_per_h": figures.rate_g_per_h,
        "rate_uncertainty": figures.rate_uncertainty_g_per_h,
        "coverage": figures.coverage,
    }


def amended_told(one: Cycle | End | None) -> dict[str, object]:
    """Return on which days a cycle or an end was amended, and what it said before, as written."""
    return {
        "amended": [] if one is None else list(one.amended),
        "former": {} if one is None else one.former,
    }


def failed_or_open(judged: CandleVerdict | CycleVerdict, say: Say) -> list[str]:
    """Return what failed, then what is still missing, in words."""
    return said((*judged.failures, *judged.gaps), say)
