"""What every layout must hold to, asked by the tables of the font's file."""

from math import sqrt

from fontTools.ttLib import TTFont

from handbook_builder.labels.content import (
    Block,
    Field,
    Pictogram,
    Pictograms,
    Sign,
    Signs,
    Text,
)
from handbook_builder.labels.fonts import font_file
from handbook_builder.labels.layout import Laid, lay_out
from handbook_builder.labels.placed import (
    Layout,
    Panel,
    Run,
    TooSmall,
    round_panel,
)
from handbook_builder.labels.typeface import Font
from tests.labels.samples import FACES

MM = 25.4 / 72
Box = tuple[float, float, float, float]


def _glyphs(font: Font) -> TTFont:
    return TTFont(font_file(font), lazy=False)


FILES = {font: _glyphs(font) for font in Font}


def reach(run: Run) -> Box:
    """Return how far a run's letters reach, by the tables of the font's file."""
    file = FILES[run.font]
    names = [file.getBestCmap()[ord(character)] for character in run.text]
    shapes = [file["glyf"][name] for name in names]
    high = max((getattr(shape, "yMax", 0) for shape in shapes), default=0) / 1000
    low = min((getattr(shape, "yMin", 0) for shape in shapes), default=0) / 1000
    wide = sum(file["hmtx"][name][0] for name in names) / 1000
    size = run.size_pt * MM
    return (
        run.x_mm,
        run.baseline_mm - high * size,
        run.x_mm + wide * size,
        run.baseline_mm - low * size,
    )


def boxes(layout: Layout) -> list[Box]:
    """Return the box of everything on a layout."""
    rest = [*layout.marks, *layout.frames]
    return [
        *(reach(run) for run in layout.runs),
        *((one.x_mm, one.y_mm, one.x_mm + one.width_mm, one.y_mm + one.height_mm) for one in rest),
    ]


def is_inside(box: Box, panel: Panel) -> bool:
    """Return whether a box lies on the panel within its margin; a round one by its corners."""
    left, top, right, foot = box
    if panel.is_round:
        middle, most = panel.width_mm / 2, panel.width_mm / 2 - panel.margin_mm + 1e-3
        corners = [(x - middle, y - middle) for x in (left, right) for y in (top, foot)]
        return all(sqrt(x * x + y * y) <= most for x, y in corners)
    margin = panel.margin_mm - 1e-3
    return (
        min(left, top) >= margin
        and right <= panel.width_mm - margin
        and foot <= panel.height_mm - margin
    )


def overlap(one: Box, other: Box) -> bool:
    """Return whether two boxes share any room."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide > 1e-3 and high > 1e-3


def x_height_mm(run: Run) -> float:
    """Return the x-height of a run's letters."""
    file = FILES[run.font]
    return float(file["glyf"][file.getBestCmap()[ord("x")]].yMax) / 1000 * run.size_pt * MM


def _figure_mm(run: Run) -> float:
    file = FILES[run.font]
    return float(file["glyf"][file.getBestCmap()[ord("1")]].yMax) / 1000 * run.size_pt * MM


def _least_side(panel: Panel) -> float:
    """Return what a pictogram's side must be at least: CLP Table 1.3 and one fifteenth [C]."""
    area = panel.width_mm * panel.height_mm
    if panel.is_round:
        area *= 3.141592653589793 / 4
    return max(10.0, sqrt(min(area, 3848.0) / 15))


def assert_nothing_is_too_small(layout: Layout, blocks: list[Block]) -> None:
    """Hold letters, figures, signs and pictograms to what each was asked for."""
    texts = [block for block in blocks if isinstance(block, Text | Field)]
    assert all(x_height_mm(run) >= 1.2 - 1e-6 for run in layout.runs)
    figures = {block.role for block in texts if len(block.minima) > 1}
    others = {block.role for block in texts if len(block.minima) == 1}
    for run in layout.runs:
        if run.role in figures - others:
            assert _figure_mm(run) >= 3.0 - 1e-6
    leads = sum(1 for block in texts if isinstance(block, Text) and block.lead)
    signs = [mark.height_mm for mark in layout.marks if isinstance(mark.name, Sign)]
    assert sum(height < 5.0 - 1e-6 for height in signs) <= leads
    for mark in layout.marks:
        if isinstance(mark.name, Pictogram):
            assert mark.height_mm / sqrt(2) >= _least_side(layout.panel) - 1e-6


def assert_it_is_whole(layout: Layout, blocks: list[Block]) -> None:
    """Expect every word and every drawing once, in order."""
    asked: list[str] = []
    drawn: list[Sign | Pictogram] = []
    for block in blocks:
        match block:
            case Text():
                asked += block.text.split()
                drawn += [block.lead] if block.lead else []
            case Field():
                asked += block.caption.split()
            case Signs():
                drawn += block.signs
            case Pictograms():
                drawn += block.pictograms
    assert " ".join(run.text for run in layout.runs).split() == asked
    assert [mark.name for mark in layout.marks] == drawn
    fields = sum(isinstance(block, Field) for block in blocks)
    assert len(layout.frames) == fields


def _fits(laid: Laid) -> bool:
    return isinstance(laid, Layout)


def assert_a_millimetre_less_does_not_do(blocks: list[Block], small: TooSmall) -> None:
    """Expect every proposal to fit, and none that is a millimetre less."""
    panel = small.panel

    def fits(wide: float, high: float) -> bool:
        return _fits(lay_out(blocks, Panel(wide, high, panel.margin_mm), FACES))

    assert small.good_mm is not None
    assert small.across_mm is not None
    wide, high = small.good_mm
    assert fits(wide, high)
    assert not fits(wide - 1, high)
    assert not fits(wide, high - 1)
    assert _fits(lay_out(blocks, round_panel(small.across_mm), FACES))
    assert not _fits(lay_out(blocks, round_panel(small.across_mm - 1), FACES))
    if small.height_mm is not None:
        assert fits(panel.width_mm, small.height_mm)
        assert not fits(panel.width_mm, small.height_mm - 1)
    if small.width_mm is not None:
        assert fits(small.width_mm, panel.height_mm)
        assert not fits(small.width_mm - 1, panel.height_mm)
