"""Faces of labels as PDF: one a page at its exact size, or many on sheets to be cut."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fpdf import FPDF
from fpdf.drawing import PaintedPath
from fpdf.enums import PathPaintRule
from fpdf.fonts import TTFFont

from handbook_builder.labels.drawing import Command, Ink, Shape, in_place
from handbook_builder.labels.fonts import font_file
from handbook_builder.labels.impose import Grid, Sheet, TooLarge, cut_marks, grid
from handbook_builder.labels.placed import FRAME_LINE_MM, Layout
from handbook_builder.labels.signs import DRAWINGS
from handbook_builder.labels.typeface import Font

_COLOURS: Final = {Ink.BLACK: "#000000", Ink.RED: "#e2001a", Ink.PAPER: "#ffffff"}
_CUT_LINE_MM: Final = 0.1
STYLES: Final = {Font.REGULAR: "", Font.BOLD: "B"}
FAMILY: Final = "label"


@dataclass(frozen=True, slots=True)
class Imprint:
    """What a PDF says of itself: its title, its date (never that of the clock), its language."""

    title: str
    made: datetime
    language: str = "en"


def blank(imprint: Imprint) -> FPDF:
    """Return a PDF without a page, whose bytes follow from what is given alone."""
    pdf = FPDF(unit="mm")
    pdf.set_auto_page_break(auto=False)
    pdf.set_margin(0)
    for font, style in STYLES.items():
        pdf.add_font(FAMILY, style, font_file(font))
    pdf.set_title(imprint.title)
    pdf.set_lang(imprint.language)
    pdf.set_producer("handbook-builder")
    pdf.set_creation_date(imprint.made)
    return pdf


def written(pdf: FPDF) -> bytes:
    """Return the bytes, and close the files of the fonts, which the library leaves open."""
    data = bytes(pdf.output())
    for font in [font for font in pdf.fonts.values() if isinstance(font, TTFFont)]:
        font.ttfont.close()
    return data


def _follow(path: PaintedPath, command: Command, x: float, y: float) -> None:
    places = [number + (x if at % 2 == 0 else y) for at, number in enumerate(command.numbers)]
    match command.letter:
        case "M":
            path.move_to(*places)
        case "L":
            path.line_to(*places)
        case "C":
            path.curve_to(*places)
        case _:
            path.close()


def _painted(shape: Shape, x: float, y: float) -> PaintedPath:
    path = PaintedPath()
    path.style.auto_close = False
    if shape.line is None:
        path.style.paint_rule = PathPaintRule.FILL_EVENODD
        path.style.fill_color = _COLOURS[shape.ink]
    else:
        path.style.paint_rule = PathPaintRule.STROKE
        path.style.stroke_color = _COLOURS[shape.ink]
        path.style.stroke_width = shape.line
        path.style.stroke_cap_style = "round"
        path.style.stroke_join_style = "round"
    for command in shape.commands:
        _follow(path, command, x, y)
    return path


def _draw_marks(pdf: FPDF, layout: Layout, x: float, y: float) -> None:
    with pdf.drawing_context() as context:
        for mark in layout.marks:
            for shape in in_place(DRAWINGS[mark.name], mark.x_mm, mark.y_mm, mark.height_mm):
                context.add_item(_painted(shape, x, y))


def _draw(pdf: FPDF, layout: Layout, x: float, y: float) -> None:
    """Draw a face with its top left corner at a place of the page, cut off at its edges."""
    # What is set within a clip is gone behind it: the context lets the library know.
    with (
        pdf.local_context(),
        pdf.rect_clip(x, y, layout.panel.width_mm, layout.panel.height_mm),
    ):
        if layout.marks:
            _draw_marks(pdf, layout, x, y)
        pdf.set_line_width(FRAME_LINE_MM)
        for frame in layout.frames:
            inset = FRAME_LINE_MM / 2
            pdf.rect(
                x + frame.x_mm + inset,
                y + frame.y_mm + inset,
                frame.width_mm - FRAME_LINE_MM,
                frame.height_mm - FRAME_LINE_MM,
            )
        for run in layout.runs:
            pdf.set_font(FAMILY, STYLES[run.font], run.size_pt)
            pdf.text(x + run.x_mm, y + run.baseline_mm, run.text)


def _add_page(pdf: FPDF, width_mm: float, height_mm: float) -> None:
    # "landscape" would turn the two round.
    pdf.add_page(orientation="portrait", format=(width_mm, height_mm))


def single_pdf(layouts: Sequence[Layout], imprint: Imprint) -> bytes:
    """Return a PDF with one face a page; the page is as large as the face's panel.

    The same arguments give the same bytes.
    """
    pdf = blank(imprint)
    for layout in layouts:
        _add_page(pdf, layout.panel.width_mm, layout.panel.height_mm)
        _draw(pdf, layout, 0.0, 0.0)
    return written(pdf)


def _draw_cut(pdf: FPDF, layout: Layout, x: float, y: float) -> None:
    """Draw the marks of a label, and the circle of a round one."""
    panel = layout.panel
    pdf.set_line_width(_CUT_LINE_MM)
    for mark in cut_marks(panel, x, y):
        pdf.line(*mark)
    if panel.is_round:
        pdf.ellipse(x, y, panel.width_mm, panel.height_mm)


def _add_sheets(pdf: FPDF, layout: Layout, places: Grid, count: int) -> None:
    for first in range(0, count, places.count):
        _add_page(pdf, places.page_width_mm, places.page_height_mm)
        here = min(places.count, count - first)
        for (x, y), _ in zip(places.places(), range(here), strict=False):
            _draw_cut(pdf, layout, x, y)
            _draw(pdf, layout, x, y)


def sheet_pdf(
    layouts: Sequence[Layout], count: int, sheet: Sheet, imprint: Imprint
) -> bytes | TooLarge:
    """Return a PDF of sheets with `count` of each face, face after face, each on pages of its own.

    `TooLarge` names the panel that the sheet does not hold. The same arguments give the same bytes.
    """
    placed: list[tuple[Layout, Grid]] = []
    for layout in layouts:
        places = grid(layout.panel, sheet)
        if places is None:
            return TooLarge(layout.panel, sheet)
        placed.append((layout, places))
    pdf = blank(imprint)
    for layout, places in placed:
        _add_sheets(pdf, layout, places, count)
    return written(pdf)
