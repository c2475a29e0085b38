"""The charts: small, still, told apart without colour, and with every number in a table."""

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.pages.page import Page
from handbook_builder.pages.tests.charts import MOST_LINES, Chart, Line, Mark
from handbook_builder.publish.charts import HEIGHT, WIDTH, drawing
from tests.pages.conftest import ROOT, told

MOST_BYTES = 12_000
SVG = re.compile(r'<svg class="plot".*?</svg>', re.DOTALL)
STYLES = (ROOT / "site_templates/theme/assets/handbook.css").read_text("utf-8")


def a_chart(*lines: Line, marks: tuple[Mark, ...] = (), **more: bool) -> Chart:
    """Return a chart of the lines."""
    return Chart("chart-x", "Title", "What it is", "hours", "g", lines, marks, (), (), **more)


def texts(svg: str, kind: str) -> list[ET.Element]:
    """Return the texts of one kind in a drawing."""
    return [one for one in ET.fromstring(svg).iter("text") if one.get("class") == kind]  # noqa: S314 -- our own


def long_lives(lines: int) -> Chart:
    """Return a chart of so many candles that burn for forty cycles each."""
    told = [
        Line(f"A{one}", tuple((4.0 * at + one / 7, 400.0 - 9.9 * at - one) for at in range(41)))
        for one in range(lines)
    ]
    return a_chart(*told, marks=(Mark("limit: fails above", 75.0), Mark("rule", 3.0, upright=True)))


def test_every_chart_of_the_demo_is_small_and_still(html: dict[str, str]) -> None:
    """Each is under 12 kB, is well-formed, and holds nothing that runs, loads or reacts."""
    drawings = [svg for text in html.values() for svg in SVG.findall(text)]
    assert len(drawings) > 200
    for svg in drawings:
        assert len(svg.encode()) < MOST_BYTES
        tags = {one.tag for one in ET.fromstring(svg).iter()}  # noqa: S314 -- our own
        assert tags <= {"svg", "title", "desc", "g", "path", "text"}
        assert not re.search(r"\son\w+=|href|url\(|style=|#[0-9a-f]{3}", svg)


def test_the_fullest_chart_is_small() -> None:
    """The most lines that are drawn, of candles that burn for forty cycles, stay under 12 kB."""
    assert len(drawing(long_lives(MOST_LINES)).encode()) < MOST_BYTES


def test_each_is_told_to_those_who_do_not_see_it(html: dict[str, str]) -> None:
    """A drawing is an image with a title and a description, by ids of its own in the page."""
    for text in html.values():
        for svg in SVG.findall(text):
            root = ET.fromstring(svg)  # noqa: S314 -- our own
            title, desc = root[0], root[1]
            assert root.get("role") == "img"
            assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
            assert (title.tag, desc.tag) == ("title", "desc")
            assert title.text
            assert desc.text
            for one in (title, desc):
                assert text.count(f'id="{one.get("id")}"') == 1


def test_every_number_is_in_the_table(pages: dict[str, Page]) -> None:
    """A chart's table has a cell for each point, and a column for each line, drawn or not."""
    charts = [chart for page in pages.values() for chart in getattr(page.content, "charts", ())]
    assert {chart.id for chart in charts} == {"chart-wax", "chart-rate", "chart-pool", "chart-wall"}
    for chart in charts:
        cells = [cell for row in chart.rows for cell in row[1:] if cell is not None]
        points = sum(len(line.points) for line in chart.lines)
        drawn = len(chart.lines) == len(chart.columns) - 1
        assert len(cells) == points if drawn else len(cells) > points
        assert all(len(row) == len(chart.columns) for row in chart.rows)


def test_lines_are_told_apart_without_colour() -> None:
    """Each of the most lines has a name at its end, and a dash that no other one has."""
    svg = drawing(long_lives(MOST_LINES))
    assert [one.text for one in texts(svg, "plot__label")] == [
        f"A{one}" for one in range(MOST_LINES)
    ]
    dashes = dict(re.findall(r"\.plot__line--(\d) \{[^}]*stroke-dasharray: ([\d ]+);", STYLES))
    assert len(set(dashes.values())) == len(dashes) == MOST_LINES - 1  # the first is unbroken
    assert "1" not in dashes


