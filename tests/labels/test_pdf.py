"""Sizes and places, measured in the PDF itself and by the font's own tables."""

import subprocess
import sys
from io import BytesIO
from math import sqrt
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from handbook_builder.labels.content import Pictogram, Pictograms, Sign, Signs
from handbook_builder.labels.fonts import font_file
from handbook_builder.labels.impose import SHEETS, TooLarge
from handbook_builder.labels.layout import lay_out
from handbook_builder.labels.pdf import sheet_pdf, single_pdf
from handbook_builder.labels.placed import Layout, Panel, round_panel
from handbook_builder.labels.typeface import Font
from tests.labels.measured import (
    cut_off,
    descendant,
    fonts,
    measured,
    opened,
    page_mm,
    width_of_each,
)
from tests.labels.samples import FACES, IMPRINT, LABEL

ROOT = Path(__file__).parents[2]
TENTH = pytest.approx  # every size is asked for to a tenth of a millimetre


def _front(panel: Panel) -> Layout:
    laid = lay_out(LABEL.front, panel, FACES, is_centred=True)
    assert isinstance(laid, Layout)
    return laid


def _caution(panel: Panel) -> Layout:
    laid = lay_out(LABEL.caution, panel, FACES)
    assert isinstance(laid, Layout)
    return laid


@pytest.mark.parametrize("panel", [Panel(50, 40), Panel(61.4, 38.2), Panel(45, 90)])
def test_a_page_is_as_large_as_the_panel(panel: Panel) -> None:
    """Whichever of its boxes is asked, and turned neither way."""
    (page,) = opened(single_pdf([_front(panel)], IMPRINT))
    asked = (panel.width_mm, panel.height_mm)
    for box in ("mediabox", "cropbox", "trimbox"):
        assert page_mm(page, box) == TENTH(asked, abs=0.05)
    assert next(cut_off(measured(page))) == TENTH((0, 0, *asked), abs=0.05)
    assert page.rotation == 0


def test_words_have_the_size_and_the_place_of_the_layout() -> None:
    """Letter heights are the size in the page times the x-height in the font's file."""
    layout = _caution(Panel(80, 80))
    (page,) = opened(single_pdf([layout], IMPRINT))
    found = measured(page).words
    assert [words.text for words in found] == [run.text for run in layout.runs]
    file = TTFont(font_file(Font.REGULAR), lazy=False)
    x_height = file["glyf"][file.getBestCmap()[ord("x")]].yMax / file["head"].unitsPerEm
    for words, run in zip(found, layout.runs, strict=True):
        assert (words.x, words.y) == TENTH((run.x_mm, run.baseline_mm), abs=0.01)
        assert words.size_pt == run.size_pt
        assert words.size_pt * 25.4 / 72 * x_height >= 1.2  # mm: BAuA [S]


def test_the_figures_of_the_net_weight_are_three_millimetres_high() -> None:
    """76/211/EEC: more than 50 to 200 g, 3 mm [S]. The figure is measured in the font's file."""
    (page,) = opened(single_pdf([_front(Panel(50, 40))], IMPRINT))
    (net,) = (words for words in measured(page).words if words.text.startswith("200 g"))
    file = TTFont(font_file(Font.REGULAR), lazy=False)
    figure = file["glyf"][file.getBestCmap()[ord("1")]].yMax / file["head"].unitsPerEm
    assert net.size_pt * 25.4 / 72 * figure == TENTH(3.0, abs=0.05)
    assert net.size_pt * 25.4 / 72 * figure >= 3.0


@pytest.mark.parametrize("name", [sign for sign in Sign if sign is not Sign.WARNING])
def test_a_fire_sign_is_as_high_as_was_asked(name: Sign) -> None:
    """5 mm, EN 15494:2019 4.3 [S]: the ink of its frame, the line's width included."""
    laid = lay_out((Signs((name,)),), Panel(10, 10), FACES)
    assert isinstance(laid, Layout)
    (page,) = opened(single_pdf([laid], IMPRINT))
    strokes = [path for path in measured(page).paths if path.painted == "S"]
    left, top, right, foot = max((path.box for path in strokes), key=lambda box: box[2] - box[0])
    line = max(path.line for path in strokes if path.box == (left, top, right, foot))
    assert (right - left + line, foot - top + line) == TENTH((5.0, 5.0), abs=0.01)


def test_the_warning_sign_is_as_high_as_was_asked() -> None:
    """The triangle is wider than high; its height counts."""
    laid = lay_out((Signs((Sign.WARNING,)),), Panel(10, 10), FACES)
    assert isinstance(laid, Layout)
    (page,) = opened(single_pdf([laid], IMPRINT))
    (edge,) = (path for path in measured(page).paths if path.painted == "S")
    assert edge.box[3] - edge.box[1] + edge.line == TENTH(5.0, abs=0.01)


@pytest.mark.parametrize(
    ("panel", "side"),
    [
        (Panel(20, 20), 10.0),  # CLP Table 1.3, the least [C]
        (Panel(45, 50), 16.0),  # "if possible" [C], and there is room
        (Panel(100, 100), sqrt(52 * 74 / 15)),  # one fifteenth of the least label [C, X]
    ],
)
def test_the_red_frame_has_the_side_that_was_asked(panel: Panel, side: float) -> None:
    """From outer edge to outer edge."""
    laid = lay_out((Pictograms((Pictogram.GHS07,)),), panel, FACES)
    assert isinstance(laid, Layout)
    (page,) = opened(single_pdf([laid], IMPRINT))
    reds = [path for path in measured(page).paths if path.painted == "S" and path.colour[0] > 0.5]
    (frame,) = reds
    left, _, right, _ = frame.box
    found = (right - left) / sqrt(2) + frame.line
    assert found == TENTH(side, abs=0.1) if side > 10 else found >= 10.0 - 0.005


