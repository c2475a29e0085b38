"""Misuse burns stand apart, and no figure uses them."""

from collections.abc import Mapping

from handbook_builder.derived.board import board_of
from handbook_builder.derived.compare import recipe_side
from handbook_builder.derived.pairs import pairs_of, series_of
from handbook_builder.derived.remaining import left_of, life_guess
from handbook_builder.derived.wicks import burns_alike
from handbook_builder.pages.board.board import board_page
from handbook_builder.pages.desk import Desk
from handbook_builder.words import Words
from tests.pages.conftest import catalogue
from tests.records_in_text import burn, proven
from tests.told.rig import account, figures, html, pages, plain

MISUSE = "as: misuse\nhow: draught\n"
SOOTY = [
    "{on: 2026-03-16, burned: 7 h, before: 410.0 g, after: 330.0 g, flame: 90 mm, seen: [sooting]}",
    "{on: 2026-03-17, burned: 7 h, before: 330.0 g, after: 250.0 g, flame: 60 mm}",
]
CRACKED = "{how: went_out, vessel: cracked, tilt: steady, cycles: all}"
# At twice the rate of the test candles: any mean that it went into would show it.
BURNED = {"more": MISUSE, "cycles": SOOTY}


def _with(**record: object) -> dict[str, str]:
    files = proven()
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), candles=4)
    return {**files, "burns/fig-d.md": burn("D", candles=4, **record)}  # type: ignore[arg-type]


def _numbers(product: Mapping[str, object]) -> dict[str, object]:
    """Return all that is told of a product but the list of its misuse burns."""
    return {key: value for key, value in product.items() if key != "misuse"}


def test_the_product_tells_them_apart() -> None:
    """How it was burned and what happened, under a heading of its own; the approval stands."""
    files = _with(**BURNED)
    product = pages(files)["products/fig"].content
    assert product.is_approved
    (line,) = product.misuse.lines
    assert (line.link.title, line.word.word, line.how) == ("D", "Misuse burn", "in a draught")
    assert any("sooting" in one for one in line.happened)
    assert any("the flame reached 90 mm" in plain(one) for one in line.happened)
    assert "What happens when a buyer does what buyers do" in html(files)["products/fig"]
    assert "fig-d" not in [one.link.path for one in product.evidence.passed]


def test_the_candle_says_so_itself() -> None:
    """On its page and in the index of tests, and it counts for no recipe."""
    files = _with(**BURNED)
    candle = pages(files)["tests/fig-d"].content
    assert candle.word.word == "Misuse burn"
    assert "in a draught" in candle.beside.misuse
    assert candle.counts_for == ()
    assert candle.diagnosis is None
    assert html(files)["tests/fig-d"].count("A misuse burn, in a draught") == 1
    assert "A misuse burn, in a draught" in html(files)["tests/index"]


def test_one_that_fails_is_told_as_both() -> None:
    """A cracked vessel fails the product, and stands among the misuse burns too."""
    files = _with(
        **{**BURNED, "end": "{how: went_out, vessel: cracked, tilt: steady, cycles: all}"}
    )
    product = pages(files)["products/fig"].content
    assert product.word.word == "Failed"
    (line,) = product.misuse.lines
    assert line.word.word == "Failed"
    assert "At the end the vessel was cracked." in line.happened
    assert "in a draught" in pages(files)["tests/fig-d"].content.beside.misuse


def test_no_figure_of_the_product_uses_them() -> None:
    """Life, rate, claim, odds, next wick: as they are with a fourth candle not lit yet."""
    with_it = figures(_with(**BURNED))["products"]["fig"]
    assert with_it["misuse"] == ["fig-d"]
    without = figures({**proven()})["products"]["fig"]
    assert _numbers(with_it) == _numbers(without)


def test_wicks_diagnosis_and_comparisons_leave_them_out() -> None:
    """Even one that failed, and so speaks against the product, is no reading of a test."""
    for files in (_with(**BURNED), _with(**{**BURNED, "end": CRACKED})):
        found = account(files)
        product = found.judged.products["fig"]
        assert {one.candle.id for one in burns_alike(found, product)} == {"fig-a", "fig-b", "fig-c"}
        sides = {one.candle.id for one in recipe_side(found, "fig").candles}
        assert sides == {"fig-a", "fig-b", "fig-c"}
        assert series_of(found)["fig"] == ("fig-a", "fig-b", "fig-c")
        assert pairs_of(found) == ()
        assert figures(files)["burns"]["fig-d"]["findings"] == []
        assert pages(files)["products/fig"].content.diagnosis.shared == ()


def test_hours_left_of_another_candle_do_not_come_from_them() -> None:
    """A test candle not lit yet lasts as its sisters did, not as the misuse burn."""
    files = _with(**BURNED)
    files["burns/fig-c.md"] = burn("C", candles=4, cycles=[], end="")
    found = account(files)
    left = left_of(found, found.judged.burns["fig-c"])
    assert left is not None
    assert left.life is not None
    assert left.life.candles == 2
    assert life_guess(found, found.judged.products["fig"]) == left.life


def test_the_board_lists_one_that_goes_on() -> None:
    """Without an end it is there to be lit, says that it is no test, and is counted on by none."""
    files = _with(**{**BURNED, "end": ""})
    found = account(files)
    (waiting,) = board_of(found).waiting
    assert waiting.id == "fig-d"
    board = board_page(Desk(found, Words.load(catalogue()))).content
    rows = [row for group in board.groups for row in group.rows]
    assert ["A misuse burn, in a draught" in plain(" ".join(row.minds)) for row in rows] == [True]
    ended = account(_with(**BURNED))
    assert board_of(ended).waiting == ()


def test_no_product_counts_on_one() -> None:
    """Two passed and a misuse burn goes on: one more candle must be poured."""
    files = _with(**{**BURNED, "end": ""})
    del files["burns/fig-c.md"]
    (outlook,) = board_of(account(files)).outlooks
    assert (outlook.counted, outlook.to_pour) == ((), 1)


def test_the_grid_and_former_make_ups_have_words_for_them() -> None:
    """Vessels against wicks counts them apart; on a former make-up they are named as such."""
    files = _with(**BURNED)
    assert "1 burned as misuse" in html(files)["vessels/index"]
    files["recipes/fig.md"] = files["recipes/fig.md"].replace("fill: 108 g", "fill: 150 g")
    assert "1 test burned as misuse on a former make-up" in html(files)["products/fig"]
