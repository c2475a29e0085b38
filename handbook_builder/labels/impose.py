"""Labels on a sheet: as many as it holds, with marks where to cut."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from handbook_builder.labels.placed import Panel

EDGE_MM: Final = 8.0  # what a printer may leave bare, and room for the outer marks
GAP_MM: Final = 4.0  # between two labels, for both marks
_MARK_FROM_MM: Final = 0.5  # a mark never touches the label
_MARK_TO_MM: Final = 1.7
_SLACK_MM: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper, upright."""

    width_mm: float
    height_mm: float


# ISO 216, and 8.5 x 11 inches.
SHEETS: Final = {"a4": Sheet(210.0, 297.0), "letter": Sheet(215.9, 279.4)}


@dataclass(frozen=True, slots=True)
class TooLarge:
    """A label that is larger than what a sheet can bear."""

    panel: Panel
    sheet: Sheet


@dataclass(frozen=True, slots=True)
class Grid:
    """The places of labels on one side of a sheet, which may lie on its side."""

    page_width_mm: float
    page_height_mm: float
    panel: Panel
    columns: int
    rows: int

    @property
    def count(self) -> int:
        """Return how many labels a sheet holds."""
        return self.columns * self.rows

    def places(self) -> Iterator[tuple[float, float]]:
        """Yield the top left corner of each label, row by row; all of them mid-page."""
        step_x, step_y = self.panel.width_mm + GAP_MM, self.panel.height_mm + GAP_MM
        left = (self.page_width_mm - self.columns * step_x + GAP_MM) / 2
        top = (self.page_height_mm - self.rows * step_y + GAP_MM) / 2
        for row in range(self.rows):
            for column in range(self.columns):
                yield left + column * step_x, top + row * step_y


def _fitting(page_mm: float, label_mm: float) -> int:
    return int((page_mm - 2 * EDGE_MM + GAP_MM + _SLACK_MM) / (label_mm + GAP_MM))


def _grid(width: float, height: float, panel: Panel) -> Grid:
    columns, rows = _fitting(width, panel.width_mm), _fitting(height, panel.height_mm)
    return Grid(width, height, panel, columns, rows)


def grid(panel: Panel, sheet: Sheet) -> Grid | None:
    """Return the grid that holds the most labels, upright unless the side holds more.

    None for a label that is larger than what the sheet can bear.
    """
    upright = _grid(sheet.width_mm, sheet.height_mm, panel)
    on_its_side = _grid(sheet.height_mm, sheet.width_mm, panel)
    best = on_its_side if on_its_side.count > upright.count else upright
    return best if best.count else None


def cut_marks(
    panel: Panel, x_mm: float, y_mm: float
) -> Iterator[tuple[float, float, float, float]]:
    """Yield the lines at the corners of a label, each from x, y to x, y.

    They lie on the line of the cut, and begin half a millimetre outside of the label.
    """
    right, foot = x_mm + panel.width_mm, y_mm + panel.height_mm
    for edge, outwards in ((x_mm, -1), (right, 1)):
        for level in (y_mm, foot):
            yield edge + outwards * _MARK_FROM_MM, level, edge + outwards * _MARK_TO_MM, level
    for edge, outwards in ((y_mm, -1), (foot, 1)):
        for upright in (x_mm, right):
            yield upright, edge + outwards * _MARK_FROM_MM, upright, edge + outwards * _MARK_TO_MM
