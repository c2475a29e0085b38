"""Bills of every sort: what the lines landed at is, to the last coin, what the bill says."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.derived.account import account_of
from handbook_builder.derived.money.bills import landed_lines, prices_on
from handbook_builder.studio.studio import Studio
from tests.records_in_text import BASE, DAY, linked

# ISO 4217: the yen has no decimals, the euro two, the Kuwaiti dinar three.
DECIMALS = {"JPY": 0, "EUR": 2, "KWD": 3}
ITEMS = {
    "waxes/soy": "kg",
    "fragrances/fig-oil": "g",
    "wicks/cotton-8": "pcs",
    "vessels/tumbler": "pcs",
}
LINES = st.lists(
    st.tuples(st.sampled_from(sorted(ITEMS)), st.integers(1, 400), st.integers(0, 10**7)),
    min_size=1,
    max_size=8,
)


def amount(coins: int, decimals: int) -> str:
    """Return a number of coins as a plain number: 1234 of two decimals is 12.34."""
    return f"{Decimal(coins).scaleb(-decimals):f}"


def studio_with(currency: str, bill: str) -> Studio:
    """Return a studio of that currency with one bill."""
    studio = BASE["studio.md"].replace("EUR", currency)
    return linked({**BASE, "studio.md": studio, "purchases/one.md": f"---\n{bill}---\n"})


def bill_of(
    currency: str, lines: list[tuple[str, int, int]], freight: int, duty: int, spread: str
) -> str:
    """Return the front matter of a bill."""
    places = DECIMALS[currency]
    rows = "".join(
        f"  - {{item: {item}, quantity: {count} {ITEMS[item]}, price: {amount(coins, places)}}}\n"
        for item, count, coins in lines
    )
    return (
        f"supplier: jar-house\non: 2026-02-01\nlines:\n{rows}"
        f"freight: {amount(freight, places)}\nduty: {amount(duty, places)}\n{spread}"
    )


@settings(max_examples=60)
@given(
    st.sampled_from(sorted(DECIMALS)),
    LINES,
    st.integers(0, 10**6),
    st.integers(0, 10**5),
    st.sampled_from(["", "spread: value\n"]),
)
def test_every_bill_adds_up(
    currency: str, lines: list[tuple[str, int, int]], freight: int, duty: int, spread: str
) -> None:
    """Shares of freight and duty are whole coins, and together they are the bill's."""
    studio = studio_with(currency, bill_of(currency, lines, freight, duty, spread))
    landed = list(landed_lines(studio, "one", studio.purchases["one"]))
    coin = Fraction(1, 10 ** DECIMALS[currency])
    for part, whole in (("freight", freight), ("duty", duty)):
        shares = [Fraction(getattr(one, part)) for one in landed]
        assert sum(shares) == whole * coin
        assert all(share >= 0 and (share / coin).denominator == 1 for share in shares)
    total = sum(coins for _, _, coins in lines) + freight + duty
    assert sum(Fraction(one.landed) for one in landed) == total * coin


def test_free_samples_share_alike() -> None:
    """Lines of no price share freight and duty alike, and then nothing is lost either."""
    lines = [("waxes/soy", 1, 0), ("wicks/cotton-8", 3, 0), ("vessels/tumbler", 2, 0)]
    studio = studio_with("EUR", bill_of("EUR", lines, 1000, 100, "spread: value\n"))
    landed = list(landed_lines(studio, "one", studio.purchases["one"]))
    assert [one.freight for one in landed] == [Decimal("3.34"), Decimal("3.33"), Decimal("3.33")]
    assert [one.duty for one in landed] == [Decimal("0.34"), Decimal("0.33"), Decimal("0.33")]


def test_what_cost_nothing_has_no_freight_in_it() -> None:
    """A gift that came by hand has a price of 0, and shares of 0 in it."""
    studio = studio_with("EUR", bill_of("EUR", [("vessels/tumbler", 2, 0)], 0, 0, ""))
    price = prices_on(studio, DAY).by_item["vessels/tumbler"]
    assert (price.newest, price.freight_share, price.duty_share) == (0, 0, 0)


@pytest.mark.parametrize(
    ("own", "general", "line"),
    [
        ("", "", "0"),
        ("", "breakage: 20 %\n", "0.5"),
        ("breakage: 50 %\n", "breakage: 20 %\n", "2"),
        ("breakage: 0 %\n", "breakage: 20 %\n", "0"),
    ],
)
def test_breakage_of_a_vessel_comes_before_the_studios(own: str, general: str, line: str) -> None:
    """At 2.00 a vessel: 20 % broken adds 0.50 to each whole one, and 50 % adds 2.00."""
    studio = linked(
        {
            **BASE,
            "studio.md": BASE["studio.md"].replace("units: metric\n", f"units: metric\n{general}"),
            "vessels/tumbler.md": BASE["vessels/tumbler.md"].replace(
                "use: product\n", f"use: product\n{own}"
            ),
            "purchases/one.md": "---\n"
            + bill_of("EUR", [("vessels/tumbler", 10, 2000)], 0, 0, "")
            + "---\n",
        }
    )
    money = account_of(studio, DAY).money
    assert money is not None
    assert money.products["fig"].cost.lines["breakage"] == Decimal(line)
    assert money.products["fig"].cost.total is None  # wax, wick and oil were never bought