def test_a_panel_between_grows_a_pictogram_as_far_as_there_is_room() -> None:
    """On 20 x 20 mm a diagonal of 17 mm is 12.02 mm of side at most [X]."""
    laid = lay_out((Pictograms((Pictogram.GHS07,)),), Panel(20, 20), FACES)
    assert isinstance(laid, Layout)
    assert 10.0 <= laid.marks[0].height_mm / sqrt(2) <= 12.03


def _marks(left: float, top: float, right: float, foot: float) -> list[tuple[float, float]]:
    """Return where the eight marks of a label begin: half a millimetre off its corners."""
    return [
        *((x, y) for x in (left - 0.5, right + 0.5) for y in (top, foot)),
        *((x, y) for x in (left, right) for y in (top - 0.5, foot + 0.5)),
    ]


@pytest.mark.parametrize(
    ("sheet", "size", "count", "pages"),
    [
        ("a4", (297.0, 210.0), 24, 2),
        ("letter", (215.9, 279.4), 18, 1),
        ("a4", (297.0, 210.0), 1, 1),
    ],
)
def test_labels_on_a_sheet(sheet: str, size: tuple[float, float], count: int, pages: int) -> None:
    """As many as asked, each cut off at its own edge, its marks on the lines of the cut."""
    layout = _front(Panel(50, 40))
    data = sheet_pdf([layout], count, SHEETS[sheet], IMPRINT)
    assert isinstance(data, bytes)
    found = opened(data)
    assert len(found) == pages
    assert sum(len(list(cut_off(measured(page)))) for page in found) == count
    for page in found:
        assert page_mm(page) == TENTH(size, abs=0.05)
        read = measured(page)
        ends = [point for path in read.paths if path.painted == "S" for point in path.points]
        for left, top, right, foot in cut_off(read):
            assert (right - left, foot - top) == TENTH((50, 40), abs=0.05)
            for mark in _marks(left, top, right, foot):
                assert any(end == TENTH(mark, abs=0.05) for end in ends)


def test_each_face_has_pages_of_its_own() -> None:
    """Fronts and cautions are cut apart and may have other sizes."""
    data = sheet_pdf([_front(Panel(50, 40)), _caution(Panel(80, 80))], 2, SHEETS["a4"], IMPRINT)
    assert isinstance(data, bytes)
    first, second = (measured(page) for page in opened(data))
    assert [words.text for words in first.words].count("Cedar") == 2
    assert [words.text for words in second.words].count("WARNING") == 2


def test_a_round_label_is_cut_along_its_circle() -> None:
    """Its circle lies on the sheet."""
    layout = _front(round_panel(60.0))
    data = sheet_pdf([layout], 1, SHEETS["a4"], IMPRINT)
    assert isinstance(data, bytes)
    read = measured(opened(data)[0])
    (area,) = cut_off(read)
    assert any(path.box == TENTH(area, abs=0.05) for path in read.paths if path.painted == "S")


def test_a_label_that_no_sheet_holds_is_named() -> None:
    """Larger than the sheet within its edges, both ways."""
    panel = Panel(200, 200)
    sheet = SHEETS["a4"]
    assert sheet_pdf([_front(panel)], 1, sheet, IMPRINT) == TooLarge(panel, sheet)


def test_fonts_are_embedded() -> None:
    """Both faces, as TrueType with the shipped font's units; the words can be searched."""
    (page,) = opened(single_pdf([_caution(Panel(80, 80))], IMPRINT))
    found = fonts(page)
    assert {str(font["/BaseFont"]).partition("+")[2] for font in found.values()} == {
        "DejaVuSansBook",
        "DejaVuSansBold",
    }
    for font in found.values():
        data = descendant(font)["/FontDescriptor"]["/FontFile2"].get_object().get_data()
        assert TTFont(BytesIO(data))["head"].unitsPerEm == 1000
    assert "Keep away from children and pets." in page.extract_text().replace("\n", " ")


def test_widths_in_the_pdf_are_those_of_the_layout() -> None:
    """A viewer moves by the PDF's own widths, in thousandths of the size."""
    layout = _caution(Panel(80, 80))
    (page,) = opened(single_pdf([layout], IMPRINT))
    for words, run in zip(measured(page).words, layout.runs, strict=True):
        font = fonts(page)[words.font]
        widths = width_of_each(font)
        total = sum(widths[character] for character in words.text) / 1000 * words.size_pt
        assert total * 25.4 / 72 == TENTH(run.width_mm, abs=0.005)


def test_the_same_label_gives_the_same_bytes() -> None:
    """In another process with another seed too; another date gives others."""
    code = (
        "import hashlib; from tests.labels.samples import *; "
        "from handbook_builder.labels.layout import lay_out; "
        "from handbook_builder.labels.placed import Panel; "
        "from handbook_builder.labels.pdf import single_pdf; "
        "data = single_pdf([lay_out(LABEL.caution, Panel(80, 80), FACES)], IMPRINT); "
        "print(hashlib.sha256(data).hexdigest())"
    )
    printed = {
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            check=True,
            capture_output=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(printed) == 1
