"""What to order so that what is planned can be poured: by hand, and as the plan has it."""

import json
from collections import defaultdict
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.board import board_of
from handbook_builder.derived.orders import orders_of
from handbook_builder.derived.plan.planned import batch_wanted, planned, wanted_by
from handbook_builder.derived.stock import stock_of
from handbook_builder.pages.edition import Edition
from handbook_builder.reading.records import read_texts
from handbook_builder.reading.refs import Ref
from handbook_builder.workshop import studio_from
from tests.oracle.generate import studio as studio_of
from tests.records_in_text import RECIPE, SUPPLIER, linked
from tests.told.rig import account, html, plain, run
from tests.told.test_lots_told import studio

ROOT = Path(__file__).parents[2]
TIMES = "\N{MULTIPLICATION SIGN}"
AS_OF = ("--as-of", "2026-05-01")
TERMS = "lead_time: 2 weeks\nminimum_order: 61.50\ndistance: 38 km\n"
# Of 1400 g of wax 1300 g went, of 98 g of oil 104 g, of 24 vessels 13: 100 g, nothing, and 11.
SOY, OIL, TUMBLER = Ref("waxes/soy"), Ref("fragrances/fig-oil"), Ref("vessels/tumbler")


def waiting(breakage: str = "") -> dict[str, str]:
    """Return the studio with a second recipe, 100 g of wax and 7 g of oil, that nobody lit yet."""
    files = studio()
    files["recipes/more.md"] = (
        RECIPE.replace("Fig", "More").replace("8 %", "7 %").replace("fill: 108 g", "fill: 107 g")
    )
    files["suppliers/jar-house.md"] = SUPPLIER.replace("---\n", f"---\n{TERMS}", 1)
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace(
        "drinkware", f"{breakage}drinkware"
    )
    return files


def amounts(told: Account, batches: dict[str, int]) -> dict[str, tuple[float, float, float]]:
    """Return what is needed, short and to order of each item that is short."""
    poured = [batch_wanted(told, ident, count) for ident, count in batches.items()]
    wanted = (*wanted_by(planned(told, board_of(told))), *poured)
    orders = orders_of(told, stock_of(told), wanted)
    return {str(one.item): (one.need, pytest.approx(one.short), one.buy) for one in orders}


def test_three_test_candles_by_hand() -> None:
    """300 g of wax, of which 100 g are there; 21 g of oil, of which nothing is; vessels enough."""
    assert amounts(account(waiting()), {}) == {SOY: (300.0, 200.0, 200.0), OIL: (21.0, 21.0, 21.0)}


def test_what_stays_in_the_pitcher_is_ordered_too() -> None:
    """With a fifth lost 300 g are 375 g to weigh, and 21 g are 26.25 g: 26.3 g to order."""
    files = waiting()
    files["studio.md"] = files["studio.md"].replace("protocol:", "pitcher_loss: 20 %\nprotocol:")
    assert amounts(account(files), {}) == {SOY: (375.0, 275.0, 275.0), OIL: (26.25, 26.25, 26.3)}


def test_a_batch_beside_the_proof_by_hand() -> None:
    """Twelve of 100 g and 8 g: 1500 g of wax in all, 117 g of oil, 15 vessels, of them 11 there.

    Of ten vessels one breaks: four more are four and four ninths to order, which is five. Of the 50
    boxes 30 are there, and twelve candles take 24.
    """
    files = waiting("breakage: 10 %\n")
    assert amounts(account(files), {"fig": 12}) == {
        TUMBLER: (15.0, 4.0, 5.0), SOY: (1500.0, 1400.0, 1400.0), OIL: (117.0, 117.0, 117.0),
    }  # fmt: skip


def test_the_command_says_from_whom_and_when(tmp_path: Path) -> None:
    """1400 g cost 10.00, so 200 g cost 1.43; 98 g of oil cost 10.00, so 21 g cost 2.15: 3.58."""
    said = plain(run(tmp_path, waiting(), "stock", *AS_OF).output)
    assert f"To be poured: 3 {TIMES} More." in said
    assert "14 days to wait: ordered today, it is here on 2026-05-15." in said
    assert "Least order: 61.50. 38 km away." in said
    assert "At the prices on file it comes to 3.58 EUR, freight included." in said
    line = "200.0 g of Soy: 300.0 g needed, 100.0 g that may be poured; bought last as 1.4 kg on"
    assert line in said
    assert "21.0 g of Fig oil: 21.0 g needed, 0.0 g that may be poured" in said


