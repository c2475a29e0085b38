"""What a table says in other words than records is asked of a person, never turned into good news.

The words are tables' own; that none of them may come in as a good one is this project's rule: doubt
is never approval.
"""

from pathlib import Path
from typing import Any

import pytest
import yaml

from handbook_builder.bringing.proposal import proposal
from handbook_builder.reading.records import read_folder
from handbook_builder.tables.reader import read_table
from handbook_builder.tables.table import Table
from tests.bench.calls import called
from tests.bringing.kept import ALL
from tests.bringing.test_six_tables import studio_for
from tests.records_in_text import BASE, write

_TEMPLATES = Path(__file__).parents[2] / "site_templates"
_SAID = {
    "headers": yaml.safe_load((_TEMPLATES / "headers.yml").read_text("utf-8")),
    "proposal": yaml.safe_load((_TEMPLATES / "words.yml").read_text("utf-8"))["bring"]["proposal"],
}


def _text(folder: Path, kind: str, *rows: str) -> str:
    write(folder, BASE)
    table = read_table("t.csv", "".join(f"{one}\n" for one in rows).encode())
    assert isinstance(table, Table)
    return proposal(table, kind, read_folder(folder), _SAID, "t.csv").text


def _proposed(folder: Path, kind: str, *rows: str) -> dict[str, Any]:
    found: dict[str, Any] = yaml.load(_text(folder, kind, *rows), yaml.BaseLoader)  # noqa: S506 -- texts alone
    return found


@pytest.mark.parametrize(
    ("kind", "header", "text"),
    [
        *(("burns", "vessel at end", one) for one in ("unsound", "sound?", "not sound", "sounds")),
        *(("burns", "tilt at end", one) for one in ("unsteady", "un-steady", "steady?")),
        *(("burns", "ended", one) for one in ("went on", "went", "went out?", "not went out")),
        *(("burns", "seen", one) for one in ("craked", "crack?", "fine", "flam up", "x")),
        *(("suppliers", "kind", one)
          for one in ("non-candle supplier", "not candle supplier", "candle supplier?", "candle")),
        *(("vessels", header, one)
          for header in ("porous", "sealed", "drinkware") for one in ("x", "y?", "not no", "-")),
        ("vessels", "material", "not glass"),
        ("recipes", "load basis", "totally"),
    ],
)  # fmt: skip
def test_a_word_near_to_one_of_a_record_is_asked(
    kind: str, header: str, text: str, tmp_path: Path
) -> None:
    """Neither it nor another comes in until somebody has written what it means."""
    column = _proposed(tmp_path, kind, f"name,{header}", f'A,"{text}"')["columns"][header]
    assert column["words"] == {text: "?"}


@pytest.mark.parametrize(
    ("kind", "header", "text", "word"),
    [
        ("burns", "ended", "Went out", "went_out"),
        ("burns", "ended", "went-out", "went_out"),
        ("burns", "seen", "Wet Spots", "wet_spots"),
        ("burns", "seen", "mushroom", "mushrooming"),  # of the table in headers.yml
        ("burns", "vessel at end", "SOUND", "sound"),
        ("suppliers", "kind", "Candle supplier", "candle_supplier"),
        ("vessels", "sealed", "Y", "yes"),
        ("vessels", "porous", "n", "no"),
    ],
)
def test_a_word_in_another_dress_is_that_word(
    kind: str, header: str, text: str, word: str, tmp_path: Path
) -> None:
    """Capitals, blanks, hyphens and underscores make no difference; all else does."""
    column = _proposed(tmp_path, kind, f"name,{header}", f"A,{text}")["columns"][header]
    assert column["words"] == {text: word}


@pytest.mark.parametrize("text", ["cotton-8?", "cotton-9", "not cotton-8", "coton-8", "cotton"])
def test_no_item_is_guessed_by_a_name_near_to_its_own(text: str, tmp_path: Path) -> None:
    """Another wick is another candle."""
    column = _proposed(tmp_path, "burns", "candle,wick", f"A,{text}")["columns"]["wick"]
    assert "cotton-8" not in ([] if isinstance(column, str) else column["words"].values())


def test_each_word_of_the_table_leads_to_a_word_that_records_know(tmp_path: Path) -> None:
    """Else the table would be asked in vain."""
    headers = {"cycles.seen": "seen", "end.vessel": "vessel at end"}
    assert set(_SAID["headers"]["words"]) == set(headers)
    for key, header in headers.items():
        for word, others in _SAID["headers"]["words"][key].items():
            rows = [f"A,{one}" for one in others]
            column = _proposed(tmp_path, "burns", f"candle,{header}", *rows)["columns"][header]
            assert column["words"] == dict.fromkeys(others, word)


