"""Change one thing: what differs first, then the readings side by side."""

import json
from datetime import date
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from handbook_builder.cli import main
from handbook_builder.derived.account import Account
from handbook_builder.derived.compare import (
    READINGS,
    Comparison,
    burn_side,
    came_to,
    comparison,
    recipe_side,
)
from handbook_builder.derived.pairs import pairs_of, series_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.tests.compare import (
    ComparePage,
    compare_content,
    compare_pages,
    offers_of,
)
from handbook_builder.words import Words
from handbook_builder.workshop import account_in, words_for
from tests.board.rig import account, cycle, going_on
from tests.pages.conftest import RECORDS, catalogue
from tests.records_in_text import BASE, OIL, RECIPE, WICK, burn, whole_life, write

ROOT = RECORDS.parent
BIGGER = WICK.replace('"8"', '"10"')
TALL = cycle("2026-03-16", 400.0, 374.0).replace("flame: 22 mm", "flame: 80 mm")


def bigger(text: str) -> str:
    """Return a burn with the bigger wick."""
    return text.replace("wick: cotton-8", "wick: cotton-10")


@lru_cache(maxsize=1)
def demo() -> Desk:
    """Return the demo, ready to be told."""
    found, _ = account_in(RECORDS, date(2026, 5, 1))
    assert found is not None
    return Desk(found, words_for(found.studio, catalogue()))


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def beside(found: Account, *idents: str) -> Comparison:
    """Return test candles compared."""
    return comparison(found, [burn_side(found, one) for one in idents])


def shown(found: Account, compared: Comparison) -> ComparePage:
    """Return what a comparison shows."""
    return compare_content(Desk(found, Words.load(catalogue())), compared)


def run(*words: str, folder: Path = ROOT) -> Result:
    """Run `handbook compare`."""
    return CliRunner().invoke(main, ["compare", *words, "--studio", str(folder)])


def test_what_differs_comes_first() -> None:
    """Two candles with another wick, and nothing else: the wick leads, the rest is the same."""
    found = account({"a": burn("A", candles=2), "b": bigger(burn("B", candles=2))},
                    **{"wicks__cotton-10": BIGGER})  # fmt: skip
    compared = beside(found, "fig-a", "fig-b")
    assert [one.factor for one in compared.unlike] == ["wick"]
    assert [one.factor for one in compared.factors] == [
        "wick", "vessel", "wicks", "wax", "fragrance", "colorant", "wax_share",
        "fragrance_share", "net",
    ]  # fmt: skip
    page = shown(found, compared)
    assert page.differs.rows == (("Wick", "cotton-8", "cotton-10"),)
    assert page.verdict.startswith("One factor differs: wick.")
    assert ("Share of soy in the wax", "100 %", "100 %") in [
        tuple(plain(cell or "") for cell in row) for row in page.alike.rows
    ]


def test_within_the_tolerances_nothing_differs() -> None:
    """109 g for 108 g is within 2 %; what differs in the readings is scatter."""
    found = account({"a": burn("A", candles=2), "b": burn("B", candles=2, wax="101.0 g")})
    compared = beside(found, "fig-a", "fig-b")
    assert compared.unlike == ()
    assert "scatter between candles" in shown(found, compared).verdict


def test_several_things_that_differ() -> None:
    """Another wick and 115 g for 108 g: two factors, and no reading can be put down to one."""
    heavy = bigger(burn("B", candles=2, wax="107.0 g", oil="8.6 g"))
    found = account({"a": burn("A", candles=2), "b": heavy}, **{"wicks__cotton-10": BIGGER})
    page = shown(found, beside(found, "fig-a", "fig-b"))
    assert page.verdict == (
        "2 factors differ: wick, net fill. No reading can be put down to one of them."
    )


def test_an_item_that_one_side_lacks() -> None:
    """Unscented beside scented: the oil differs, and its share is none on one side."""
    bare = burn("B", candles=2).replace("fragrance: {fig-oil: 8.0 g}", "fragrance: none")
    found = account({"a": burn("A", candles=2), "b": bare})
    compared = beside(found, "fig-a", "fig-b")
    assert [one.factor for one in compared.unlike] == ["fragrance", "net"]
    rows = {row[0]: row[1:] for row in shown(found, compared).alike.rows}
    assert rows["Share of fig-oil in the finished candle"][1] == "none"


def test_readings_stand_cycle_by_cycle() -> None:
    """Rates by hand: 26 g in 4 h are 6.5 g/h, 22 g in 4 h are 5.5 g/h; a third cycle only on A."""
    a = going_on("A", cycle("2026-03-16", 400.0, 374.0), cycle("2026-03-17", 374.0, 352.0),
                 cycle("2026-03-18", 352.0, 330.0), candles=2)  # fmt: skip
    b = going_on("B", cycle("2026-03-16", 400.0, 378.0), cycle("2026-03-17", 378.0, 352.0),
                 candles=2)  # fmt: skip
    compared = beside(account({"a": a, "b": b}), "fig-a", "fig-b")
    assert set(compared.readings) == set(READINGS)
    assert compared.readings["rate_g_per_h"] == ((6.5, 5.5), (5.5, 6.5), (5.5, None))
    assert compared.readings["flame_mm"] == ((22.0, 22.0), (22.0, 22.0), (22.0, None))
    assert compared.readings["depth_mm"] == ((None, None),) * 3


