"""The PDF of a label: its boxes, words, letters and drawings, measured in the PDF itself."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from math import pi, sqrt
from pathlib import Path
from typing import Any, Final

import pytest
from fontTools.ttLib import TTFont
from pypdf import PageObject

from handbook_builder.derived.label.made import Made
from handbook_builder.labels.fonts import font_file
from handbook_builder.labels.impose import SHEETS
from handbook_builder.labels.pdf import Imprint, sheet_pdf, single_pdf
from handbook_builder.labels.placed import Layout
from handbook_builder.labels.typeface import Font
from tests.label.kit import LARGE, PACKED, PANELLED, SENSITISING, desk_of, made, studio
from tests.labels.measured import MM, Words, cut_off, fonts, measured, opened, page_mm
from tests.records_in_text import burn

ROOT: Final = Path(__file__).parents[2]
IMPRINT: Final = Imprint("label", datetime(2026, 5, 1, tzinfo=UTC))
BOXES: Final = ("mediabox", "cropbox", "trimbox")
FILES: Final = {
    **studio(),
    "packaging/caution.md": LARGE.replace("width: 140 mm", "width: 133.4 mm"),
}


def _label(market: str = "eu", *languages: str) -> Made:
    return made(desk_of(FILES), market, *(languages or ("en", "de")))


def _sheets(label: Made, count: int, sheet: str) -> list[PageObject]:
    data = sheet_pdf(label.faces, count, SHEETS[sheet], IMPRINT)
    assert isinstance(data, bytes)
    return opened(data)


def _within(words: Words, area: tuple[float, float, float, float]) -> bool:
    left, top, right, foot = area
    return left < words.x < right and top < words.y < foot


def test_each_page_is_as_large_as_its_panel() -> None:
    """To a tenth of a millimetre, in each of the page's boxes."""
    label = _label()
    pages = opened(single_pdf(label.faces, IMPRINT))
    for page, (wide, high) in zip(pages, [(70.0, 45.0), (133.4, 90.0)], strict=True):
        for box in BOXES:
            assert page_mm(page, box) == pytest.approx((wide, high), abs=0.05)


@pytest.mark.parametrize("market", ["eu", "us"])
@pytest.mark.parametrize("sheet", ["a4", "letter"])
def test_every_label_on_a_sheet_has_all_its_words(sheet: str, market: str) -> None:
    """Not the first one alone: within each cut edge stand all words of the face, in order."""
    label = _label(market, "en")
    of_face = [[run.text for run in face.runs] for face in label.faces]
    shown: list[list[str]] = []
    for page in _sheets(label, 24, sheet):
        read = measured(page)
        shown += [
            [words.text for words in read.words if _within(words, area)] for area in cut_off(read)
        ]
    assert len(shown) == 48
    assert shown == [of_face[0]] * 24 + [of_face[1]] * 24


@pytest.mark.parametrize("sheet", ["a4", "letter"])
def test_every_label_on_a_sheet_is_as_large_as_its_panel(sheet: str) -> None:
    """Where it is cut off, to a tenth of a millimetre; all of it on the sheet."""
    label, areas = _label(), []
    wide, high = SHEETS[sheet].width_mm, SHEETS[sheet].height_mm
    for page in _sheets(label, 7, sheet):
        size = page_mm(page)
        assert sorted(size) == pytest.approx(sorted((wide, high)), abs=0.05)
        areas += list(cut_off(measured(page)))
        assert all(left > 0 and top > 0 for left, top, _, _ in areas)
        assert all(right < size[0] and foot < size[1] for _, _, right, foot in areas[-1:])
    sizes = [(right - left, foot - top) for left, top, right, foot in areas]
    for size, (asked_wide, asked_high) in zip(
        sizes, [(70.0, 45.0)] * 7 + [(133.4, 90.0)] * 7, strict=True
    ):
        assert size == pytest.approx((asked_wide, asked_high), abs=0.05)


Steps = Sequence[tuple[Any, bytes]]  # operands and operator, as pypdf reads a page


def _steps(page: PageObject) -> Steps:
    contents = page.get_contents()
    assert contents is not None
    return [(operands, operator) for operands, operator in contents.operations]


def _unset(steps: Steps, known: Iterable[str]) -> Iterator[str]:
    """Yield each operator that shows text while no font is set in its own graphics state.

    A font is part of the graphics state: what `q` keeps, `Q` brings back (ISO 32000-1, 8.4.2, M).
    """
    font: str | None = None
    kept: list[str | None] = []
    for operands, operator in steps:
        match operator:
            case b"q":
                kept.append(font)
            case b"Q":
                font = kept.pop()
            case b"Tf":
                font = str(operands[0]) if str(operands[0]) in known else None
            case b"Tj" | b"TJ" | b"'" | b'"':
                if font is None:
                    yield operator.decode()
    assert kept == []


