"""Sizes that cannot be, to the last digit that is allowed.

What a container may be is common practice, no published source; a cylinder 72 mm wide and 90 mm
high holds pi/4 · 72² · 90 mm³ = 366.435 mL.
"""

import math

import pytest

from handbook_builder.faults.sizes import impossible_sizes
from tests.records_in_text import BASE, VESSEL, burn, linked, whole_life

HOLDS_ML = math.pi / 4 * 72**2 * 90 / 1000


def told(vessel: str, **more: str) -> list[tuple[str, str]]:
    """Return code and place of each impossible size."""
    studio = linked({**BASE, "vessels/tumbler.md": vessel, **more})
    return [(one.code, str(one.place)) for one in impossible_sizes(studio)]


@pytest.mark.parametrize(
    ("width", "fault"), [("10 mm", False), ("9.99 mm", True), ("50 cm", False), ("501 mm", True)]
)
def test_how_wide_a_vessel_may_be(width: str, *, fault: bool) -> None:
    """From a tealight's smallest sister to half a metre."""
    text = VESSEL.replace("72 mm", width).replace("opening: 70 mm", "opening: 9 mm")
    expected = [("no_such_width", "records/vessels/tumbler.md:5")] if fault else []
    assert told(text) == expected


@pytest.mark.parametrize(
    ("opening", "bulge", "fault"),
    # 1.25 · 72 mm = 90 mm; with a bulge of 10 %, 1.35 · 72 mm = 97.2 mm.
    [
        ("90 mm", "", False),
        ("90.01 mm", "", True),
        ("97.2 mm", "bulge: 10 %\n", False),
        ("97.21 mm", "bulge: 10 %\n", True),
    ],
)
def test_how_wide_a_mouth_may_be(opening: str, bulge: str, *, fault: bool) -> None:
    """A flaring mouth is wider than the body, within reason or as far as the record states."""
    text = VESSEL.replace("opening: 70 mm\n", f"opening: {opening}\n{bulge}")
    assert [code for code, _ in told(text)] == (["mouth_too_wide"] if fault else [])


@pytest.mark.parametrize(
    ("wall", "fault"),
    [("0.1 mm", False), ("0.09 mm", True), ("18 mm", False), ("18.01 mm", True), ("", False)],
)
def test_how_thick_a_wall_may_be(wall: str, *, fault: bool) -> None:
    """From paper to a quarter of the diameter."""
    text = VESSEL.replace("opening", f"wall: {wall}\nopening" if wall else "opening")
    assert [code for code, _ in told(text)] == (["no_such_wall"] if fault else [])


@pytest.mark.parametrize("key", ["fill", "brim"])
@pytest.mark.parametrize(
    ("share", "bulge", "fault"),
    [(1.0499, "", False), (1.0501, "", True), (1.1499, "10 %", False), (1.1501, "10 %", True)],
)
def test_how_much_a_vessel_may_hold(key: str, share: float, bulge: str, *, fault: bool) -> None:
    """A twentieth beyond the cylinder for measuring, and its bulge beyond that."""
    volume = f"{{volume: {share * HOLDS_ML:.3f} mL}}"
    text = VESSEL.replace("opening", "inside_height: 90 mm\nopening")
    if key == "fill":
        text = text.replace("{volume: 210 mL}", volume)
    else:
        text = text.replace("opening", f"brim: {volume}\nopening")
    if bulge:
        text = text.replace("opening", f"bulge: {bulge}\nopening")
    assert [code for code, _ in told(text)] == (["more_than_it_holds"] if fault else [])


def test_without_a_height_nothing_is_known_of_its_volume() -> None:
    """The width alone bounds no volume."""
    assert told(VESSEL.replace("210 mL", "2 L")) == []


def test_a_line_and_a_brim_that_are_too_large_are_both_told() -> None:
    """Each with its own line."""
    text = VESSEL.replace("210 mL", "400 mL").replace(
        "opening", "inside_height: 90 mm\nbrim: {volume: 500 mL}\nopening"
    )
    assert told(text) == [
        ("more_than_it_holds", "records/vessels/tumbler.md:6"),
        ("more_than_it_holds", "records/vessels/tumbler.md:10"),
    ]


@pytest.mark.parametrize(("first", "fault"), [("108.0", False), ("107.9", True), ("", False)])
def test_a_first_weight_is_no_lighter_than_the_wax(first: str, *, fault: bool) -> None:
    """100 g of wax and 8 g of oil."""
    before = f"before: {first} g, " if first else ""
    life = [whole_life()[0].replace("before: 400.0 g, ", before).replace("after: 374.0 g, ", "")]
    text = burn(cycles=life, end="")
    expected = [("lighter_than_wax", "records/burns/fig-a.md:15")] if fault else []
    assert told(VESSEL, **{"burns/fig-a.md": text}) == expected
    unlit = burn(cycles=[], end="")
    assert told(VESSEL, **{"burns/fig-a.md": unlit}) == []
