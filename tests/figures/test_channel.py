"""Prices where candles are sold, worked again in fractions and by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.channel import Sale, Terms, sale

COIN = Decimal("0.01")


def terms(
    tax: str = "0", fee: str = "0", each: str = "0", commission: str = "0", step: str = "0.01"
) -> Terms:
    """Return the terms of a channel."""
    return Terms(*map(Decimal, (tax, fee, each, commission, step)))


def sold(*parts: str) -> Sale:
    """Return a sale of these sums."""
    return Sale(*map(Decimal, parts))


def test_without_terms_the_target_is_the_price() -> None:
    """Rounded up to the coin."""
    assert sale(Decimal("14.031"), terms(), COIN) == sold(
        "14.04", "0.00", "14.04", "0.00", "0.00", "14.04"
    )


def test_a_stall_by_hand() -> None:
    """Cost 7.00 three times, 20 % tax, 1.75 % and 0.10 of the card, steps of 0.50.

    (21.00 + 0.10) / (1 - 0.0175 * 1.2) = 21.10 / 0.979 = 21.5526; with tax 25.8631, so 26.00 are
    asked. Before tax that is 21.6667, 21.67; the fee is 0.455 + 0.10 = 0.555, half to even 0.56 (in
    decimals exactly 0.555). Received: 21.67 - 0.56 = 21.11.
    """
    found = sale(Decimal("21.00"), terms("0.20", "0.0175", "0.10", step="0.50"), COIN)
    assert found == sold("26.00", "4.33", "21.67", "0.56", "0.00", "21.11")


def test_a_shop_by_hand() -> None:
    """Cost 7.00 twice, 20 % tax, the shop keeps 35 % of the price before tax, whole steps.

    14.00 / 0.65 = 21.5385; with tax 25.8462, so 26.00. Before tax 21.67; 35 % of it is 7.5845,
    7.58. Received 14.09.
    """
    found = sale(Decimal("14.00"), terms("0.20", commission="0.35", step="1"), COIN)
    assert found == sold("26.00", "4.33", "21.67", "0.00", "7.58", "14.09")


def test_where_the_coins_of_the_parts_leave_less_it_is_a_step_more() -> None:
    """0.25 with 20 % tax, 5 % of what is paid, 35 % before tax: 0.25 / 0.59 · 1.2 is 0.5085.

    0.51 is asked. Before tax that is 0.42, less 0.03 and 0.15 is 0.24. Of 0.52 it is 0.43, and
    less as much is 0.25.
    """
    found = sale(Decimal("0.25"), terms("0.20", "0.05", commission="0.35"), COIN)
    assert found == sold("0.52", "0.09", "0.43", "0.03", "0.15", "0.25")


def test_where_everything_goes_to_others_there_is_no_price() -> None:
    """A commission of 90 % and a fee of 10 % of what is paid leave nothing."""
    assert sale(Decimal(10), terms(fee="0.10", commission="0.90"), COIN) is None


@pytest.mark.parametrize(("target", "step"), [("-1", "1"), ("1", "0")])
def test_nonsense_is_refused(target: str, step: str) -> None:
    """A target below nothing, a step of nothing."""
    with pytest.raises(ValueError, match="below 0"):
        sale(Decimal(target), terms(step=step), COIN)


SHARES = st.integers(0, 300).map(lambda one: Decimal(one) / 1000)


@given(
    st.integers(1, 20_000).map(lambda one: Decimal(one) / 100),
    SHARES, SHARES, st.integers(0, 100).map(lambda one: Decimal(one) / 100), SHARES,
    st.sampled_from(["0.01", "0.05", "0.50", "1", "0.99"]).map(Decimal),
)  # fmt: skip
def test_the_price_is_the_least_that_brings_the_target(  # noqa: PLR0913, PLR0917 -- one a term
    target: Decimal, tax: Decimal, fee: Decimal, each: Decimal, commission: Decimal, step: Decimal
) -> None:
    """The parts add up, the target is met, and a step less would fall short, coins aside."""
    found = sale(target, Terms(tax, fee, each, commission, step), COIN)
    assert found is not None
    assert found.paid == found.tax + found.before_tax
    assert found.before_tax == found.fee + found.commission + found.received
    assert found.received >= target
    assert (found.paid / step) % 1 == 0
    t, f, g, c = (Fraction(one) for one in (tax, fee, each, commission))
    less = Fraction(found.paid - step)
    exact = less / (1 + t) * (1 - c) - less * f - g  # in fractions, nothing rounded
    # Three parts, each rounded by half a coin at the most.
    assert exact < Fraction(target) + Fraction(3, 200)
