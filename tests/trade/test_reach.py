"""For how many candles the store reaches: which lots, which not, and whom to order from."""

import json
from pathlib import Path

import pytest

from handbook_builder.derived.reach import makes_of, reach_of
from handbook_builder.pages.edition import Edition
from handbook_builder.reading.refs import Ref
from tests.told.rig import account, html, plain, run
from tests.told.test_lots_told import bill, studio

# Of 1400 g of wax 300 g went into test candles and 1000 g into a batch, of 98 g of oil 80 g and of
# 24 vessels 13. A candle of the recipe is 108 g: 100 g of wax and 8 g of oil.
WAX, OIL, TUMBLER = Ref("waxes/soy"), Ref("fragrances/fig-oil"), Ref("vessels/tumbler")
MORE = bill("item: waxes/soy, quantity: 520 g, lot: W-2", on="2026-04-20")
SOUR = "---\nnumber: 1\non: 2026-04-21\nabout: waxes/soy\nlot: W-2\nwhat: It smells sour.\n---\n"


def lots(files: dict[str, str], item: Ref) -> list[tuple[str | None, int, str | None]]:
    """Return each lot of an item with how many candles it reaches for, and why it does not."""
    (one,) = (one for one in reach_of(account(files), "fig").items if one.item == item)
    return [(lot.lot.balance.lot, lot.candles, lot.lot.why_not) for lot in one.lots]


def test_what_runs_out_first_is_named() -> None:
    """100 g of wax for one, 11 vessels for eleven; of oil 98 - 80 - 24 g are less than nothing."""
    reach = reach_of(account(studio()), "fig")
    assert {one.item: one.candles for one in reach.items} == {
        WAX: 1, OIL: 0, TUMBLER: 11, "wicks/cotton-8": 87, "packaging/box": 15,
    }  # fmt: skip
    assert (reach.most, reach.first) == (0, OIL)


def test_what_stays_in_the_pitcher_is_taken_too() -> None:
    """With a fifth lost, 100 g for a candle are 125 g to weigh: 100 + 520 g make four, not six."""
    files = {**studio(), "purchases/more.md": MORE}
    assert lots(files, WAX) == [("W-1", 1, None), ("W-2", 5, None)]
    files["studio.md"] = files["studio.md"].replace("protocol:", "pitcher_loss: 20 %\nprotocol:")
    reach = reach_of(account(files), "fig")
    (wax,) = (one for one in reach.items if one.item == WAX)
    assert (float(wax.each), wax.candles, wax.need(4), wax.short(5)) == (125.0, 4, 500.0, 5.0)


def test_a_suspended_lot_is_never_offered() -> None:
    """It is told with the incident, and reaches for nothing."""
    files = {**studio(), "purchases/more.md": MORE, "incidents/one.md": SOUR}
    assert lots(files, WAX) == [("W-1", 1, None), ("W-2", 0, "suspended")]
    (wax,) = (one for one in reach_of(account(files), "fig").items if one.item == WAX)
    assert (wax.candles, wax.usable) == (1, pytest.approx(100.0))
    page = html(files)["pour/fig"]
    assert "W-2: 520.0 g, not to be poured while incident 1 is open" in page


def test_what_bears_no_lot_may_be_the_bad_one() -> None:
    """A delivery without a lot is not offered while an incident is open about one of the item."""
    unnamed = MORE.replace(", lot: W-2", "")
    files = {**studio(), "purchases/more.md": unnamed}
    assert lots(files, WAX)[-1] == (None, 5, None)
    files["incidents/one.md"] = SOUR.replace("W-2", "W-1")
    assert lots(files, WAX) == [("W-1", 0, "suspended"), (None, 0, "unsure")]


def test_a_former_specification_is_not_offered() -> None:
    """The wax that was bought before its maker changed it makes another candle."""
    files = {**studio(), "purchases/more.md": MORE}
    new = "spec: 2\nspec_since: 2026-04-15\ncure:"
    files["waxes/soy.md"] = files["waxes/soy.md"].replace("cure:", new)
    assert lots(files, WAX) == [("W-1", 0, "former"), ("W-2", 5, None)]


def test_lots_together_and_alone() -> None:
    """Six candles need both lots of wax, five need one."""
    files = {**studio(), "purchases/more.md": MORE}
    (wax,) = (one for one in reach_of(account(files), "fig").items if one.item == WAX)
    assert [lot.lot.balance.lot for lot in wax.alone(5)] == ["W-2"]
    assert (wax.alone(6), wax.short(6), wax.short(7)) == ((), 0.0, pytest.approx(80.0))


def test_the_sheet_in_the_terminal_answers_for_the_count(tmp_path: Path) -> None:
    """With what is short, and whom to order it from at which terms."""
    files = {**studio(), "purchases/more.md": MORE}
    files["suppliers/jar-house.md"] = (
        "---\nkind: candle_supplier\ndistance: 38 km\nminimum_order: 61.50\n---\n"
    )
    call = ("pour", "fig", "--count", "6", "--as-of", "2026-05-01")
    said = plain(run(tmp_path, files, *call).output)
    assert "Not enough in the store for 6: it reaches for 0." in said
    assert "Soy: 600.0 g needed, which no lot has alone: pour a batch from each." in said
    assert "Fig oil: 48.0 g needed, 48.0 g short." in said
    assert "Order 48.0 g of Fig oil or more from Jar house: least order 61.50; 38 km away." in said
    told = json.loads(run(tmp_path, files, *call, "--json").stdout)["store"]
    assert (told["most"], told["first"], told["enough"]) == (0, OIL, False)


def test_the_floor_says_what_reaches_and_not_whom_to_order_from() -> None:
    """Lots bear the day of their delivery there."""
    files = {**studio(), "purchases/more.md": MORE}
    files["suppliers/jar-house.md"] = "---\nkind: candle_supplier\ndistance: 38 km\n---\n"
    owner, floor = html(files)["pour/fig"], html(files, edition=Edition.FLOOR)["pour/fig"]
    assert "2026-04-20: 520.0 g, for 5" in floor
    for piece in ("Jar house", "38 km"):
        assert piece in owner
        assert piece not in floor


def test_what_a_last_order_makes(tmp_path: Path) -> None:
    """11 left and 9 more are 20 vessels; one in ten breaks: 18 candles."""
    files = studio()
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace(
        "drinkware", "breakage: 10 %\ndrinkware"
    )
    assert [(one.recipe, one.candles) for one in makes_of(account(files), TUMBLER, 20)] == [
        ("fig", 18)
    ]
    call = ("stock", "tumbler", "--buy", "9", "--as-of", "2026-05-01")
    assert "18 of Fig (approved)" in run(tmp_path, files, *call).output
    told = json.loads(run(tmp_path, files, *call, "--json").stdout)
    assert told == {"item": TUMBLER, "usable": 11.0, "buy": 9.0, "makes": {"fig": 18}}
    assert run(tmp_path, files, "stock", "tumbler", "--buy", "2 kg").exit_code == 2
    assert run(tmp_path, files, "stock", "--buy", "2").exit_code == 2


def test_the_page_of_an_item_says_what_is_left_and_makes() -> None:
    """11 vessels, for eleven candles."""
    page = html(studio())["vessels/tumbler"]
    assert "What is left" in page
    assert 'data-label="Candles">11<' in page