def test_an_open_word_stops_the_table_by_its_cell(tmp_path: Path) -> None:
    """Nothing is written while the question mark stands there, and the cell is named."""
    studio = studio_for(tmp_path, ALL[0])
    (studio / "t.csv").write_text("name,kind\nPot shop,candle supplier?\n")
    called(studio, "bring", str(studio / "t.csv"), "--as", "suppliers")
    said = called(studio, "bring", str(studio / "t.csv"), "--write")
    assert said.exit_code == 1
    assert "B2 'kind': found 'candle supplier?', and the mapping has a question mark" in said.output
    assert not (studio / "records/suppliers/pot-shop.md").exists()


_BURN = "recipe,candle,date,burned (h),before (g),after (g),flame (mm),seen,note"


@pytest.mark.parametrize(
    "row",
    [
        ",,2026-03-05,4,400,374,95,crack,Total",
        ",,,,,,95,,Total",
        ",,,,400,374,,,Total",  # by its note alone
        "Total,,,4,,,,,",  # a candle of this name
        ",,,,,,,Total,",
        ",,,,,,,sum,cracked",
    ],
)
def test_a_row_with_a_reading_is_no_row_of_sums(row: str, tmp_path: Path) -> None:
    """A cycle whose note says Total is a cycle: it may be the one that failed."""
    rows = (_BURN, "fig,A,2026-03-04,4,426,400,22,,", row)
    assert "leave_out" not in _proposed(tmp_path, "burns", *rows)


@pytest.mark.parametrize(
    ("kind", "rows"),
    [
        ("burns", ("recipe,candle,what,before (g)", "fig,A,,400", ",,Summe:,400")),
        ("purchases", ("date,supplier,item,quantity,price", "2026-03-04,jar-house,soy,3 kg,9.00",
                       ",,Total,3 kg,9.00")),
    ],
)  # fmt: skip
def test_a_row_of_sums_is_left_out_and_shown(
    kind: str, rows: tuple[str, ...], tmp_path: Path
) -> None:
    """It says that it is one first of all, and has sums of masses or money besides."""
    assert "leave_out: [3]" in (text := _text(tmp_path, kind, *rows))
    assert f"#   3: {'; '.join(one for one in rows[2].split(',') if one)}\n" in text


def test_each_row_that_is_left_out_is_named(tmp_path: Path) -> None:
    """By its number and all that stands in it, in the dry call and when it is written."""
    studio = studio_for(tmp_path, ALL[0])
    table = studio / "t.csv"
    table.write_text("name,kind\nPot shop,general\nCellar,general\n")
    called(studio, "bring", str(table), "--as", "suppliers")
    mapping = studio / "t.csv.yml"
    mapping.write_text("leave_out: [3]\n" + mapping.read_text("utf-8"))
    for write_it in ([], ["--write"]):
        said = called(studio, "bring", str(table), *write_it)
        assert said.exit_code == 0, said.output
        assert "row 3: Cellar; general\n" in said.output
    assert not (studio / "records/suppliers/cellar.md").exists()


@pytest.mark.parametrize(
    "headers",
    ["wall (C),hottest wall (C)", "observed,saw", "melt pool (mm),pool width (mm)", "seen,observed",
     "wall,wall", "notes,remarks"],
)  # fmt: skip
def test_of_two_columns_of_one_meaning_none_is_chosen(headers: str, tmp_path: Path) -> None:
    """Both are blank until a person says which is read: the other may hold the failure."""
    found = _proposed(tmp_path, "burns", f"candle,{headers}", "A,45,93")["columns"]
    assert [one for name, one in found.items() if name != "candle"] == ["", ""]


def test_a_table_of_ours_has_a_column_a_unit(tmp_path: Path) -> None:
    """Such columns are of one key on purpose."""
    headers = "cycles.before (g),cycles.before (oz)"
    found = _proposed(tmp_path, "burns", f"candle,{headers}", "A,45,")["columns"]
    assert all(one["key"] == "cycles.before" for name, one in found.items() if name != "candle")


@pytest.mark.parametrize(
    "text", ["crack", "Cracked at the rim", "flare up", "sooty", "failed", "Riss"]
)
def test_a_column_that_tells_of_harm_is_never_skipped(text: str, tmp_path: Path) -> None:
    """One that no key took and that holds other things is."""
    rows = ("candle,problems,shelf", f"A,{text},B3", "B,,wick drawer")
    found = _proposed(tmp_path, "burns", *rows)["columns"]
    assert (found["problems"], found["shelf"]) == ("", "skip")