@pytest.mark.parametrize("sheet", ["a4", "letter"])
def test_no_words_are_shown_without_a_font(sheet: str) -> None:
    """In no state of the page: a viewer would show nothing there."""
    for page in _sheets(_label(), 12, sheet):
        assert list(_unset(_steps(page), fonts(page))) == []
    for page in opened(single_pdf(_label().faces * 3, IMPRINT)):
        assert list(_unset(_steps(page), fonts(page))) == []


def test_words_without_a_font_are_found() -> None:
    """The walk above can fail: a font that is set within a clip is gone behind it."""
    page = opened(single_pdf(_label().faces, IMPRINT))[0]
    steps = _steps(page)
    show = next(step for step in steps if step[1] == b"Tj")
    assert list(_unset([*steps, show], fonts(page))) == ["Tj"]
    without = [step for step in steps if step[1] != b"Tf"]
    shown = sum(step[1] == b"Tj" for step in steps)
    assert list(_unset(without, fonts(page))) == ["Tj"] * shown


def _height(words: Words, letter: str, page: PageObject) -> float:
    """Return how high a letter of these words is, by the font's own outlines."""
    name = str(fonts(page)[words.font]["/BaseFont"])
    file = TTFont(font_file(Font.BOLD if "Bold" in name else Font.REGULAR), lazy=False)
    outline = file["glyf"][file.getBestCmap()[ord(letter)]]
    return float(outline.yMax / file["head"].unitsPerEm * words.size_pt * MM)


@pytest.mark.parametrize("market", ["eu", "gb", "us"])
def test_no_letter_is_lower_than_may_be(market: str) -> None:
    """1.2 mm of x-height for all of it: BAuA, second-hand (S)."""
    label = made(desk_of(FILES), market)
    for page in opened(single_pdf(label.faces, IMPRINT)):
        for words in measured(page).words:
            assert _height(words, "x", page) >= 1.2 - 1e-3


# Directive 76/211/EEC Annex I 3.1, as the USDA tells it (S): above 50 to 200 g 3 mm, above 200 g
# 4 mm, up to 50 g 2 mm. The candle is filled with so many grams; wax and oil are what they were.
@pytest.mark.parametrize(
    ("grams", "least_mm"), [(50.0, 2.0), (50.9, 2.0), (51.0, 3.0), (108.0, 3.0), (200.0, 3.0),
                            (201.0, 4.0)],
)  # fmt: skip
@pytest.mark.parametrize("market", ["eu", "gb"])
def test_the_figures_of_the_net_weight_in_europe(
    market: str, grams: float, least_mm: float
) -> None:
    """As high as the net weight that is printed asks for."""
    label = made(desk_of(_filled(grams)), market)
    page = opened(single_pdf([_narrowest(label)], IMPRINT))[0]
    (net,) = [words for words in measured(page).words if words.text.startswith("Net weight")]
    assert net.text == f"Net weight {int(grams)}\N{NO-BREAK SPACE}g"
    assert _height(net, "1", page) >= least_mm - 1e-3
    if grams > 50.9:
        assert _height(net, "1", page) == pytest.approx(least_mm, abs=0.05)


def _narrowest(label: Made) -> Layout:
    """Return the front, whose net weight has no more than its least height to prefer."""
    assert label.front is not None
    return label.front


def _filled(grams: float) -> dict[str, str]:
    """Return a studio whose candle is of so many grams, with the test candles to prove it."""
    wax = grams / 1.08
    share = grams / 108.0
    burns = {}
    for letter in "ABC":
        cycles = [_scaled(cycle, share, letter) for cycle in range(4)]
        left = f"{4.0 * share:.1f}"
        burns[f"burns/fig-{letter.lower()}.md"] = burn(
            letter, cycles=cycles, wax=f"{wax:.3f} g", oil=f"{grams - wax:.3f} g",
            end=f"{{how: went_out, left: {left} g, vessel: sound, tilt: steady, cycles: all}}",
        )  # fmt: skip
    recipe = PACKED.replace("fill: 108 g", f"fill: {grams} g")
    return {**FILES, **burns, "recipes/fig.md": recipe}


def _scaled(cycle: int, share: float, letter: str) -> str:
    """Return one cycle of a candle whose masses are so large a share of the usual ones."""
    more = 0.7 * (ord(letter) - ord("A"))
    before = 292.0 + more + (108.0 - 26.0 * cycle) * share
    burned = 26.0 if cycle < 3 else 21.0
    full = (
        "burned: 4 h, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s"
        if cycle < 3
        else "burned: 3 h 10 min, flame: 15 mm"
    )
    weights = f"before: {before:.1f} g, after: {before - burned * share:.1f} g"
    return f"{{on: 2026-03-{16 + cycle}, {weights}, {full}}}"


