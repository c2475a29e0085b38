"""Each money figure of the demo studio, recomputed by hand-written arithmetic.

The account is told in text by `figures --json`; every sum in it is compared with a fraction that
`by_hand` reckons from the records. A sum may differ by what 28 digits and a float mass leave.
"""

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from handbook_builder.derived.account import Account
from handbook_builder.reports.figures import report
from handbook_builder.reports.plain import plain
from handbook_builder.verdicts.approval import Status
from handbook_builder.workshop import account_in, words_for, words_text_for
from tests.money.by_hand import (
    Sums,
    book_of,
    deliveries,
    hours_of,
    mean,
    middle,
    newest,
    shared,
    up_to_coin,
)

ROOT = Path(__file__).parents[2]
RECORDS = ROOT / "records"
DAY = "2026-05-01"
HAIR = Fraction(1, 10**9)
BOOK = book_of(RECORDS)
SUMS = Sums(BOOK, deliveries(BOOK, DAY))
RECIPES = sorted(BOOK["recipes"])
VESSELS = sorted(BOOK["vessels"])


@pytest.fixture(scope="module")
def account() -> Account:
    """Return the demo, judged and reckoned up."""
    found, problems = account_in(RECORDS, date.fromisoformat(DAY))
    assert found is not None, problems
    return found


@pytest.fixture(scope="module")
def told(account: Account) -> dict[str, Any]:
    """Return what `figures --json` says."""
    words = words_for(account.studio, words_text_for(ROOT))
    return plain(report(account, words.say))


def near(text: str | None, value: Fraction) -> bool:
    """Return whether a sum in text is the fraction, but for a hair; money is never a float."""
    assert isinstance(text, str)
    return abs(Fraction(text) - value) < HAIR


def passed(account: Account, recipe: str) -> list[dict[str, Any]]:
    """Return the records of the test candles that passed for a recipe."""
    return [BOOK["burns"][one.id] for one in account.judged.products[recipe].evidence.passed]


def burned_in(account: Account, vessel: str) -> list[dict[str, Any]]:
    """Return the records of the test candles that passed in a vessel, each once."""
    names = [name for name, one in BOOK["recipes"].items() if one["vessel"] == vessel]
    found = {one.id for name in names for one in account.judged.products[name].evidence.passed}
    return [BOOK["burns"][one] for one in sorted(found)]


def approved(account: Account, vessel: str) -> list[str]:
    """Return the recipes in a vessel that are approved."""
    return [
        ident
        for ident, one in account.judged.products.items()
        if one.status is Status.APPROVED and one.recipe.vessel == vessel
    ]


# Bills -------------------------------------------------------------------------------------


def test_one_bill_line_by_line() -> None:
    """The tumblers and tins of 2026-02-20, all of it by hand.

    Goods 111.60 + 30.24 + 9.12 = 150.96. Freight 54.00 by value:
      5400 x 111.60 / 150.96 = 3992.05 -> 3992 coins; 1081.72 -> 1081; 326.23 -> 326; 5399 in all,
      and the one left over goes to the largest remainder, the tin's .72: 39.92, 10.82, 3.26.
    Duty 11.35: 1135 x 111.60 / 150.96 = 839.07; 227.36; 68.57: 839 + 227 + 68 = 1134, and the one
      left over to the lids: 8.39, 2.27, 0.69.
    A tumbler: (111.60 + 39.92 + 8.39) / 72 = 159.91 / 72 = 2.2209722...
    """
    lines = {
        item: one
        for item, several in SUMS.bought.items()
        for one in several
        if one.bill == "2026-02-20-tumblers-and-tins"
    }
    tumbler, tin = lines["vessels/amber-tumbler"], lines["vessels/small-tin"]
    lid = lines["packaging/tin-lid"]
    assert [one.freight for one in (tumbler, tin, lid)] == [
        Fraction("39.92"), Fraction("10.82"), Fraction("3.26"),
    ]  # fmt: skip
    assert [one.duty for one in (tumbler, tin, lid)] == [
        Fraction("8.39"), Fraction("2.27"), Fraction("0.69"),
    ]  # fmt: skip
    assert tumbler.each == Fraction("159.91") / 72


