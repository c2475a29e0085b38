"""The two fonts that come with the program: their measures and their outlines.

They are DejaVu Sans and DejaVu Sans Bold 2.37, cut down to Latin, Greek and Cyrillic with
fontTools, without hints and set to 1000 units of their size, so that the whole numbers of a PDF
say every width exactly. Their licence stands beside them.
"""

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Final

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.ttLib import TTFont

from handbook_builder.labels.typeface import Font, Typeface, Typefaces

_FOLDER: Final = Path(__file__).parent / "fonts"
_FILES: Final = {Font.REGULAR: "DejaVuSans.ttf", Font.BOLD: "DejaVuSans-Bold.ttf"}
UNITS: Final = 1000


def font_file(font: Font) -> Path:
    """Return where a font lies."""
    return _FOLDER / _FILES[font]


@cache
def _opened(font: Font) -> TTFont:
    return TTFont(font_file(font), lazy=False, recalcTimestamp=False)


def _bounds(font: Font, characters: Iterable[str]) -> tuple[float, float]:
    """Return how far the lowest and the highest of the characters reach, in units."""
    opened = _opened(font)
    glyphs, names = opened.getGlyphSet(), opened.getBestCmap()
    lows, highs = [0.0], [0.0]
    for character in characters:
        pen = BoundsPen(glyphs)
        glyphs[names[ord(character)]].draw(pen)
        if pen.bounds is not None:
            lows.append(pen.bounds[1])
            highs.append(pen.bounds[3])
    return min(lows), max(highs)


@cache
def _typeface(font: Font) -> Typeface:
    opened = _opened(font)
    advances = {
        chr(code): opened["hmtx"][name][0] / UNITS for code, name in opened.getBestCmap().items()
    }
    low, high = _bounds(font, advances)
    x_height, capital, figure = (_bounds(font, letter)[1] / UNITS for letter in "xH1")
    return Typeface(advances, x_height, capital, figure, high / UNITS, -low / UNITS)


def typefaces() -> Typefaces:
    """Return the measures of both fonts."""
    return {font: _typeface(font) for font in Font}


@cache
def outline(font: Font, character: str) -> str:
    """Return the outline of a character as an SVG path in thousandths of the size, y upwards."""
    opened = _opened(font)
    glyphs = opened.getGlyphSet()
    pen = SVGPathPen(glyphs)
    glyphs[opened.getBestCmap()[ord(character)]].draw(pen)
    return str(pen.getCommands())