def test_colours_follow_light_and_dark() -> None:
    """The drawing has no colour of its own; the styles take each from the page's variables."""
    colours = re.findall(r"\.plot[^{]*\{([^}]*)\}", STYLES)
    assert len(colours) > MOST_LINES
    set_to = [one for rule in colours for one in re.findall(r"(?:--c|stroke|fill): ([^;]+);", rule)]
    assert set(set_to) <= {
        "none", "var(--c)", "var(--paper)", "var(--chart-ink)", "var(--chart-grid)",
        "var(--chart-a)", "var(--chart-b)", "var(--chart-c)", "var(--chart-d)",
    }  # fmt: skip


@pytest.mark.parametrize("count", [1, 3, MOST_LINES])
def test_names_do_not_lie_over_each_other(count: int) -> None:
    """However near the lines end, their names are a letter's height apart, and within the frame."""
    lines = [Line(str(one), ((0.0, 10.0), (1.0, 0.1 * one))) for one in range(count)]
    heights = sorted(
        float(one.get("y", "")) for one in texts(drawing(a_chart(*lines)), "plot__label")
    )
    assert all(b - a >= 13.9 for a, b in pairwise(heights))
    assert 0 < heights[0] <= heights[-1] < HEIGHT


POINTS = st.lists(
    st.tuples(st.integers(0, 90).map(float), st.integers(-5000, 50000).map(lambda y: y / 100)),
    min_size=1,
    max_size=12,
)


@settings(deadline=None)
@given(points=POINTS, from_zero=st.booleans(), by_cycle=st.booleans())
def test_all_points_lie_within_the_frame(
    points: list[tuple[float, float]], *, from_zero: bool, by_cycle: bool
) -> None:
    """Whatever is drawn stays in the picture, between few ticks whose labels all differ."""
    chart = a_chart(Line("A", tuple(sorted(points))), from_zero=from_zero, by_cycle=by_cycle)
    svg = drawing(chart)
    dots = re.findall(r"M([\d.-]+) ([\d.-]+)h0", svg)
    assert len(dots) == len(points)
    assert all(0 <= float(x) <= WIDTH and 0 <= float(y) <= HEIGHT for x, y in dots)
    for kind in ("plot__x", "plot__y"):
        labels = [one.text for one in texts(svg, kind)]
        assert 2 <= len(labels) <= 9
        assert len(set(labels)) == len(labels)


def test_cycles_are_whole() -> None:
    """A candle of two cycles has the ticks 1 and 2, and none between."""
    chart = a_chart(Line("A", ((1.0, 5.0), (2.0, 5.5))), by_cycle=True)
    assert [one.text for one in texts(drawing(chart), "plot__x")] == ["1", "2"]


def test_a_scale_begins_where_it_says() -> None:
    """From zero the axis has a 0; values that are all the same get an axis all the same."""
    line = Line("A", ((0.0, 180.0), (8.0, 140.0)))
    ticks = [one.text for one in texts(drawing(a_chart(line, from_zero=True)), "plot__y")]
    assert ticks == ["0", "50", "100", "150", "200"]
    ticks = [one.text for one in texts(drawing(a_chart(line)), "plot__y")]
    assert ticks == ["140", "150", "160", "170", "180"]
    assert drawing(a_chart(Line("A", ((0.0, 0.0),))))


def test_a_mark_is_drawn_and_held_by_the_scale() -> None:
    """The wall lies across and the rule of thumb upright, each with its name, in the picture."""
    line = Line("A", ((1.0, 40.0), (2.0, 55.0)))
    marks = (Mark("the wall", 72.0), Mark("rule of thumb", 2.8, upright=True))
    svg = drawing(a_chart(line, marks=marks, from_zero=True))
    assert [one.text for one in texts(svg, "plot__said")] == ["the wall", "rule of thumb"]
    # Ticks of 20 from 0 to 80 over 206 to 26: 72 lies at 206 - 180 · 0.9 = 44. 2.8 of 3 over 46 to
    # 326: 46 + 280 · 2.8 / 3 = 307.3.
    assert 'class="plot__mark" d="M46 44H326"' in svg
    assert 'class="plot__mark" d="M307.3 26V206"' in svg


