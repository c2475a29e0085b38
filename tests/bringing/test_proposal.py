"""What a first proposal asks of a table of burns, and what the dry run then says of it."""

from pathlib import Path

import pytest
import yaml

from tests.bench.calls import bytes_of, called
from tests.records_in_text import BASE, RECIPE, burn, write

HEAD = "Recipe,Candle,Poured,{lit},Before (g),After (g),Burned (h),Pool (mm),Flame (mm)\n"
ROWS = """fig,A,2026-03-01,2026-03-16,400,380,4,60,20
fig,A,2026-03-01,2026-03-17,380,360,4,62,20
fig,B,2026-03-01,2026-03-16,400,380,4,60,20
"""
SAID = {
    "made.vessel:": "tumbler", "made.wax:": "{soy: 100 g}", "made.fragrance:": "none",
    "made.colorant:": "none", "made.wick:": "cotton-8", "made.wicks:": "1", "made.candles:": "2",
    "scale:": "0.1 g", "whole:": "yes",
}  # fmt: skip


def _studio(folder: Path, stated: str = "0", **more: str) -> Path:
    recipe = RECIPE.replace("as filed", stated)
    write(folder / "records", {**BASE, "recipes/fig.md": recipe, **more})
    return folder


def _proposed(studio: Path, rows: str = ROWS, lit: str = "Date") -> str:
    (studio / "t.csv").write_text(HEAD.format(lit=lit) + rows, "utf-8")
    called(studio, "bring", str(studio / "t.csv"), "--as", "burns")
    return (studio / "t.csv.yml").read_text("utf-8")


def _filled(studio: Path, text: str) -> str:
    lines = []
    for line in text.splitlines():
        bare = line.partition("#")[0].strip()
        if bare == "made.wax:":  # a key a wax
            lines.append("  made.wax.soy: 100 g")
        else:
            lines.append(f"{line.partition('#')[0]} {SAID[bare]}" if bare in SAID else line)
    filled = "\n".join(lines) + "\n"
    (studio / "t.csv.yml").write_text(filled, "utf-8")
    return filled


def test_the_count_that_will_be_on_file_is_proposed(tmp_path: Path) -> None:
    """Behind a mark: a recipe that counts none gets it once a person has taken the mark off."""
    studio = _studio(tmp_path)
    text = _filled(studio, _proposed(studio))
    assert "#   fig: 2  # so many will then be on file; the recipe says 0\n" in text
    before = bytes_of(studio / "records")
    said = called(studio, "bring", str(studio / "t.csv"))
    assert "If no other candle was ever poured, say so in" in said.stderr
    assert "test_candles: {fig: 2}" in said.stderr
    assert bytes_of(studio / "records") == before
    taken = text.replace("# test_candles:", "test_candles:").replace("#   fig: 2", "  fig: 2")
    (studio / "t.csv.yml").write_text(taken, "utf-8")
    said = called(studio, "bring", str(studio / "t.csv"), "--write")
    assert said.exit_code == 0, said.output
    assert "test_candles from 0 to 2." in said.output
    assert "If no other candle" not in said.stderr
    assert called(studio, "check", "--as-of", "2026-07-01").exit_code == 0


def test_candles_on_file_count_with_those_that_are_brought(tmp_path: Path) -> None:
    """C is there, A and B are brought: three. A recipe that counts more is asked nothing."""
    more = {"burns/fig-c.md": burn("C")}
    assert "#   fig: 3  # so many" in _proposed(_studio(tmp_path / "one", "1", **more))
    for stated in ("3", "4"):
        studio = _studio(tmp_path / stated, stated, **more)
        assert "test_candles" not in _proposed(studio)


def test_a_blank_cell_is_of_the_candle_above(tmp_path: Path) -> None:
    """Six rows of two candles are two, and a recipe that counts nothing is told so."""
    rows = ROWS.replace("fig,A,2026-03-01,2026-03-17", ",,,2026-03-17")
    studio = tmp_path
    recipe = RECIPE.replace("test_candles: as filed\n", "")
    write(studio / "records", {**BASE, "recipes/fig.md": recipe})
    assert "#   fig: 2  # so many will then be on file; the recipe counts none" in _proposed(
        studio, rows
    )


