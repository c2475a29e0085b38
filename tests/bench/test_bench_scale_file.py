"""Files of logging scales, in the forms that scales and spreadsheets write."""

from datetime import datetime

import pytest

from handbook_builder.reading.scale_columns import by_role
from handbook_builder.reading.scale_file import FileFault, HowRead, Readings, read_scale_file


def read(text: str, *units: str) -> Readings:
    """Return the readings of a file that has no fault."""
    found = read_scale_file(text.encode(), *units)
    assert isinstance(found, Readings), found
    return found


# The same two readings, half an hour apart, 400.5 g and 397.25 g.
@pytest.mark.parametrize(
    "text",
    [
        "time_min,mass_g\n0,400.5\n30,397.25\n",
        "time (s),mass [g]\n0,400.5\n1800,397.25\n",
        "Elapsed hours;Weight kg\n0,0;0,4005\n0,5;0,39725\n",
        "\ufefftime/min\tmass g\r\n0\t400,5\r\n30\t397,25\r\n",
        "# a scale's own remark\nno,mass_g,time_h\n1,400.5,0\n\n2,397.25,0.5\n",
        "time,mass\n0 min,400.5 g\n30 min,397.25 g\n",
        "10 min,400.5 g\n40 min,397.25 g\n",
        '"time_min","mass_g"\n"-10","400.5"\n"20","397.25"\n',
    ],
)
def test_the_same_readings_in_many_forms(text: str) -> None:
    """Delimiter, decimal comma, header, units and order of columns are the scale's own."""
    found = read(text)
    assert found.hours == pytest.approx((0, 0.5))
    assert found.mass_g == pytest.approx((400.5, 397.25))
    assert found.begun is None


@pytest.mark.parametrize(
    "head",
    ["Time,Tare weight,Gross weight,Net weight", "time,tare,gross,net", "time,tare,weight,net mass",
     "time,Tare mass (kg),mass,weight unit"],
)  # fmt: skip
def test_gross_is_the_mass_of_candle_and_vessel(head: str) -> None:
    """Neither what the scale was set back by, nor what is left without it."""
    found = read(f"{head}\n0 min,200 g,400.5 g,200.5 g\n30 min,200 g,397.25 g,197.25 g\n")
    assert found.mass_g == pytest.approx((400.5, 397.25))


@pytest.mark.parametrize(
    "text",
    [
        "Date,Time,mass_g\n2026-03-16,9:30,400.5\n2026-03-16,10:00,397.25\n",
        "no;time;date;mass_g\n1;09:30:00;2026-03-16;400,5\n2;10:00:00.0;2026-03-16;397,25\n",
    ],
)
def test_date_and_time_in_two_columns(text: str) -> None:
    """They are one moment, whichever comes first."""
    found = read(text)
    assert found.hours == pytest.approx((0, 0.5))
    assert found.begun == datetime(2026, 3, 16, 9, 30)  # noqa: DTZ001 -- no zone


def test_a_date_beside_the_time_that_ran() -> None:
    """The hours that ran are the time; the same date in every line tells none."""
    text = "date,elapsed_min,mass_g\n2026-03-16,0,400.5\n2026-03-16,30,397.25\n"
    assert read(text).hours == pytest.approx((0, 0.5))


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("2026-03-16 09:30", "2026-03-16 10:00"),
        ("2026-03-16T09:30:00", "2026-03-16T10:00:00"),
        ("2026-03-16T09:30:00+01:00", "2026-03-16T09:00:00Z"),
    ],
)
def test_moments(one: str, two: str) -> None:
    """ISO times count from the first, which is the moment of lighting."""
    found = read(f"date,mass_g\n{one},400.5\n{two},397.25\n")
    assert found.hours == pytest.approx((0, 0.5))
    assert isinstance(found.begun, datetime)
    assert found.begun.replace(tzinfo=None) == datetime(2026, 3, 16, 9, 30)  # noqa: DTZ001 -- no zone


