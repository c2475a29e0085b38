"""Money: bills shared to the last coin, prices in force, a candle line by line, prices made."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Any

import pytest
from babel.core import get_global
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.cost import (
    PricedLine,
    apportion,
    candle_cost_lines,
    currency_decimals,
    landed_unit_cost,
    margin,
    markup,
    mean_price,
    newest_price,
    price_by_margin,
    price_by_multiple,
    proving_cost_each,
)

D = Decimal
NO_AMOUNTS = [D("-0.01"), D("NaN"), D("Infinity"), D("sNaN")]
SUMS = st.decimals(0, 10**6, places=2)
COSTS = st.decimals("0.01", 10**4, places=2)


def _refused(told: str, call: Callable[[], object]) -> None:
    with pytest.raises(ValueError) as error:  # noqa: PT011 -- the whole message is compared
        call()
    assert str(error.value) == told


# Currencies ---------------------------------------------------------------------------------

# The Unicode CLDR, which Babel ships, says how many decimals people use; ISO 4217 says in how many
# bills are made out. They differ where the small coins have gone out of use.
OUT_OF_USE = {
    **dict.fromkeys(
        ("AFN", "ALL", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"), 2
    ),
    "IQD": 3,
}


def _current_currencies() -> set[str]:
    uses = [use for one in get_global("territory_currencies").values() for use in one]
    return {code for code, _, until, tender in uses if until is None and tender}


def test_currencies_against_babel() -> None:
    """Every currency in use has the decimals that Babel knows, but for coins out of use."""
    current = _current_currencies()
    assert len(current) > 140
    differ = {
        code: currency_decimals(code)
        for code in current
        if currency_decimals(code) != get_currency_precision(code)
    }
    assert differ == OUT_OF_USE


@pytest.mark.parametrize(
    ("codes", "decimals"),
    [
        ("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF", 0),
        ("EUR USD GBP MRU HUF IDR", 2),
        ("BHD IQD JOD KWD LYD OMR TND", 3),
        ("CLF UYW", 4),
    ],
)
def test_minor_units(codes: str, decimals: int) -> None:
    """ISO 4217 table A.1, as in the public copy `datasets/currency-codes`, data of 2025."""
    assert {currency_decimals(code) for code in codes.split()} == {decimals}


@pytest.mark.parametrize("code", ["", "EU", "EURO", "eur", "E1R", "ÄÖÜ", "EUR\n", " EUR"])
def test_no_currency(code: str) -> None:
    """What cannot be a code is refused."""
    _refused(
        f"{code!r} is not a currency code of three capital letters",
        lambda: currency_decimals(code),
    )


# Sharing a bill -----------------------------------------------------------------------------


def test_apportion_by_hand() -> None:
    """12.00 by 10 000, 1 000 and 2 000 g.

    1200 cents / 13 000 g: 923.08, 92.31, 184.62. Rounded down 923 + 92 + 184 = 1199; the cent left
    over goes to the largest remainder, .62.
    """
    shares = apportion(D("12.00"), [D(10000), D(1000), D(2000)], 2)
    assert shares == (D("9.23"), D("0.92"), D("1.85"))
    assert [str(one) for one in shares] == ["9.23", "0.92", "1.85"]


def test_ties_go_to_the_first() -> None:
    """10.00 in three: 333.33 cents each, and the cent left over to the first."""
    assert apportion(D("10.00"), [D(1)] * 3, 2) == (D("3.34"), D("3.33"), D("3.33"))


def test_two_left_over() -> None:
    """0.05 in three: 1.67 cents each, and the two cents left over to the first two."""
    assert apportion(D("0.05"), [D(7)] * 3, 2) == (D("0.02"), D("0.02"), D("0.01"))


def test_no_weights_share_alike() -> None:
    """Free samples only: with nothing to go by, the freight is shared alike."""
    assert apportion(D("1.00"), [D(0)] * 4, 2) == (D("0.25"),) * 4


def test_a_weightless_line_bears_nothing() -> None:
    """A line of weight 0 beside others bears no share."""
    assert apportion(D(100), [D(0), D(3)], 0) == (D(0), D(100))


def test_a_bill_finer_than_the_coins() -> None:
    """12.345 in a currency of two decimals is shared in thousandths, so that it adds up.

    12345 in two: 6172.5 each, the one left over to the first.
    """
    assert apportion(D("12.345"), [D(1)] * 2, 2) == (D("6.173"), D("6.172"))


def test_zeros_behind_are_no_finer() -> None:
    """1.5000 is 1.50: shared in cents."""
    assert apportion(D("1.5000"), [D(1)], 2)[0].as_tuple() == D("1.50").as_tuple()


@pytest.mark.parametrize("total", ["1E+3", "1000"])
def test_whole_coins(total: str) -> None:
    """A currency without decimals is shared in whole coins, however the sum is written."""
    assert [str(one) for one in apportion(D(total), [D(1)] * 3, 0)] == ["334", "333", "333"]


def test_nobody_to_bear_it() -> None:
    """Nothing can be shared among nobody; a bill cannot."""
    assert apportion(D(0), [], 2) == ()
    _refused("nobody is there to bear 0.01", lambda: apportion(D("0.01"), [], 2))


@pytest.mark.parametrize("wrong", NO_AMOUNTS)
def test_no_sums_to_share(wrong: Decimal) -> None:
    """Negative sums, weights and decimals, and what is no number, are refused."""
    _refused(f"a sum to share of {wrong} is not 0 or more", lambda: apportion(wrong, [D(1)], 2))
    _refused(f"a weight of {wrong} is not 0 or more", lambda: apportion(D(1), [D(1), wrong], 2))
    _refused("a number of decimals of -1 is not 0 or more", lambda: apportion(D(1), [D(1)], -1))


@given(
    st.decimals(0, 10**9, places=4),
    st.lists(st.decimals(0, 10**6, places=3), min_size=1, max_size=12),
    st.sampled_from([0, 2, 3, 4]),
)
def test_apportion_adds_up(total: Decimal, weights: list[Decimal], decimals: int) -> None:
    """Whatever is shared adds up to the bill, and nobody is off by a whole unit."""
    shares = apportion(total, weights, decimals)
    assert sum(map(Fraction, shares)) == Fraction(total)
    together = sum(map(Fraction, weights))
    for share, weight in zip(shares, weights, strict=True):
        part = Fraction(weight) / together if together else Fraction(1, len(weights))
        assert abs(Fraction(share) - Fraction(total) * part) < Fraction(1, 10**decimals)


@given(st.integers(0, 10**6), st.lists(st.integers(1, 50), min_size=2, max_size=6))
def test_more_weight_bears_no_less(units: int, weights: list[int]) -> None:
    """The shares stand in the order of the weights."""
    shares = apportion(D(units), [D(one) for one in weights], 0)
    by_weight = [share for _, share in sorted(zip(weights, shares, strict=True))]
    assert by_weight == sorted(by_weight)


# Prices in force ----------------------------------------------------------------------------


def test_landed_unit_cost_by_hand() -> None:
    """10 kg of wax for 62.00, with 9.23 of freight: 71.23 / 10 000 g = 0.007123 a gram."""
    assert landed_unit_cost(D("62.00"), D("9.23"), D(10000)) == D("0.007123")


@pytest.mark.parametrize("wrong", NO_AMOUNTS)
def test_no_landed_cost(wrong: Decimal) -> None:
    """Negative money and quantities, and what is no number, are refused."""
    _refused(f"a price of {wrong} is not 0 or more", lambda: landed_unit_cost(wrong, D(0), D(1)))
    _refused(
        f"freight and duty of {wrong} is not 0 or more",
        lambda: landed_unit_cost(D(1), wrong, D(1)),
    )
    _refused(
        f"a quantity of {wrong} is not more than 0", lambda: landed_unit_cost(D(1), D(0), wrong)
    )
    _refused(
        f"a quantity of {wrong} is not more than 0",
        lambda: PricedLine(date(2026, 1, 1), wrong, D(1)),
    )
    _refused(
        f"a unit cost of {wrong} is not 0 or more",
        lambda: PricedLine(date(2026, 1, 1), D(1), wrong),
    )


def test_none_of_it() -> None:
    """A price for nothing is refused; something for nothing is a gift."""
    _refused("a quantity of 0 is not more than 0", lambda: landed_unit_cost(D(1), D(0), D(0)))
    assert landed_unit_cost(D(0), D(0), D(3)) == 0
    assert PricedLine(date(2026, 1, 1), D(1), D(0)).unit_cost == 0


def _bought(on: str, quantity: int, unit_cost: str) -> PricedLine:
    return PricedLine(date.fromisoformat(on), D(quantity), D(unit_cost))


HISTORY = (
    _bought("2025-03-15", 50, "0.0050"),
    _bought("2026-01-10", 3000, "0.0080"),
    _bought("2025-03-16", 1000, "0.0100"),
    _bought("2026-01-10", 1000, "0.0060"),
    _bought("2026-04-01", 10, "0.0200"),
)


@pytest.mark.parametrize(
    ("on", "price"),
    [
        ("2025-03-14", None),
        ("2025-03-15", "0.0050"),
        ("2026-01-09", "0.0100"),
        ("2026-01-10", "0.0075"),
        ("2026-03-31", "0.0075"),
        ("2026-04-01", "0.0200"),
    ],
)
def test_newest_price(on: str, price: str | None) -> None:
    """The newest day that has come; of its lines (3000 x 0.008 + 1000 x 0.006) / 4000 = 0.0075."""
    assert newest_price(HISTORY, date.fromisoformat(on)) == (None if price is None else D(price))


@pytest.mark.parametrize(
    ("on", "price"),
    [
        ("2025-03-14", None),
        ("2025-03-15", "0.005"),
        # 24, 10 and 6 for 5000 g, without the purchase of that day the year before.
        ("2026-03-15", "0.008"),
        # 24 and 6 for 4000 g.
        ("2026-03-16", "0.0075"),
        # 24, 6 and 0.2 for 4010 g.
        ("2027-01-09", "0.007531172069825436408977556110"),
        ("2027-03-31", "0.02"),
        ("2027-04-01", None),
    ],
)
def test_mean_price(on: str, price: str | None) -> None:
    """By quantity, over the twelve months that end with the day; other purchases do not count."""
    assert mean_price(HISTORY, date.fromisoformat(on)) == (None if price is None else D(price))


@pytest.mark.parametrize(
    ("bought", "on", "counts"),
    [
        ("2024-02-29", "2025-02-28", True),
        ("2024-02-29", "2025-03-01", False),
        ("2023-02-28", "2024-02-29", False),
        ("2023-03-01", "2024-02-29", True),
        ("2024-02-28", "2025-02-28", False),
        ("0001-01-01", "0001-01-01", True),
    ],
)
def test_leap_days(bought: str, on: str, *, counts: bool) -> None:
    """29 February is followed by a whole year like any other day."""
    found = mean_price([_bought(bought, 1, "2")], date.fromisoformat(on))
    assert found == (D(2) if counts else None)


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(-10, 800))
def test_the_window_is_a_year(on: date, ago: int) -> None:
    """Up to 365 days count, over 366 do not, and nothing of tomorrow does."""
    found = mean_price([PricedLine(on - timedelta(days=ago), D(1), D(3))], on)
    if 0 <= ago < 365:
        assert found == 3
    if ago < 0 or ago > 365:
        assert found is None


LINES = st.lists(
    st.builds(
        PricedLine,
        st.dates(date(2025, 1, 1), date(2026, 12, 31)),
        st.decimals("0.1", 10**5, places=1),
        st.decimals(0, 100, places=4),
    ),
    max_size=8,
)


@given(LINES)
def test_a_mean_lies_between(lines: list[PricedLine]) -> None:
    """A mean price is never below the cheapest line nor above the dearest (to 28 digits)."""
    on = date(2026, 6, 30)
    for found in (mean_price(lines, on), newest_price(lines, on)):
        costs = [line.unit_cost for line in lines if line.on <= on]
        if found is not None:
            hair = D("1E-20")
            assert min(costs) - hair <= found <= max(costs) + hair


@given(LINES)
def test_order_of_lines(lines: list[PricedLine]) -> None:
    """Purchases may be named in any order."""
    on = date(2026, 6, 30)
    assert newest_price(lines[::-1], on) == newest_price(lines, on)
    assert mean_price(lines[::-1], on) == mean_price(lines, on)


def test_a_single_pass() -> None:
    """Purchases may come from a generator, which can be read only once."""
    assert newest_price(iter(HISTORY), date(2026, 3, 1)) == D("0.0075")


# One candle ---------------------------------------------------------------------------------

CANDLE: dict[str, Any] = {
    "wax": ((D(180), D("0.007123")),),
    "fragrance": ((D("9.4"), D("0.041")), (D(5), D("0.06"))),
    "colorant": ((D("0.2"), D("0.1")),),
    "vessel": ((D(1), D("3.42")),),
    "wick": ((D(2), D("0.115")),),
    "packaging": ((D(1), D("0.30")), (D(2), D("0.055"))),
    "labour": D("2.5"),
    "overhead": D("0.333333"),
    "pitcher_loss": D("0.02"),
    "decimals": 2,
}


def test_candle_by_hand() -> None:
    """Each line worked out on paper, 2 % lost in the pitcher.

    Wax 180 x 0.007123 / 0.98 = 1.28214 / 0.98 = 1.308306. Oils (0.3854 + 0.3) / 0.98 = 0.699388.
    Colorant 0.02 / 0.98 = 0.020408. What is counted is not lost: wicks 2 x 0.115 = 0.23, packaging
    0.30 + 0.11 = 0.41.
    """
    found = candle_cost_lines(**CANDLE)
    assert [(name, str(cost)) for name, cost in found.items()] == [
        ("wax", "1.3083"),
        ("fragrance", "0.6994"),
        ("colorant", "0.0204"),
        ("vessel", "3.4200"),
        ("wick", "0.2300"),
        ("packaging", "0.4100"),
        ("labour", "2.5000"),
        ("overhead", "0.3333"),
    ]


@pytest.mark.parametrize(("decimals", "line"), [(0, "0.02"), (1, "0.020"), (3, "0.02041")])
def test_two_digits_finer(decimals: int, line: str) -> None:
    """Lines carry two digits more than the currency: 0.020408 of colorant."""
    assert str(candle_cost_lines(**CANDLE | {"decimals": decimals})["colorant"]) == line


@pytest.mark.parametrize(("exact", "line"), [("0.00005", "0.0000"), ("0.00015", "0.0002")])
def test_half_to_even(exact: str, line: str) -> None:
    """A half is rounded to the even digit, so that many lines do not drift upwards."""
    assert str(candle_cost_lines(**CANDLE | {"labour": D(exact)})["labour"]) == line


def test_no_parts() -> None:
    """A candle without colorant has a line of 0 for it."""
    assert str(candle_cost_lines(**CANDLE | {"colorant": ()})["colorant"]) == "0.0000"


@pytest.mark.parametrize("wrong", NO_AMOUNTS)
@pytest.mark.parametrize("name", ["labour", "overhead"])
def test_no_such_cost(name: str, wrong: Decimal) -> None:
    """Negative money, and what is no number, is refused by its name."""
    _refused(
        f"{name} of {wrong} is not 0 or more", lambda: candle_cost_lines(**CANDLE | {name: wrong})
    )


@pytest.mark.parametrize("wrong", NO_AMOUNTS)
@pytest.mark.parametrize("name", ["wax", "packaging"])
def test_no_such_part(name: str, wrong: Decimal) -> None:
    """A negative amount or unit cost is refused."""
    _refused(
        f"an amount of {wrong} is not 0 or more",
        lambda: candle_cost_lines(**CANDLE | {name: ((wrong, D(1)),)}),
    )
    _refused(
        f"a unit cost of {wrong} is not 0 or more",
        lambda: candle_cost_lines(**CANDLE | {name: ((D(1), wrong),)}),
    )


@pytest.mark.parametrize("loss", [D(-1), D(1), D("1.5"), D("NaN"), D("-Infinity")])
def test_no_such_loss(loss: Decimal) -> None:
    """All of it cannot stay in the pitcher."""
    _refused(
        f"a pitcher loss of {loss} is not a share from 0 to below 1",
        lambda: candle_cost_lines(**CANDLE | {"pitcher_loss": loss}),
    )


def test_no_such_decimals() -> None:
    """A currency has no fewer than 0 decimals."""
    _refused(
        "a number of decimals of -1 is not 0 or more",
        lambda: candle_cost_lines(**CANDLE | {"decimals": -1}),
    )


@given(st.decimals(0, "0.9", places=3), st.decimals("0.001", "0.05", places=3))
def test_more_loss_costs_more(loss: Decimal, more: Decimal) -> None:
    """What is lost in the pitcher makes the melted dearer, and nothing else."""
    less = candle_cost_lines(**CANDLE | {"pitcher_loss": loss})
    lost = candle_cost_lines(**CANDLE | {"pitcher_loss": loss + more})
    assert lost["wax"] > less["wax"]
    assert {name for name in less if lost[name] != less[name]} <= {"wax", "fragrance", "colorant"}


# Prices made --------------------------------------------------------------------------------


def test_margin_is_not_markup() -> None:
    """A candle of 8.00 sold at 20.00: 12 of 20 is a margin of 60 %, 12 on 8 a markup of 150 %."""
    assert margin(D(8), D(20)) == D("0.6")
    assert markup(D(8), D(20)) == D("1.5")
    assert price_by_margin(D(8), D("0.6")) == 20
    assert price_by_multiple(D(8), D("2.5")) == 20


def test_sold_at_a_loss() -> None:
    """A candle of 8.00 sold at 5.00 leaves -3: -60 % of the price, -37.5 % on the cost."""
    assert margin(D(8), D(5)) == D("-0.6")
    assert markup(D(8), D(5)) == D("-0.375")


def test_given_away() -> None:
    """A candle given away has a markup of -100 %, and no margin; one that cost nothing, 100 %."""
    assert markup(D(8), D(0)) == -1
    _refused("a price of 0 is not more than 0", lambda: margin(D(8), D(0)))
    assert margin(D(0), D(5)) == 1
    _refused("a cost of 0 is not more than 0", lambda: markup(D(0), D(5)))
    assert price_by_margin(D(0), D(0)) == price_by_multiple(D(5), D(0)) == 0
    assert price_by_multiple(D(0), D(5)) == 0


@given(COSTS, st.decimals(0, "0.95", places=3))
def test_margin_round_trip(cost: Decimal, wanted: Decimal) -> None:
    """The price made from a margin has that margin (to 28 digits)."""
    assert abs(margin(cost, price_by_margin(cost, wanted)) - wanted) < D("1E-24")


@given(COSTS, st.decimals("0.1", 10, places=2))
def test_markup_round_trip(cost: Decimal, multiple: Decimal) -> None:
    """A multiple is 1 and the markup."""
    assert abs(markup(cost, price_by_multiple(cost, multiple)) - (multiple - 1)) < D("1E-24")


@given(COSTS, COSTS)
def test_margin_and_markup_agree(cost: Decimal, price: Decimal) -> None:
    """Margin = markup / (1 + markup), and a markup is never below its margin."""
    part, on_top = margin(cost, price), markup(cost, price)
    assert abs(part * (1 + on_top) - on_top) < D("1E-18")
    assert on_top >= part


@pytest.mark.parametrize("wrong", NO_AMOUNTS)
def test_no_prices(wrong: Decimal) -> None:
    """Negative money, and what is no number, makes no price."""
    least, more = f"of {wrong} is not 0 or more", f"of {wrong} is not more than 0"
    _refused(f"a cost {least}", lambda: price_by_multiple(wrong, D(2)))
    _refused(f"a multiple {least}", lambda: price_by_multiple(D(2), wrong))
    _refused(f"a cost {least}", lambda: price_by_margin(wrong, D("0.5")))
    _refused(f"a cost {least}", lambda: margin(wrong, D(2)))
    _refused(f"a price {more}", lambda: margin(D(2), wrong))
    _refused(f"a cost {more}", lambda: markup(wrong, D(2)))
    _refused(f"a price {least}", lambda: markup(D(2), wrong))
    _refused(f"a proving cost {least}", lambda: proving_cost_each(wrong, 2))


@pytest.mark.parametrize("share", [D("-0.1"), D(1), D(2), D("NaN"), D("Infinity")])
def test_no_such_margin(share: Decimal) -> None:
    """No price leaves all of itself over."""
    _refused(
        f"a margin of {share} is not a share from 0 to below 1",
        lambda: price_by_margin(D(8), share),
    )


def test_proving_cost_each() -> None:
    """Three test candles of 8.40 spread over 60: 25.20 / 60 = 0.42 each."""
    assert proving_cost_each(D("25.20"), 60) == D("0.42")
    assert proving_cost_each(D(0), 1) == 0


@pytest.mark.parametrize("count", [0, -3])
def test_spread_over_none(count: int) -> None:
    """What proving cost cannot be spread over no candle."""
    _refused(f"a count of {count} is not more than 0", lambda: proving_cost_each(D(1), count))


THIRD = "0.3333333333333333333333333333"


@pytest.mark.parametrize(
    ("call", "result"),
    [
        (lambda: landed_unit_cost(D("0.6"), D("0.4"), D(3)), THIRD),
        (lambda: mean_price([_bought("2026-01-01", 2, "1.23456789")], date(2026, 1, 2)),
         "1.23456789"),
        (lambda: price_by_multiple(D("1.23456789"), D(2)), "2.46913578"),
        (lambda: price_by_margin(D(1), D("0.7")), "3.333333333333333333333333333"),
        (lambda: margin(D(2), D(3)), THIRD),
        (lambda: markup(D(3), D(4)), THIRD),
        (lambda: proving_cost_each(D(1), 3), THIRD),
        (lambda: apportion(D("1234567.89"), [D(1)], 2)[0], "1234567.89"),
        (lambda: candle_cost_lines(**CANDLE)["wax"], "1.3083"),
    ],
)  # fmt: skip
def test_the_callers_context(call: Callable[[], Decimal], result: str) -> None:
    """28 digits, whatever precision and rounding the caller has set."""
    with localcontext(prec=3, rounding="ROUND_UP"):
        assert str(call()) == result
