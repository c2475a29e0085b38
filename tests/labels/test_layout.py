"""A layout is whole, within its panel and never too small; or it says what would do."""

from dataclasses import replace
from itertools import combinations
from math import sqrt

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.labels.content import (
    Block,
    Field,
    Pictogram,
    Pictograms,
    Role,
    Sign,
    Signs,
    Text,
)
from handbook_builder.labels.fonts import font_file
from handbook_builder.labels.layout import Laid, lay_out, lay_out_label
from handbook_builder.labels.placed import (
    Layout,
    Panel,
    Run,
    TooSmall,
    Unprintable,
    round_panel,
)
from handbook_builder.labels.sizes import LETTERS, Measure, Minimum, Sure, net_weight_eu
from handbook_builder.labels.typeface import Font
from tests.labels.samples import FACES, LABEL

MM = 25.4 / 72
WORDS = st.text(st.sampled_from("abegijpxÅĢőŠß1.-€"), min_size=1, max_size=9)
TEXTS = st.lists(WORDS, min_size=1, max_size=14).map(" ".join)
MINIMA = st.sampled_from([(LETTERS,), (LETTERS, net_weight_eu(150))])
BLOCKS: st.SearchStrategy[Block] = st.one_of(
    st.builds(
        Text,
        role=st.sampled_from(Role),
        text=TEXTS,
        minima=MINIMA,
        preferred_x_mm=st.none() | st.floats(0.8, 4.0),
        is_bold=st.booleans(),
        lead=st.none() | st.just(Sign.WARNING),
    ),
    st.builds(
        Signs,
        signs=st.lists(st.sampled_from(Sign), max_size=8).map(tuple),
        preferred_mm=st.none() | st.floats(3.0, 12.0),
    ),
    st.builds(Pictograms, pictograms=st.lists(st.sampled_from(Pictogram), max_size=3).map(tuple)),
    st.builds(Field, role=st.just(Role.UFI), caption=WORDS, characters=st.integers(1, 19)),
)
FACES_OF_BLOCKS = st.lists(BLOCKS, max_size=7)
PANELS = st.one_of(
    st.builds(Panel, st.integers(10, 120).map(float), st.integers(10, 120).map(float)),
    st.integers(10, 120).map(lambda across: round_panel(float(across))),
)
Box = tuple[float, float, float, float]


def _glyphs(font: Font) -> TTFont:
    return TTFont(font_file(font), lazy=False)


FILES = {font: _glyphs(font) for font in Font}


def _reach(run: Run) -> Box:
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


def _boxes(layout: Layout) -> list[Box]:
    rest = [*layout.marks, *layout.frames]
    return [
        *(_reach(run) for run in layout.runs),
        *((one.x_mm, one.y_mm, one.x_mm + one.width_mm, one.y_mm + one.height_mm) for one in rest),
    ]


def _is_inside(box: Box, panel: Panel) -> bool:
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


def _overlap(one: Box, other: Box) -> bool:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide > 1e-3 and high > 1e-3


def _x_height_mm(run: Run) -> float:
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


def _assert_nothing_is_too_small(layout: Layout, blocks: list[Block]) -> None:
    texts = [block for block in blocks if isinstance(block, Text | Field)]
    assert all(_x_height_mm(run) >= 1.2 - 1e-6 for run in layout.runs)
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


def _assert_it_is_whole(layout: Layout, blocks: list[Block]) -> None:
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


def _assert_a_millimetre_less_does_not_do(blocks: list[Block], small: TooSmall) -> None:
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


@settings(max_examples=80)
@given(FACES_OF_BLOCKS, PANELS, st.booleans())
def test_a_layout_is_whole_and_within_or_says_what_would_do(
    blocks: list[Block],
    panel: Panel,
    is_centred: bool,  # noqa: FBT001 -- named by what draws it
) -> None:
    """For any words and signs and any panel."""
    laid = lay_out(blocks, panel, FACES, is_centred=is_centred)
    assert laid == lay_out(blocks, panel, FACES, is_centred=is_centred)
    if isinstance(laid, TooSmall):
        _assert_a_millimetre_less_does_not_do(blocks, laid)
        return
    assert isinstance(laid, Layout)
    boxes = _boxes(laid)
    assert all(_is_inside(box, panel) for box in boxes)
    assert not any(_overlap(one, other) for one, other in combinations(boxes, 2))
    _assert_nothing_is_too_small(laid, blocks)
    _assert_it_is_whole(laid, blocks)


