"""The picture of a burn as a drawing: the vessel in section, the wax of each cycle as a band in it.

To scale from the vessel's measures. Heat stands outside the wall on the left, beside the wax that
was burned then; the pool and the flame of each cycle on the right. Colours are the site's styles'.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Final

from markupsafe import Markup

from handbook_builder.pages.items.vessels import VesselDrawn
from handbook_builder.pages.tests.glance import Band, Bound, BurnPicture, Level, Section, Seen

WIDTH: Final = 360
_TOP: Final = 26  # the rim of the vessel, below the heads
_HEAT: Final = 4.0  # where the scale of heat ends, on the left
_VESSEL: Final = (60.0, 186.0)  # the most that the vessel takes, its walls included
_NUMBER: Final = 214.0
_POOL: Final = (222.0, 278.0)
_FLAME: Final = (292.0, 354.0)
_TALLEST: Final = 230.0  # of the vessel
_ROW: Final = 16.0  # the least distance of two rows
_BAR: Final = 7.0  # how thick a bar is, where there is room
_ROOM: Final = 1.12  # how far a scale goes beyond its greatest limit
_COLDEST_C: Final = 15.0  # where the bars of heat begin: about a room
_SMALL: Final = (120, 104.0)  # a picture beside its sisters: its width, and how tall a vessel is


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A vessel on paper, in pixels: `scale` a millimetre; `left` and `right` are inside walls."""

    scale: float
    wall: float
    left: float
    right: float
    top: float
    floor: float

    def at(self, height_mm: float) -> float:
        """Return the pixel of a height above the floor."""
        return self.floor - height_mm * self.scale

    def middle(self, level: Level) -> float:
        """Return the pixel in the middle of what a cycle burned."""
        return self.at((level.top_mm + level.bottom_mm) / 2)


@dataclass(frozen=True, slots=True)
class _Scale:
    """A scale of bars from `low` to `high`, drawn from the pixel `begin` to the pixel `end`."""

    low: float
    high: float
    begin: float
    end: float

    def at(self, value: float) -> float:
        """Return the pixel of a value, no farther than the scale goes."""
        share = (value - self.low) / (self.high - self.low)
        return self.begin + min(max(share, 0.0), 1.0) * (self.end - self.begin)


@dataclass(frozen=True, slots=True)
class _Stroke:
    """A piece of a drawing: its class, its way, and how thick it is where the styles do not say."""

    kind: str
    way: str
    thick: float | None = None


def burn_drawing(picture: BurnPicture) -> Markup:
    """Return the picture of a burn as SVG, with its title and what it shows in words."""
    vessel = _vessel(picture.section, *_VESSEL, _TOP, _TALLEST)
    rows, bands = _rows(vessel, picture.bands), picture.bands
    heat = _Scale(_COLDEST_C, _high(picture.wall_bounds, [band.wall for band in bands]),
                  vessel.left - vessel.wall - 1, _HEAT)  # fmt: skip
    flame = _Scale(0.0, _high(picture.flame_bounds, [band.flame for band in bands]), *_FLAME)
    strokes = (
        _section(vessel, picture.section),
        *_wax(vessel, bands),
        *_bounds(picture.wall_bounds, heat, vessel.top, vessel.floor),
        *_bounds(picture.flame_bounds, flame, _TOP - 6, rows[-1] + 7),
        *_heats(vessel, bands, heat),
        *_leads(vessel, bands, rows),
        *_bars(_Scale(0.0, 1.0, *_POOL), [band.pool for band in bands], rows),
        *_bars(flame, [band.flame for band in bands], rows),
    )
    letters = (
        *_heads(picture),
        *_numbers(bands, rows),
        *_broken_walls(vessel, bands),
        *_broken(_POOL, [band.pool for band in bands], rows),
        *_broken(_FLAME, [band.flame for band in bands], rows),
    )
    bottom = max(vessel.floor, rows[-1]) + 14
    return _svg(picture, WIDTH, bottom, (*_drawn(strokes), *letters))


def small_drawing(picture: BurnPicture) -> Markup:
    """Return the vessel and its bands alone, to stand beside its sisters."""
    width, tallest = _SMALL
    vessel = _vessel(picture.section, 8, width - 8, 6, tallest)
    strokes = (_section(vessel, picture.section), *_wax(vessel, picture.bands))
    return _svg(picture, width, tallest + 14, tuple(_drawn(strokes)))


