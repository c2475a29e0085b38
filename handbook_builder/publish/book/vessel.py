"""A vessel in section, to a scale that is said beside it."""

from typing import TYPE_CHECKING, Final

from handbook_builder.pages.tests.glance import Section
from handbook_builder.publish.book.blocks import Drawn, Run
from handbook_builder.publish.book.leaf import Frame, Line

if TYPE_CHECKING:
    from handbook_builder.publish.book.setter import Setter

_RATIOS: Final = (1, 2, 3, 4, 5, 10, 20)
_MOST_MM: Final = 55.0  # how high a drawing may be
_LEAST_WALL_MM: Final = 2.0  # as the site's drawing has it where no wall is on file


def ratio_of(section: Section) -> int:
    """Return at one to how many a vessel is drawn."""
    fits = (ratio for ratio in _RATIOS if section.height_mm / ratio <= _MOST_MM)
    return next(fits, _RATIOS[-1])


def set_vessel(setter: "Setter", drawn: Drawn) -> None:
    """Draw the walls of a vessel as lines, and its fill as a thin one."""
    section = drawn.section
    ratio = ratio_of(section)
    wall = max(section.wall_mm, _LEAST_WALL_MM) / ratio
    high, wide = section.height_mm / ratio, section.inside_mm / ratio
    setter.ensure(high + wall + 2)
    left, top = setter.left + wall, setter.y
    for x in (left - wall / 2, left + wide + wall / 2):
        setter.leaf.ops.append(Line(x, top, x, top + high + wall, wall))
    floor = top + high + wall / 2
    setter.leaf.ops.append(Line(left - wall, floor, left + wide + wall, floor, wall))
    fill = top + high - section.fill_mm / ratio
    setter.leaf.ops.append(Line(left, fill, left + wide, fill, 0.25))
    setter.leaf.ops.append(Frame(left, fill, wide, top + high - fill, 0.1))
    said = setter.wrapped((Run(drawn.size),), setter.room - wide - 3 * wall - 6, 7.4)
    for at, line in enumerate(said):
        setter.draw(line, left + wide + wall + 5, top + 4 + at * 3.6, 7.4)
    setter.told(drawn.size)
    setter.advance(high + wall)
