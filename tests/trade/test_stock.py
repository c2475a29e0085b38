"""What is left in the store: the demo by hand, and what counts, lots and incidents do to it."""

import json
import re
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from handbook_builder.derived.lot_balance import balances
from handbook_builder.derived.stock import stock_of, value_of
from handbook_builder.pages.edition import Edition
from handbook_builder.reading.refs import Ref
from handbook_builder.workshop import account_in, studio_in
from tests.money.by_hand import book_of, deliveries
from tests.records_in_text import linked
from tests.told.rig import account, html, plain, run
from tests.told.test_lots_told import bill, studio
from tests.trade.stock_by_hand import RECORDS, Key, by_hand, day_of, raw

DAYS = ("2025-06-15", "2025-12-31", "2026-01-10", "2026-04-20", "2026-04-24", "2026-05-01")
DAY = date(2026, 5, 1)
COIN = Decimal("0.01")


@pytest.mark.parametrize("day", DAYS)
def test_every_item_and_lot_of_the_demo_is_as_added_up_by_hand(day: str) -> None:
    """Before, on and after the days of the counts; both ways know the same items and lots."""
    demo, _ = studio_in(RECORDS)
    assert demo is not None
    found = {(str(item), lot): one.left for (item, lot), one in balances(demo, day_of(day)).items()}
    expected = by_hand(day)
    assert found.keys() == expected.keys()
    assert len(expected) > 3
    for key, left in expected.items():
        assert abs(Fraction(found[key]) - left) < Fraction(1, 10**6), key


def test_the_demo_has_what_there_is_to_prove() -> None:
    """Lots, goods without a lot, counts above and below the papers, a batch not weighed."""
    before, after = by_hand("2026-04-19"), by_hand("2026-04-20")
    assert before["fragrances/cedar-fig-oil", "F-280"] > after["fragrances/cedar-fig-oil", "F-280"]
    assert before["packaging/tin-lid", None] == after["packaging/tin-lid", None]
    assert "weighed" not in raw("batches")["cedar-fig-gift-2026-04-18"]


@pytest.mark.parametrize("day", ["2025-12-31", "2026-05-01"])
def test_the_value_at_cost_adds_up_to_the_coin(day: str) -> None:
    """Each lot is grams by hand times the newest landed price by hand, in coins; all of it summed.

    Amounts are those of `stock_by_hand`, prices those of `tests/money/by_hand`: none is ours.
    """
    told, _ = account_in(RECORDS, day_of(day))
    assert told is not None
    assert told.money is not None
    stock = stock_of(told)
    worth = value_of(told, stock, told.money.prices)
    assert worth.unpriced == ()
    bought = deliveries(book_of(RECORDS), day)
    total = Decimal(0)
    for (item, lot), left in by_hand(day).items():
        exact = left * bought[item][-1].each
        coins = Decimal(exact.numerator) / Decimal(exact.denominator)
        expected = coins.quantize(COIN, rounding=ROUND_HALF_EVEN)
        lots = [one.balance.lot for one in stock[Ref(item)].lots]
        assert worth.items[Ref(item)].lots[lots.index(lot)] == expected, (item, lot)
        total += expected
    assert worth.total == total


def test_a_price_by_hand() -> None:
    """Lids: 48 for 9.12, of 150.96 on the bill; freight 54.00 and duty 11.35 shared by value.

    9.12/150.96 of 54.00 is 3.2623, of 11.35 it is 0.6857: 3.26 and 0.69 to the coin. So 13.07 for
    48, and 64 lids are worth 17.4267: 17.43.
    """
    told, _ = account_in(RECORDS, DAY)
    assert told is not None
    assert told.money is not None
    lid = Ref("packaging/tin-lid")
    worth = value_of(told, stock_of(told), told.money.prices).items[lid]
    assert worth.total == Decimal("17.43")


def counted(what: str, on: str = "2026-04-20") -> str:
    """Return a record of a count."""
    return f"---\non: {on}\ncounted: {{{what}}}\n---\n"


def left(files: dict[str, str], day: date = DAY) -> dict[Key, float]:
    """Return what is left by item and lot."""
    return {(str(item), lot): one.left for (item, lot), one in balances(linked(files), day).items()}


def test_a_count_holds_from_the_evening_of_its_day() -> None:
    """1400 g bought, 300 g in test candles, 1000 g in a batch of the 5th of April."""
    for on, expected in (("2026-04-04", 0.0), ("2026-04-05", 1000.0), ("2026-04-20", 1000.0)):
        files = {**studio(), "stock/one.md": counted("waxes/soy W-1: 1 kg", on)}
        assert left(files)["waxes/soy", "W-1"] == pytest.approx(expected)
    files = {**studio(), "stock/one.md": counted("waxes/soy W-1: 1 kg", "2026-04-20")}
    assert left(files, date(2026, 4, 19))["waxes/soy", "W-1"] == pytest.approx(100.0)


def test_the_last_count_holds() -> None:
    """Whatever the records are called."""
    files = {
        **studio(),
        "stock/a.md": counted("vessels/tumbler V-1: 9", "2026-04-22"),
        "stock/b.md": counted("vessels/tumbler V-1: 4", "2026-04-21"),
    }
    assert left(files)["vessels/tumbler", "V-1"] == 9


def test_what_a_count_missed_is_not_there_to_pour() -> None:
    """24 vessels bought, 13 taken; a count finds that 8 of them had broken: one lot over-drawn."""
    files = studio()
    assert balances(linked(files), DAY)[Ref("vessels/tumbler"), "V-1"].left == 11
    files["stock/one.md"] = counted("vessels/tumbler V-1: 7", "2026-03-31")  # 10 are poured later
    one = balances(linked(files), DAY)[Ref("vessels/tumbler"), "V-1"]
    assert (one.left, one.missing, one.is_overdrawn) == (-3, 14, True)
    page = html(files)["stock/index"]
    assert "Tumbler, lot V-1: 13 were taken, and 10 were there." in page


