"""The fonts that come with the program: what they hold, and what they measure."""

import pytest
from fontTools.ttLib import TTFont

from handbook_builder.labels.fonts import UNITS, font_file, outline, typefaces
from handbook_builder.labels.sizes import Measure
from handbook_builder.labels.typeface import Font

# Letters of the official languages of the EU beyond a to z, and what a label prints.
LETTERS = (
    "àáâãäåæçèéêëìíîïñòóôõöøùúûüýÿœßāăąćċčďđēėęěğģġħīįķļľłńņňőŕřśšșťțūůűųŵŷźżž"
    "αβγδεζηθικλμνξοπρστυφχψωςάέήίόύώϊϋΐΰабвгдежзийклмнопрстуфхцчшщъьюя"
)
PRINTED = (  # what is easily taken for another is named
    "0123456789.,:;!?()/&%+-—'\"“”„«»€£°½¼¾·•…®©™№µ"
    "\N{EN DASH}\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}"
    "\N{MULTIPLICATION SIGN}\N{ESTIMATED SYMBOL}\N{NO-BREAK SPACE}"
)


@pytest.mark.parametrize("font", Font)
def test_it_has_what_a_label_prints(font: Font) -> None:
    """In both faces, in capitals too."""
    known = typefaces()[font].advances
    capitals = [letter.upper() for letter in LETTERS if len(letter.upper()) == 1]
    for character in [*LETTERS, *capitals, "\N{LATIN CAPITAL LETTER SHARP S}", *PRINTED]:
        assert character in known, character


@pytest.mark.parametrize("font", Font)
def test_its_measures_are_those_of_its_file(font: Font) -> None:
    """Read here from the tables of the file, without drawing anything."""
    file, face = TTFont(font_file(font), lazy=False), typefaces()[font]
    assert file["head"].unitsPerEm == UNITS
    names, glyphs = file.getBestCmap(), file["glyf"]
    tops = {letter: glyphs[names[ord(letter)]].yMax for letter in "xH1"}
    assert face.part(Measure.X_HEIGHT) == tops["x"] / UNITS
    assert face.part(Measure.CAPITAL) == tops["H"] / UNITS
    assert face.part(Measure.FIGURE) == tops["1"] / UNITS
    wide = sum(file["hmtx"][names[ord(letter)]][0] for letter in "Kerze 1")
    assert face.width("Kerze 1") == pytest.approx(wide / UNITS)
    heights = [getattr(glyphs[name], "yMax", 0) for name in names.values()]
    depths = [getattr(glyphs[name], "yMin", 0) for name in names.values()]
    assert (face.ascent, face.descent) == (max(heights) / UNITS, -min(depths) / UNITS)
    assert face.line >= face.ascent + face.descent


def test_what_is_no_letter_has_no_part() -> None:
    """A sign's height is none of a font's."""
    with pytest.raises(KeyError):
        typefaces()[Font.REGULAR].part(Measure.HEIGHT)


def test_an_outline_is_that_of_the_letter() -> None:
    """An H has twelve corners, a space has none, and bold is another drawing."""
    assert outline(Font.REGULAR, " ") == ""
    assert outline(Font.REGULAR, "H").count("M") == 1
    assert outline(Font.REGULAR, "H") != outline(Font.BOLD, "H")


def test_their_licence_lies_beside_them() -> None:
    """It asks to be handed on, and that no changed font bears its two names."""
    for font in Font:
        licence = (font_file(font).parent / "LICENSE.txt").read_text("utf-8")
        assert "Permission is hereby granted" in licence
        names = TTFont(font_file(font), lazy=False)["name"]
        told = "".join(str(names.getDebugName(number)) for number in (1, 4, 6))
        assert not {"Bitstream", "Vera", "Arev", "Tavmjong"} & set(told.split())
