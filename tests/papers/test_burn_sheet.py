"""The burn sheet: a box for each reading of each cycle to come, its limits, and what is on file."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.pages.papers.burn_sheet import SPARE, BurnSheet, shared_out
from handbook_builder.reading.kinds.readings import TABLE
from tests.papers.rig import account, alone, pages, papers, words_in
from tests.records_in_text import BASE, FULL_CYCLE, VESSEL, burn, proven
from tests.told import rig

DAY = date(2026, 3, 20)
LEMON = "lemon-verbena-tumbler"


def cycles(count: int) -> list[str]:
    """Return the first cycles of a candle that behaves, as many as are asked for."""
    return [FULL_CYCLE % (16 + n, 400.0 - 26 * n, 374.0 - 26 * n) for n in range(count)]


def burning(count: int = 2, made: str = "", more: str = "") -> dict[str, str]:
    """Return a studio with one candle that has burned so many cycles."""
    one = burn("A", cycles=cycles(count), end="", candles=1, made=made, more=more)
    return {**BASE, "burns/fig-a.md": one}


def sheet(files: dict[str, str], path: str = "papers/fig-a/burn-sheet") -> BurnSheet:
    """Return what a sheet of a small studio shows."""
    content = rig.pages(files, DAY)[path].content
    assert isinstance(content, BurnSheet)
    return content


def test_there_is_one_of_each_candle_that_is_not_at_its_end() -> None:
    """In the demo three of one recipe, which share a sheet of their own."""
    found = {path for path in alone() if "/burn-sheet" in path}
    singles = {f"papers/{LEMON}-{letter}/burn-sheet" for letter in "abc"}
    assert found == {*singles, f"papers/{LEMON}/burn-sheets"}
    ended = {ident for ident, one in account().judged.burns.items() if one.candle.seen.end}
    assert len(ended) > 20
    for ident in account().judged.burns:
        link = pages()[f"tests/{ident}"].content.sheet
        assert (link is None) == (f"papers/{ident}/burn-sheet" not in found), ident


def test_every_reading_has_a_column_in_the_order_in_which_it_is_taken() -> None:
    """Cold, lit, on the way, near the end, out, cold again: as the guide has it, step by step."""
    columns = sheet(burning()).leaves[0].columns
    keys = [column.key for column in columns]
    assert keys == [
        "on", "before", "room", "check 1", "check 2", "check 3", "flame", "pool", "depth", "wall",
        "burned", "after_smoke", "after", "seen",
    ]  # fmt: skip
    assert {reading.key for reading in TABLE} <= set(keys)


def test_its_limits_stand_beside_each_reading() -> None:
    """Those of the shipped protocol; the pool's in millimetres of this vessel: 95 % of 72 mm."""
    told = {column.key: column.limits for column in sheet(burning()).leaves[0].columns}
    plain = {key: tuple(rig.plain(one) for one in limits) for key, limits in told.items()}
    assert plain["flame"] == ("fails over 75 mm",)
    assert plain["pool"] == ("fails under 68.4 mm, from cycle 3",)
    assert plain["room"] == ("watch under 15 °C", "watch over 25 °C")
    assert plain["after_smoke"] == ("mean fails over 30 s", "watch over 30 s")
    assert plain["before"] == plain["seen"] == plain["check 1"] == ()


def test_the_bench_page_tells_the_same_width_of_the_pool() -> None:
    """To the tenth that is no smaller: 95 % of 73.3 mm are 69.635 mm, and 69.6 mm would fail."""
    files = {path: text.replace("72 mm", "73.3 mm") for path, text in burning().items()}
    pool = next(one for one in sheet(files).leaves[0].columns if one.key == "pool")
    assert [rig.plain(one) for one in pool.limits] == ["fails under 69.7 mm, from cycle 3"]
    (candle,) = rig.pages(files, DAY)["bench/fig-a"].content.told["candles"]
    (limit,) = candle["limits"]["pool"]
    assert "at least 69.7 mm" in rig.plain(limit["told"])
    assert (limit["bound"], limit["from"]) == (pytest.approx(69.635), 3)


def test_a_limit_of_one_material_counts_where_it_is_tighter() -> None:
    """Of two on one side of a reading the tighter, and none that speaks of other vessels."""
    rest = "source: s, published: no, on_breach: fail"
    rules = (
        "---\nlimits:\n"
        f"  - {{measure: wall, at_most: 70 degC, {rest}, material: metal}}\n"
        f"  - {{measure: wall, at_most: 72 degC, {rest}, material: glass}}\n"
        f"  - {{measure: wall, at_most: 90 degC, {rest}}}\n---\n"
    )
    files = burning()
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: own")
    files["protocols/own.md"] = rules
    (wall,) = [one for one in sheet(files).leaves[0].columns if one.key == "wall"]
    assert "fails over 72 °C" in [rig.plain(one) for one in wall.limits]
    assert not [one for one in wall.limits if "70" in one or "90" in one]


def test_what_is_on_file_is_counted_and_the_last_weight_told() -> None:
    """Two cycles burned: the next is the third, and the last weight names its cycle."""
    (card,) = sheet(burning(2)).leaves[0].cards
    assert card.cycles[0] == 3
    assert card.facts[0] == ("Cycles on file", "2")
    assert rig.plain(card.facts[1][1]) == "348.0 g (cycle 2, 2026-03-17)"
    assert (card.letter, card.id) == ("A", "fig-a")


