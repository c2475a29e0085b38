"""Tables as people keep them come in by the proposed mapping: six, and three more."""

import dataclasses
import json
import re
from collections.abc import Iterator, Mapping
from difflib import unified_diff
from pathlib import Path
from typing import Any, Final

import pytest

from handbook_builder.reading.records import Reading, read_folder
from handbook_builder.tables.reader import read_table
from handbook_builder.tables.table import Table
from tests.bench.calls import DAY, bytes_of, called, front_of
from tests.bringing.kept import ALL, CYCLES, PURCHASES, RECIPES, Kept
from tests.bringing.kept_later import LATER
from tests.records_in_text import BASE, write

MOST_MENDED: Final = 3
EVERY: Final = (*ALL, *LATER)


def studio_for(folder: Path, kept: Kept, records: Mapping[str, str] = {}) -> Path:
    """Write a studio in which all stands that a table names, and none of its own records."""
    counted = {
        path: text.replace("as filed", str(len(kept.typed) if kept.kind == "burns" else 0))
        for path, text in BASE.items()
    }
    own = {path for path in counted if path.startswith("recipes/") and kept.kind == "recipes"}
    files = {path: text for path, text in counted.items() if path not in own}
    write(folder / "records", {**files, **records})
    return folder


def proposed(studio: Path, kept: Kept) -> Path:
    """Put a table into a studio's folder and return its mapping, as it is proposed."""
    table = studio / kept.name
    table.write_bytes(kept.data)
    called(studio, "bring", str(table), "--as", kept.kind)
    return table.with_name(f"{kept.name}.yml")


def mended(text: str, lines: Mapping[str, str]) -> str:
    """Return a mapping with lines mended: each is named by what it begins with."""
    for begun, new in lines.items():
        text, times = re.subn(rf"^{re.escape(begun)}.*$", new, text, flags=re.MULTILINE)
        assert times == 1, begun
    return text


def brought(studio: Path, kept: Kept) -> Path:
    """Bring a table into a studio with its mapping mended, and return the mapping."""
    mapping = proposed(studio, kept)
    mapping.write_text(mended(mapping.read_text("utf-8"), kept.mended), "utf-8")
    said = called(studio, "bring", str(studio / kept.name), "--write")
    assert said.exit_code == 0, said.output
    return mapping


def records_in(studio: Path, kind: str) -> dict[str, Any]:
    """Return the records of a kind as they are read, without where each value stands."""
    reading: Reading = read_folder(studio / "records")
    assert [str(one) for one in reading.problems] == []
    return {
        ident: dataclasses.replace(
            one, source=dataclasses.replace(one.source, places={}, file="", body=one.source.body)
        )
        for ident, one in reading.records[kind].items()
    }


@pytest.mark.parametrize("kept", EVERY, ids=lambda kept: kept.name)
def test_it_comes_in_as_if_it_had_been_typed(kept: Kept, tmp_path: Path) -> None:
    """The records are equal to those typed by hand, key by key, and so are all figures."""
    own = studio_for(tmp_path / "own", kept)
    brought(own, kept)
    typed = studio_for(tmp_path / "typed", kept, kept.typed)
    assert records_in(own, kept.kind) == records_in(typed, kept.kind)
    for words in (("check",), ("figures", "--json")):
        one, other = (called(studio, *words, "--as-of", DAY) for studio in (own, typed))
        assert (one.exit_code, one.output) == (other.exit_code, other.output)
        assert one.exit_code == 0, one.output


@pytest.mark.parametrize("kept", EVERY, ids=lambda kept: kept.name)
def test_the_proposal_needs_three_lines_of_mending_at_most(kept: Kept, tmp_path: Path) -> None:
    """Counted as a diff counts them."""
    mapping = proposed(studio_for(tmp_path, kept), kept)
    before = mapping.read_text("utf-8")
    after = mended(before, kept.mended)
    changes = list(unified_diff(before.split("\n"), after.split("\n"), lineterm="", n=0))[2:]
    assert sum(line.startswith("+") for line in changes) <= MOST_MENDED
    assert sum(line.startswith("-") for line in changes) <= MOST_MENDED


@pytest.mark.parametrize("kept", EVERY, ids=lambda kept: kept.name)
def test_nothing_is_written_before_it_is_asked_for(kept: Kept, tmp_path: Path) -> None:
    """The proposal and the dry run leave every record as it was; the dry run shows each text."""
    studio = studio_for(tmp_path, kept)
    before = bytes_of(studio / "records")
    mapping = proposed(studio, kept)
    mapping.write_text(mended(mapping.read_text("utf-8"), kept.mended), "utf-8")
    if kept.mended:
        said = called(studio, "bring", str(studio / kept.name))
        assert said.exit_code == 0
        assert bytes_of(studio / "records") == before
        assert all(f"Would write records/{path} " in said.output for path in kept.typed)


def _values(value: object) -> Iterator[str]:
    """Yield each word of every value of a record's front matter."""
    if isinstance(value, dict):
        for one in value.values():
            yield from _values(one)
    elif isinstance(value, list):
        for one in value:
            yield from _values(one)
    else:
        yield from re.findall(r"[^\s,]+", str(value))


