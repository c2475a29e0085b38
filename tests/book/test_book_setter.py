"""Blocks on pages: within the margins, no word lost, no heading alone, heads of tables anew."""

from itertools import pairwise

import pytest

from handbook_builder.labels.typeface import Font
from handbook_builder.pages.tests.glance import Section
from handbook_builder.publish.book.blocks import (
    Block,
    Box,
    Code,
    Drawn,
    Fact,
    Facts,
    Item,
    Run,
    Style,
    Table,
    Words,
)
from handbook_builder.publish.book.bound import Term, pages_of
from handbook_builder.publish.book.leaf import PAPERS, Leaf, Letters, Line, Told
from handbook_builder.publish.book.measure import lacking, lines_of, settable, width_mm
from handbook_builder.publish.book.setter import Setter
from handbook_builder.publish.book.vessel import ratio_of

LOREM = "Warm wax sets slowly from the wall inwards and draws away where it cools too fast. "


def words(text: str, style: Style = Style.BODY) -> Words:
    """Return a paragraph."""
    return Words((Run(text),), style)


def leaves_of(*blocks: Block, paper: str = "a4") -> list[Leaf]:
    """Return the pages on which blocks are set."""
    setter = Setter(PAPERS[paper])
    setter.begin("Head", "Part", "section")
    setter.blocks(blocks)
    return setter.leaves


def text_on(leaf: Leaf) -> str:
    """Return the letters of a page in their order."""
    return " ".join(op.text for op in leaf.ops if isinstance(op, Letters))


def everything() -> list[Block]:
    """Return a block of each sort, each longer than a line."""
    row = ((Run("Lot"),), (Run(LOREM * 3),), (Run("1 234"),))
    return [
        words("A heading", Style.SECOND),
        words(LOREM * 20),
        Item((Run(LOREM * 2),), 1, "1."),
        Facts((Fact("Net", (Run("108 g"), Run(" as stated"))), Fact("Cure", (Run(LOREM),)))),
        Table(
            (Run("Rows"),),
            ((Run("A"),), (Run("B"),), (Run("C"),)),
            (False, False, True),
            (row,) * 30,
        ),
        Code(("a: 1", "  b: " + "x" * 200)),
        Box((words("Caution", Style.FOURTH), Item((Run(LOREM * 9),), 0, "\u2022"))),
        Drawn(Section(72.0, 80.0, is_high=True, fill_mm=60.0, wall_mm=3.0), "72 mm wide"),
    ] * 3


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_all_stands_within_the_margins(paper: str) -> None:
    """Whatever the sort: to the right, and down to the foot."""
    sheet = PAPERS[paper]
    leaves = leaves_of(*everything(), paper=paper)
    assert len(leaves) > 5
    for leaf in leaves:
        for op in leaf.ops:
            if isinstance(op, Letters):
                right = op.x + width_mm(op.text, op.font, op.size_pt)
                assert sheet.left - 0.01 <= op.x <= right <= sheet.width - sheet.right + 0.01, op
                assert sheet.top <= op.y <= sheet.height - sheet.bottom, op
            if isinstance(op, Line):
                assert sheet.top - 0.01 <= op.y <= op.to_y <= sheet.height - sheet.bottom + 2, op


def test_no_word_is_lost() -> None:
    """Each of five hundred numbered words is on a page, in its order."""
    text = " ".join(f"word{number:03}" for number in range(500))
    told = " ".join(text_on(leaf) for leaf in leaves_of(words(text), words(text, Style.NOTE)))
    assert told == f"{text} {text}"


def test_a_heading_never_stands_alone_at_the_foot() -> None:
    """At whatever height it comes, words follow it on its page."""
    for lines in range(40, 75):
        blocks = [words("x")] * lines + [words("Alone", Style.SECOND), words(LOREM * 3)]
        page = next(leaf for leaf in leaves_of(*blocks) if "Alone" in text_on(leaf))
        assert "Warm wax" in text_on(page), lines


def test_the_head_of_a_table_stands_on_each_of_its_pages() -> None:
    """A row is never on a page without it."""
    row = ((Run("Row"),), (Run(LOREM),))
    table = Table((), ((Run("Left"),), (Run("Right"),)), (False, False), (row,) * 90)
    leaves = leaves_of(table)
    assert len(leaves) > 2
    assert all(text_on(leaf).startswith("Left Right") for leaf in leaves)
    assert sum(text_on(leaf).count("Row") for leaf in leaves) == 90


def test_a_word_wider_than_its_line_is_broken_and_kept() -> None:
    """A path of a file in a narrow column."""
    word = "records/recipes/" + "x" * 80
    lines = lines_of((Run(word),), 30.0, 8.0)
    assert "".join(piece.text for line in lines for piece in line) == word
    for line in lines:
        assert line[-1].x + line[-1].width <= 30.0 + 1e-6


def test_a_space_stands_where_one_stood() -> None:
    """Between words of two kinds, and none where there was none."""
    runs = (Run("One "), Run("two", bold=True), Run(", three"), Run(" four", bold=True))
    line = lines_of(runs, 100.0, 8.0)[0]
    gaps = [after.x - one.x - one.width for one, after in pairwise(line)]
    space = width_mm(" ", Font.REGULAR, 8.0)
    assert [gap > 0.5 * space for gap in gaps] == [True, False, True]


def test_signs_that_the_fonts_lack_are_told() -> None:
    """What stands for them is readable; what nothing stands for is a question mark, and named."""
    assert settable("\u221an \u2192 caf\u00e9") == "sqrt\u00a0n -> caf\u00e9"
    assert (settable("\u8721"), lacking("wax \u8721?")) == ("?", {"\u8721"})
    assert lacking("wax \u221a?") == set()


def test_a_lot_is_found_by_its_whole_name_and_its_item() -> None:
    """D-9 is not part of KILN-D-9, and of two items with one lot each has its own pages."""
    leaves = [
        Leaf(told=[Told("a", "D-9 Yellow dye")]),
        Leaf(told=[Told("a", "KILN-D-9 Yellow dye"), Told("a", "D-91 Yellow dye")]),
        Leaf(told=[Told("b", "D-9 Ivory block")]),
        Leaf(told=[Told("dyes/yellow", "D-9 2 kg")]),
    ]
    assert pages_of(Term("D-9", "", "Yellow dye", "dyes/yellow"), leaves) == [1, 4]
    assert pages_of(Term("D-9", ""), leaves) == [1, 3, 4]


def test_a_vessel_is_drawn_as_large_as_there_is_room() -> None:
    """By hand: 80 mm at 1 : 2 are 40 mm, of 55 that there are; 120 mm need 1 : 3."""
    sections = [
        Section(70.0, high, is_high=True, fill_mm=high * 0.8, wall_mm=3.0)
        for high in (40.0, 80.0, 120.0)
    ]
    ratios = [ratio_of(section) for section in sections]
    assert ratios == [1, 2, 3]
