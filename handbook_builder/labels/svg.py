"""A face of a label as an SVG: in millimetres, with its words as outlines."""

from collections.abc import Iterator
from html import escape
from typing import Final

from handbook_builder.labels.drawing import Ink, Shape, in_place
from handbook_builder.labels.fonts import UNITS, outline
from handbook_builder.labels.placed import FRAME_LINE_MM, Frame, Layout, Run
from handbook_builder.labels.signs import DRAWINGS
from handbook_builder.labels.typeface import Font, Typefaces

_COLOURS: Final = {Ink.BLACK: "#000", Ink.RED: "#e2001a", Ink.PAPER: "#fff"}


def _number(value: float) -> str:
    """Return a length in millimetres to a ten-thousandth, without zeros that say nothing."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _identity(prefix: str, font: Font, character: str) -> str:
    return f"{prefix}{font.value[0]}{ord(character):x}"


def _printed(layout: Layout) -> list[tuple[Font, str]]:
    return sorted({(run.font, character) for run in layout.runs for character in run.text})


def _outlines(layout: Layout, prefix: str) -> Iterator[str]:
    for font, character in _printed(layout):
        path = outline(font, character)
        if path:
            yield f'<path id="{_identity(prefix, font, character)}" d="{path}"/>'


def _run(run: Run, faces: Typefaces, prefix: str) -> str:
    """Return a line of words: each character's outline at its place on the baseline."""
    scale = _number(run.size_mm / UNITS * 1000)
    uses, at = [], 0.0
    for character in run.text:
        if outline(run.font, character):
            name = _identity(prefix, run.font, character)
            uses.append(f'<use href="#{name}" x="{_number(at)}"/>')
        at += faces[run.font].advances[character] * UNITS
    place = f"translate({_number(run.x_mm)} {_number(run.baseline_mm)})"
    return f'<g transform="{place} scale({scale}e-3 -{scale}e-3)">{"".join(uses)}</g>'


def _shape(shape: Shape) -> str:
    path = "".join(
        command.letter + " ".join(_number(number) for number in command.numbers)
        for command in shape.commands
    )
    colour = _COLOURS[shape.ink]
    if shape.line is None:
        return f'<path d="{path}" fill="{colour}" fill-rule="evenodd"/>'
    return (
        f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{_number(shape.line)}" '
        'stroke-linecap="round" stroke-linejoin="round"/>'
    )


def _frame(frame: Frame) -> str:
    """Return an empty frame; its line lies within it."""
    half = FRAME_LINE_MM / 2
    return (
        f'<rect x="{_number(frame.x_mm + half)}" y="{_number(frame.y_mm + half)}" '
        f'width="{_number(frame.width_mm - FRAME_LINE_MM)}" '
        f'height="{_number(frame.height_mm - FRAME_LINE_MM)}" '
        f'fill="none" stroke="#000" stroke-width="{FRAME_LINE_MM}"/>'
    )


def _drawn(layout: Layout) -> Iterator[str]:
    for mark in layout.marks:
        drawing = DRAWINGS[mark.name]
        yield from map(_shape, in_place(drawing, mark.x_mm, mark.y_mm, mark.height_mm))
    yield from map(_frame, layout.frames)


def svg(
    layout: Layout, faces: Typefaces, *, title: str, description: str, prefix: str = "label-"
) -> str:
    """Return an SVG of a face at its exact size.

    `title` and `description` are for who does not see it. `prefix` begins every id: two drawings
    in one page need two.
    """
    wide, high = _number(layout.panel.width_mm), _number(layout.panel.height_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" role="img" '
        f'aria-labelledby="{prefix}title {prefix}desc">'
    )
    parts = (
        head,
        f'<title id="{prefix}title">{escape(title)}</title>',
        f'<desc id="{prefix}desc">{escape(description)}</desc>',
        f"<defs>{''.join(_outlines(layout, prefix))}</defs>",
        *_drawn(layout),
        *(_run(run, faces, prefix) for run in layout.runs),
        "</svg>\n",
    )
    return "".join(parts)