@pytest.mark.parametrize(
    ("by", "line"),
    [
        ("2026-06-01", "To be here by 2026-06-01, order no later than 2026-05-18."),
        ("2026-05-14", "It cannot be here by 2026-05-14: the last day to order it was 2026-04-30."),
    ],
)
def test_by_a_day(tmp_path: Path, by: str, line: str) -> None:
    """Fourteen days before it."""
    call = ("stock", "--for", "fig=12", "--by", by, *AS_OF)
    said = plain(run(tmp_path, waiting("breakage: 10 %\n"), *call).output)
    assert line in said
    assert f"To be poured: 3 {TIMES} More; 12 {TIMES} Fig." in said
    assert "5 of Tumbler: 15 needed, 11 that may be poured" in said
    told = json.loads(run(tmp_path, waiting(), *call, "--json").stdout)
    assert told["wanted"] == [
        {"what": "recipes/more", "candles": 3}, {"what": "recipes/fig", "candles": 12},
    ]  # fmt: skip
    (wax,) = (one for one in told["orders"] if one["item"] == SOY)
    assert wax["wanted"] == [
        {"what": "recipes/more", "amount": 300.0}, {"what": "recipes/fig", "amount": 1200.0},
    ]  # fmt: skip
    assert (wax["lead_days"], wax["comes_on"], wax["minimum_order"]) == (14, "2026-05-15", "61.50")


def test_wrong_calls(tmp_path: Path) -> None:
    """Each says what would do."""
    for call, said in (
        (("--for", "fig"), "is no batch; write one such as cedar-fig=17"),
        (("--for", "fig=0"), "is no batch"),
        (("--for", "fgi=3"), "No product is called 'fgi'. Did you mean fig?"),
        (("soy", "--for", "fig=3"), "about all that is planned"),
    ):
        found = run(tmp_path, waiting(), "stock", *call, *AS_OF)
        assert (found.exit_code, said in plain(found.output)) == (2, True), call


def test_the_plan_lacks_what_the_stock_says_to_order(tmp_path: Path) -> None:
    """Word for word: the plan of the proof, the page of plans and the page of the store."""
    said = plain(run(tmp_path, waiting(), "plan", "more", *AS_OF).output)
    assert "The store lacks 200.0 g Soy and 21.0 g Fig oil of it" in said
    by = plain(run(tmp_path, waiting(), "plan", "more", "--by", "2026-06-30", *AS_OF).output)
    assert "Order 200.0 g Soy no later than" in by
    assert "Tumbler no later than" not in by  # eleven are there
    pages = html(waiting())
    assert "The store lacks 200.0 g" in pages["plan/index"]
    assert 'data-label="To order">200.0 g<' in pages["stock/index"]


def test_nothing_short_nothing_to_order(tmp_path: Path) -> None:
    """With a bill over enough of both."""
    files = waiting()
    files["purchases/two.md"] = (
        "---\nsupplier: jar-house\non: 2026-04-28\nlines:\n"
        "  - {item: waxes/soy, quantity: 1 kg, lot: W-9, price: 9.00}\n"
        "  - {item: fragrances/fig-oil, quantity: 100 g, lot: F-9, price: 9.00}\n---\n"
    )
    assert amounts(account(files), {}) == {}
    assert "The store has all of it." in run(tmp_path, files, "stock", *AS_OF).output
    by = plain(run(tmp_path, files, "plan", "more", "--by", "2026-06-30", *AS_OF).output)
    assert "The store has all of it, once the proofs before it took theirs." in by
    assert "must be ordered first" not in by


