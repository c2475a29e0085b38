"""What is asked for a candle, and what of it is left: per hour, per proof, in whole coins.

Money is `Decimal` throughout; divisions are done at 28 digits in the context of all money.
"""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal, localcontext

from handbook_builder.figures.cost import MONEY_CONTEXT


def cost_an_hour(cost: Decimal, hours: Decimal) -> Decimal:
    """Return what one burning hour costs: cost / hours.

    ValueError for a negative cost, or hours that are not more than nothing.
    """
    _check(cost >= 0, f"a cost of {cost} is not 0 or more")
    _check(hours > 0, f"a life of {hours} h is not more than 0")
    with localcontext(MONEY_CONTEXT):
        return cost / hours


def breakage_cost(cost: Decimal, share: Decimal, like: Decimal) -> Decimal:
    """Return what the broken ones add to each whole one: cost · b / (1 - b).

    The share b of what is bought never becomes a candle, and the others bear its cost. Rounded,
    half to even, to as many decimals as `like` has. ValueError for a negative cost, and for a
    share that is not from 0 to below 1.
    """
    _check(cost >= 0, f"a cost of {cost} is not 0 or more")
    _check(0 <= share < 1, f"a breakage of {share} is not a share from 0 to below 1")
    with localcontext(MONEY_CONTEXT):
        return (cost * share / (1 - share)).quantize(like)


def up_to_coin(price: Decimal, decimals: int) -> Decimal:
    """Return the price in whole coins of a currency of `decimals` places, rounded up.

    Rounded down, it would miss the margin or the multiple that it was worked out for.
    """
    return price.quantize(Decimal(f"1E-{decimals}"), rounding=ROUND_CEILING, context=MONEY_CONTEXT)


def proving_cost(candles: int, candle_cost: Decimal, work_h: Decimal, labour: Decimal) -> Decimal:
    """Return what it costs to prove a combination: candles · cost + hours of work · labour.

    `work_h` are all the hours that somebody works at the burn cycles of these candles, `labour`
    what one of them costs. ValueError for a negative value.
    """
    parts = (Decimal(candles), candle_cost, work_h, labour)
    _check(min(parts) >= 0, f"a value below 0 among {', '.join(map(str, parts))}")
    with localcontext(MONEY_CONTEXT):
        return candles * candle_cost + work_h * labour


def share_of(part: Decimal, whole: Decimal) -> Decimal:
    """Return part / whole, and 0 of nothing. ValueError for a part that is not within the whole."""
    _check(0 <= part <= whole, f"{part} is not a part of {whole}")
    if not whole:
        return Decimal(0)
    with localcontext(MONEY_CONTEXT):
        return part / whole


def middle(values: Sequence[Decimal]) -> Decimal:
    """Return the median: the middle value, or the mean of the middle two.

    ValueError for no value at all.
    """
    _check(bool(values), "nothing has no middle")
    ordered, half = sorted(values), len(values) // 2
    if len(values) % 2:
        return ordered[half]
    with localcontext(MONEY_CONTEXT):
        return (ordered[half - 1] + ordered[half]) / 2


def _check(holds: bool, told: str) -> None:  # noqa: FBT001 -- the condition is the argument
    if not holds:
        raise ValueError(told)