def test_what_was_seen_and_what_was_never_read() -> None:
    """A word seen in one candle has its cell; a reading that nobody took has no table."""
    a = going_on("A", cycle("2026-03-16", 400.0, 374.0).replace("}", ", seen: [mushrooming]}"),
                 candles=2)  # fmt: skip
    b = going_on("B", cycle("2026-03-16", 400.0, 374.0), candles=2)
    found = account({"a": a, "b": b})
    page = shown(found, beside(found, "fig-a", "fig-b"))
    tables = {one.title: one for one in page.readings}
    assert tables["Seen"].rows == (("1", "mushrooming", None),)
    assert "Depth" not in tables
    assert (tables["Rate"].unit, tables["Rate"].rows) == ("g/h", (("1", "6.50", "6.50"),))
    assert tables["Burned"].unit == ""
    assert [one.short for one in page.sides] == ["A", "B"]


def test_candles_that_were_never_lit() -> None:
    """Nothing was read: no tables, and nothing that they came to."""
    found = account({"a": going_on("A", candles=2), "b": going_on("B", candles=2)})
    compared = beside(found, "fig-a", "fig-b")
    assert shown(found, compared).readings == ()
    told = came_to(found, compared.sides[0])
    assert (told.cycles, told.hours_h, told.rate_g_per_h) == ((0,), None, None)


def test_a_recipe_is_the_mean_of_its_candles() -> None:
    """A and B passed alike, C burns: rates of 6.5 and 6.5 and 5.5 g/h are 6.1667 in the mean.

    Hours and wax burned are of the two that passed: 15 h 10 min, 3 x 26 g and 21 g.
    """
    c = going_on("C", cycle("2026-03-16", 400.0, 378.0), candles=3)
    found = account({"a": burn("A"), "b": burn("B"), "c": c})
    side = recipe_side(found, "fig")
    compared = comparison(found, [side, burn_side(found, "fig-c")])
    assert compared.readings["rate_g_per_h"][0] == pytest.approx((18.5 / 3, 5.5))
    told = came_to(found, side)
    assert told.cycles == (4, 4, 1)
    assert told.hours_h == pytest.approx(15 + 1 / 6)
    assert told.consumed_g == pytest.approx(99.0)
    page = shown(found, compared)
    assert [one.short for one in page.sides] == ["Fig", "Fig C"]
    assert page.came_to.rows[0] == ("Verdict", "In test (2 passed, 0 failed)", "Burning")
    assert page.means


def test_a_series_is_all_candles_of_a_recipe() -> None:
    """In the order of their letters; a recipe with one candle has no series."""
    one = account({"a": going_on("A")})
    assert series_of(one) == {}
    two = account({"b": going_on("A", candles=2), "a": going_on("B", candles=2)})
    assert series_of(two) == {"fig": ("fig-b", "fig-a")}


def test_make_ups_one_after_the_other() -> None:
    """A and B with the first wick, C with the next: B passed and speaks for the first make-up."""
    burns = {
        "a": going_on("A", cycle("2026-03-16", 400.0, 374.0), candles=2),
        "b": burn("B", candles=2),
        "c": bigger(going_on("C", on="2026-03-20")),
    }
    found = account(burns, **{"wicks__cotton-10": BIGGER})
    (pair,) = pairs_of(found)
    assert (pair.reason, pair.one, pair.other) == ("former", "fig-b", "fig-c")
    assert pair.candles == {"fig-a", "fig-b", "fig-c"}
    assert pair.id == "fig-b--fig-c"


def test_a_failure_beside_the_nearest_that_passed() -> None:
    """Of two make-ups that passed, the one that differs in the wick alone, not in wick and oil."""
    other = RECIPE.replace("wick: cotton-8", "wick: cotton-10")
    third = RECIPE.replace("fig-oil: 8 %", "pine-oil: 8 %")

    def of(recipe: str, text: str) -> str:
        return text.replace("recipe: fig", f"recipe: {recipe}")

    failed = bigger(burn("A", cycles=[TALL], end="", candles=1))
    # No two candles weigh alike: one that did would be a copy.
    weighed = burn("A", cycles=whole_life(5), candles=1)
    files = {
        "recipes__big": other,
        "recipes__pine": third,
        "wicks__cotton-10": BIGGER,
        "fragrances__pine-oil": OIL,
        "burns__big-a": of("big", failed),
        "burns__big-b": of("big", bigger(going_on("B", on="2026-03-02"))),
        "burns__pine-a": of("pine", weighed).replace("fig-oil", "pine-oil"),
    }
    found = account({"a": burn("A", candles=1)}, **files)
    (pair,) = pairs_of(found)
    assert (pair.reason, pair.one, pair.other) == ("failed", "big-a", "fig-a")
    assert pair.candles == {"big-a"}


