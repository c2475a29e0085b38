"""What is asked and received where a candle is sold: tax, fees, commission, steps of a price.

Money is `Decimal` throughout; divisions are done at 28 digits in the context of all money.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal, localcontext

from handbook_builder.figures.cost import MONEY_CONTEXT


@dataclass(frozen=True, slots=True)
class Terms:
    """The terms of a channel.

    `tax` is a share of the price before it; `fee` a share of what the buyer pays, tax included,
    and `fee_each` a sum a sale; `commission` is the shop's share of the price before tax. `step` is
    what a price is a multiple of.
    """

    tax: Decimal
    fee: Decimal
    fee_each: Decimal
    commission: Decimal
    step: Decimal


@dataclass(frozen=True, slots=True)
class Sale:
    """One candle sold: what the buyer pays, and where it goes, each in whole coins.

    `received` is what is left to the studio before the cost of the candle.
    """

    paid: Decimal
    tax: Decimal
    before_tax: Decimal
    fee: Decimal
    commission: Decimal
    received: Decimal


def sale(target: Decimal, terms: Terms, coin: Decimal) -> Sale | None:
    """Return the least price, in steps, of which at least `target` is received; None if none is.

    P · (1 - c - f · (1 + t)) = target + g is solved for the price before tax P, with the tax t, the
    fee f of what is paid and g a sale, and the commission c. What is paid, P · (1 + t), is rounded
    up to the step; each part of it to the coin, half to even. Where the coins of the parts leave
    less than the target, the price is a step higher. Where fee and commission eat all of it there
    is no price. ValueError for a negative target, and a step that is not above 0.
    """
    if target < 0 or terms.step <= 0:
        msg = f"a target of {target} below 0, or a step of {terms.step} that is not above it"
        raise ValueError(msg)
    with localcontext(MONEY_CONTEXT):
        whole = 1 + terms.tax
        kept = 1 - terms.commission - terms.fee * whole
        if kept <= 0:
            return None
        exact = (target + terms.fee_each) / kept * whole
        paid = (exact / terms.step).to_integral_value(ROUND_CEILING) * terms.step
        found = _shared(paid, terms, coin)
        while found.received < target:
            paid += terms.step
            found = _shared(paid, terms, coin)
        return found


def _shared(paid: Decimal, terms: Terms, coin: Decimal) -> Sale:
    """Return where a price goes, each part in whole coins; the parts add up to it."""

    def coins(amount: Decimal) -> Decimal:
        return amount.quantize(coin, rounding=ROUND_HALF_EVEN)

    before_tax = coins(paid / (1 + terms.tax))
    fee = coins(paid * terms.fee + terms.fee_each) if paid else Decimal(0)
    commission = coins(before_tax * terms.commission)
    return Sale(
        coins(paid), coins(paid) - before_tax, before_tax, fee, commission,
        before_tax - fee - commission,
    )  # fmt: skip
