"""Signs and pictograms: all there, each in its field, and in the inks that it may have."""

from itertools import combinations

import pytest

from handbook_builder.labels.content import Pictogram, Sign
from handbook_builder.labels.drawing import Drawing, Ink, Shape, circle, filled, in_place
from handbook_builder.labels.signs import DRAWINGS

ALL = list(DRAWINGS)


def _box(drawing: Drawing) -> tuple[float, float, float, float]:
    """Return how far the ink reaches; curves lie within their handles."""
    edges = []
    for shape in drawing.shapes:
        if shape.ink is Ink.PAPER:
            continue
        half = (shape.line or 0.0) / 2
        numbers = [number for command in shape.commands for number in command.numbers]
        xs, ys = numbers[::2], numbers[1::2]
        edges.append((min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half))
    lefts, tops, rights, feet = zip(*edges, strict=True)
    return min(lefts), min(tops), max(rights), max(feet)


def test_every_sign_is_drawn() -> None:
    """A name without a drawing would be a hole in a label."""
    assert set(DRAWINGS) == {*Sign, *Pictogram}


@pytest.mark.parametrize("name", ALL)
def test_it_fills_its_field(name: Sign | Pictogram) -> None:
    """The height that is asked for is that of the ink, not of some space around it."""
    drawing = DRAWINGS[name]
    left, top, right, foot = _box(drawing)
    blunt = 0.0105 if isinstance(name, Pictogram) else 0.0  # the round tips of the red frame
    assert (left, top) == pytest.approx((blunt, blunt), abs=0.001)
    assert (right, foot) == pytest.approx((drawing.width - blunt, 1 - blunt), abs=0.001)


@pytest.mark.parametrize("name", Pictogram)
def test_a_pictogram_has_a_red_frame_whose_side_is_its_field_by_the_root_of_two(
    name: Pictogram,
) -> None:
    """CLP Table 1.3 measures the red frame's side [C]: the distance of two outer edges."""
    *within, frame = DRAWINGS[name].shapes
    assert frame.ink is Ink.RED
    assert {shape.ink for shape in within} == {Ink.BLACK, Ink.PAPER}
    (x_1, y_1), (x_2, y_2) = (command.numbers for command in frame.commands[:2])
    centre_line = ((x_2 - x_1) ** 2 + (y_2 - y_1) ** 2) ** 0.5
    assert frame.line is not None
    assert centre_line + frame.line == pytest.approx(1 / 2**0.5, abs=1e-4)


@pytest.mark.parametrize("name", Sign)
def test_a_sign_is_black_and_its_lines_print(name: Sign) -> None:
    """At 5 mm no line is thinner than 0.17 mm."""
    shapes = DRAWINGS[name].shapes
    assert Ink.RED not in {shape.ink for shape in shapes}
    assert all(shape.line * 5 >= 0.17 for shape in shapes if shape.line is not None)


def test_no_two_are_alike() -> None:
    """Even without the frame."""
    assert not any(DRAWINGS[a].shapes == DRAWINGS[b].shapes for a, b in combinations(ALL, 2))


def test_a_drawing_is_put_in_place() -> None:
    """Scaled from its corner, the line's width too."""
    triangle = filled("M0 0L100 0L50 100Z")
    line = Shape(triangle.commands, Ink.BLACK, 0.1)
    placed = list(in_place(Drawing((triangle, line)), 3.0, 4.0, 20.0))
    assert [command.numbers for command in placed[0].commands] == [(3, 4), (23, 4), (13, 24), ()]
    assert (placed[0].line, placed[1].line) == (None, 2.0)


def test_a_circle_is_round() -> None:
    """The middle of each quarter lies on it, to a thousandth of the radius."""
    path = filled(circle(50, 50, 40))
    start = path.commands[0].numbers
    for command in path.commands[1:-1]:
        x_1, y_1, x_2, y_2, x_3, y_3 = command.numbers
        x = (start[0] + 3 * x_1 + 3 * x_2 + x_3) / 8
        y = (start[1] + 3 * y_1 + 3 * y_2 + y_3) / 8
        assert ((x - 0.5) ** 2 + (y - 0.5) ** 2) ** 0.5 == pytest.approx(0.4, rel=1e-3)
        start = (x_3, y_3)