def test_every_bill_is_landed_as_by_hand(told: dict[str, Any]) -> None:
    """Each line of each bill has its price, freight, duty and landed unit cost."""
    assert told["prices"].keys() == SUMS.bought.keys()
    for item, lines in SUMS.bought.items():
        shown = told["prices"][item]
        assert [(one["purchase"], one["on"]) for one in shown] == [
            (one.bill, one.on) for one in lines
        ]
        for one, hand in zip(shown, lines, strict=True):
            assert Fraction(one["price"]) == hand.price
            assert Fraction(one["freight"]) == hand.freight
            assert Fraction(one["duty"]) == hand.duty
            assert near(one["quantity"], hand.amount)
            assert near(one["unit_cost"], hand.each)


def test_every_bill_adds_up(told: dict[str, Any]) -> None:
    """What the lines of a bill landed at is, to the coin, what the bill says."""
    sums: dict[str, Fraction] = {}
    for lines in told["prices"].values():
        for one in lines:
            landed = sum(Fraction(one[part]) for part in ("price", "freight", "duty"))
            sums[one["purchase"]] = sums.get(one["purchase"], Fraction(0)) + landed
    assert sums == {
        name: sum((Fraction(line["price"]) for line in bill["lines"]), Fraction(0))
        + Fraction(bill.get("freight", 0))
        + Fraction(bill.get("duty", 0))
        for name, bill in BOOK["purchases"].items()
    }


# Candles -----------------------------------------------------------------------------------


def test_one_candle_line_by_line(told: dict[str, Any]) -> None:
    """Cedar and fig, all of it from numbers written out here.

    Fill: 182.7 g as written. 8 % oil on the wax: 182.7 / 1.08 = 169.1667 g wax, 13.5333 g oil.
    Wax: 44 lb = 19958.06428 g for 124.00, with 13.99 of the 21.00 freight by mass: 2100 coins x
      19958.06428 / 29958.06428 = 1399.02. 137.99 / 19958.06428 = 0.006914 a gram; 2 % stays in
      the pitcher: 169.1667 x 0.006914 / 0.98 = 1.1935.
    Oil: (51.00 + 7.50 + 2.55) / 1000 = 0.06105 a gram: 13.5333 x 0.06105 / 0.98 = 0.8431.
    Vessel: 2.2210. Three in a hundred break: 2.2209722 x 0.03 / 0.97 = 0.0687.
    Wick: 200 for 22.00, freight 4.90 by value: 490 x 22.00 / 53.75 = 200.56 -> 2.00 or 2.01.
      Rounded down 50 + 182 + 200 + 56 = 488 of 490; the two left over to .56 (the 8) and .98
      (the 10): 2.01. 24.01 / 200 = 0.12005 -> 0.1200 (half to even).
    Packaging: 45.00 / 500 + 30.00 / 500 + 14.00 / 200 = 0.09 + 0.06 + 0.07 = 0.22.
    Labour: 18.00 x 6 / 60 = 1.80. Overhead 0.55.
    """
    shown = told["products"]["cedar-fig"]
    assert shown["cost_lines"] == {
        "wax": "1.1935",
        "fragrance": "0.8431",
        "colorant": "0.0000",
        "vessel": "2.2210",
        "breakage": "0.0687",
        "wick": "0.1200",
        "packaging": "0.2200",
        "labour": "1.8000",
        "overhead": "0.5500",
    }
    assert shown["unit_cost"] == "7.0163"
    assert shown["retail"]["price"] == "28.07"  # 28.0652, up to the coin
    assert shown["wholesale"]["price"] == "14.04"  # 14.0326


