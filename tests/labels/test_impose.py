"""Labels on sheets: how many, and where."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.labels.impose import EDGE_MM, GAP_MM, SHEETS, cut_marks, grid
from handbook_builder.labels.placed import Panel, round_panel

SIDES = st.integers(100, 3200).map(lambda tenths: tenths / 10)


def test_the_sheets_are_those_of_the_standards() -> None:
    """ISO 216 A4; 8.5 x 11 inches of 25.4 mm."""
    assert (SHEETS["a4"].width_mm, SHEETS["a4"].height_mm) == (210.0, 297.0)
    letter = SHEETS["letter"]
    assert (letter.width_mm, letter.height_mm) == pytest.approx((8.5 * 25.4, 11 * 25.4))


# By hand: (210 - 16 + 4) / (50 + 4) is 3.67, (297 - 16 + 4) / (40 + 4) is 6.48: 18 upright;
# (285) / 54 is 5.28, 198 / 44 is 4.5: 20 on its side. And so on.
@pytest.mark.parametrize(
    ("wide", "high", "sheet", "columns", "rows"),
    [
        (50, 40, "a4", 5, 4),
        (80, 70, "a4", 2, 3),
        (50, 40, "letter", 3, 6),
        (194, 281, "a4", 1, 1),
        (281, 194, "a4", 1, 1),
    ],
)
def test_how_many_a_sheet_holds(wide: int, high: int, sheet: str, columns: int, rows: int) -> None:
    """Turned on its side where that holds more."""
    found = grid(Panel(wide, high), SHEETS[sheet])
    assert found is not None
    assert (found.columns, found.rows, found.count) == (columns, rows, columns * rows)


@given(SIDES, SIDES, st.sampled_from(sorted(SHEETS)))
def test_places_lie_apart_and_within_the_edge(wide: float, high: float, name: str) -> None:
    """Or the label is larger than what the sheet can bear either way."""
    sheet = SHEETS[name]
    found = grid(Panel(wide, high), sheet)
    if found is None:
        room = sheet.width_mm - 2 * EDGE_MM, sheet.height_mm - 2 * EDGE_MM
        assert min(wide, high) > room[0] or max(wide, high) > room[1]
        return
    places = list(found.places())
    assert len(places) == found.count
    for x, y in places:
        assert EDGE_MM - 1e-6 <= x <= found.page_width_mm - EDGE_MM - wide + 1e-6
        assert EDGE_MM - 1e-6 <= y <= found.page_height_mm - EDGE_MM - high + 1e-6
    for (x_1, y_1), (x_2, y_2) in combinations(places, 2):
        gaps = abs(x_1 - x_2) - wide, abs(y_1 - y_2) - high
        assert max(gaps) >= GAP_MM - 1e-6


def test_marks_lie_on_the_cut_and_outside_the_label() -> None:
    """Two at each corner, and none reaches the next label's."""
    marks = list(cut_marks(Panel(50, 40), 10.0, 20.0))
    assert len(marks) == 8
    levels = [(x_1, y_1) for x_1, y_1, _, y_2 in marks if y_1 == y_2]
    uprights = [(x_1, y_1) for x_1, y_1, x_2, _ in marks if x_1 == x_2]
    assert sorted(levels) == [(9.5, 20.0), (9.5, 60.0), (60.5, 20.0), (60.5, 60.0)]
    assert sorted(uprights) == [(10.0, 19.5), (10.0, 60.5), (60.0, 19.5), (60.0, 60.5)]
    ends = {(x, y) for _, _, x, y in marks}
    assert min(x for x, _ in ends) > 10.0 - GAP_MM / 2
    assert max(y for _, y in ends) < 60.0 + GAP_MM / 2


def test_a_round_panel_holds_the_square_within() -> None:
    """A square within a circle of 50 - 2 x 1.5 = 47 mm has sides of 33.23 mm [X]."""
    panel = round_panel(50.0)
    assert panel.inner_mm == pytest.approx((33.2340, 33.2340), abs=1e-4)
    assert panel.corner_mm == pytest.approx((8.3830, 8.3830), abs=1e-4)
    assert panel.area_mm2 == pytest.approx(1963.495, abs=1e-3)
    assert Panel(50, 40).corner_mm == (1.5, 1.5)