@pytest.mark.parametrize("kept", EVERY, ids=lambda kept: kept.name)
def test_no_value_is_invented(kept: Kept, tmp_path: Path) -> None:
    """Each stands in the table or in the mapping; a count of cycles in rows that are counted."""
    studio = studio_for(tmp_path, kept)
    mapping = brought(studio, kept).read_text("utf-8")
    table = read_table(kept.name, kept.data)
    assert isinstance(table, Table)
    cells = [part for row in table.rows for cell in row
             for part in re.split(r",?[\s;:%]+", cell.text.casefold()) if part]  # fmt: skip
    numbers = {_number(part) for part in cells}
    said = {*cells, *re.split(r"[\s,;:{}\"%]+", mapping.casefold()), "h", "min", "s", "%"}
    counts = {str(number) for number in range(5)} if "whole: yes" in mapping else set()
    for path in kept.typed:
        text = (studio / "records" / path).read_text("utf-8")
        for value in _values(front_of(text)):
            is_known = value.casefold() in said or _number(value) in numbers
            is_day = bool(re.fullmatch(r"\d{4}-\d{2}-\d{2}", value)) and _is_day(value, cells)
            assert is_known or is_day or value in counts, (path, value)


def _number(text: str) -> float | str:
    plain = text.replace(".", "").replace(",", ".") if re.fullmatch(r"[\d.]+,\d+", text) else text
    try:
        return float(plain)
    except ValueError:
        return text


def _is_day(value: str, cells: list[str]) -> bool:
    year, month, day = (int(part) for part in value.split("-"))
    forms = {
        value,
        f"{day}.{month}.{year}",
        f"{day:02d}.{month:02d}.{year}",
        f"{month}/{day}/{year}",
        f"{month}/{day}/{year % 100}",
    }
    return bool(forms & set(cells))


def test_nothing_is_written_by_a_mapping_that_nobody_has_seen(tmp_path: Path) -> None:
    """The first call with --write makes the proposal, says so, and ends as a wrong call."""
    studio = studio_for(tmp_path, PURCHASES)
    (studio / PURCHASES.name).write_bytes(PURCHASES.data)
    before = bytes_of(studio / "records")
    said = called(studio, "bring", str(studio / PURCHASES.name), "--as", "purchases", "--write")
    assert said.exit_code == 2
    assert "nobody has looked at it yet" in said.output
    assert bytes_of(studio / "records") == before


def test_what_is_left_out_is_listed(tmp_path: Path) -> None:
    """A column that nothing is known of is no record's, and is not dropped in silence."""
    studio = studio_for(tmp_path, RECIPES)
    proposed(studio, RECIPES)
    mapping = studio / f"{RECIPES.name}.yml"
    assert "  Shelf: skip  # holds B3, B4" in mapping.read_text("utf-8")
    assert "does not name it: Shelf." in called(studio, "bring", str(studio / RECIPES.name)).output


def test_an_encoding_that_is_not_marked_is_told(tmp_path: Path) -> None:
    """And stands in the mapping from then on."""
    studio = studio_for(tmp_path, PURCHASES)
    (studio / PURCHASES.name).write_bytes(PURCHASES.data)
    said = called(studio, "bring", str(studio / PURCHASES.name), "--as", "purchases")
    assert "read as Windows-1252" in said.output
    mapping = (studio / f"{PURCHASES.name}.yml").read_text("utf-8")
    assert "encoding: windows-1252" in mapping


def test_a_record_that_is_there_is_never_overwritten(tmp_path: Path) -> None:
    """The second time all of them are there already, and each is named by its row."""
    studio = studio_for(tmp_path, CYCLES)
    brought(studio, CYCLES)
    before = bytes_of(studio / "records")
    said = called(studio, "bring", str(studio / CYCLES.name), "--write")
    assert said.exit_code == 1
    assert "burns.ods:2:1: Sheet!row 2: records/burns/fig-a.md is there already" in said.output
    assert bytes_of(studio / "records") == before


def test_no_mapping_takes_a_candle_out_of_a_count(tmp_path: Path) -> None:
    """A recipe that counts three of them has had three, however many a table holds."""
    studio = studio_for(tmp_path, CYCLES)
    recipe = studio / "records" / "recipes" / "fig.md"
    recipe.write_text(recipe.read_text("utf-8").replace("test_candles: 2", "test_candles: 3"))
    mapping = proposed(studio, CYCLES)
    text = mended(mapping.read_text("utf-8"), CYCLES.mended)
    mapping.write_text(f"{text}test_candles: {{fig: 2}}\n", "utf-8")
    before = bytes_of(studio / "records")
    said = called(studio, "bring", str(studio / CYCLES.name), "--write")
    assert said.exit_code == 2
    assert "counts 2 test candles, and records/recipes/fig.md counts 3" in said.stderr
    assert bytes_of(studio / "records") == before


def test_a_program_gets_what_would_be_written(tmp_path: Path) -> None:
    """Records with their rows, faults by row and column, and what is left out."""
    studio = studio_for(tmp_path, RECIPES)
    proposed(studio, RECIPES)
    told = json.loads(called(studio, "bring", str(studio / RECIPES.name), "--json").stdout)
    assert told["written"] is False
    assert [(one["file"], one["row"]) for one in told["records"]] == [
        ("records/recipes/fig.md", 4), ("records/recipes/plain-jar.md", 5),
    ]  # fmt: skip
    assert told["unmapped"] == ["Shelf"]
    assert [one["line"] for one in told["blanks"]] == [7, 7]