def vessel_drawing(vessel: VesselDrawn) -> Markup:
    """Return one vessel at the scale of all: a millimetre is a pixel, and a line is its fill."""
    section, wall_mm = vessel.section, max(vessel.section.wall_mm, 2.0)
    width, height = section.inside_mm + 2 * wall_mm + 2, section.height_mm + wall_mm + 2
    drawn = _Drawn(1.0, wall_mm, 1 + wall_mm, 1 + wall_mm + section.inside_mm, 1,
                   1 + section.height_mm)  # fmt: skip
    line = _Stroke("burn__limit", _way("M{} {}H{}", drawn.left, drawn.at(section.fill_mm),
                                       drawn.right))  # fmt: skip
    head = Markup(
        '<svg class="burn" viewBox="0 0 {} {}" width="{}" height="{}" aria-hidden="true">'
    ).format(*map(_px, (width, height, width, height)))
    parts = _drawn((_section(drawn, section), line))
    return Markup("").join((head, *parts, Markup("</svg>")))


def _svg(picture: BurnPicture, width: float, height: float, parts: Sequence[Markup]) -> Markup:
    head = Markup(
        '<svg class="burn" viewBox="0 0 {} {}" role="img" aria-labelledby="{}-t {}-d">'
        '<title id="{}-t">{}</title><desc id="{}-d">{}</desc>'
    ).format(width, _px(height), *[picture.id] * 3, picture.title, picture.id, picture.summary)
    return Markup("").join((head, *parts, Markup("</svg>")))


def _vessel(section: Section, left: float, right: float, top: float, tallest: float) -> _Drawn:
    """Return a vessel as large as there is room for, its floor as thick as its walls."""
    wall_mm = max(section.wall_mm, 2.0)
    scale = min(
        (right - left) / (section.inside_mm + 2 * wall_mm), tallest / (section.height_mm + wall_mm)
    )
    middle, half = (left + right) / 2, section.inside_mm * scale / 2
    floor = top + section.height_mm * scale
    return _Drawn(scale, wall_mm * scale, middle - half, middle + half, top, floor)


def _drawn(strokes: Sequence[_Stroke]) -> Iterator[Markup]:
    """Yield one path for all strokes of a kind, in the order in which kinds first come."""
    ways: dict[tuple[str, float | None], list[str]] = {}
    for stroke in strokes:
        ways.setdefault((stroke.kind, stroke.thick), []).append(stroke.way)
    for (kind, thick), several in ways.items():
        width = Markup("") if thick is None else Markup(' stroke-width="{}"').format(_px(thick))
        yield Markup('<path class="{}"{} d="{}"/>').format(kind, width, "".join(several))


def _section(vessel: _Drawn, section: Section) -> _Stroke:
    """Return the walls; a rim whose height is not on file stays open."""
    outer_left, outer_right = vessel.left - vessel.wall, vessel.right + vessel.wall
    way = _way(
        "M{} {}V{}H{}V{}H{}V{}H{}V{}Z", outer_left, vessel.top, vessel.floor + vessel.wall,
        outer_right, vessel.top, vessel.right, vessel.floor, vessel.left, vessel.top,
    )  # fmt: skip
    return _Stroke("burn__glass" if section.is_high else "burn__glass burn__glass--open", way)


def _wax(vessel: _Drawn, bands: Sequence[Band]) -> Iterator[_Stroke]:
    """Yield a band a cycle, what is left below them, and the last pool on top of that."""
    lowest, last = vessel.floor, None
    for band in bands:
        if band.level is None:
            continue
        top, lowest, last = vessel.at(band.level.top_mm), vessel.at(band.level.bottom_mm), band
        kind = "burn__band burn__band--bad" if band.tone == "bad" else "burn__band"
        other = " burn__band--even" if band.number % 2 == 0 else ""
        yield _Stroke(kind + other, _box(vessel, top, lowest))
    if last is not None:
        yield _Stroke("burn__left", _box(vessel, lowest, vessel.floor))
        yield from _lens(vessel, last, lowest)


def _box(vessel: _Drawn, top: float, bottom: float) -> str:
    """Return the way around the wax between two heights."""
    return _way("M{} {}H{}V{}H{}Z", vessel.left, top, vessel.right, bottom, vessel.left)


def _lens(vessel: _Drawn, band: Band, level: float) -> Iterator[_Stroke]:
    """Yield the pool of the last cycle: as wide and as deep as it was read."""
    if band.pool.value is None or band.depth_mm is None:
        return
    half = min(band.pool.value, 1.0) * (vessel.right - vessel.left) / 2
    middle = (vessel.left + vessel.right) / 2
    deep = min(band.depth_mm * vessel.scale, vessel.floor - level)
    under = level + 2 * deep  # the curve comes half as deep as its handle
    way = _way("M{} {}Q{} {} {} {}Z", middle - half, level, middle, under, middle + half, level)
    yield _Stroke("burn__pool", way)


