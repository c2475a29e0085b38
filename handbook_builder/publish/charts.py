"""Charts as drawings: inline SVG, whose colours, dashes and letters are set by the site's styles.

Drawn by ourselves: a general-purpose chart library made the same line chart of three candles in
19 kB or more with a script and a style sheet in each, against some 3 kB here with neither.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from handbook_builder.pages.tests.charts import Chart, Line, Mark

WIDTH: Final = 400
HEIGHT: Final = 250
_LEFT: Final = 46
_RIGHT: Final = 326
_TOP: Final = 26
_BOTTOM: Final = 206
_LETTER: Final = 14  # the height of a letter, and so the least distance of two labels
_PIECE: Final = 14  # of a line, beside its name
_ABOUT: Final = 5  # ticks on an axis
_STEPS: Final = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class _Axis:
    """An axis from `low` to `high`, drawn from the pixel `start` to the pixel `end`."""

    low: float
    high: float
    step: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return the pixel of a value."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def ticks(self) -> Iterator[tuple[float, str]]:
        """Yield the pixel and the label of each tick."""
        digits = max(0, -math.floor(math.log10(self.step) + 1e-9))
        for number in range(round((self.high - self.low) / self.step) + 1):
            value = self.low + number * self.step
            yield self.at(value), f"{value:.{digits}f}"


def _axis(values: Sequence[float], start: float, end: float, least: float = 0.0) -> _Axis:
    """Return an axis of round steps, none smaller than `least`, that holds all values."""
    low, high = min(values), max(values)
    span = high - low or abs(high) or 1.0
    size = 10.0 ** math.floor(math.log10(span / _ABOUT))
    step = size * next(one for one in _STEPS if span / _ABOUT <= one * size * (1 + 1e-9))
    step = max(step, least)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return _Axis(first * step, max(last, first + 1) * step, step, start, end)


def drawing(chart: Chart) -> Markup:
    """Return `chart` as SVG, with its title and description; nothing in it can run."""
    points = [point for line in chart.lines for point in line.points]
    upright = [mark.value for mark in chart.marks if mark.upright]
    across = [mark.value for mark in chart.marks if not mark.upright]
    zero = [0.0] if chart.from_zero else []
    whole = 1.0 if chart.by_cycle else 0.0
    x = _axis([*zero, *(x for x, _ in points), *upright], _LEFT, _RIGHT, whole)
    y = _axis([*zero, *(y for _, y in points), *across], _BOTTOM, _TOP)
    parts = (
        *_frame(chart, x, y),
        *(part for mark in chart.marks for part in _mark(mark, x, y)),
        *_lines(chart.lines, x, y),
    )
    return Markup("").join(
        (
            Markup(
                '<svg class="plot" viewBox="0 0 {} {}" role="img" aria-labelledby="{}-t {}-d">'
                '<title id="{}-t">{}</title><desc id="{}-d">{}</desc>'
            ).format(WIDTH, HEIGHT, *[chart.id] * 3, chart.title, chart.id, chart.summary),
            *parts,
            Markup("</svg>"),
        )
    )


def _frame(chart: Chart, x: _Axis, y: _Axis) -> Iterator[Markup]:
    """Yield the grid, the axes' labels and what they measure."""
    rows = "".join(f"M{_LEFT} {_px(at)}H{_RIGHT}" for at, _ in y.ticks())
    yield Markup('<path class="plot__grid" d="{}"/>').format(rows)
    for at, label in y.ticks():
        yield _text(_LEFT - 6, at + 4, label, "plot__y")
    for at, label in x.ticks():
        yield _text(at, _BOTTOM + 17, label, "plot__x")
    yield _text(1, 12, chart.y, "plot__name")
    yield _text(_RIGHT, HEIGHT - 8, chart.x, "plot__y plot__name")


def _mark(mark: Mark, x: _Axis, y: _Axis) -> Iterator[Markup]:
    if mark.upright:
        at = x.at(mark.value)
        yield Markup('<path class="plot__mark" d="M{} {}V{}"/>').format(_px(at), _TOP, _BOTTOM)
        yield _text(at + 4, _BOTTOM - 6, mark.name, "plot__said")
    else:
        at = y.at(mark.value)
        yield Markup('<path class="plot__mark" d="M{} {}H{}"/>').format(_LEFT, _px(at), _RIGHT)
        yield _text(_LEFT + 4, at - 4, mark.name, "plot__said")


def _lines(lines: Sequence[Line], x: _Axis, y: _Axis) -> Iterator[Markup]:
    """Yield each line with a dot a reading, and its name beside a piece of it."""
    labels = _apart([y.at(line.points[-1][1]) for line in lines])
    for number, (line, label) in enumerate(zip(lines, labels, strict=True), start=1):
        pixels = [(_px(x.at(across)), _px(y.at(up))) for across, up in line.points]
        way = "L".join(f"{across} {up}" for across, up in pixels)
        dots = "".join(f"M{across} {up}h0" for across, up in pixels)
        name = _text(_RIGHT + _PIECE + 8, label + 4, line.name, "plot__label")
        yield Markup(
            '<g class="plot__line plot__line--{}"><path d="M{}M{} {}h{}"/>'
            '<path class="plot__dots" d="{}"/>{}</g>'
        ).format(number, way, _RIGHT + 5, _px(label), _PIECE, dots, name)


def _apart(wanted: Sequence[float]) -> list[float]:
    """Return heights for labels near the wanted ones, none over another, all within the frame."""
    order = sorted(range(len(wanted)), key=lambda one: wanted[one])
    placed, least = [0.0] * len(wanted), -math.inf
    for one in order:
        placed[one] = least = max(wanted[one], least + _LETTER)
    most = float(_BOTTOM)
    for one in reversed(order):
        placed[one] = most = min(placed[one], most)
        most -= _LETTER
    return placed


def _text(x: float, y: float, words: str, kind: str) -> Markup:
    return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(kind, _px(x), _px(y), words)


def _px(value: float) -> str:
    """Return a pixel with at most one decimal."""
    return f"{value:.1f}".removesuffix(".0")