@pytest.mark.parametrize("ident", RECIPES)
def test_every_candle_line_by_line(told: dict[str, Any], ident: str) -> None:
    """Each line of each product's cost, and their sum."""
    hand = SUMS.lines(BOOK["recipes"][ident])
    shown = told["products"][ident]
    assert {name: Fraction(cost) for name, cost in shown["cost_lines"].items()} == hand
    assert Fraction(shown["unit_cost"]) == sum(hand.values())
    assert shown["unpriced"] == []


@pytest.mark.parametrize("ident", RECIPES)
@pytest.mark.parametrize(("name", "multiple"), [("wholesale", 2), ("retail", 4)])
def test_every_price(told: dict[str, Any], ident: str, name: str, multiple: int) -> None:
    """The multiple of the cost up to the coin; margin of the price, markup of the cost."""
    cost = SUMS.total(BOOK["recipes"][ident])
    price = up_to_coin(cost * multiple)
    shown = told["products"][ident][name]
    assert Fraction(shown["price"]) == price
    assert Fraction(shown["left"]) == price - cost
    assert near(shown["margin"], (price - cost) / price)
    assert near(shown["markup"], (price - cost) / cost)


@pytest.mark.parametrize("ident", RECIPES)
def test_every_hour_and_proof(account: Account, told: dict[str, Any], ident: str) -> None:
    """What a burning hour costs and asks for, and what three test candles take and cost."""
    cost, burned = SUMS.total(BOOK["recipes"][ident]), passed(account, ident)
    shown, proof = told["products"][ident], told["products"][ident]["proving"]
    made = sum(int(one["made"]) for one in BOOK["batches"].values() if one["recipe"] == ident)
    assert proof["candles"] == 3  # protocols/house.md
    assert proof["made"] == made
    if not burned:
        assert (shown["hour_cost"], shown["hour_price"], shown["hour_left"]) == (None, None, None)
        assert (proof["hours"], proof["work_hours"]) == (None, None)
        assert Fraction(proof["cost"]) == 3 * cost
        return
    life = mean([hours_of(one) for one in burned])
    work = 3 * mean([Fraction(len(one["cycles"])) for one in burned]) * 8 / 60  # 8 min a cycle
    assert near(shown["hour_cost"], cost / life)
    assert near(shown["hour_price"], up_to_coin(4 * cost) / life)
    assert near(shown["hour_left"], (up_to_coin(4 * cost) - cost) / life)
    assert near(proof["hours"], 3 * life)
    assert near(proof["work_hours"], work)
    assert near(proof["cost"], 3 * cost + work * 18)  # 18.00 an hour
    assert (proof["each"] is None) == (made == 0)
    assert not made or near(proof["each"], (3 * cost + work * 18) / made)


@pytest.mark.parametrize("ident", RECIPES)
def test_every_swap(account: Account, told: dict[str, Any], ident: str) -> None:
    """The scent in every other vessel for products: proven ones at their own cost, else moved."""
    recipe, cost = BOOK["recipes"][ident], SUMS.total(BOOK["recipes"][ident])
    price = up_to_coin(4 * cost)
    own_margin = (price - cost) / price
    scent = sorted(recipe["fragrance"]) if isinstance(recipe["fragrance"], dict) else []
    shown = told["products"][ident]["swaps"]
    assert [one["vessel"] for one in shown if one["own"]] == [recipe["vessel"]]
    seen = []
    for one in shown[1:]:
        seen.append((one["vessel"], one["proven"]))
        if one["proven"]:
            there = SUMS.total(BOOK["recipes"][one["proven"]])
        else:
            there = SUMS.moved(recipe, one["vessel"])
        assert Fraction(one["unit_cost"]) == there
        assert Fraction(one["change"]) == there - cost
        assert near(one["margin"], (price - there) / price)
        assert Fraction(one["price_for_same_margin"]) == up_to_coin(there / (1 - own_margin))
    due = []
    for vessel in VESSELS:
        if vessel == recipe["vessel"] or BOOK["vessels"][vessel]["use"] == "practice":
            continue
        held = {name: BOOK["recipes"][name]["fragrance"] for name in approved(account, vessel)}
        same = [
            name for name, oils in held.items()
            if (sorted(oils) if isinstance(oils, dict) else []) == scent
        ]  # fmt: skip
        due += [(vessel, name) for name in same] or [(vessel, None)]
    assert sorted(seen, key=str) == sorted(due, key=str)


