"""The size of wick worth pouring next, in words: a suggestion, and what it rests on."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.wicks import advice_for, wicks_of
from handbook_builder.figures.next_wick import CONFIDENCE, Advice
from handbook_builder.figures.trend import Interval
from handbook_builder.pages.desk import Desk, name_of
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.screening import Screening


@dataclass(frozen=True, slots=True)
class WickAdvice:
    """What to try next: the suggestion first, then what it rests on."""

    title: str
    suggestion: str
    cost: str | None
    grounds: tuple[str, ...]
    note: str


def advice_on(desk: Desk, product: Product) -> WickAdvice | None:
    """Return what to try next, or None where nothing is asked.

    That is so for what is approved or retired, and for a vessel that is refused: no wick mends it.
    """
    is_refused = product.screened.screening is Screening.REFUSED
    if is_refused or product.status in (Status.APPROVED, Status.RETIRED):
        return None
    advice = advice_for(desk.account, product)
    wick = _name(desk, product, advice.step)
    return WickAdvice(
        title=desk.phrase("next_wick.title"),
        suggestion=desk.phrase(f"next_wick.ways.{advice.way}", wick=wick),
        cost=_cost(desk, advice),
        grounds=tuple(_grounds(desk, product, advice)) if advice.trials else (),
        note=desk.phrase("next_wick.note"),
    )


def _name(desk: Desk, product: Product, step: int | None) -> str:
    """Return the wick of that step in the series of the recipe's wick."""
    found = wicks_of(desk.account, product, step)
    return name_of(found[0]) if found else ""


def _cost(desk: Desk, advice: Advice) -> str | None:
    if advice.step is None:
        return None
    if not advice.candles:
        return desk.phrase("next_wick.cost_none")
    candles = _candles(desk, advice.candles)
    if advice.hours_h is None:
        return desk.phrase("next_wick.cost_open", candles=candles)
    hours = desk.words.quantity(round(advice.hours_h), "h")
    return desk.phrase("next_wick.cost", candles=candles, hours=hours)


def _candles(desk: Desk, count: int) -> str:
    return desk.phrase(f"next_wick.candles.{'one' if count == 1 else 'many'}", count=count)


def _grounds(desk: Desk, product: Product, advice: Advice) -> Iterator[str]:
    sizes = ", ".join(_name(desk, product, trial) for trial in advice.tried)
    trials = _candles(desk, advice.trials)
    yield desk.phrase("next_wick.alike", trials=trials, sizes=sizes)
    yield from _lines(desk, advice)
    yield from _one_more(desk, advice, _name(desk, product, advice.step))


def _lines(desk: Desk, advice: Advice) -> Iterator[str]:
    """Yield how pool and rate go with the size, or plainly that there is too little data."""
    pool, rate = advice.relations.pool, advice.relations.rate
    if rate is None:
        yield desk.phrase("next_wick.no_rate")
    else:
        slope = rate.slope_interval(CONFIDENCE)
        yield desk.phrase("next_wick.rate", **_rates(slope), count=rate.count)
    if pool is None:
        yield desk.phrase("next_wick.no_pool")
    else:
        slope = pool.slope_interval(CONFIDENCE)
        yield desk.phrase("next_wick.pool", **_shares(desk, slope), count=pool.count)
    if pool is not None or rate is not None:
        yield desk.phrase("next_wick.line")


def _one_more(desk: Desk, advice: Advice, wick: str) -> Iterator[str]:
    if advice.rate_g_per_h is not None:
        yield desk.phrase("next_wick.one_rate", wick=wick, **_rates(advice.rate_g_per_h))
    if advice.coverage is not None:
        yield desk.phrase("next_wick.one_pool", wick=wick, **_shares(desk, advice.coverage))


def _rates(one: Interval) -> dict[str, str]:
    return {"low": f"{one.low:.2f}", "high": f"{one.high:.2f}"}


def _shares(desk: Desk, one: Interval) -> dict[str, str]:
    low, high = (desk.words.percent(round(each, 2)) for each in (one.low, one.high))
    return {"low_share": low, "high_share": high}
