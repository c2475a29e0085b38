"""Plain drawings: lines and curves in a field as high as one, and the same put in place."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

_STEP: Final = re.compile(r"([MLCZ])([^MLCZ]*)")
# A quarter of a circle as a cubic curve: how far its handles reach, of the radius.
# 4/3 (sqrt 2 - 1), the usual approximation, off by less than 0.03 % of the radius.
_HANDLE: Final = 0.5522847498


class Ink(StrEnum):
    """What a shape is drawn in. PAPER is what nothing is printed on."""

    BLACK = "black"
    RED = "red"
    PAPER = "paper"


@dataclass(frozen=True, slots=True)
class Command:
    """One step of a path: M to, L line to, C curve by two handles to, Z back to where it began."""

    letter: str
    numbers: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """A path in one ink: filled (even-odd), or drawn as a line of `line` with round ends."""

    commands: tuple[Command, ...]
    ink: Ink
    line: float | None


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes from the back to the front, in a field one high and `width` wide, y downwards."""

    shapes: tuple[Shape, ...]
    width: float = 1.0


def _commands(path: str) -> Iterator[Command]:
    for letter, numbers in _STEP.findall(path):
        yield Command(letter, tuple(float(number) / 100 for number in numbers.split()))


def filled(path: str, ink: Ink = Ink.BLACK) -> Shape:
    """Return a filled shape of a `path` in hundredths of the height, in letters M, L, C and Z."""
    return Shape(tuple(_commands(path)), ink, None)


def lined(path: str, width: float, ink: Ink = Ink.BLACK) -> Shape:
    """Return a line along a `path`, it and its `width` in hundredths of the height."""
    return Shape(tuple(_commands(path)), ink, width / 100)


def circle(x: float, y: float, radius: float) -> str:
    """Return the path of a circle."""
    return oval(x, y, radius, radius)


def oval(x: float, y: float, across: float, down: float) -> str:
    """Return the path of an ellipse from its two half axes."""
    wide, high = across * _HANDLE, down * _HANDLE
    left, right, top, foot = x - across, x + across, y - down, y + down
    return (
        f"M{left:.3f} {y:.3f}"
        f"C{left:.3f} {y - high:.3f} {x - wide:.3f} {top:.3f} {x:.3f} {top:.3f}"
        f"C{x + wide:.3f} {top:.3f} {right:.3f} {y - high:.3f} {right:.3f} {y:.3f}"
        f"C{right:.3f} {y + high:.3f} {x + wide:.3f} {foot:.3f} {x:.3f} {foot:.3f}"
        f"C{x - wide:.3f} {foot:.3f} {left:.3f} {y + high:.3f} {left:.3f} {y:.3f}Z"
    )


def box(left: float, top: float, right: float, foot: float) -> str:
    """Return the path of a rectangle."""
    return f"M{left} {top}L{right} {top}L{right} {foot}L{left} {foot}Z"


def _moved(command: Command, x: float, y: float, scale: float) -> Command:
    offsets = (x, y) * (len(command.numbers) // 2)
    pairs = zip(command.numbers, offsets, strict=True)
    return Command(command.letter, tuple(number * scale + offset for number, offset in pairs))


def in_place(drawing: Drawing, x: float, y: float, height: float) -> Iterator[Shape]:
    """Yield the shapes of a drawing with its top left corner at `x`, `y`, and so high."""
    for shape in drawing.shapes:
        commands = tuple(_moved(command, x, y, height) for command in shape.commands)
        yield Shape(commands, shape.ink, None if shape.line is None else shape.line * height)
