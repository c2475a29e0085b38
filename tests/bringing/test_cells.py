"""What one cell says: days by a stated style, numbers by a stated sign, stated units."""

import pytest

from handbook_builder.bringing.headers import named
from handbook_builder.bringing.rows import slug
from handbook_builder.bringing.targets import target_of
from handbook_builder.bringing.values import Fault, Rules, value_of
from handbook_builder.reading.days import day_of, is_style, style_of
from handbook_builder.tables.csv_file import marked, runs
from handbook_builder.tables.reader import read_table
from handbook_builder.tables.table import Cell, Sort, Table, TableFault, letters
from tests.bringing.files import xlsx


@pytest.mark.parametrize(
    ("text", "style", "day"),
    [
        ("3/4/2026", "MM/DD/YYYY", "2026-03-04"),
        ("3/4/2026", "DD/MM/YYYY", "2026-04-03"),
        ("3.4.26", "DD.MM.YY", "2026-04-03"),
        ("4 Mar 2026", "D MMM YYYY", "2026-03-04"),
        ("2026-03-04", None, "2026-03-04"),
        ("3/4/2026", None, None),
        ("30.2.2026", "DD.MM.YYYY", None),
        ("13/13/2026", "DD/MM/YYYY", None),
    ],
)
def test_a_day_is_read_by_its_style(text: str, style: str | None, day: str | None) -> None:
    """Without one, only the ISO form is a day."""
    assert day_of(text, style) == day


def test_a_style_is_never_guessed_where_two_fit() -> None:
    """An empty text asks; one day beyond the twelfth is enough to tell."""
    assert style_of(["3/4/2026", "5/6/2026"]) == ""
    assert style_of(["3/4/2026", "5/16/2026"]) == "MM/DD/YYYY"
    assert style_of(["3/4/2026", "16/5/2026"]) == "DD/MM/YYYY"
    assert style_of(["3/14/2026", "16/5/2026"]) is None
    assert is_style("D MMM YYYY")
    assert not is_style("MM/YYYY")


def _read(text: str, key: str, sort: Sort = Sort.TEXT, **given: str) -> object:
    rules = Rules(given.get("unit"), given.get("decimal"), given.get("dates"), {}, ("EUR", "€"))
    target = target_of("purchases" if key.startswith("lines") else "burns", key)
    assert target is not None
    found = value_of(Cell(text, sort), target, rules)
    return found.code if isinstance(found, Fault) else found


@pytest.mark.parametrize(
    ("text", "key", "given", "value"),
    [
        ("512,6", "cycles.before", {"unit": "g", "decimal": "comma"}, "512.6 g"),
        ("1.512,6 g", "cycles.before", {"decimal": "comma"}, "1512.6 g"),
        ("512,6", "cycles.before", {"unit": "g"}, "which_decimal"),
        ("512,6", "cycles.before", {"unit": "g", "decimal": "point"}, "not_a_number"),
        (".28", "cycles.before", {"unit": "oz", "decimal": "point"}, "0.28 oz"),
        (",5 g", "cycles.before", {"decimal": "comma"}, "0.5 g"),
        (".28", "cycles.before", {"unit": "oz"}, "which_decimal"),
        (",28", "cycles.before", {"unit": "oz", "decimal": "point"}, "not_a_number"),
        ("512", "cycles.before", {}, "no_unit"),
        ("512", "cycles.before", {"unit": "g"}, "512 g"),
        ("2 3/4", "cycles.pool", {"unit": "in"}, "2 3/4 in"),
        ('2 3/4"', "cycles.pool", {}, '2 3/4"'),
        ("4:05", "cycles.burned", {}, "which_clock"),
        ("4:05", "cycles.burned", {"unit": "h:mm"}, "4 h 5 min"),
        ("405", "cycles.burned", {"unit": "h:mm"}, "no_clock"),
        ("3 h 50 min", "cycles.burned", {"unit": "h"}, "3 h 50 min"),
        ("€ 1.060,00", "lines.price", {"decimal": "comma"}, "1060.00"),
        ("$ 12", "lines.price", {}, "$ 12"),
        ("12", "lines.price", {"unit": "USD"}, "other_money"),
        ("10", "lines.quantity", {}, "no_unit"),
        ("-3", "cycles.wall", {"unit": "degC"}, "-3 degC"),
    ],
)
def test_a_number_is_written_as_it_stands(
    text: str, key: str, given: dict[str, str], value: str
) -> None:
    """Its own digits, a point for its decimals, and a unit that stands somewhere; or a fault."""
    found = _read(text, key, **given)
    assert found == value or (value == "$ 12" and found == "not_plain")


def test_what_a_spreadsheet_says_itself_needs_no_style() -> None:
    """Its numbers have points, its days are days, and its hours are hours."""
    assert _read("512.6", "cycles.before", Sort.NUMBER, unit="g", decimal="comma") == "512.6 g"
    assert _read("4:05", "cycles.burned", Sort.CLOCK) == "4 h 5 min"


def test_a_formula_counts_by_its_stored_value() -> None:
    """One that was never reckoned has none: a fault, and no reading of nothing."""
    table = read_table("x.xlsx", xlsx([["a", "b"], [1, "=A2+1"]]))
    assert isinstance(table, Table)
    assert table.cell(2, 2).fault == "no_stored_value"


@pytest.mark.parametrize("data", [b"PK\x03\x04junk", b"", b"\x00\x01"])
def test_what_is_no_table_is_told(data: bytes) -> None:
    """A broken archive, or nothing, is a sentence and never a trace."""
    for name in ("x.xlsx", "x.ods", "x.csv"):
        assert isinstance(read_table(name, data), Table | TableFault)
    assert isinstance(read_table("x.xlsx", data), TableFault)
    assert isinstance(read_table("x.pdf", b"x"), TableFault)


def test_the_sign_between_cells_is_told_by_the_rows() -> None:
    """Commas in numbers, and in texts within quotes, part nothing."""
    for text, sign in (
        ("a;b\n1,5;2,5\n", ";"), ('a,b\n"x; y; z",1\n', ","), ("a\tb\n1,5\t2\n", "\t"),
        ("Title\n\na;b;c\n1,0;2;3\n", ";"),
    ):  # fmt: skip
        table = read_table("x.csv", text.encode())
        assert isinstance(table, Table)
        assert table.delimiter == sign, text


def test_names_of_columns_and_ids() -> None:
    """As a spreadsheet counts columns, and as records are called."""
    assert [letters(one) for one in (1, 26, 27, 703)] == ["A", "Z", "AA", "AAA"]
    assert slug("Fig & Cèdre, 2nd") == "fig-cedre-2nd"
    assert named("Wall temp (°F)") == ("Wall temp", "°F")
    assert named("Price (each)") == ("Price", "each")  # of one piece: no price of a line
    assert named("Oil (warm)") == ("Oil (warm)", None)


@pytest.mark.parametrize("text", ["=1", "+1", "-x", "@a", "'=1", "\t=1", "''=1"])
def test_a_mark_before_what_would_run_comes_off_again(text: str) -> None:
    """What was marked once is unmarked once."""
    assert runs(text)
    table = read_table("x.csv", f'h,i\n"{marked(text)}",1\n'.encode())
    assert isinstance(table, Table)
    assert table.cell(2, 1).text == text
