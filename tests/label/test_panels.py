"""Where a label stands, and what is said of a panel that is too small for it."""

import re
from collections.abc import Iterator
from typing import Final

import pytest

from handbook_builder.derived.label.made import Made
from handbook_builder.derived.label.refusal import Refusal
from handbook_builder.labels.placed import Panel, TooSmall, round_panel
from handbook_builder.pages.products.label_words import refusal_said
from tests.label.kit import (
    AQUATIC,
    HARMLESS,
    LARGE,
    PACKED,
    PANELLED,
    SENSITISING,
    asked,
    desk_of,
    made,
    studio,
    told,
    words_on,
)

TIED: Final = PACKED.replace("packaging: {caution: 1}", "packaging: {tie: 1, caution: 1}")
BARE: Final = PACKED.replace("fill:", "front: bare\nfill:")
SMALL_FRONT: Final = "label_panel: {width: 30 mm, height: 20 mm}"
FRONT: Final = "label_panel: {width: 70 mm, height: 45 mm}"


def item(form: str, panel: str) -> str:
    """Return an item of packaging."""
    return f"---\nform: {form}\npanel: {{{panel}}}\n---\n"


def sizes(label: Made) -> list[tuple[float, float, bool]]:
    """Return how large each face is, and whether it is round."""
    panels = [face.panel for face in label.faces]
    return [(panel.width_mm, panel.height_mm, panel.is_round) for panel in panels]


def test_the_front_on_the_vessel_and_the_cautions_on_their_label() -> None:
    """As most candles have it."""
    label = made(desk_of(studio()))
    assert sizes(label) == [(70.0, 45.0, False), (140.0, 90.0, False)]
    assert label.on == "caution"


def test_a_front_label_goes_before_the_vessels_panel() -> None:
    """What is stuck on is as large as it is; the vessel's panel is what it is stuck to."""
    files = studio() | {
        "recipes/fig.md": TIED,
        "packaging/tie.md": item("label", "width: 60 mm, height: 44 mm"),
    }
    assert sizes(made(desk_of(files))) == [(60.0, 44.0, False), (140.0, 90.0, False)]


def test_everything_on_the_one_panel_of_the_vessel() -> None:
    """Without anything else that can be printed: the front's words, then the cautions."""
    files = studio() | {
        "vessels/tumbler.md": PANELLED.replace(FRONT, "label_panel: {width: 150 mm, height: 9 cm}"),
        "packaging/caution.md": "---\nform: caution_label\n---\n",
    }
    label = made(desk_of(files), "eu", "en")
    assert sizes(label) == [(150.0, 90.0, False)]
    assert (label.on, label.front) == (None, None)
    words = words_on(label)
    assert words.startswith("Fig Fig Net weight 108 g Test studio Burn within sight.")


def test_everything_on_the_packaging_where_the_vessel_has_no_panel() -> None:
    """A caution label that bears the front as well."""
    files = studio() | {"vessels/tumbler.md": PANELLED.replace("label_panel:", "#")}
    label = made(desk_of(files), "eu", "en")
    assert sizes(label) == [(140.0, 90.0, False)]
    assert (label.on, label.front) == ("caution", None)
    assert words_on(label).startswith("Fig Fig Net weight 108 g Test studio")


@pytest.mark.parametrize("form", ["box", "tag", "lid", "other"])
def test_a_bare_front_goes_beside_the_vessel(form: str) -> None:
    """To the box, a tag, a lid or a cover, before the caution label that is stuck on."""
    files = studio() | {
        "recipes/fig.md": BARE.replace("{caution: 1}", "{caution: 1, tie: 1}"),
        "packaging/tie.md": item(form, "width: 150 mm, height: 80 mm"),
    }
    label = made(desk_of(files), "eu", "en")
    assert sizes(label) == [(150.0, 80.0, False)]
    assert (label.on, label.front) == ("tie", None)
    assert words_on(label).startswith("Fig Fig Net weight 108 g Test studio Burn within sight.")


def test_a_bare_front_with_a_caution_label_alone() -> None:
    """It bears everything: under the foot, or behind."""
    label = made(desk_of(studio() | {"recipes/fig.md": BARE}), "eu", "en")
    assert (sizes(label), label.on, label.front) == ([(140.0, 90.0, False)], "caution", None)


def test_a_bare_front_takes_neither_a_front_label_nor_the_vessels_panel() -> None:
    """With nothing else there is no panel at all."""
    files = studio() | {
        "recipes/fig.md": BARE.replace("{caution: 1}", "{tie: 1}"),
        "packaging/tie.md": item("label", "width: 150 mm, height: 80 mm"),
    }
    assert asked(desk_of(files)) == ["no_panel"]


def test_of_two_the_box_goes_first() -> None:
    """Whatever order the recipe names them in; what fills a box is never printed."""
    files = studio() | {
        "recipes/fig.md": BARE.replace("{caution: 1}", "{paper: 1, tie: 1, lid: 1, kraft: 1}"),
        "packaging/paper.md": item("filler", "width: 190 mm, height: 190 mm"),
        "packaging/tie.md": item("tag", "width: 150 mm, height: 80 mm"),
        "packaging/lid.md": item("lid", "across: 170 mm"),
        "packaging/kraft.md": item("box", "width: 160 mm, height: 90 mm"),
    }
    assert made(desk_of(files), "eu", "en").on == "kraft"
    without = files | {"packaging/kraft.md": "---\nform: box\n---\n"}
    assert made(desk_of(without), "eu", "en").on == "tie"


