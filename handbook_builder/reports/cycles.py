"""A cycle of a test candle, and what `log --json` says of the one that it has added.

`log --json`: {burn, file, candle: {verdict, reasons}, cycle: null where none was added, else its
`number` and all that `figures --json` has of a cycle}.
"""

from dataclasses import dataclass

from handbook_builder.derived.burns import CycleFigures
from handbook_builder.reports.reasons import Say, said
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict


@dataclass(frozen=True, slots=True)
class Logged:
    """A candle that was written to: the cycle with these `figures` was added, None without one."""

    burn: str
    file: str
    verdict: CandleVerdict
    figures: CycleFigures | None


def log_report(logged: Logged, say: Say) -> dict[str, object]:
    """Return how the candle stands now, and its new cycle."""
    candle, figures = logged.verdict, logged.figures
    return {
        "burn": logged.burn,
        "file": logged.file,
        "candle": {"verdict": candle.verdict, "reasons": failed_or_open(candle, say)},
        "cycle": None if figures is None else _numbered(candle.cycles[-1], figures, say),
    }


def _numbered(cycle: CycleVerdict, figures: CycleFigures, say: Say) -> dict[str, object]:
    return {"number": cycle.number, **cycle_told(cycle, figures, say)}


def cycle_told(cycle: CycleVerdict, figures: CycleFigures, say: Say) -> dict[str, object]:
    """Return one cycle: how it was judged, and its figures."""
    return {
        "verdict": cycle.verdict,
        "reasons": failed_or_open(cycle, say),
        "watches": said(cycle.watches, say),
        "consumed_g": figures.consumed_g,
        "rate_g_per_h": figures.rate_g_per_h,
        "rate_uncertainty": figures.rate_uncertainty_g_per_h,
        "coverage": figures.coverage,
    }


def failed_or_open(judged: CandleVerdict | CycleVerdict, say: Say) -> list[str]:
    """Return what failed, then what is still missing, in words."""
    return said((*judged.failures, *judged.gaps), say)
