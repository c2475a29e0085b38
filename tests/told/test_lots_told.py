"""What was taken from a lot against what was bought; what is no fault and is told all the same."""

import json
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.derived.lot_balance import lot_balances
from handbook_builder.pages.edition import Edition
from tests.records_in_text import BASE, DAY, burn, linked, proven
from tests.told.rig import figures, html, pages, plain, run

PAGE = "lots/waxes-soy--w-1"


def bill(*lines: str, on: str = "2026-01-10") -> str:
    """Return a bill with these lines, each an item, a quantity and a lot."""
    body = "".join(f"  - {{{one}, price: 10.00}}\n" for one in lines)
    return f"---\nsupplier: jar-house\non: {on}\nlines:\n{body}---\n"


def batch(weighed: str = "waxes/soy: 1000 g, fragrances/fig-oil: 80 g", made: int = 10) -> str:
    """Return a batch from every lot below."""
    return (
        f"---\nrecipe: fig\non: 2026-04-05\nmade: {made}\nby: wren\n"
        "lots: {waxes/soy: W-1, fragrances/fig-oil: F-1, vessels/tumbler: V-1, "
        f"wicks/cotton-8: C-1, packaging/box: B-1}}\nweighed: {{{weighed}}}\n---\n"
    )


LOTS = "lots: {waxes/soy: W-1, vessels/tumbler: V-1, wicks/cotton-8: C-1}\n"


def studio(bought: str = "1.4 kg", tolerance: str = "") -> dict[str, str]:
    """Return a proven studio with three test candles and a batch of ten from lot W-1."""
    files = proven()
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), more=LOTS)
    files["studio.md"] = files["studio.md"].replace("protocol:", f"{tolerance}protocol:")
    files["recipes/fig.md"] = files["recipes/fig.md"].replace(
        "load_basis", "packaging: {box: 2}\nload_basis"
    )
    return {
        **files,
        "packaging/box.md": "---\nform: box\n---\n",
        "batches/april.md": batch(),
        "purchases/one.md": bill(
            f"item: waxes/soy, quantity: {bought}, lot: W-1",
            "item: fragrances/fig-oil, quantity: 100 mL, lot: F-1",
            "item: vessels/tumbler, quantity: 24 pcs, lot: V-1",
            "item: wicks/cotton-8, quantity: 100 pcs, lot: C-1",
            "item: packaging/box, quantity: 50 pcs, lot: B-1",
        ),
    }


def test_batches_and_test_candles_take_from_a_lot() -> None:
    """1000 g and three times 100 g of wax; 13 vessels and wicks; 20 boxes; oil by its density."""
    found = lot_balances(linked(studio()), DAY)
    taken = {lot: (one.amount, one.bought, one.unit) for (_, lot), one in found.items()}
    assert taken == {
        "W-1": (1300.0, 1400.0, "g"),
        "F-1": (80.0, pytest.approx(98.0), "g"),  # 100 mL · 0.98 g/mL
        "V-1": (13.0, 24.0, "pieces"),
        "C-1": (13.0, 100.0, "pieces"),
        "B-1": (20.0, 50.0, "pieces"),
    }
    assert not any(one.is_overdrawn for one in found.values())


@pytest.mark.parametrize(
    ("bought", "tolerance", "over"),
    [
        ("1300 g", "", False),
        ("1275 g", "", False),  # 1275 · 1.02 = 1300.5
        ("1274 g", "", True),  # 1274 · 1.02 = 1299.48
        ("1290 g", "lot_tolerance: 0 %\n", True),
        ("1000 g", "lot_tolerance: 30 %\n", False),
    ],
)
def test_more_than_was_bought_is_told(bought: str, tolerance: str, over: bool) -> None:  # noqa: FBT001 -- a case
    """Beyond the studio's own tolerance, 2 % unless said."""
    files = studio(bought, tolerance)
    told = figures(files)
    lot = told["lots"]["waxes-soy--w-1"]
    assert lot["overdrawn"] is over
    assert ("lot_overdrawn" in [one["code"] for one in told["warnings"]]) is over
    assert ("More was taken than was bought" in html(files)[PAGE]) is over


