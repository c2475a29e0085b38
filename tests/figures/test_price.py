"""What is asked for a candle: per hour, with breakage, in whole coins, and what a proof costs."""

from collections.abc import Callable
from decimal import ROUND_DOWN, Decimal, localcontext
from fractions import Fraction
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.cost import margin, price_by_margin
from handbook_builder.figures.price import (
    breakage_cost,
    cost_an_hour,
    middle,
    proving_cost,
    share_of,
    up_to_coin,
)

D = Decimal
COSTS = st.decimals("0.0001", 10**4, places=4)


def _refused(told: str, call: Callable[[], object]) -> None:
    with pytest.raises(ValueError) as error:  # noqa: PT011 -- the whole message is compared
        call()
    assert str(error.value) == told


def test_an_hour_by_hand() -> None:
    """6.95 over 32 h is 0.2171875 an hour, exactly; nothing costs nothing."""
    assert cost_an_hour(D("6.95"), D(32)) == D("0.2171875")
    assert cost_an_hour(D(0), D(1)) == 0


def test_an_hour_is_refused() -> None:
    """A negative cost, and a candle that never burned, are refused."""
    _refused("a cost of -1 is not 0 or more", lambda: cost_an_hour(D(-1), D(1)))
    _refused("a life of 0 h is not more than 0", lambda: cost_an_hour(D(1), D(0)))
    _refused("a life of -2 h is not more than 0", lambda: cost_an_hour(D(1), D(-2)))


def test_breakage_by_hand() -> None:
    """Of 100 tumblers at 2.28, 5 break: 11.40 on the 95 others, which is 0.12 each."""
    assert breakage_cost(D("2.28"), D("0.05"), D("2.2800")) == D("0.1200")
    assert str(breakage_cost(D("2.28"), D("0.05"), D("2.2800"))) == "0.1200"


def test_breakage_is_rounded_half_to_even() -> None:
    """0.25 at 50 % adds 0.25, which lies half way between 0.2 and 0.3; 0.75 goes to 0.8."""
    assert breakage_cost(D("0.25"), D("0.5"), D("1.0")) == D("0.2")
    assert breakage_cost(D("0.75"), D("0.5"), D("1.0")) == D("0.8")


def test_no_breakage_costs_nothing() -> None:
    """Nothing breaks: nothing is added. What costs nothing may break freely."""
    assert breakage_cost(D("2.28"), D(0), D("1.00")) == 0
    assert breakage_cost(D(0), D("0.5"), D("1.00")) == 0


@pytest.mark.parametrize("share", ["-0.01", "1", "1.5"])
def test_breakage_is_refused(share: str) -> None:
    """Not all may break, and not less than none."""
    told = f"a breakage of {share} is not a share from 0 to below 1"
    _refused(told, lambda: breakage_cost(D(1), D(share), D(1)))


def test_breakage_of_a_negative_cost() -> None:
    """A negative cost is refused."""
    _refused("a cost of -0.01 is not 0 or more", lambda: breakage_cost(D("-0.01"), D(0), D(1)))


@given(COSTS, st.decimals(0, "0.5", places=2))
def test_breakage_pays_for_the_broken(cost: Decimal, share: Decimal) -> None:
    """What the whole ones bear, times their share, is what all of them cost."""
    whole = Fraction(cost) + Fraction(breakage_cost(cost, share, D("1E-20")))
    assert abs(whole * (1 - Fraction(share)) - Fraction(cost)) < Fraction(1, 10**15)


@pytest.mark.parametrize(
    ("price", "decimals", "coins"),
    [
        ("13.892", 2, "13.90"), ("13.90", 2, "13.90"), ("13.9000001", 2, "13.91"),
        ("1389.2", 0, "1390"), ("1.3892", 3, "1.390"), ("0", 2, "0.00"),
    ],
)  # fmt: skip
def test_up_to_the_coin(price: str, decimals: int, coins: str) -> None:
    """The next coin up, for currencies of 0, 2 and 3 decimals; a whole coin stays."""
    assert str(up_to_coin(D(price), decimals)) == coins


@given(COSTS, st.decimals(0, "0.95", places=3), st.sampled_from([0, 2, 3]))
def test_the_margin_is_never_missed(cost: Decimal, target: Decimal, decimals: int) -> None:
    """The price in coins leaves at least the margin that was asked for, by less than a coin."""
    exact = Fraction(cost) / (1 - Fraction(target))
    price = up_to_coin(price_by_margin(cost, target), decimals)
    assert 0 <= Fraction(price) - exact < Fraction(1, 10**decimals)
    assert margin(cost, price) >= target


def test_a_proof_by_hand() -> None:
    """3 candles at 6.95, and 3.6 hours of work at 18.00: 20.85 + 64.80 = 85.65."""
    assert proving_cost(3, D("6.95"), D("3.6"), D("18.00")) == D("85.65")
    assert proving_cost(3, D("6.95"), D(0), D(0)) == D("20.85")
    assert proving_cost(0, D(0), D(0), D(0)) == 0


@pytest.mark.parametrize("wrong", range(4))
def test_a_proof_is_refused(wrong: int) -> None:
    """None of the four may be negative."""
    values = [D(1)] * 4
    values[wrong] = D(-1)
    told = f"a value below 0 among {', '.join(map(str, values))}"
    _refused(told, lambda: proving_cost(int(values[0]), *values[1:]))


def test_shares_by_hand() -> None:
    """0.55 of 2.20 is a quarter; the whole is 1, and a part of nothing is nothing."""
    assert share_of(D("0.55"), D("2.20")) == D("0.25")
    assert share_of(D("2.20"), D("2.20")) == 1
    assert share_of(D(0), D(0)) == 0


@pytest.mark.parametrize(("part", "whole"), [("-1", "2"), ("3", "2"), ("1", "0")])
def test_no_share(part: str, whole: str) -> None:
    """What is no part of the whole is refused."""
    _refused(f"{part} is not a part of {whole}", lambda: share_of(D(part), D(whole)))


@given(st.lists(COSTS, min_size=1, max_size=9))
def test_the_middle_against_the_library(values: list[Decimal]) -> None:
    """The median is that of Python's statistics module, worked in fractions."""
    assert Fraction(middle(values)) == median(map(Fraction, values))


def test_no_middle() -> None:
    """Nothing has no middle."""
    _refused("nothing has no middle", lambda: middle([]))


def test_no_setting_of_the_caller_changes_a_price() -> None:
    """A coarse context of the caller has no say."""
    with localcontext(prec=2, rounding=ROUND_DOWN):
        assert cost_an_hour(D("6.95"), D(32)) == D("0.2171875")
        assert breakage_cost(D("0.75"), D("0.5"), D("1.0")) == D("0.8")
        assert up_to_coin(D("1234.567"), 2) == D("1234.57")
        assert proving_cost(3, D("6.95"), D("3.6"), D("18.00")) == D("85.65")
        assert str(share_of(D(1), D(3))) == "0.3333333333333333333333333333"
        assert middle([D("1.001"), D("1.004")]) == D("1.0025")
