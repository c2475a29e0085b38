"""Every fault names the file, the row, the column and its header; nothing is written meanwhile."""

from pathlib import Path

from tests.bench.calls import bytes_of, called
from tests.records_in_text import BASE, write

MAPPING = """as: burns
id: "{Recipe}-{Candle}"
dates: MM/DD/YYYY
decimal: point
columns:
  Recipe: recipe
  Candle: candle
  Poured: made.on
  Date: cycles.on
  Before: {key: cycles.before, unit: g}
  Pool: {key: cycles.pool, blank: unread}
  Room: room
  Seen: cycles.seen
always:
  made.vessel: tumbler
  made.wax.soy: 100 g
  made.fragrance: none
  made.colorant: none
  made.wick: cotton-8
  made.wicks: 1
  made.candles: 1
  scale: 0.1 g
whole: no
"""
HEAD = "Recipe,Candle,Poured,Date,Before,Pool,Room,Seen\n"


def _said(folder: Path, rows: str, mapping: str = MAPPING) -> list[str]:
    write(folder / "records", BASE)
    table = folder / "t.csv"
    table.write_text(HEAD + rows, "utf-8")
    (folder / "t.csv.yml").write_text(mapping, "utf-8")
    before = bytes_of(folder / "records")
    said = called(folder, "bring", str(table), "--write")
    assert said.exit_code == 1, said.output
    assert bytes_of(folder / "records") == before
    return [line.replace(f"{folder}/", "") for line in said.stderr.splitlines()]


def test_each_cell_at_fault_is_named(tmp_path: Path) -> None:
    """A day of no style, a number of no sign, a unit that nobody said, a word, an id, a record."""
    told = _said(
        tmp_path,
        "fig,A,3/1/2026,13/16/2026,400,70 mm,21 degC,\n"
        "fig,A,3/1/2026,3/17/2026,x,70,22 degC,smells\n"
        "fug,B,3/1/2026,3/17/2026,400,70 mm,21 degC,\n"
        ",C,3/1/2026,3/17/2026,400,70 mm,21 degC,\n",
    )
    begun = [
        "t.csv:2:4: D2 'Date': found '13/16/2026', which is no day",
        "t.csv:3:5: E3 'Before': found 'x'; expected a mass",
        "t.csv:3:6: F3 'Pool': found '70', a bare number where length is due.",
        "t.csv:3:7: G3 'Room': found '22 degC', and row 2 says '21 degC'",
        "t.csv:3:8: H3 'Seen': found 'smells' for 'seen'",
        "t.csv:4:1: A4 'Recipe': found 'fug'",
        "t.csv:5:1: A5 'Recipe': is blank, and the id",
    ]
    assert [line[: len(one)] for line, one in zip(told, begun, strict=False)] == begun
    assert told[-1] == f"{len(begun)} to mend; nothing was written."


def test_a_column_that_is_not_there_is_a_fault_of_the_mapping(tmp_path: Path) -> None:
    """A mapping of another table is no mapping of this one."""
    rows = "fig,A,3/1/2026,3/16/2026,400,,,\n"
    told = _said(tmp_path, rows, MAPPING.replace("  Seen:", "  Saw:"))
    assert told[0].startswith("t.csv.yml:1:1: Saw: the table has no column 'Saw'. It has: Recipe,")


def test_each_row_is_a_record_where_there_are_no_entries(tmp_path: Path) -> None:
    """The same id twice is told with both rows."""
    write(tmp_path / "records", BASE)
    table = tmp_path / "waxes.csv"
    table.write_text("Name,Kind,Density (g/mL),Max load (%),Cure (days)\n"
                     "Palm,palm,0.9,8,7\npalm,palm,0.9,8,7\n", "utf-8")  # fmt: skip
    called(tmp_path, "bring", str(table), "--as", "waxes")
    said = called(tmp_path, "bring", str(table))
    assert said.exit_code == 1
    assert "3:1: row 3: 'palm' is in row 2 already" in said.stderr
    assert not (tmp_path / "records/waxes/palm.md").exists()


def test_a_blank_cell_says_what_the_mapping_says_of_it(tmp_path: Path) -> None:
    """Unread with `blank: unread`; else nothing at all."""
    write(tmp_path / "records", BASE)
    table = tmp_path / "t.csv"
    table.write_text(HEAD + "fig,A,3/1/2026,3/16/2026,400,,,\n", "utf-8")
    (tmp_path / "t.csv.yml").write_text(MAPPING, "utf-8")
    said = called(tmp_path, "bring", str(table), "--write")
    assert said.exit_code == 0, said.output
    text = (tmp_path / "records/burns/fig-a.md").read_text("utf-8")
    assert "{on: 2026-03-16, before: 400 g, unread: [pool]}" in text
    assert "room" not in text
    assert "lit" not in text  # nobody said that the table is whole