def test_a_row_for_each_cycle_that_is_expected_and_some_to_spare() -> None:
    """As many as the board reckons: 348 g less 292 g that is not wax, 26 g a cycle.

    By hand: first weight 400.0 g less 108.0 g poured is 292.0 g; 56.0 g at 26.0 g each is 2.15.
    """
    (card,) = sheet(burning(2)).leaves[0].cards
    assert card.cycles == tuple(range(3, 3 + 3 + SPARE))
    assert ("To come", f"about 3, and {SPARE} to spare") in card.facts
    assert card.room == ""


def test_of_a_candle_that_nothing_is_known_of_there_are_rows_all_the_same() -> None:
    """It was never lit, and has no sister."""
    (card,) = sheet(burning(0)).leaves[0].cards
    assert card.cycles == tuple(range(1, 10))
    assert ("To come", "not known how many") in card.facts
    assert not [label for label, _ in card.facts if label == "Last weight"]


def test_the_boxes_are_there_and_empty() -> None:
    """In the page of each sheet of the demo: a row a cycle, a cell a column, nothing in any."""
    for path in (one for one in alone() if "/burn-sheet" in one):
        content = pages()[path].content
        (leaf,) = content.leaves
        rows = re.findall(r'<tr><th scope="row">(\w+) (\d+)</th>(.*?)</tr>', papers()[path])
        expected = [(card.letter, str(n)) for card in leaf.cards for n in card.cycles]
        assert [(letter, number) for letter, number, _ in rows] == expected
        assert {cells for *_, cells in rows} == {"<td></td>" * len(leaf.columns)}
        assert "The last weight is no reading" in words_in(papers()[path])


def test_a_candle_that_must_not_be_lit_has_reasons_and_no_boxes() -> None:
    """Its sister failed: an empty box would ask to be filled."""
    files = proven()
    files["burns/fig-a.md"] = burn("A").replace("flame: 22 mm", "flame: 99 mm", 1)
    files["burns/fig-b.md"] = burn("B", cycles=cycles(1), end="")
    del files["burns/fig-c.md"]
    files = {path: text.replace("candles: 3", "candles: 2") for path, text in files.items()}
    (card,) = sheet(files, "papers/fig-b/burn-sheet").leaves[0].cards
    assert card.stops
    assert card.cycles == ()
    assert ("May be lit", "no") in card.facts
    text = words_in(rig.html(files, DAY)["papers/fig-b/burn-sheet"])
    assert "Do not light it." in text
    assert "has ended" not in text


def test_four_candles_take_two_pages_and_two_make_ups_never_share_one() -> None:
    """Three stand side by side; where another vessel has other limits they stand apart."""
    files = dict(BASE)
    for letter in "ABCD":
        one = burn(letter, cycles=[], end="", candles=4)
        files[f"burns/fig-{letter.lower()}.md"] = one
    four = sheet(files, "papers/fig/burn-sheets")
    assert [[card.letter for card in leaf.cards] for leaf in four.leaves] == [list("ABC"), ["D"]]
    assert four.one_page.startswith("Printed, each page says")
    files["vessels/wide.md"] = VESSEL.replace("inside_diameter: 72 mm", "inside_diameter: 80 mm")
    files["burns/fig-b.md"] = (
        files["burns/fig-b.md"]
        .replace("tumbler", "wide")
        .replace("inside_diameter: 72 mm", "inside_diameter: 80 mm")
    )
    apart = sheet(files, "papers/fig/burn-sheets")
    assert [[card.letter for card in leaf.cards] for leaf in apart.leaves] == [
        ["A"], ["B"], ["C", "D"],
    ]  # fmt: skip


@pytest.mark.parametrize(("tilt", "shown"), [("  tilt: steady\n", False), ("", True)])
def test_the_tilt_is_asked_while_it_is_unsaid(tilt: str, *, shown: bool) -> None:
    """Before its first light, once."""
    files = burning(0)
    files["burns/fig-a.md"] = files["burns/fig-a.md"].replace("  tilt: steady\n", tilt)
    (card,) = sheet(files).leaves[0].cards
    assert bool(card.tilts) == shown


def test_in_ounces_the_boxes_are_for_ounces() -> None:
    """By the habit of the studio, as the questions of `handbook log` are."""
    files = burning()
    files["studio.md"] = files["studio.md"].replace("units: metric", "units: us")
    units = {column.key: column.unit for column in sheet(files).leaves[0].columns}
    assert (units["before"], units["flame"], units["wall"]) == ("oz", "in", "°F")
    assert units["check 1"] == "in"


@given(st.lists(st.integers(0, 40), min_size=1, max_size=3), st.integers(0, 40))
def test_rows_are_shared_out_fairly(wanted: list[int], rows: int) -> None:
    """None gets more than it wants, none is wasted, and none is left short for one with more."""
    given_out = shared_out(wanted, rows)
    assert all(got <= want for got, want in zip(given_out, wanted, strict=True))
    assert sum(given_out) == min(rows, sum(wanted))
    for got, want in zip(given_out, wanted, strict=True):
        if got < want:
            assert got >= max(given_out) - 1


def test_a_code_that_was_printed_leads_somewhere_for_good() -> None:
    """While a candle burns to where its readings are taken, and afterwards to how it did."""
    still = burn("A", cycles=cycles(2), end="")
    of = {**proven(), "burns/fig-a.md": still}
    shown = rig.pages(of, DAY)
    assert shown["bench/fig-a"].view == "bench"
    ended = shown["bench/fig-b"]
    assert (ended.view, ended.content.candle.path) == ("bench_ended", "tests/fig-b")
    assert ended.content.candle.path in shown
    assert ended.content.bench.path in shown
    assert "come to its end" in ended.content.said
    aside = burn("A", more="void: {why: it fell, by: the maker, on: 2026-03-19}\n")
    assert rig.pages({**of, "burns/fig-a.md": aside}, DAY)["bench/fig-a"].view == "bench_ended"
