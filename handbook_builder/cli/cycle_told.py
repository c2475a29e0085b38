"""What a cycle that is logged means, in words and for a program."""

import click

from handbook_builder.cli.telling import Telling
from handbook_builder.derived.burns import CycleFigures, burn_figures
from handbook_builder.figures.burn import expanded
from handbook_builder.reports.cycles import Logged
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.lighting import STILL_TO_COME
from handbook_builder.verdicts.reason import Reason
from handbook_builder.writing.cycle_draft import Draft


def tell_verdict(told: Telling, draft: Draft) -> None:
    """Print the verdict of the new cycle and of the candle, in the handbook's words."""
    verdict, words = draft.verdict(), told.words
    burn = draft.bench.burn
    if draft.cycle:
        cycle = verdict.cycles[-1]
        word = words.verdict(cycle.verdict)
        told.say(
            "cycle", number=draft.number, candle=burn.candle, recipe=burn.recipe,
            verdict=word.word, meaning=word.meaning,
        )  # fmt: skip
        for name in ("failures", "gaps", "watches", "notes"):
            _lines(told, name, getattr(cycle, name))
        _used(told, draft, verdict)
    word = words.verdict(verdict.verdict)
    told.say("candle", verdict=word.word, meaning=word.meaning)
    for name, reasons in _of_candle(verdict).items():
        _lines(told, name, reasons)


def _lines(told: Telling, name: str, reasons: tuple[Reason, ...]) -> None:
    for reason in reasons:
        click.echo(told.text(f"lines.{name}", what=told.words.say(reason)))


def _of_candle(verdict: CandleVerdict) -> dict[str, tuple[Reason, ...]]:
    """Return what is said of the candle beyond its newest cycle."""
    told = (*verdict.cycles[-1].failures, *verdict.cycles[-1].gaps) if verdict.cycles else ()
    failures = tuple(reason for reason in verdict.failures if reason not in told)
    later = () if verdict.seen.end else STILL_TO_COME
    gaps = tuple(gap for gap in verdict.gaps if gap not in told and gap.code not in later)
    return {"failures": failures, "gaps": gaps}


def _figures(draft: Draft, verdict: CandleVerdict) -> CycleFigures:
    width_mm = draft.bench.studio.inside_diameter_mm(draft.bench.burn.made)
    return burn_figures(verdict.seen, width_mm).cycles[-1]


def _used(told: Telling, draft: Draft, verdict: CandleVerdict) -> None:
    figures, quantity = _figures(draft, verdict), told.words.quantity
    burned = verdict.seen.cycles[-1].cycle.burned_h
    if figures.consumed_g is None or figures.rate_g_per_h is None or burned is None:
        return
    doubt = figures.rate_uncertainty_g_per_h or 0.0
    rate = told.text(
        "rate", rate=quantity(figures.rate_g_per_h, "g_per_h"),
        doubt=quantity(expanded(doubt), "g_per_h"),
    )  # fmt: skip
    consumed = quantity(figures.consumed_g, "g")
    told.say("used", consumed=consumed, burned=quantity(burned, "h"), rate=rate)


def logged(draft: Draft) -> Logged:
    """Return what was added and how the candle stands, for a program."""
    verdict = draft.verdict()
    figures = _figures(draft, verdict) if draft.cycle else None
    return Logged(draft.bench.burn.source.id, draft.file, verdict, figures)