def test_it_grows_to_what_is_preferred_and_no_further() -> None:
    """With room enough; with less, as far as all of it together can."""
    block = Text(Role.PRODUCT, "Fig & Cedar", preferred_x_mm=4.0)
    roomy = lay_out((block,), Panel(100, 50), FACES)
    narrow = lay_out((block,), Panel(30, 12), FACES)
    assert isinstance(roomy, Layout)
    assert isinstance(narrow, Layout)
    assert _x_height_mm(roomy.runs[0]) == pytest.approx(4.0, abs=0.01)
    assert 1.2 < _x_height_mm(narrow.runs[0]) < 4.0
    assert (roomy.grown, narrow.grown < 1.0) == (1.0, True)


def test_what_is_preferred_below_the_minimum_is_the_minimum() -> None:
    """A size is never less than what is asked for by law, whatever a studio likes."""
    laid = lay_out((Text(Role.CODE, "x", preferred_x_mm=0.5),), Panel(30, 30), FACES)
    assert isinstance(laid, Layout)
    assert _x_height_mm(laid.runs[0]) == pytest.approx(1.2, abs=0.01)


def test_every_minimum_of_a_text_is_kept() -> None:
    """Capitals of a sixteenth of an inch and letters of 1.2 mm: the larger size of the two."""
    capitals = Minimum(Measure.CAPITAL, 4.0, "invented for this test", Sure.MEMORY)
    laid = lay_out((Text(Role.NET, "X", (LETTERS, capitals)),), Panel(30, 30), FACES)
    assert isinstance(laid, Layout)
    _, top, _, foot = _reach(laid.runs[0])
    assert foot - top == pytest.approx(4.0, abs=0.01)


def test_too_small_tells_what_would_do() -> None:
    """One word of ten letters m: its width and height by the font's file, by hand [X]."""
    block = Text(Role.CODE, "mmmmmmmmmm")
    file = FILES[Font.REGULAR]
    x_height = file["glyf"][file.getBestCmap()[ord("x")]].yMax / 1000
    wide = file["hmtx"][file.getBestCmap()[ord("m")]][0] * 10 / 1000 * 1.2 / x_height + 3.0
    laid = lay_out((block,), Panel(20, 20), FACES)
    assert isinstance(laid, TooSmall)
    assert laid.width_mm == int(wide) + 1
    assert laid.height_mm is None  # a word is not broken
    assert laid.good_mm == (int(wide) + 1, 6)  # a line of 1.23 x 2.2 mm, and twice 1.5 mm


def test_a_proposal_has_no_millimetre_too_many() -> None:
    """For a whole label, with every kind of block."""
    laid = lay_out(LABEL.caution, Panel(50, 40), FACES)
    assert isinstance(laid, TooSmall)
    _assert_a_millimetre_less_does_not_do(list(LABEL.caution), laid)
    assert laid.good_mm is not None
    assert 1.2 < laid.good_mm[0] / laid.good_mm[1] < 2.0


def test_a_round_panel_is_told_its_own_size() -> None:
    """What it is across; and for a box or a tag, what that would need."""
    laid = lay_out(LABEL.caution, round_panel(50.0), FACES)
    assert isinstance(laid, TooSmall)
    assert (laid.width_mm, laid.height_mm) == (None, None)
    assert laid.across_mm is not None
    assert laid.across_mm > 50


def test_what_no_panel_could_hold_is_told_without_end() -> None:
    """A word of sixteen metres, told as none."""
    laid = lay_out((Text(Role.CODE, "m" * 9000),), Panel(50, 50), FACES)
    assert isinstance(laid, TooSmall)
    assert (laid.good_mm, laid.across_mm, laid.width_mm) == (None, None, None)


def test_a_panel_that_its_margins_use_up_holds_nothing() -> None:
    """Three millimetres with a margin of one and a half on both sides."""
    assert isinstance(lay_out((Text(Role.CODE, "x"),), Panel(3, 30), FACES), TooSmall)


def test_a_character_that_the_font_lacks_is_told() -> None:
    """No empty box stands on a label in its place; bold is asked of the bold face."""
    blocks = (Text(Role.PRODUCT, "Kerze \N{SNOWMAN}", is_bold=True), Field(Role.UFI, "\a", 3))
    assert lay_out(blocks, Panel(50, 50), FACES) == Unprintable(("\a", "\N{SNOWMAN}"))


def test_an_accent_that_stands_alone_is_joined_to_its_letter() -> None:
    """As some keyboards write it."""
    laid = lay_out((Text(Role.PRODUCT, "Cafe\N{COMBINING ACUTE ACCENT}"),), Panel(50, 50), FACES)
    assert isinstance(laid, Layout)
    assert laid.runs[0].text == "Caf\N{LATIN SMALL LETTER E WITH ACUTE}"