# Vessels -----------------------------------------------------------------------------------


@pytest.mark.parametrize("vessel", VESSELS)
def test_what_every_vessel_earns(account: Account, told: dict[str, Any], vessel: str) -> None:
    """Landed cost, freight in it, the candles' costs, the price at the middle, one more proof."""
    shown, lines = told["vessels"][vessel], SUMS.delivered(f"vessels/{vessel}")
    last = [one for one in lines if one.on == lines[-1].on]
    landed = sum(one.price + one.freight + one.duty for one in last)
    assert near(shown["landed_cost"], newest(lines))
    assert near(shown["freight_share"], sum(one.freight for one in last) / landed)
    assert near(shown["duty_share"], sum(one.duty for one in last) / landed)
    proven = approved(account, vessel)
    names = proven or [
        name
        for name, one in account.judged.products.items()
        if one.recipe.vessel == vessel and one.status is not Status.RETIRED
    ]
    assert shown["proven"] == bool(proven)
    if not names:
        assert (shown["unit_cost"], shown["retail"], shown["proving"]["cost"]) == (None,) * 3
        return
    costs = [SUMS.total(BOOK["recipes"][name]) for name in names]
    assert Fraction(shown["unit_cost"]["least"]) == min(costs)
    assert Fraction(shown["unit_cost"]["most"]) == max(costs)
    assert Fraction(shown["retail"]["price"]) == up_to_coin(4 * middle(costs))
    hours = {
        name: mean([hours_of(one) for one in passed(account, name)])
        for name in names
        if passed(account, name)
    }
    each = [SUMS.total(BOOK["recipes"][name]) / life for name, life in hours.items()]
    assert (shown["hour_cost"] is None) == (not each)
    burned = burned_in(account, vessel)
    work = Fraction(0)
    if burned:
        work = 3 * mean([Fraction(len(one["cycles"])) for one in burned]) * 8 / 60
        assert near(shown["proving"]["hours"], 3 * mean([hours_of(one) for one in burned]))
    assert near(shown["proving"]["cost"], 3 * middle(costs) + 18 * work)
    if each:
        price = Fraction(told["hour_price"])
        assert near(shown["hour_cost"]["least"], min(each))
        assert near(shown["hour_cost"]["most"], max(each))
        assert near(shown["margin_at_one_price"]["least"], (price - max(each)) / price)
        assert near(shown["margin_at_one_price"]["most"], (price - min(each)) / price)


def test_the_price_of_an_hour(account: Account, told: dict[str, Any]) -> None:
    """Vessels are compared at the middle of what the approved products ask for an hour."""
    asked = []
    for ident, one in account.judged.products.items():
        if one.status is Status.APPROVED:
            life = mean([hours_of(burn) for burn in passed(account, ident)])
            asked.append(up_to_coin(4 * SUMS.total(BOOK["recipes"][ident])) / life)
    assert len(asked) == 6
    assert near(told["hour_price"], middle(asked))


def test_sharing_by_hand_agrees_with_itself() -> None:
    """The hand-written sharing adds up, and gives the worked example of figures.md's rule."""
    assert shared(Fraction(12), [Fraction(10000), Fraction(1000), Fraction(2000)]) == [
        Fraction("9.23"), Fraction("0.92"), Fraction("1.85"),
    ]  # fmt: skip