def test_more_than_the_papers_say_does_not_hide_a_missing_bill() -> None:
    """1300 g were taken of 1200 g: that a count finds some all the same does not mend the bill."""
    files = {**studio("1200 g"), "stock/one.md": counted("waxes/soy W-1: 500 g")}
    one = balances(linked(files), DAY)[Ref("waxes/soy"), "W-1"]
    assert (one.left, one.is_overdrawn) == (pytest.approx(500.0), True)


def without_a_lot(files: dict[str, str]) -> dict[str, str]:
    """Return the files with test candles that do not say from which lot they were poured."""
    lots = "lots: {waxes/soy: W-1, vessels/tumbler: V-1, wicks/cotton-8: C-1}\n"
    return {path: text.replace(lots, "") for path, text in files.items()}


def test_what_was_taken_without_a_lot_is_taken_from_the_item() -> None:
    """300 g by three test candles: the lot has 400 g by its own papers, the item 100 g."""
    files = without_a_lot(studio())
    found = left(files)
    assert (found["waxes/soy", "W-1"], found["waxes/soy", None]) == (400.0, -300.0)
    wax = stock_of(account(files))[Ref("waxes/soy")]
    assert (wax.left, wax.usable) == (pytest.approx(100.0), pytest.approx(100.0))
    assert "Taken without saying from which lot." in html(files)["stock/index"]


def test_a_count_of_all_lots_settles_what_was_taken_without_one() -> None:
    """Where one lot of two was not counted, nobody knows."""
    files = without_a_lot(studio())
    files["stock/one.md"] = counted("waxes/soy W-1: 50 g")
    assert stock_of(account(files))[Ref("waxes/soy")].left == pytest.approx(50.0)
    files["purchases/two.md"] = bill("item: waxes/soy, quantity: 2 kg, lot: W-2")
    assert stock_of(account(files))[Ref("waxes/soy")].left == pytest.approx(50.0 + 2000.0 - 300.0)
    files["stock/one.md"] = counted("waxes/soy W-1: 50 g, waxes/soy W-2: 1.9 kg")
    assert stock_of(account(files))[Ref("waxes/soy")].left == pytest.approx(1950.0)


def test_what_a_batch_did_not_weigh_is_told_until_it_is_counted() -> None:
    """What is left is then at the most."""
    files = studio()
    files["batches/april.md"] = files["batches/april.md"].replace(
        "weighed: {waxes/soy: 1000 g, fragrances/fig-oil: 80 g}\n", ""
    )
    wax = balances(linked(files), DAY)[Ref("waxes/soy"), "W-1"]
    assert (wax.left, wax.unweighed) == (1100.0, ("april",))
    assert "At the most: a batch did not weigh" in html(files)["stock/index"]
    files["stock/one.md"] = counted("waxes/soy W-1: 90 g")
    wax = balances(linked(files), DAY)[Ref("waxes/soy"), "W-1"]
    assert (wax.left, wax.unweighed) == (pytest.approx(90.0), ())


def test_what_an_incident_is_about_is_there_and_may_not_be_poured() -> None:
    """It is worth what it cost until it is thrown out; nobody may pour it."""
    files = studio()
    files["incidents/one.md"] = (
        "---\nnumber: 1\non: 2026-04-10\nabout: waxes/soy\nlot: W-1\nwhat: It smells sour.\n---\n"
    )
    wax = stock_of(account(files))[Ref("waxes/soy")]
    assert (wax.left, wax.usable) == (pytest.approx(100.0), 0.0)
    assert [lot.incidents for lot in wax.lots] == [(1,)]
    assert "Suspended" in html(files)["stock/index"]


def test_kept_candles_are_here_and_not_on_hand() -> None:
    """Of ten three are sold and two kept: seven are left, five on hand."""
    files = studio()
    files["batches/april.md"] = files["batches/april.md"].replace(
        "weighed",
        "given:\n  - {on: 2026-04-25, to: anna, count: 3, how: sold}\n"
        "kept:\n  - {on: 2026-04-26, count: 2, why: as samples}\nweighed",
    )
    one = account(files).batches["april"]
    assert (one.given, one.kept, one.left, one.on_hand) == (3, 2, 7, 5)
    assert account(files, date(2026, 4, 25)).batches["april"].on_hand == 7
    page = plain(re.sub(r"<[^>]+>", "", html(files)["batches/april"]))
    assert "2 kept since 2026-04-26: as samples" in page


def test_the_floor_has_the_amounts_and_no_value() -> None:
    """Nor does it say what the supplier calls a lot."""
    floor = html(studio(), edition=Edition.FLOOR)["stock/index"]
    owner = html(studio())["stock/index"]
    assert "At cost" in owner
    assert "W-1" in owner
    for piece in ("At cost", "EUR", "W-1"):
        assert piece not in floor
    assert "100.0 g" in owner
    assert "100.0 g" in floor


def test_the_command_tells_one_item_and_the_nearest_of_none(tmp_path: Path) -> None:
    """By its id; what is not there is a wrong call with the nearest name."""
    result = run(tmp_path, studio(), "stock", "soy", "--as-of", "2026-05-01")
    assert result.exit_code == 0
    assert "W-1: 100.0 g left" in plain(result.output)
    told = run(tmp_path, studio(), "stock", "waxes/soy", "--json", "--as-of", "2026-05-01")
    assert list(json.loads(told.stdout)["items"]) == ["waxes/soy"]
    wrong = run(tmp_path, studio(), "stock", "soya")
    assert wrong.exit_code == 2
    assert "Did you mean soy?" in wrong.output