def test_units_from_the_call() -> None:
    """Where neither header nor cells name them; a header that does wins."""
    assert read("0,400.5\n30,397.25\n", "min", "g").hours == pytest.approx((0, 0.5))
    assert read("time_s,mass\n0,16\n1800,8\n", "h", "oz").hours == pytest.approx((0, 0.5))
    # 1 avdp oz = 28.349523125 g (NIST HB 44, Appendix C).
    assert read("time_s,mass\n0,16\n", "h", "oz").mass_g == pytest.approx((453.59237,))


@pytest.mark.parametrize(
    ("data", "code", "line"),
    [
        (b"\xff\xfet", "not_text", None),
        (b"time_min,mass_g\n0,1\n0,\0\n", "not_text", None),
        (b"\xff\xfe", "empty", None),
        (b"", "empty", None),
        (b"\n  \n", "empty", None),
        (b"time_min,mass_g\n", "empty", None),
        (b"hour,mass_g\n0,1\n", "no_column", None),
        (b"time_min,grams\n0,1\n", "no_column", None),
        (b"time_min,mass_g\n0,1\n5\n", "uneven", 3),
        (b"time_min,mass_g\n0,1\n,2\n", "short_line", 3),
        (b"time_min,mass_g\n0,1\n5,heavy\n", "bad_cell", 3),
        (b"time_min,mass_g\n2026-13-01,1\n", "bad_time", 2),
        (b"time_min,mass_g\n0,1 h\n", "bad_cell", 2),
        (b"time,mass_g\n0,1\n", "no_unit", 2),
        # A decimal comma among commas cuts a number in two; so nothing is read, whatever the head.
        (b"time,mass (g)\n2026-05-02T10:00:00,416,8\n2026-05-02T10:05:00,416,3\n", "uneven", 2),
        (b"time_min,mass_g\n0,416.8\n5,416,3\n", "uneven", 3),
        (b"time_min,mass_g,\n0,416,8\n", "nameless", 2),
        (b"0 min,416 g,8\n", "no_header", 1),
        (b'time_min,mass_g\n0,"1\n5,2\n', "bad_cell", 3),
        # Which number is the month, nobody knows while both can be.
        (b"time,mass_g\n5/1/2026 10:00 AM,1\n", "which_date", 2),
        (b"time,mass_g\n01.05.2026 10:00,1\n", "which_date", 2),
        (b"time,mass_g\n16.03.26 10:00,1\n", "which_date", 2),
        (b"date,time,mass_g\n05/01/2026,10:00:00,1\n", "which_date", 2),
        # A clock of two numbers may show hours and minutes, or minutes and seconds.
        (b"time,mass_g\n10:05,1\n", "short_clock", 2),
        (b"time,mass_g\n9:30:00 AM,1\n9:31:00,1\n", "half_marked", 3),
        (b"time,mass_g\n16.03.2026 13:30 PM,1\n", "bad_time", 2),
        (b"time,mass_g\n16.03.2026 24:00,1\n", "bad_time", 2),
        (b"time,mass_g\n16.13.2026 10:00,1\n", "bad_time", 2),
        (b"time,mass_g\n16 M\xc3\xa4rz 2026 10:00,1\n", "bad_time", 2),
        # Semicolons let a comma be the decimal sign; whether 1,234 is one must be said.
        (b"time_min;mass_g\n0;1,234\n5;1,230\n", "which_decimal", 2),
        (b"time;mass;unit\n0 min;412.5;pinch\n", "bad_cell", 2),
        (b"time;mass_g;unit\n0 min;412.5;oz\n", "bad_cell", 2),
        (b"0,400.5\n30,397\ntime_min,mass_g\n60,390\n", "reading_above", 1),
        (b"Model 12\n0 min,400 g\n", "no_column", None),
        (b"time_min,mass_g\n0,400\nOL,OL\n5,399\n", "bad_time", 3),
        (b"Zeit;Gewicht\n0;400\n", "no_column", None),
        ("time_min,mass_g\n\u0661,1\n".encode(), "bad_time", 2),
        # Only the mass of candle and vessel together is asked for.
        (b"time_min,tare weight_g\n0,1\n", "no_column", None),
        (b"time_min,tare weight_g,net weight_g\n0,1,2\n", "no_column", None),
        (b"time_min,mass_g,weight_g\n0,1,2\n", "which_mass", None),
        (b"time_min,mass_g\n0,1" + b"0" * 400 + b"\n", "bad_cell", 2),
        (b"time_min,mass_kg\n0,1001\n", "bad_cell", 2),
        (b"time_h,mass_g\n99999999,1\n", "bad_cell", 2),
        (b"time_min,mass_g\n0,1\n" + b"x" * 200_000 + b",1\n", "not_csv", 3),
        (b" " * 20_000_001, "too_big", None),
        (b"time_min,mass\n0,1\n", "no_unit", 2),
        (b"time_min,mass_g\n0,1\n2026-03-01,2\n", "mixed_times", 3),
        (b"time_min,mass_g\n2026-03-01,2\n7,2\n", "mixed_times", 3),
        (b"date,mass_g\n2026-03-01,2\n2026-03-01T10:00Z,2\n", "mixed_times", 3),
    ],
)
def test_faults(data: bytes, code: str, line: int | None) -> None:
    """The first fault is told, by its line; nothing is guessed and nothing skipped."""
    found = read_scale_file(data)
    assert isinstance(found, FileFault)
    assert (found.code, found.details.get("line")) == (code, line)