def test_lines_break_at_spaces_and_where_they_are_told_to() -> None:
    """Never at the space that does not break: a number stays with its unit."""
    text = "aaaa 200\N{NO-BREAK SPACE}g\n\nb"
    laid = lay_out((Text(Role.NET, text),), Panel(13, 40), FACES)
    assert isinstance(laid, Layout)
    assert list(laid.lines()) == ["aaaa", "200\N{NO-BREAK SPACE}g", "b"]
    steps = [run.baseline_mm for run in laid.runs]
    assert steps[2] - steps[1] == pytest.approx(2 * (steps[1] - steps[0]))  # the empty line
    assert steps[1] - steps[0] >= 1.2 * laid.runs[0].size_mm - 1e-9  # 120 % [S]


def test_the_sign_stands_right_before_its_word() -> None:
    """ASTM F2058: the safety alert symbol, followed at once by the signal word [C abstract]."""
    laid = lay_out(LABEL.caution, Panel(80, 80), FACES)
    assert isinstance(laid, Layout)
    sign, word = laid.marks[0], laid.runs[0]
    assert (sign.name, word.text, word.font) == (Sign.WARNING, "WARNING", Font.BOLD)
    assert 0 < word.x_mm - (sign.x_mm + sign.width_mm) < word.size_mm / 2
    assert sign.y_mm < word.baseline_mm < sign.y_mm + sign.height_mm + word.size_mm / 2


def test_a_front_is_in_the_middle_of_its_panel() -> None:
    """Each line from side to side, and all of it from top to foot."""
    laid = lay_out_label(LABEL, Panel(60, 50), Panel(80, 80), FACES)
    assert isinstance(laid.front, Layout)
    assert isinstance(laid.caution, Layout)
    for run in laid.front.runs:
        assert run.x_mm + run.width_mm / 2 == pytest.approx(30.0)
    first, last = laid.front.runs[0], laid.front.runs[-1]
    above, below = first.baseline_mm - first.size_mm, 50 - last.baseline_mm
    assert above == pytest.approx(below, abs=2.5)
    assert {run.x_mm for run in laid.caution.runs} != {30.0}


def test_a_bare_front_moves_to_the_one_panel() -> None:
    """All of it, the front first."""
    laid = lay_out_label(LABEL, None, Panel(100, 100), FACES)
    assert laid.front is None
    assert isinstance(laid.caution, Layout)
    assert laid.caution.runs[0].text == "Example Studio"
    assert laid.caution.runs[-1].text == "+00 000 000"


def test_centred_drawings_stand_in_the_middle() -> None:
    """As a whole, in their order."""
    laid = lay_out((Signs((Sign.TRIM, Sign.MOVING)),), Panel(40, 20), FACES, is_centred=True)
    assert isinstance(laid, Layout)
    left, right = laid.marks
    assert left.x_mm == pytest.approx(40 - right.x_mm - right.width_mm)


def test_nothing_asked_for_is_an_empty_layout() -> None:
    """A face without blocks, or with empty ones, takes no room."""
    blocks = (Text(Role.SCENT, " \n"), Signs(()), Pictograms(()))
    for empty in ((), blocks):
        laid = lay_out(empty, Panel(20, 20), FACES)
        assert isinstance(laid, Layout)
        assert (laid.runs, laid.marks, laid.frames) == ((), (), ())


def test_a_field_without_a_caption_is_a_frame_alone() -> None:
    """As wide as its characters."""
    laid = lay_out((Field(Role.UFI, "", 10),), Panel(40, 20), FACES)
    assert isinstance(laid, Layout)
    file = FILES[Font.REGULAR]
    zero = file["hmtx"][file.getBestCmap()[ord("0")]][0] / 1000
    x_height = file["glyf"][file.getBestCmap()[ord("x")]].yMax / 1000
    assert laid.frames[0].width_mm == pytest.approx(10 * zero * 1.2 / x_height, abs=0.02)


def test_words_stand_beside_drawings_where_that_is_lower() -> None:
    """And under them where it is not."""
    sign, words = Signs((Sign.TRIM,)), Text(Role.STATEMENT, "Trim the wick.")
    beside = lay_out((sign, words), Panel(40, 9), FACES)
    assert isinstance(beside, Layout)
    assert beside.runs[0].x_mm > beside.marks[0].x_mm + beside.marks[0].width_mm
    under = lay_out((replace(sign, signs=(Sign.TRIM,) * 3), words), Panel(24, 30), FACES)
    assert isinstance(under, Layout)
    assert len({run.x_mm for run in under.runs}) == 1