def test_a_warning_has_its_place_and_both_numbers(tmp_path: Path) -> None:
    """As editors parse it, and it is no fault; as JSON it stands beside the faults."""
    files = studio("1200 g")
    result = run(tmp_path, files, "check")
    assert result.exit_code == 0
    assert (
        "records/batches/april.md:6:8: warning: lot 'W-1' of waxes/soy: 1300.0 g were taken from "
        "it, and 1200.0 g were bought." in result.output
    )
    told = json.loads(run(tmp_path, files, "check", "--json").output)
    assert (told["format"], told["faults"]) == (2, [])
    (warning,) = told["warnings"]
    assert (warning["file"], warning["line"], warning["code"]) == (
        "records/batches/april.md", 6, "lot_overdrawn"
    )  # fmt: skip


def test_the_page_of_a_lot_has_both_numbers_and_its_test_candles() -> None:
    """In both editions: neither is a secret of the owner."""
    for edition, path in ((Edition.OWNER, PAGE), (Edition.FLOOR, "lots/waxes-soy--2026-01-10")):
        page = html(studio("1200 g"), edition=edition)[path]
        assert "1300.0 g were taken, and 1200.0 g were bought." in page
        assert "Fig, candle A" in page
    balance = pages(studio())[PAGE].content.balance
    assert (plain(balance.taken), plain(balance.bought), balance.over) == (
        "1300.0 g",
        "1400.0 g",
        None,
    )


def test_nothing_of_a_later_day_is_taken() -> None:
    """Before the batch only the test candles have taken their wax."""
    found = lot_balances(linked(studio()), date(2026, 4, 4))
    assert found["waxes/soy", "W-1"].amount == 300.0
    assert lot_balances(linked(studio()), date(2026, 1, 9)) == {}


def test_what_was_not_weighed_is_not_guessed() -> None:
    """A batch without masses takes nothing that could be too much."""
    files = {**studio("310 g"), "batches/april.md": batch().replace("waxes/soy: 1000 g, ", "")}
    assert figures(files)["lots"]["waxes-soy--w-1"]["taken"] == 300.0


def test_a_fault_stands_under_faults(tmp_path: Path) -> None:
    """With no word of warnings, since nothing was linked."""
    files = {**BASE, "waxes/soy.md": "---\nkind: soy\n---\n"}
    result = run(tmp_path, files, "check", "--json")
    told = json.loads(result.output)
    assert (result.exit_code, told["format"], told["warnings"]) == (1, 2, [])
    assert {one["code"] for one in told["faults"]} == {"missing_key"}


def test_a_fill_that_follows_the_vessel_is_told_the_line_to_write(tmp_path: Path) -> None:
    """210 mL at 108 / (100/0.9 + 8/0.98) g/mL is 190.15 g; only once a candle was poured."""
    grams = 210 * 108 / (100 / 0.9 + 8 / 0.98)
    assert f"{grams:.1f}" == "190.1"
    files = proven()
    files["recipes/fig.md"] = files["recipes/fig.md"].replace("fill: 108 g", "fill: to_line")
    result = run(tmp_path, files, "check")
    assert "records/recipes/fig.md:8:1: warning: fig has test candles" in result.output
    assert "'fill: 190.1 g'" in result.output
    assert "fill: 190.1 g" in pages(files)["products/fig"].content.fill.note
    assert pages(proven())["products/fig"].content.fill.note is None
    unpoured = {**BASE, "recipes/fig.md": files["recipes/fig.md"]}
    assert figures(unpoured)["warnings"] == []


def test_the_line_to_write_keeps_the_code() -> None:
    """Writing it makes no other candle of it."""
    files = proven()
    line = files["recipes/fig.md"].replace("fill: 108 g", "fill: to_line")
    files["recipes/fig.md"] = line
    before = figures(files)["products"]["fig"]["code"]
    files["recipes/fig.md"] = line.replace("fill: to_line", "fill: 190.1 g")
    assert figures(files)["products"]["fig"]["code"] == before