def _rows(vessel: _Drawn, bands: Sequence[Band]) -> list[float]:
    """Return the height of each cycle's row: near its band, and none over another."""
    heights: list[float] = []
    least = vessel.top
    for band in bands:
        middle = least if band.level is None else vessel.middle(band.level)
        heights.append(max(middle, least))
        least = heights[-1] + _ROW
    return heights


def _bounds(bounds: Sequence[Bound], scale: _Scale, top: float, bottom: float) -> Iterator[_Stroke]:
    """Yield a limit as an upright line; one that fails is drawn whole."""
    for bound in bounds:
        kind = "burn__limit" if bound.fails else "burn__limit burn__limit--watch"
        yield _Stroke(kind, _way("M{} {}V{}", scale.at(bound.value), top, bottom))


def _heats(vessel: _Drawn, bands: Sequence[Band], scale: _Scale) -> Iterator[_Stroke]:
    """Yield the heat of the wall outside of it, beside the wax of its cycle."""
    thick = [
        (band.level.top_mm - band.level.bottom_mm) * vessel.scale - 2
        for band in bands
        if band.level is not None
    ]
    for band in bands:
        if band.level is not None and band.wall.value is not None:
            yield _bar(scale, band.wall, vessel.middle(band.level), max(min([_BAR, *thick]), 1.5))


def _leads(vessel: _Drawn, bands: Sequence[Band], rows: Sequence[float]) -> Iterator[_Stroke]:
    """Yield the line from each band to its row."""
    begin = vessel.right + vessel.wall + 1
    for band, row in zip(bands, rows, strict=True):
        if band.level is not None:
            way = _way("M{} {}L{} {}", begin, vessel.middle(band.level), _NUMBER - 15, row)
            yield _Stroke("burn__lead", way)


def _bars(scale: _Scale, several: Sequence[Seen], rows: Sequence[float]) -> Iterator[_Stroke]:
    """Yield a bar for each reading that was taken, in its row."""
    for seen, row in zip(several, rows, strict=True):
        if seen.value is not None:
            yield _bar(scale, seen, row, _BAR)


def _bar(scale: _Scale, seen: Seen, middle: float, thick: float) -> _Stroke:
    kind = " burn__bar--bad" if seen.broke else " burn__bar--watch" if seen.watched else ""
    end = scale.at(seen.value or 0.0)
    return _Stroke(f"burn__bar{kind}", _way("M{} {}H{}", scale.begin, middle, end), thick)


def _heads(picture: BurnPicture) -> Iterator[Markup]:
    pool, flame, wall = picture.heads
    for left, head in ((_HEAT, wall), (_POOL[0], pool), (_FLAME[0], flame)):
        yield _text(left, 13, head, "burn__head")


def _numbers(bands: Sequence[Band], rows: Sequence[float]) -> Iterator[Markup]:
    for band, row in zip(bands, rows, strict=True):
        kind = "burn__number burn__number--bad" if band.tone == "bad" else "burn__number"
        yield _text(_NUMBER, row + 4, str(band.number), kind)


def _broken_walls(vessel: _Drawn, bands: Sequence[Band]) -> Iterator[Markup]:
    """Yield the heat that broke a limit, in the wax of its cycle."""
    for band in bands:
        if band.level is not None and band.wall.broke:
            middle = (vessel.left + vessel.right) / 2
            yield _said(middle, vessel.middle(band.level), band.wall)


def _broken(
    room: tuple[float, float], several: Sequence[Seen], rows: Sequence[float]
) -> Iterator[Markup]:
    """Yield each reading that broke a limit, in its row."""
    for seen, row in zip(several, rows, strict=True):
        if seen.broke:
            yield _said(fsum(room) / 2, row, seen)


def _said(x: float, middle: float, seen: Seen) -> Markup:
    """Return a value with a cross before it: no colour says it alone."""
    return _text(x, middle + 4.5, f"\N{MULTIPLICATION SIGN} {seen.said}", "burn__said")


def _high(bounds: Sequence[Bound], several: Sequence[Seen]) -> float:
    """Return how far a scale goes: beyond every limit, and every reading."""
    values = [seen.value for seen in several if seen.value is not None]
    return max([*(bound.value * _ROOM for bound in bounds), *values, _COLDEST_C + 1.0])


def _text(x: float, y: float, words: str, kind: str) -> Markup:
    return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(kind, _px(x), _px(y), words)


def _way(pattern: str, *places: float) -> str:
    """Return a way with its places in pixels."""
    return pattern.format(*map(_px, places))


def _px(value: float) -> str:
    """Return a pixel with at most one decimal."""
    return f"{value:.1f}".removesuffix(".0")