# Invented devices: an hour of burning, the same two readings in each.
SHAPES = {
    "a preamble, two columns, AM and PM, a unit column, words at the end": (
        "Scale;X-1\nSerial;0012\n\nNo;Date;Time;Weight;Unit\n1;03/16/2026;9:30:00 AM;412,5;g\n"
        "2;03/16/2026;1:30:00 PM;390,5;g\nEnd of log;;;;\n"
    ),
    "a said delimiter, day first": (
        "sep=;\nDate;Time;Mass (g)\n16.03.2026;09:30;412,5\n16.03.2026;13:30;390,5\n"
    ),
    "a tab, a month by its name, a trailing sign": (
        "time\tmass_g\t\n16-Mar-2026 09:30:00\t412.5\t\n16-Mar-2026 13:30:00\t390.5\t\n"
    ),
    "the year in front": "time,mass_kg\n2026/03/16 9:30,0.4125\n2026/03/16 13:30,0.3905\n",
    "ISO with an afternoon": "time,mass_g\n2026-03-16 9:30 am,412.5\n2026-03-16 1:30 p.m.,390.5\n",
    "through midday by the clock of twelve": (
        "date,clock,weight g\n16/03/2026,9:30 AM,412.5\n16/03/2026,01:30:00 PM,390.5\n"
    ),
}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "windows-1252"])
@pytest.mark.parametrize("shape", SHAPES)
def test_as_devices_write_them(shape: str, encoding: str) -> None:
    """Four hours from 09:30, 22 g less, whatever stands around; in every encoding in use."""
    text = SHAPES[shape].replace("Scale", "Sc\u00e4le").replace("No;", "N\u00b0;")
    found = read_scale_file(text.encode(encoding))
    assert isinstance(found, Readings), found
    assert found.hours == pytest.approx((0, 4))
    assert found.mass_g == pytest.approx((412.5, 390.5))
    assert found.begun == datetime(2026, 3, 16, 9, 30)  # noqa: DTZ001 -- no zone
    codes = [code for code, _ in found.told]
    assert ("windows" in codes) is (encoding == "windows-1252" and "\u00e4" in text)
    assert ("above" in codes, "below" in codes) == ("Serial" in text, "End" in text)