def test_words_are_never_markup() -> None:
    """A title, a name and a summary are shown as they are written."""
    attack = "<script>alert(1)</script>"
    chart = replace(a_chart(Line(attack, ((0.0, 1.0),))), title=attack, summary=attack, x=attack)
    assert "<script" not in drawing(chart)
    assert drawing(chart).count("&lt;script&gt;") == 4


def test_a_product_has_a_line_a_candle(pages: dict[str, Page]) -> None:
    """Its charts show its candles by their letters; the wax begins at what was weighed in."""
    wax, rate, pool, wall = pages["products/cedar-fig"].content.charts
    assert [one.name for one in wax.lines] == ["A", "B", "C"]
    # cedar-fig-a: 169.9 g of wax and 13.6 g of oil; 20.1 g burned in the first 232 min.
    assert wax.lines[0].points[:2] == (
        (0.0, pytest.approx(183.5)), (pytest.approx(232 / 60), pytest.approx(163.4)),
    )  # fmt: skip
    assert wax.rows[1][:2] == ("1", "163.4 after 3\N{NO-BREAK SPACE}h 52\N{NO-BREAK SPACE}min")
    assert rate.lines[0].points[0] == (1.0, pytest.approx(20.1 / (232 / 60)))
    assert [one.value for one in pool.marks] == [72.0, pytest.approx(72 / 25.4)]
    assert pool.lines[0].points[:3] == ((1.0, 41.0), (2.0, 58.0), (3.0, 62.0))
    assert [row[0] for row in pool.rows] == ["1 h", "2 h", "3 h", "at its end"]
    assert {one.value for one in wall.marks} == {60.0, 75.0}  # watched, and the studio's own limit


def test_a_test_has_a_line_a_cycle_for_its_pool(pages: dict[str, Page]) -> None:
    """On the page of a candle each cycle that was looked at is a line of its own."""
    charts = {one.id: one for one in pages["tests/cedar-fig-a"].content.charts}
    assert [one.name for one in charts["chart-pool"].lines] == ["cycle 1", "cycle 2", "cycle 3"]
    assert len(charts["chart-wax"].lines) == 1


def test_what_was_not_read_has_no_chart(pages: dict[str, Page]) -> None:
    """A candle not lit yet has no chart, and a product without candles has none."""
    assert pages["tests/lemon-verbena-tumbler-c"].content.charts == ()
    assert pages["products/driftwood-cedar"].content.charts == ()


def test_a_long_series_says_what_is_left_out(altered: Callable[..., Path]) -> None:
    """With more candles than can be told apart the last ones are drawn, and the chart says so."""
    records = altered("recipes/sandalwood-ribbed.md", ("test_candles: 4", "test_candles: 10"))
    text = (records / "burns/sandalwood-ribbed-a.md").read_text("utf-8")
    for letter in "EFGHIJ":
        one = text.replace("candle: A", f"candle: {letter}")
        (records / f"burns/sandalwood-ribbed-{letter.lower()}.md").write_text(one, "utf-8")
    wax = told(records)["products/sandalwood-ribbed"].content.charts[0]
    assert [one.name for one in wax.lines] == list("BDEFGHIJ")
    assert wax.columns == ("Cycle", *"ABDEFGHIJ")  # C was set aside
    assert wax.summary.endswith("Drawn are the last 8 of 9 lines; the table has all.")


def test_charts_are_in_the_studios_units(altered: Callable[..., Path]) -> None:
    """Where the studio reads ounces, inches and °F, the drawings do; 183.5 g are 6.47 oz."""
    pages = told(altered("studio.md", ("units: both", "units: us")))
    wax, rate, pool, wall = pages["products/cedar-fig"].content.charts
    assert [one.y.rpartition(" ")[2] for one in (wax, rate, pool, wall)] == [
        "oz",
        "oz/h",
        "in",
        "°F",
    ]
    assert wax.rows[0][1] == "6.47"
    assert wax.lines[0].points[0][1] == pytest.approx(183.5 / 28.349523125)
    assert sorted(one.value for one in wall.marks) == pytest.approx([140.0, 167.0])
    assert pool.marks[0].value == pytest.approx(72 / 25.4)