def test_a_suspended_lot_is_not_there() -> None:
    """An open incident about the wax: all 300 g must be ordered."""
    files = waiting()
    files["incidents/one.md"] = (
        "---\nnumber: 1\non: 2026-04-10\nabout: waxes/soy\nlot: W-1\nwhat: It smells sour.\n---\n"
    )
    assert amounts(account(files), {})[SOY] == (300.0, 300.0, 300.0)


def test_twins_are_poured_once() -> None:
    """A second name of the same candle takes nothing more."""
    files = waiting()
    once = amounts(account(files), {})
    files["recipes/also.md"] = files["recipes/more.md"].replace("More", "Also")
    assert amounts(account(files), {}) == once
    assert "one proof serves both" in html(files)["plan/index"]


def test_a_pour_and_the_stock_order_the_same(tmp_path: Path) -> None:
    """Where no proof waits: `pour --count` and `stock --for` name the same amounts."""
    files = waiting("breakage: 10 %\n")
    del files["recipes/more.md"]
    pour = plain(run(tmp_path, files, "pour", "fig", "--count", "20", *AS_OF).output)
    for item, (_, _, buy) in amounts(account(files), {"fig": 20}).items():
        shown = f"{buy:.1f} g" if Ref(item).is_weighed else f"{buy:.0f}"
        assert f"Order {shown} of " in pour, item


def test_the_floor_says_how_much_and_not_from_whom() -> None:
    """No supplier, no price, no terms."""
    owner, floor = html(waiting())["stock/index"], html(waiting(), edition=Edition.FLOOR)
    assert 'data-label="To order">200.0 g<' in floor["stock/index"]
    for piece in ("Jar house", "38 km", "61.50", "1.43"):
        assert piece in owner
        assert piece not in floor["stock/index"]


def lacks_of(told: Account) -> dict[Ref, float]:
    """Return what the plans lack together, by item."""
    found: dict[Ref, float] = defaultdict(float)
    for need in (need for one in planned(told, board_of(told)).values() for need in one.lacks):
        found[need.item] += need.amount
    return dict(found)


COUNTED = """---
on: 2026-04-30
counted:
  waxes/paraffin-blend P-88: 100 g
  wicks/zinc-4 ZN-4-02: 2
  vessels/soapstone-pot SP-1: 1
  vessels/amber-tumbler AT-25-06: 0
  vessels/amber-tumbler AT-26-02: 4
---
"""


def demo(**more: str) -> Account:
    """Return the demo with further records, `__` standing for `/`."""
    records = ROOT / "records"
    files = {
        path.relative_to(records).as_posix(): path.read_bytes()
        for path in sorted(records.rglob("*.md"))
    }
    files |= {f"{path.replace('__', '/')}.md": text.encode() for path, text in more.items()}
    found, problems = studio_from(read_texts(files, "records/"))
    assert found is not None, [str(one) for one in problems]
    return account_of(found, date(2026, 5, 1))


def drawn(seed: int) -> Account:
    """Return a drawn studio."""
    files, day = studio_of(seed)
    return account_of(linked(files), day)


def test_what_plans_lack_adds_up_to_what_is_ordered() -> None:
    """On the demo, whole and with little in its store, and on drawn studios, item by item."""
    short = 0
    for told in (demo(), demo(stock__few=COUNTED), *map(drawn, range(4))):
        wanted = wanted_by(planned(told, board_of(told)))
        orders = {one.item: one.short for one in orders_of(told, stock_of(told), wanted)}
        assert lacks_of(told) == {item: pytest.approx(amount) for item, amount in orders.items()}
        short += len(orders)
    assert short >= 4


def test_the_demo_with_little_in_its_store_by_hand() -> None:
    """Of the records: 3 tumblers with the zinc wick and 3 with vanilla, of which 4 are there.

    Of soapstone pots 3, of which 1 is there; of zinc-4 3, of which 2 are; of 100
    vessels 3 break in the demo, so that 2 to have are 3 to order (2 / 0.97 = 2.06).
    """
    found = amounts(demo(stock__few=COUNTED), {})
    assert found["vessels/amber-tumbler"] == (6.0, 2.0, 3.0)
    assert found["wicks/zinc-4"] == (3.0, 1.0, 1.0)
    assert found["vessels/soapstone-pot"] == (3.0, 2.0, 3.0)
