"""A layout is whole, within its panel and never too small; or it says what would do."""

from dataclasses import replace

import pytest

from handbook_builder.labels.content import (
    Field,
    Pictograms,
    Role,
    Sign,
    Signs,
    Text,
)
from handbook_builder.labels.layout import lay_out, lay_out_label
from handbook_builder.labels.placed import (
    Layout,
    Panel,
    TooSmall,
    Unprintable,
    round_panel,
)
from handbook_builder.labels.sizes import LETTERS, Measure, Minimum, Sure
from handbook_builder.labels.typeface import Font
from tests.labels.held import (
    FILES,
    assert_a_millimetre_less_does_not_do,
    reach,
    x_height_mm,
)
from tests.labels.samples import FACES, LABEL


def test_it_grows_to_what_is_preferred_and_no_further() -> None:
    """With room enough; with less, as far as all of it together can."""
    block = Text(Role.PRODUCT, "Fig & Cedar", preferred_x_mm=4.0)
    roomy = lay_out((block,), Panel(100, 50), FACES)
    narrow = lay_out((block,), Panel(30, 12), FACES)
    assert isinstance(roomy, Layout)
    assert isinstance(narrow, Layout)
    assert x_height_mm(roomy.runs[0]) == pytest.approx(4.0, abs=0.01)
    assert 1.2 < x_height_mm(narrow.runs[0]) < 4.0
    assert (roomy.grown, narrow.grown < 1.0) == (1.0, True)


def test_what_is_preferred_below_the_minimum_is_the_minimum() -> None:
    """A size is never less than what is asked for by law, whatever a studio likes."""
    laid = lay_out((Text(Role.CODE, "x", preferred_x_mm=0.5),), Panel(30, 30), FACES)
    assert isinstance(laid, Layout)
    assert x_height_mm(laid.runs[0]) == pytest.approx(1.2, abs=0.01)


def test_every_minimum_of_a_text_is_kept() -> None:
    """Capitals of a sixteenth of an inch and letters of 1.2 mm: the larger size of the two."""
    capitals = Minimum(Measure.CAPITAL, 4.0, "invented for this test", Sure.MEMORY)
    laid = lay_out((Text(Role.NET, "X", (LETTERS, capitals)),), Panel(30, 30), FACES)
    assert isinstance(laid, Layout)
    _, top, _, foot = reach(laid.runs[0])
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
    assert_a_millimetre_less_does_not_do(list(LABEL.caution), laid)
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