def test_nothing_near_passed() -> None:
    """A failure without any pass, or with none of another make-up, has no pair."""
    bad = burn("A", cycles=[TALL], end="", candles=2)
    assert pairs_of(account({"a": bad})) == ()
    assert pairs_of(account({"a": bad, "b": burn("B", candles=2)})) == ()


def test_few_pages() -> None:
    """The demo has one page a series and a pair for each change that matters; all links lead on."""
    desk = demo()
    pages = {page.path: page for page in compare_pages(desk)}
    pairs = {one.id: one.reason for one in pairs_of(desk.account)}
    assert pairs == {
        "cedar-fig-big-wick-b--cedar-fig-a": "failed",
        "lavender-bubble-a--black-tea-a": "failed",
        "lavender-pine-a--lavender-pine-d": "former",
        "pine-bowl-a--sandalwood-bowl-a": "failed",
    }
    assert len(pages) == len(pairs) + len(series_of(desk.account))
    assert len(pages) < len(desk.studio.burns) / 2
    offered = {link.path for links in offers_of(desk).values() for link in links}
    assert offered == set(pages)


def test_every_test_page_offers_its_sisters() -> None:
    """Each candle that has a sister leads to its series; a failed one to what passed, too."""
    offers = offers_of(demo())
    assert [one.path for one in offers["pine-bowl-c"]] == [
        "compare/pine-bowl",
        "compare/pine-bowl-a--sandalwood-bowl-a",
    ]
    assert "sandalwood-zinc-a" not in offers


def test_the_demos_one_change() -> None:
    """The bigger wick of the demo: one factor, and the reading that broke the limit beside it."""
    desk = demo()
    (page,) = [one for one in compare_pages(desk) if one.path.endswith("b--cedar-fig-a")]
    assert page.content.verdict.startswith("One factor differs: wick.")
    assert page.content.differs.rows == (("Wick", "cotton-10", "cotton-8"),)


def test_the_terminal_says_what_the_page_says() -> None:
    """Every cell of every table is printed, what differs first."""
    found = run("cedar-fig-big-wick-b", "cedar-fig-a")
    assert (found.exit_code, found.stderr) == (0, "")
    desk = demo()
    (page,) = [one for one in compare_pages(desk) if one.path.endswith("b--cedar-fig-a")]
    content = page.content
    for table in (content.differs, content.came_to, *content.readings, content.alike):
        for row in table.rows:
            assert all((cell or "-") in found.stdout for cell in row)
    out = found.stdout
    assert out.index("What differs") < out.index("What they came to") < out.index("Rate, g/h")


def test_recipes_in_the_terminal() -> None:
    """Two recipes: their statuses and the note on means; none lit says so."""
    told = run("cedar-fig", "cedar-fig-big-wick").stdout
    assert "Approved (3 passed, 0 failed)" in told
    assert "Of a recipe each figure is the mean" in told
    assert "None of them has been lit yet." in run("pine-pot", "spice-terracotta").stdout


def test_a_comparison_for_programs() -> None:
    """As JSON: items with their specification, readings as numbers."""
    found = json.loads(run("lavender-pine-a", "lavender-pine-d", "--json").stdout)
    first = found["factors"][0]
    assert (first["factor"], first["differs"]) == ("vessel", True)
    assert first["values"] == [
        {"id": "stoneware-cup", "spec": 1},
        {"id": "stoneware-cup", "spec": 2},
    ]
    assert [one["kind"] for one in found["sides"]] == ["burn", "burn"]
    # 20.1 g of wax in 232 min and the like: rates of two whole series, cycle by cycle.
    assert len(found["readings"]["rate_g_per_h"]) == 8
    assert all(len(row) == 2 for row in found["readings"]["rate_g_per_h"])


def test_what_nobody_knows_is_a_wrong_call() -> None:
    """With the nearest name where there is one."""
    found = run("cedar-figg", "cedar-fig-a")
    assert found.exit_code == 2
    assert found.stderr == (
        "No test candle and no recipe is called 'cedar-figg'. Did you mean cedar-fig?\n"
    )
    assert run("zzz", "cedar-fig").stderr == "No test candle and no recipe is called 'zzz'.\n"


def test_a_name_that_two_bear(tmp_path: Path) -> None:
    """A candle and a recipe of one id are told apart by their folders."""
    files = {**BASE, "burns/fig.md": burn("A", candles=1)}
    write(tmp_path / "records", files)
    found = run("fig", "fig", "--as-of", "2026-05-01", folder=tmp_path)
    assert found.exit_code == 2
    assert "Write burns/fig or recipes/fig." in found.stderr
    both = run("burns/fig", "recipes/fig", "--as-of", "2026-05-01", folder=tmp_path)
    assert both.exit_code == 0
    assert both.stdout.startswith("Fig A: Fig, candle A\nFig: Fig\n")