def test_a_round_panel() -> None:
    """A foot or a lid: everything stands in the square within its circle."""
    files = studio(HARMLESS) | {
        "recipes/fig.md": BARE,
        "packaging/caution.md": item("caution_label", "across: 160 mm"),
    }
    label = made(desk_of(files), "eu", "en")
    assert sizes(label) == [(160.0, 160.0, True)]


def _fig(oil: str, front: str, cautions: str, **more: str) -> dict[str, str]:
    return {
        **studio(oil),
        "vessels/tumbler.md": PANELLED.replace(FRONT, front),
        "packaging/caution.md": cautions,
        **{f"recipes/{name}.md": text for name, text in more.items()},
    }


@pytest.mark.parametrize("market", ["eu", "gb", "us"])
@pytest.mark.parametrize("oil", [SENSITISING, AQUATIC])
def test_what_would_do_really_does(oil: str, market: str) -> None:
    """Each proposal of a front that is too small, set as the vessel's panel, is taken.

    One millimetre less in its one direction is not: nothing larger than needed is asked for.
    """
    desk = desk_of(_fig(oil, SMALL_FRONT, LARGE))
    assert asked(desk, market, "en") == ["too_small"]
    (said,) = told(desk, market, "en")
    assert said.startswith("For the front, 30 mm by 20 mm is too small. What would do: ")
    assert said.endswith("so use a larger panel, a box or a tag.")
    tried = list(_proposed(said))
    assert len(tried) >= 2
    for width, height, less in tried:
        assert _fits(oil, market, width, height)
        assert not _fits(oil, market, *less)


def _proposed(said: str) -> Iterator[tuple[int, int, tuple[int, int]]]:
    """Yield each rectangle that is proposed for a panel of 30 x 20 mm, and one that is less."""
    for wide in re.findall(r"(\d+) mm wide at that height", said):
        yield int(wide), 20, (int(wide) - 1, 20)
    for high in re.findall(r"(\d+) mm high at that width", said):
        yield 30, int(high), (30, int(high) - 1)
    for wide, high in re.findall(r"or (\d+) mm by (\d+) mm", said):
        yield int(wide), int(high), (int(wide) - 1, int(high))


def _only(pattern: str, said: str) -> int:
    (found,) = re.findall(pattern, said)
    return int(found)


def _fits(oil: str, market: str, width: int, height: int) -> bool:
    panel = f"label_panel: {{width: {width} mm, height: {height} mm}}"
    found = asked(desk_of(_fig(oil, panel, LARGE)), market, "en")
    assert isinstance(found, Made) or found == ["too_small"]
    return isinstance(found, Made)


def test_a_disc_that_would_do_really_does() -> None:
    """And one millimetre less across does not."""
    files = studio() | {
        "recipes/fig.md": BARE,
        "packaging/caution.md": item("caution_label", "across: 58 mm"),
    }
    (said,) = told(desk_of(files), "eu", "en")
    assert said.startswith("For the front and cautions, a disc 58 mm across is too small. ")
    assert "wide at that" not in said
    across = _only(r"or a disc (\d+) mm across", said)
    for size, fits in ((across, True), (across - 1, False)):
        files["packaging/caution.md"] = item("caution_label", f"across: {size} mm")
        assert isinstance(asked(desk_of(files), "eu", "en"), Made) is fits


def test_both_faces_are_told_at_once() -> None:
    """Whoever buys larger labels wants to know of both."""
    desk = desk_of(
        _fig(SENSITISING, SMALL_FRONT, item("caution_label", "width: 40 mm, height: 4 cm"))
    )
    assert asked(desk, "eu", "en", "de") == ["too_small", "too_small"]
    front, cautions = told(desk, "eu", "en", "de")
    assert front.startswith("For the front, 30 mm by 20 mm ")
    assert cautions.startswith("For the cautions, 40 mm by 40 mm ")


def test_what_no_panel_holds() -> None:
    """The answer is that nothing would do, not a number."""
    nothing = TooSmall(Panel(30, 20), None, None, None, None)
    refusal = Refusal("too_small", {"face": "caution", "fit": nothing})
    assert "What would do: no panel is large enough. " in refusal_said(desk_of(studio()), refusal)


@pytest.mark.parametrize("market", ["eu", "gb", "us"])
def test_a_label_never_reaches_beyond_its_panel(market: str) -> None:
    """Every word and every drawing lies on it, at whatever size."""
    for front in (FRONT, "label_panel: {width: 52 mm, height: 34 mm}"):
        label = made(desk_of(_fig(SENSITISING, front, LARGE)), market, "en")
        for face in label.faces:
            wide, high = face.panel.width_mm, face.panel.height_mm
            for run in face.runs:
                assert run.x_mm > 0
                assert run.x_mm + run.width_mm < wide
                assert 0 < run.baseline_mm < high
            for mark in face.marks:
                assert mark.x_mm + mark.width_mm < wide
                assert mark.y_mm + mark.height_mm < high


def test_panels_are_those_of_the_layout() -> None:
    """A rectangle and a disc, as the records have them."""
    rectangle = made(desk_of(studio())).caution.panel
    assert rectangle == Panel(140.0, 90.0)
    files = studio(HARMLESS) | {
        "recipes/fig.md": BARE,
        "packaging/caution.md": item("caution_label", "across: 6 in"),
    }
    assert made(desk_of(files), "eu", "en").caution.panel == round_panel(152.4)
