"""Papers for a class: what pupils take home, what to put out, and no mark of approval."""

import re
from pathlib import Path

import pytest

from handbook_builder.pages.edition import Edition
from tests.told.rig import html, pages, plain, run
from tests.told.test_lots_told import studio

SHEET, LIST = "papers/fig/class-sheet", "papers/fig/class-list"


def test_neither_paper_bears_a_mark_or_a_code() -> None:
    """Though the recipe is approved: what pupils pour was never burned."""
    found = pages(studio())
    code = found["products/fig"].content.code
    for path, text in html(studio()).items():
        if path in (SHEET, LIST):
            assert "pproved" not in text
            assert code not in text
            assert "It was never burned" in text
            assert "Do not sell it" in text


def test_the_list_is_for_so_many_pupils(tmp_path: Path) -> None:
    """Seven: 700 g of wax, 7 vessels and wicks, 14 boxes, 7 gloves, 4 jugs, 2 melters, one box."""
    file = tmp_path / "list.html"
    call = ("paper", "class-list", "fig", "--count", "7", "--out", str(file))
    assert run(tmp_path, studio(), *call).exit_code == 0
    text = plain(re.sub(r"<[^>]+>", " ", file.read_text("utf-8")))
    for piece in ("For 7 pupils", "Soy 100.0 g 700.0 g", "Fig oil 8.0 g 56.0 g", "Tumbler 1 7",
                  "Box 2 14", "Pair of gloves 1 7", "Pouring jug 1 / 2 4",
                  "Melter with its lid 1 / 6 2"):  # fmt: skip
        assert piece in text


def test_no_front_label_is_put_out() -> None:
    """It would call a pupil's candle by the name of the one that was proven."""
    files = studio()
    files["packaging/box.md"] = "---\nform: label\n---\n"
    assert ">Box<" not in html(files)[LIST]
    assert ">Box<" in html(studio())[LIST]


def test_the_sheet_says_how_to_burn_it_at_home() -> None:
    """By the cure of its wax and the studio's own trim; the words for hot wax stand on it too."""
    text = html(studio())[SHEET]
    for piece in ("Leave it for 14 days", "Trim the wick to 6 mm", "20 minutes", "Never water"):
        assert piece in text


def test_what_is_not_cleared_is_no_candle_for_a_class(tmp_path: Path) -> None:
    """Nor is what failed, is suspended or retired."""
    files = studio()
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace("porous: no\n", "")
    files = {path: text for path, text in files.items() if not path.startswith("batches/")}
    assert SHEET not in pages(files)
    result = run(tmp_path, files, "paper", "class-sheet", "fig")
    assert (result.exit_code, "no candle for a class" in result.output) == (2, True)


def test_the_floor_has_them_and_count_is_for_the_list_alone(tmp_path: Path) -> None:
    """They name nobody."""
    assert {SHEET, LIST} <= html(studio(), edition=Edition.FLOOR).keys()
    assert run(tmp_path, studio(), "paper", "care", "fig", "--count", "7").exit_code == 2


@pytest.mark.parametrize(("pupils", "melters"), [(1, 1), (6, 1), (7, 2), (12, 2)])
def test_a_tool_is_shared_by_no_more_than_its_number(pupils: int, melters: int) -> None:
    """Six pupils at a melter; a seventh needs another."""
    from handbook_builder.pages.papers.lesson import _tool  # noqa: PLC0415 -- asked alone

    assert _tool("Melter", 6, pupils).all == str(melters)
