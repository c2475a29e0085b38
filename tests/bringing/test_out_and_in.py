"""What is handed out as tables comes in again, to the last digit; and nothing in it runs."""

import csv
import dataclasses
import io
import re
import shutil
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Final

import openpyxl
import pytest

from handbook_builder.reading.kinds.trade import Amount
from handbook_builder.reading.records import read_folder
from tests.bench.calls import called
from tests.money.test_floor_edition import other_ids, other_money, with_other_ids
from tests.oracle.generate import studio as drawn
from tests.records_in_text import write
from tests.reports.studio import DAY, studio

ROOT: Final = Path(__file__).parents[2]
SEEDS: Final = (0, 5, 9)
# What a drawn studio poured for sale may be at fault, which no table is made of.
LEFT_OUT: Final = ("batches/", "incidents/")
# What those tables leave: components whose list is empty have no cell to say so.
KINDS: Final = ("burns", "purchases", "batches", "recipes", "vessels", "waxes", "wicks",
                "suppliers", "colorants", "packaging")  # fmt: skip


@pytest.fixture(scope="module")
def handed_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with all tables of the demo, as CSV and as a workbook."""
    folder = tmp_path_factory.mktemp("out")
    for form in ("csv", "xlsx"):
        said = called(ROOT, "tables", str(folder), "--as", form, "--edition", "owner")
        assert said.exit_code == 0, said.output
    return folder


def _plain(value: Any, digits: int = 17) -> Any:  # noqa: ANN401 -- any part of a record
    """Return a record without places, and amounts by what they are, not how they were written.

    Numbers are told with so many digits: 17 are all that a float has.
    """
    if isinstance(value, float):
        return float(f"{value:.{digits}g}")
    if isinstance(value, Amount):
        return (_plain(value.value, digits), value.dimension.word)
    if isinstance(value, Mapping):
        return {key: _plain(one, digits) for key, one in value.items()}
    if isinstance(value, tuple):
        return tuple(_plain(one, digits) for one in value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = {one.name: _plain(getattr(value, one.name), digits)
                  for one in dataclasses.fields(value)}  # fmt: skip
        return {key: one for key, one in fields.items() if key not in {"places", "file"}}
    return value


def _brought_back(folder: Path, table: Path, kind: str, digits: int) -> None:
    """Take the records of a kind away, bring their table, and see that they are what they were.

    By the proposed mapping, with nothing but `whole` said to it.
    """
    before = _records(folder, kind, digits)
    shutil.rmtree(folder / "records" / kind)
    called(folder, "bring", str(table), "--as", kind)
    mapping = table.with_name(f"{table.name}.yml")
    text = re.sub(r"^whole:.*$", "whole: no", mapping.read_text("utf-8"), flags=re.MULTILINE)
    mapping.write_text(text, "utf-8")
    said = called(folder, "bring", str(table), "--write")
    assert said.exit_code == 0, said.output[-2000:]
    assert before
    assert _records(folder, kind, digits) == before


def _records(folder: Path, kind: str, digits: int) -> dict[str, Any]:
    found = read_folder(folder / "records").records[kind]
    return {ident: _plain(one, digits) for ident, one in found.items()}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_goes_out_comes_in_again(
    kind: str, form: str, handed_out: Path, tmp_path: Path
) -> None:
    """Every record of the demo."""
    shutil.copytree(ROOT / "records", tmp_path / "records")
    table = tmp_path / f"{kind}.{form}"
    if form == "csv":
        shutil.copy(handed_out / f"{kind}.csv", table)
    else:
        book: Any = openpyxl.load_workbook(handed_out / "handbook.xlsx")
        for name in book.sheetnames:
            if name != kind:
                del book[name]
        book.save(table)
    digits = 17 if form == "csv" else 15  # a workbook keeps sixteen digits of a number
    _brought_back(tmp_path, table, kind, digits)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kind", ["burns", "purchases"])
def test_so_it_does_of_any_studio(kind: str, seed: int, tmp_path: Path) -> None:
    """Drawn studios: cycles in every unit and spelling, ends, voids, ladders, lots, freight."""
    files, day = drawn(seed)
    rest = {path: text for path, text in files.items() if not path.startswith(LEFT_OUT)}
    rest["studio.md"] = re.sub(r'(?m)^"?incidents"?:.*\n', "", rest["studio.md"])
    write(tmp_path / "records", rest)
    out = tmp_path / "out"
    said = called(tmp_path, "tables", str(out), "--edition", "owner", "--as-of", f"{day}")
    assert said.exit_code == 0, said.output
    _brought_back(tmp_path, out / f"{kind}.csv", kind, 17)


def test_numbers_are_numbers_and_days_are_days(handed_out: Path) -> None:
    """As openpyxl reads them, and a text is one whatever it looks like."""
    book: Any = openpyxl.load_workbook(handed_out / "handbook.xlsx")
    sheet = book["burns"]
    heads = {cell.value: cell.column for cell in sheet[1]}
    assert isinstance(sheet.cell(2, heads["cycles.before (g)"]).value, float | int)
    assert isinstance(sheet.cell(2, heads["made.on"]).value, datetime)
    assert isinstance(book["purchases"].cell(2, 7).value, float | int)
    wicks = book["wicks"]
    size = next(cell.column for cell in wicks[1] if cell.value == "size")
    assert {cell.data_type for cell in wicks[openpyxl.utils.get_column_letter(size)][1:]} == {"s"}


def test_units_stand_in_the_headers(handed_out: Path) -> None:
    """No cell of numbers bears one."""
    for file in handed_out.glob("*.csv"):
        rows = list(csv.reader(io.StringIO(file.read_text("utf-8-sig"))))
        for at, header in enumerate(rows[0]):
            if header.endswith(" (g)"):
                cells = [row[at] for row in rows[1:] if row[at]]
                assert all(re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", cell) for cell in cells), header


RUNS: Final = ("=1+1", "+1+1", "-1+1", "@SUM(1)", "=cmd|' /C calc'!A0", "'=1+1")


def test_no_text_runs_as_a_formula(tmp_path: Path) -> None:
    """Neither in CSV nor in a workbook; and each comes in again as it was."""
    files = studio()
    head = files["batches/april.md"].partition("given:\n")[0]
    files["batches/april.md"] = f"{head}given:\n{_quoted()}---\n"
    write(tmp_path / "records", files)
    for form in ("csv", "xlsx"):
        said = called(tmp_path, "tables", str(tmp_path), "--as", form, "--edition", "owner",
                      "--as-of", DAY)  # fmt: skip
        assert said.exit_code == 0, said.output
    for file in tmp_path.glob("*.csv"):
        for row in csv.reader(io.StringIO(file.read_text("utf-8-sig"))):
            assert not [cell for cell in row if cell[:1] in set("=+@") or re.match(r"-\D", cell)]
    book: Any = openpyxl.load_workbook(tmp_path / "handbook.xlsx")
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert kinds <= {"s", "inlineStr", "n", "d"}
    values = [cell.value for row in book["batches"].iter_rows() for cell in row]
    assert set(RUNS) <= set(values)


def _quoted() -> str:
    return "".join(
        f'  - {{on: 2026-04-{20 + at}, to: "{text}", count: 1, how: gift}}\n'
        for at, text in enumerate(RUNS)
    )


def _renamed(records: Path) -> None:
    """Give every sum, supplier, recipient, bill, batch, incident and lot another name."""
    ids = other_ids()
    for path in sorted(records.rglob("*.md")):
        text = with_other_ids(other_money(path.read_text("utf-8")), ids)
        name = other_money(path.stem) if path.parent.name == "suppliers" else path.stem
        path.unlink()
        path.with_name(f"{ids.get(name, name)}.md").write_text(text, "utf-8")
        if path.with_suffix("").is_dir():  # what lies beside it
            path.with_suffix("").rename(path.with_name(ids.get(name, name)))


def test_the_floor_edition_is_the_same_whoever_bought_and_sold(tmp_path: Path) -> None:
    """Every sum, supplier and recipient changed: its tables are the same, byte for byte."""
    tables: list[dict[str, bytes]] = []
    for name in ("own", "other"):
        folder = tmp_path / name
        shutil.copytree(ROOT / "records", folder / "records")
        shutil.copy(ROOT / "mkdocs.yml", folder)
        if name == "other":
            _renamed(folder / "records")
        said = called(folder, "tables", str(folder / "out"))
        assert said.exit_code == 0, said.output
        assert "--edition owner has all of them" in said.output
        tables.append({one.name: one.read_bytes() for one in (folder / "out").iterdir()})
    assert tables[0].keys() == tables[1].keys()
    assert not {"purchases.csv", "suppliers.csv", "costs.csv", "prices.csv"} & tables[0].keys()
    assert [name for name in tables[0] if tables[0][name] != tables[1][name]] == []
