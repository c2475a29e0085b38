"""What a cycle that is logged means, in words and for a program."""

from handbook_builder.cli.colours import coloured
from handbook_builder.cli.cycle_words import changed
from handbook_builder.cli.telling import Telling
from handbook_builder.derived.at_bench import AtBench
from handbook_builder.derived.burns import BurnFigures, burn_figures
from handbook_builder.figures.burn import expanded
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reports.cycles import Judged, Logged
from handbook_builder.terminal import echo
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.verdicts.lighting import STILL_TO_COME
from handbook_builder.verdicts.reason import Reason
from handbook_builder.writing.amendment import Amendment
from handbook_builder.writing.cycle_draft import Draft


def tell_verdict(told: Telling, draft: Draft) -> None:
    """Print the verdict of the new cycle and of the candle, in the handbook's words."""
    verdict, words = draft.verdict(), told.words
    burn = draft.bench.burn
    if draft.cycle:
        _tell_cycle(told, burn, verdict.cycles[-1])
        _used(told, draft, verdict)
    word = words.verdict(verdict.verdict)
    told.say("candle", verdict=coloured(word), meaning=word.meaning)
    last = verdict.cycles[-1] if verdict.cycles else None
    for name, reasons in _of_candle(verdict, last).items():
        _lines(told, name, reasons)


def _lines(told: Telling, name: str, reasons: tuple[Reason, ...]) -> None:
    for reason in reasons:
        echo(told.text(f"lines.{name}", what=told.words.say(reason)))


def _of_candle(verdict: CandleVerdict, cycle: CycleVerdict | None) -> dict[str, tuple[Reason, ...]]:
    """Return what is said of the candle beyond a cycle of which all was told."""
    told = () if cycle is None else (*cycle.failures, *cycle.gaps)
    failures = tuple(reason for reason in verdict.failures if reason not in told)
    later = () if verdict.seen.end else STILL_TO_COME
    gaps = tuple(gap for gap in verdict.gaps if gap not in told and gap.code not in later)
    return {"failures": failures, "gaps": gaps}


def _figures(bench: AtBench, verdict: CandleVerdict) -> BurnFigures:
    return burn_figures(verdict.seen, bench.studio.inside_diameter_mm(bench.burn.made))


def _used(told: Telling, draft: Draft, verdict: CandleVerdict) -> None:
    figures = _figures(draft.bench, verdict).cycles[-1]
    quantity = told.words.quantity
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
    cycle = _judged(draft.bench, verdict, -1) if draft.cycle else None
    kept = None if draft.copy is None else draft.copy.shown
    return Logged(draft.bench.burn.source.id, draft.file, verdict, cycle, kept)


def amended(amendment: Amendment) -> Logged:
    """Return what was amended and how the candle stands, for a program."""
    verdict, number = amendment.verdict(), amendment.number
    cycle = None if number is None else _judged(amendment.bench, verdict, number - 1)
    return Logged(amendment.bench.burn.source.id, amendment.file, verdict, cycle)


def _judged(bench: AtBench, verdict: CandleVerdict, at: int) -> Judged:
    figures = _figures(bench, verdict).cycles[at]
    return Judged(verdict.seen.cycles[at].cycle, verdict.cycles[at], figures)


def tell_amended(told: Telling, amendment: Amendment) -> None:
    """Print what changes, and the verdict of the cycle that is amended and of the candle."""
    verdict, burn = amendment.verdict(), amendment.bench.burn
    changes = changed(told, amendment)
    if changes:
        told.say("amend.told", changes=changes)
    if amendment.number is not None:
        cycle = verdict.cycles[amendment.number - 1]
        _tell_cycle(told, burn, cycle)
    word = told.words.verdict(verdict.verdict)
    told.say("candle", verdict=coloured(word), meaning=word.meaning)
    for name, reasons in _of_candle(verdict, amendment.judged).items():
        _lines(told, name, reasons)


def _tell_cycle(told: Telling, burn: Burn, cycle: CycleVerdict) -> None:
    word = told.words.verdict(cycle.verdict)
    told.say(
        "cycle", number=cycle.number, candle=burn.candle, recipe=burn.recipe,
        verdict=coloured(word), meaning=word.meaning,
    )  # fmt: skip
    for name in ("failures", "gaps", "watches", "notes"):
        _lines(told, name, getattr(cycle, name))