@pytest.mark.parametrize(
    "header",
    ["Date lit", "date burned", "Lit on", "Burned on", "Datum", "angez\u00fcndet am", "Brenndatum",
     "DATE_LIT"],
)  # fmt: skip
def test_days_of_cycles_are_known_by_many_headers(header: str, tmp_path: Path) -> None:
    """Both in English and in German."""
    columns = yaml.safe_load(_proposed(_studio(tmp_path), lit=header))["columns"]
    assert columns[header] == "cycles.on"


def test_days_that_nobody_knows_are_asked_while_some_are_due(tmp_path: Path) -> None:
    """The line is left blank, so that nothing is written before somebody says what they are."""
    studio = _studio(tmp_path)
    text = _filled(studio, _proposed(studio, lit="Kindled"))
    assert "  Kindled:  # holds 2026-03-16, 2026-03-17. Is it one of the days" in text
    assert "(cycles.on)" in text
    said = called(studio, "bring", str(studio / "t.csv"), "--write")
    assert said.exit_code == 1
    assert "found nothing after 'Kindled:'" in said.output


def test_days_beside_days_that_are_known_are_left_out(tmp_path: Path) -> None:
    """Nothing of days is due any more."""
    studio = _studio(tmp_path)
    head = HEAD.format(lit="Date").replace("Flame (mm)", "Inspected")
    (studio / "t.csv").write_text(head + "fig,A,2026-03-01,2026-03-16,4,3,4,60,2026-05-01\n")
    called(studio, "bring", str(studio / "t.csv"), "--as", "burns")
    text = (studio / "t.csv.yml").read_text("utf-8")
    assert "  Inspected: skip  # holds 2026-05-01" in text


def test_what_the_protocol_makes_due_and_no_column_has(tmp_path: Path) -> None:
    """By the shipped protocol: the wall and the after-smoke in each cycle, and four keys beside."""
    studio = _studio(tmp_path)
    text = _filled(studio, _proposed(studio))
    assert "#   in each full cycle: wall, after_smoke\n" in text
    once = "made.inside_diameter, made.tilt, end.how, end.vessel, end.tilt"
    assert f"#   of each candle (end: once it has ended): {once}\n" in text
    told = called(studio, "bring", str(studio / "t.csv")).stderr
    assert f"cycles.wall, cycles.after_smoke, {once}. A candle can pass only" in told
    said = "always:\n  cycles.unread: wall, after_smoke\n  made.tilt: untried\n"
    (studio / "t.csv.yml").write_text(text.replace("always:\n", said), "utf-8")
    told = called(studio, "bring", str(studio / "t.csv")).stderr
    assert "nor in the mapping: made.inside_diameter, end.how, end.vessel, end.tilt." in told
    called(studio, "bring", str(studio / "t.csv"), "--write")
    written = (studio / "records/burns/fig-a.md").read_text("utf-8")
    assert "inside_diameter" not in written
    assert "end:" not in written


def test_an_item_of_no_known_folder_is_asked_for(tmp_path: Path) -> None:
    """The mapping has WHICH in the place of the folder, and says what to do with it."""
    studio = _studio(tmp_path)
    rows = "Date,Supplier,Item,Quantity,Price\n2026-01-10,jar-house,Sojawachs,5 kg,40.00\n"
    (studio / "t.csv").write_text(rows, "utf-8")
    called(studio, "bring", str(studio / "t.csv"), "--as", "purchases")
    text = (studio / "t.csv.yml").read_text("utf-8")
    assert "in which folder is it? Write that in the place of WHICH" in text
    said = called(studio, "bring", str(studio / "t.csv")).stderr
    assert "t.csv:2:3: C2 'Item': found 'WHICH/sojawachs'. Nobody knew of which folder" in said
    assert "such as waxes/sojawachs." in said