def _inches2(height_mm: float) -> float:
    """Return 40 % of height times circumference of the vessel, in square inches.

    16 CFR 500.21(a) (C); its wall is not on file, so that it is 72 mm wide outside as well.
    """
    return 0.4 * height_mm * pi * 72.0 / 25.4**2


# 16 CFR 500.21(b): up to 5 square inches 1/16 inch, up to 25 1/8 inch, up to 100 3/16 inch. The
# section was read; its figures are from memory, unconfirmed (M). Small letters are measured.
@pytest.mark.parametrize(("height_mm", "inch"), [(84.0, 1 / 8), (170.0, 1 / 8), (190.0, 3 / 16)])
def test_the_net_weight_in_the_united_states(height_mm: float, inch: float) -> None:
    """By the size of the vessel's display panel, and not by that of the label."""
    area = _inches2(height_mm)
    assert 5 < area <= 25 if inch < 0.15 else 25 < area <= 100
    files = FILES | {
        "vessels/tumbler.md": PANELLED.replace(
            "inside_height: 84 mm", f"inside_height: {height_mm} mm"
        ).replace("width: 70 mm", "width: 90 mm")
    }
    page = opened(single_pdf(made(desk_of(files), "us").faces, IMPRINT))[0]
    words = measured(page).words
    (net,) = [line for line in words if line.text.startswith("Net Wt 3.8\N{NO-BREAK SPACE}oz")]
    assert any(
        "(108\N{NO-BREAK SPACE}g)" in line.text and line.size_pt == net.size_pt for line in words
    )
    assert "Bold" in str(fonts(page)[net.font]["/BaseFont"])
    assert _height(net, "x", page) == pytest.approx(inch * 25.4, abs=0.05)


def test_a_larger_box_asks_for_larger_figures() -> None:
    """Its own display panel is what counts where it is larger: 190 x 100 mm is 29 square inches."""
    box = "---\nform: box\npanel: {width: 190 mm, height: 100 mm}\n---\n"
    bare = PACKED.replace("fill:", "front: bare\nfill:").replace("caution: 1", "kraft: 1")
    files = FILES | {"recipes/fig.md": bare, "packaging/kraft.md": box}
    page = opened(single_pdf(made(desk_of(files), "us").faces, IMPRINT))[0]
    (net,) = [words for words in measured(page).words if words.text.startswith("Net Wt")]
    assert _height(net, "x", page) == pytest.approx(3 / 16 * 25.4, abs=0.05)


def test_signs_and_pictograms_are_as_large_as_they_must_be() -> None:
    """Fire signs of 5 mm (EN 15494:2019, 4.3, S), and a pictogram of a fifteenth of the label.

    CLP Annex I 1.2.1.4 (C), of the least area of a label: sqrt(52 · 74 / 15) = 16.02 mm [X].
    """
    page = opened(single_pdf([_label("eu", "en", "de").caution], IMPRINT))[0]
    strokes = [path for path in measured(page).paths if path.painted == "S"]
    reds = [path for path in strokes if len(path.colour) == 3]
    left, _, right, _ = max((path.box for path in reds), key=lambda box: box[2] - box[0])
    assert (right - left) / sqrt(2) + reds[0].line >= sqrt(52 * 74 / 15) - 0.01
    blacks = [path for path in strokes if path not in reds]
    frames = [path for path in blacks if path.box[3] - path.box[1] + path.line >= 5.0 - 0.005]
    assert len(frames) >= 5


def test_the_field_for_the_identifier_has_room_for_it() -> None:
    """Nineteen characters of 1.2 mm and more, in a frame that was drawn in the PDF."""
    label = _label("eu", "en")
    (frame,) = label.caution.frames
    page = opened(single_pdf([label.caution], IMPRINT))[0]
    boxes = [path.box for path in measured(page).paths if path.painted == "S"]
    corner = frame.x_mm + frame.width_mm, frame.y_mm + frame.height_mm
    assert any(
        box == pytest.approx((frame.x_mm + 0.1, frame.y_mm + 0.1, corner[0] - 0.1,
                              corner[1] - 0.1), abs=0.05)
        for box in boxes
    )  # fmt: skip
    assert frame.width_mm >= 19 * 1.2


def test_a_label_of_a_day_is_the_same_in_every_call() -> None:
    """Nothing of the clock is in it."""
    first, second = (single_pdf(_label().faces, IMPRINT) for _ in range(2))
    assert first == second
    assert SENSITISING in FILES.values()
