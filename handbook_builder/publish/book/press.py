"""Pages that were set, written as a PDF with bookmarks and links: the same pages, same bytes."""

from collections.abc import Sequence
from typing import Final

from fpdf import FPDF

from handbook_builder.labels.pdf import FAMILY, STYLES, Imprint, blank, written
from handbook_builder.publish.book.leaf import Frame, Jump, Leaf, Letters, Line, Paper

Mark = tuple[str, int, int]
"""A bookmark: its words, how deep it stands, and its page."""

_GREY: Final = 90


def pdf_of(leaves: Sequence[Leaf], paper: Paper, marks: Sequence[Mark], imprint: Imprint) -> bytes:
    """Return the PDF of a book."""
    pdf = blank(imprint)
    at = {page: [mark for mark in marks if mark[2] == page] for page in {one[2] for one in marks}}
    for number, leaf in enumerate(leaves, 1):
        pdf.add_page(orientation="portrait", format=(paper.width, paper.height))
        for words, depth, _ in at.get(number, ()):
            pdf.start_section(words, depth)
        for op in leaf.ops:
            _print(pdf, op)
    return written(pdf)


def _print(pdf: FPDF, op: Letters | Line | Frame | Jump) -> None:
    match op:
        case Letters():
            pdf.set_font(FAMILY, STYLES[op.font], op.size_pt)
            pdf.text(op.x, op.y, op.text)
        case Line():
            pdf.set_draw_color(_GREY)
            pdf.set_line_width(op.thick)
            pdf.line(op.x, op.y, op.to_x, op.to_y)
        case Frame():
            pdf.set_draw_color(0)
            pdf.set_line_width(op.thick)
            pdf.rect(op.x, op.y, op.width, op.height)
        case Jump():
            pdf.link(op.x, op.y, op.width, op.height, pdf.add_link(page=op.page))
