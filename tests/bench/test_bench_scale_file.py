"""Files of logging scales, in the forms that scales and spreadsheets write."""

from datetime import datetime

import pytest

from handbook_builder.reading.scale_file import FileFault, Readings, read_scale_file


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
        (b"\xff\xfe", "not_text", None),
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
        (b"time_min,mass_g\n0,1\n0,\0\n", "bad_cell", 3),
        # What spreadsheets make of a date: which is the month, nobody knows.
        (b"time,mass_g\n5/1/2026 10:00 AM,1\n", "bad_time", 2),
        (b"time,mass_g\n01.05.2026 10:00,1\n", "bad_time", 2),
        (b"time,mass_g\n2026/05/01 10:00,1\n", "bad_time", 2),
        (b"date,time,mass_g\n05/01/2026,10:00:00,1\n", "bad_time", 2),
        (b"time,mass_g\n10:00:05,1\n", "bad_time", 2),
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