@pytest.mark.parametrize(
    ("style", "day"), [("DD/MM/YYYY", (2026, 5, 4)), ("MM/DD/YYYY", (2026, 4, 5))]
)
def test_the_call_says_which_number_is_the_day(style: str, day: tuple[int, int, int]) -> None:
    """The same file is of another day by another word, and by none of either."""
    data = b"time,mass_g\n04/05/2026 09:30,412.5\n04/05/2026 13:30,390.5\n"
    found = read_scale_file(data, how=HowRead(dates=style))
    assert isinstance(found, Readings)
    assert found.begun == datetime(*day, 9, 30)  # noqa: DTZ001 -- no zone


def test_clocks_that_ran() -> None:
    """Three numbers are hours, minutes and seconds; beyond a day they go on."""
    found = read("elapsed,mass_g\n23:59:30,400.5\n24:29:30.0,397.25\n")
    assert (found.hours[1] - found.hours[0], found.begun) == (pytest.approx(0.5), None)


@pytest.mark.parametrize(
    "named",
    ["time=Uhrzeit,date=Datum,mass=Gewicht, netto", "time=3, date=2 ,mass=4",
     "mass=GEWICHT, NETTO,time=uhrzeit,date=datum"],
)  # fmt: skip
def test_other_languages_by_named_columns(named: str) -> None:
    """A name may hold a comma, and capitals do not matter; a number counts the columns."""
    text = "Waage 7\nNr\tDatum\tUhrzeit\tGewicht, netto\n1\t16.03.2026\t9:30\t412,5\n"
    columns = by_role(named)
    assert not isinstance(columns, str)
    found = read_scale_file(text.encode(), how=HowRead(mass_unit="g", columns=columns))
    assert isinstance(found, Readings), found
    begun = datetime(2026, 3, 16, 9, 30)  # noqa: DTZ001 -- no zone
    assert (found.mass_g, found.begun) == ((412.5,), begun)


@pytest.mark.parametrize("named", ["Uhrzeit", "time=", "time=a", "mass=a,mass=b,time=c", "when=a"])
def test_names_of_columns_that_say_nothing(named: str) -> None:
    """What is none of the roles, a role twice, or time or mass left out is named back."""
    assert isinstance(by_role(named), str)


@pytest.mark.parametrize(
    ("columns", "code"),
    [("time=When,mass=Gewicht", "no_such_column"), ("time=1,mass=9", "no_such_column")],
)
def test_named_columns_that_are_not_there(columns: str, code: str) -> None:
    """The name is told with those that are there; a number beyond the table has none."""
    names = by_role(columns)
    assert not isinstance(names, str)
    found = read_scale_file(b"Zeit;Gewicht\n0 min;400 g\n", how=HowRead(columns=names))
    assert isinstance(found, FileFault)
    assert found.code == code


def test_the_decimal_sign_by_the_call() -> None:
    """A thousand and a little more than one are the same to look at."""
    data = b"time_min;mass_g\n0;1,234\n5;1,230\n"
    found = read_scale_file(data, how=HowRead(decimal="comma"))
    assert isinstance(found, Readings)
    assert found.mass_g == (1.234, 1.23)
    quoted = b'time_min,mass_g\n0,"412,5"\n5,"412,1"\n'
    found = read_scale_file(quoted, how=HowRead(decimal="comma"))
    assert isinstance(found, Readings)
    assert found.mass_g == (412.5, 412.1)
    points = read_scale_file(data, how=HowRead(decimal="point"))
    assert isinstance(points, FileFault)
    assert points.code == "bad_cell"


def test_a_fault_names_its_line_and_its_column() -> None:
    """As the file counts its lines and calls its columns."""
    found = read_scale_file(b"Serial;1\n\nTime;Mass (g)\n0 min;412,5\n5 min;OL\n")
    assert isinstance(found, FileFault)
    assert dict(found.details) == {
        "line": 5, "column": "Mass (g)", "found": "OL", "reason": "mass",
    }  # fmt: skip
