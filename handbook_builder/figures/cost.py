"""What things cost: bills shared out to the last coin, prices in force, one candle line by line.

Money is `Decimal` throughout. Every division is done at 28 digits in a context of this module's
own, so that no setting of the caller changes a price.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import (
    ROUND_HALF_EVEN,
    Context,
    Decimal,
    DivisionByZero,
    InvalidOperation,
    Overflow,
    localcontext,
)
from fractions import Fraction
from typing import Final, TypeAlias

# What all money is reckoned in, whatever context the caller has set.
MONEY_CONTEXT: Final = Context(
    prec=28,
    rounding=ROUND_HALF_EVEN,
    traps=[InvalidOperation, DivisionByZero, Overflow],
)
# A line of a candle's cost is often less than the smallest coin.
_FINER: Final = 2

_CODE: Final = re.compile("[A-Z]{3}")
# ISO 4217, table A.1 (edition of 2025, read in a public copy).
_USUAL_DECIMALS: Final = 2
_DECIMALS: Final = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
_DECIMALS_OF: Final = {code: n for n, codes in _DECIMALS.items() for code in codes.split()}

# What goes into one line of a candle's cost: how much of each item, and what one of it costs.
Parts: TypeAlias = Iterable[tuple[Decimal, Decimal]]


@dataclass(frozen=True, slots=True)
class PricedLine:
    """What was bought on a day: grams or pieces, and the landed cost of one of them."""

    on: date
    quantity: Decimal
    unit_cost: Decimal

    def __post_init__(self) -> None:
        """Refuse a line of nothing: it has no weight in a mean."""
        _check_positive(self.quantity, "a quantity")
        _check_amount(self.unit_cost, "a unit cost")


def currency_decimals(code: str) -> int:
    """Return the decimals of a currency by its ISO 4217 code: 2 unless listed otherwise.

    These are ISO 4217's minor units, in which bills are made out, whether or not such coins still
    circulate. ValueError for what cannot be a code.
    """
    if not _CODE.fullmatch(code):
        msg = f"{code!r} is not a currency code of three capital letters"
        raise ValueError(msg)
    return _DECIMALS_OF.get(code, _USUAL_DECIMALS)


def apportion(total: Decimal, weights: Sequence[Decimal], decimals: int) -> tuple[Decimal, ...]:
    """Return `total` shared by `weights`, to `decimals` places; the shares add up exactly.

    Largest remainder: each share is rounded down, and the units left over go to the largest
    remainders, ties to the first. Each share is thus within one unit of its exact value. With all
    weights 0 the shares are equal. A total written finer than the currency is shared in its own
    smallest unit, since the shares must add up to the bill. ValueError for a negative sum, weight
    or number of decimals, and for a sum that nobody is there to bear.
    """
    _check_amount(Decimal(decimals), "a number of decimals")
    _check_amount(total, "a sum to share")
    for weight in weights:
        _check_amount(weight, "a weight")
    if not weights:
        if total:
            msg = f"nobody is there to bear {total}"
            raise ValueError(msg)
        return ()
    places = _places(total, decimals)
    exact = _exact_shares(Fraction(total) * 10**places, [Fraction(one) for one in weights])
    return tuple(Decimal(f"{units}E-{places}") for units in _whole_shares(exact))


def _places(total: Decimal, decimals: int) -> int:
    """Return the fewest decimals, `decimals` at least, that write `total` exactly."""
    places = decimals
    while (Fraction(total) * 10**places).denominator > 1:
        places += 1
    return places


def _exact_shares(units: Fraction, weights: Sequence[Fraction]) -> list[Fraction]:
    """Return the units that each weight would bear if a unit could be split."""
    together = sum(weights)
    if not together:
        return [units / len(weights) for _ in weights]
    return [units * weight / together for weight in weights]


def _whole_shares(exact: Sequence[Fraction]) -> list[int]:
    """Return the shares as whole units, by largest remainder."""
    shares = [int(share) for share in exact]
    left_over = int(sum(exact)) - sum(shares)
    # A stable sort leaves ties in their order.
    by_remainder = sorted(range(len(exact)), key=lambda at: shares[at] - exact[at])
    for at in by_remainder[:left_over]:
        shares[at] += 1
    return shares


def landed_unit_cost(price: Decimal, freight_and_duty: Decimal, quantity: Decimal) -> Decimal:
    """Return what one gram or piece cost delivered: (price + freight and duty) / quantity.

    ValueError for a negative sum, or a quantity that is not more than nothing.
    """
    _check_amount(price, "a price")
    _check_amount(freight_and_duty, "freight and duty")
    _check_positive(quantity, "a quantity")
    with localcontext(MONEY_CONTEXT):
        return (price + freight_and_duty) / quantity


def newest_price(lines: Iterable[PricedLine], on: date) -> Decimal | None:
    """Return the unit cost of the newest purchase on or before `on`; None before the first.

    Several lines of that day count by their quantities.
    """
    known = [line for line in lines if line.on <= on]
    newest = max((line.on for line in known), default=None)
    return _mean_unit_cost([line for line in known if line.on == newest])


def mean_price(lines: Iterable[PricedLine], on: date) -> Decimal | None:
    """Return the mean unit cost, by quantity, of the twelve months up to and with `on`.

    Calendar months: up to 15 March they begin with 16 March of the year before. None without a
    purchase in them.
    """
    return _mean_unit_cost([line for line in lines if _within_a_year(line.on, on)])


def _within_a_year(bought: date, on: date) -> bool:
    # Compared part by part, since the same day a year on need not exist: 29 February.
    return bought <= on and (bought.year + 1, bought.month, bought.day) > (
        on.year,
        on.month,
        on.day,
    )


def _mean_unit_cost(lines: Sequence[PricedLine]) -> Decimal | None:
    if not lines:
        return None
    with localcontext(MONEY_CONTEXT):
        paid = Decimal(sum(line.quantity * line.unit_cost for line in lines))
        return paid / sum(line.quantity for line in lines)


def candle_cost_lines(  # noqa: PLR0913 -- one argument a line of the account
    *,
    wax: Parts,
    fragrance: Parts,
    colorant: Parts,
    vessel: Parts,
    wick: Parts,
    packaging: Parts,
    labour: Decimal,
    overhead: Decimal,
    pitcher_loss: Decimal,
    decimals: int,
) -> dict[str, Decimal]:
    """Return the cost of one candle line by line, in the order of the arguments.

    Each part is (amount, unit cost), in grams or pieces. Of what is melted, amount / (1 - loss) is
    needed, since some stays in the pitcher. Each line is rounded, half to even, to two digits
    finer than the currency's `decimals`: the candle's cost is the lines' plain sum. ValueError
    for a negative sum, amount or number of decimals, and for a loss that is no share below 1.
    """
    _check_amount(Decimal(decimals), "a number of decimals")
    _check_share(pitcher_loss, "a pitcher loss")
    _check_amount(labour, "labour")
    _check_amount(overhead, "overhead")
    melted = {"wax": wax, "fragrance": fragrance, "colorant": colorant}
    counted = {"vessel": vessel, "wick": wick, "packaging": packaging}
    with localcontext(MONEY_CONTEXT):
        exact = {name: _cost_of(parts) / (1 - pitcher_loss) for name, parts in melted.items()}
        exact |= {name: _cost_of(parts) for name, parts in counted.items()}
        exact |= {"labour": labour, "overhead": overhead}
        digit = Decimal(f"1E-{decimals + _FINER}")
        return {name: cost.quantize(digit) for name, cost in exact.items()}


def _cost_of(parts: Parts) -> Decimal:
    cost = Decimal(0)
    for amount, unit_cost in parts:
        _check_amount(amount, "an amount")
        _check_amount(unit_cost, "a unit cost")
        cost += amount * unit_cost
    return cost


def price_by_multiple(cost: Decimal, multiple: Decimal) -> Decimal:
    """Return the cost times the multiple. ValueError for a negative cost or multiple."""
    _check_amount(cost, "a cost")
    _check_amount(multiple, "a multiple")
    with localcontext(MONEY_CONTEXT):
        return cost * multiple


def price_by_margin(cost: Decimal, margin: Decimal) -> Decimal:
    """Return cost / (1 - margin), the price of which `margin` is left over as a share.

    ValueError for a negative cost, and for a margin that is no share below 1.
    """
    _check_amount(cost, "a cost")
    _check_share(margin, "a margin")
    with localcontext(MONEY_CONTEXT):
        return cost / (1 - margin)


def margin(cost: Decimal, price: Decimal) -> Decimal:
    """Return what is left over as a share of the *price*; below 0 when sold at a loss.

    ValueError for a negative cost, or a price that is not more than nothing.
    """
    _check_amount(cost, "a cost")
    _check_positive(price, "a price")
    with localcontext(MONEY_CONTEXT):
        return (price - cost) / price


def markup(cost: Decimal, price: Decimal) -> Decimal:
    """Return what is left over as a share of the *cost*; below 0 when sold at a loss.

    ValueError for a negative price, or a cost that is not more than nothing.
    """
    _check_positive(cost, "a cost")
    _check_amount(price, "a price")
    with localcontext(MONEY_CONTEXT):
        return (price - cost) / cost


def proving_cost_each(proving_cost: Decimal, count: int) -> Decimal:
    """Return the share of one candle in what its product's test candles cost, over `count`.

    ValueError for a negative cost, or a count below 1.
    """
    _check_amount(proving_cost, "a proving cost")
    _check_positive(Decimal(count), "a count")
    with localcontext(MONEY_CONTEXT):
        return proving_cost / count


def _check_amount(value: Decimal, what: str) -> None:
    if not value.is_finite() or value < 0:
        msg = f"{what} of {value} is not 0 or more"
        raise ValueError(msg)


def _check_positive(value: Decimal, what: str) -> None:
    if not value.is_finite() or value <= 0:
        msg = f"{what} of {value} is not more than 0"
        raise ValueError(msg)


def _check_share(value: Decimal, what: str) -> None:
    if not value.is_finite() or not 0 <= value < 1:
        msg = f"{what} of {value} is not a share from 0 to below 1"
        raise ValueError(msg)
