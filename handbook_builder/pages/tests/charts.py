"""What the charts of a page show: numbers and their names, and nothing of how they are drawn."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.conversion import convert
from handbook_builder.derived.burns import CycleFigures, pool_readings
from handbook_builder.figures.pool import rule_of_thumb_h
from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.candles import CandleVerdict

# More lines than this cannot be told apart in one drawing; the table has all of them.
MOST_LINES: Final = 8
_US: Final = {
    "g": ("gram", "ounce", "oz"),
    "mm": ("millimeter", "inch", "in"),
    "c": ("degC", "degF", "°F"),
}
_METRIC: Final = {"g": "g", "mm": "mm", "c": "°C"}
_DIGITS: Final = {"g": 1, "mm": 0, "c": 0, "oz": 2, "in": 2, "°F": 0, "°C": 0}


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what it is called at its end, and its points from left to right."""

    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """A value that the lines are seen against: across the chart, or upright in it."""

    name: str
    value: float
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart: `id` is its own within the page, `rows` hold every number that it shows.

    With `by_cycle` its points stand at whole numbers.
    """

    id: str
    title: str
    summary: str
    x: str
    y: str
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str | None, ...], ...]
    from_zero: bool = False
    by_cycle: bool = False


@dataclass(frozen=True, slots=True)
class _Unit:
    """The unit in which the studio reads a quantity."""

    sign: str
    convert: Callable[[float], float]
    digits: int

    def say(self, value: float) -> str:
        """Return a value in a cell of the table, whose head has the unit."""
        return f"{self.convert(value):.{self.digits}f}"


@dataclass(frozen=True, slots=True)
class _Frame:
    """What a chart is of: its phrases, the unit of its height, and what it is seen against."""

    kind: str
    sign: str
    marks: tuple[Mark, ...] = ()
    from_zero: bool = False
    by_cycle: bool = False
    summary: str = "summary"


@dataclass(frozen=True, slots=True)
class _Told:
    """A line, and what its cells in the table say, by the head of their row."""

    line: Line
    cells: dict[str, str]


def charts_of(desk: Desk, candles: Iterable[CandleVerdict]) -> tuple[Chart, ...]:
    """Return the charts of a product, a line a candle; a chart without a point is left out."""
    lit = sorted(
        (candle for candle in candles if candle.seen.cycles),
        key=lambda one: (len(one.seen.burn.candle), one.seen.burn.candle, one.id),
    )
    first = [_pool(desk, cycle, 0, cycle.seen.burn.candle) for cycle in lit]
    return tuple(_whole_lives(desk, lit, first, "summary_first"))


def charts_of_candle(desk: Desk, burned: Burned) -> tuple[Chart, ...]:
    """Return the charts of one test candle; its pool has a line for each cycle looked at."""
    candle = burned.candle
    if not candle.seen.cycles:
        return ()
    looked = [at for at, one in enumerate(candle.seen.cycles) if one.cycle.checks]
    pools = [
        _pool(desk, candle, at, desk.phrase("charts.cycle", cycle=candle.seen.cycles[at].index + 1))
        for at in looked
    ]
    return tuple(_whole_lives(desk, [candle], pools, "summary"))


def _whole_lives(
    desk: Desk, candles: Sequence[CandleVerdict], pools: Sequence[_Told], summary: str
) -> Iterator[Chart]:
    mass, width, heat = (_unit(desk, one) for one in ("g", "mm", "c"))
    pool = _Frame("pool", width.sign, _walls(desk, candles), from_zero=True, summary=summary)
    framed = (
        (_Frame("wax", mass.sign, (), from_zero=True), [_wax(desk, candle) for candle in candles]),
        (
            _Frame("rate", f"{mass.sign}/h", by_cycle=True),
            [_rates(desk, candle) for candle in candles],
        ),
        (pool, pools),
        (
            _Frame("wall", heat.sign, _limits(desk, candles), by_cycle=True),
            [_heat(desk, candle) for candle in candles],
        ),
    )
    for frame, several in framed:
        told = [one for one in several if one.line.points]
        if told:
            yield _chart(desk, frame, told)


def _chart(desk: Desk, frame: _Frame, told: Sequence[_Told]) -> Chart:
    kind = frame.kind
    heads = sorted({head for drawn in told for head in drawn.cells}, key=_order)
    summary = desk.phrase(f"charts.{kind}.{frame.summary}")
    if len(told) > MOST_LINES:
        summary += " " + desk.phrase("charts.last", drawn=MOST_LINES, lines=len(told))
    return Chart(
        id=f"chart-{kind}",
        title=desk.phrase(f"charts.{kind}.title"),
        summary=summary,
        x=desk.phrase(f"charts.{kind}.x"),
        y=desk.phrase(f"charts.{kind}.y", unit=frame.sign),
        lines=tuple(drawn.line for drawn in told[-MOST_LINES:]),
        marks=frame.marks,
        columns=(desk.phrase(f"charts.{kind}.head"), *(drawn.line.name for drawn in told)),
        rows=tuple((head, *(drawn.cells.get(head) for drawn in told)) for head in heads),
        from_zero=frame.from_zero,
        by_cycle=frame.by_cycle,
    )


def _order(head: str) -> tuple[float, str]:
    """Return the place of a row: by the number that heads it, words last."""
    number = head.partition(" ")[0]
    return (float(number), head) if number.replace(".", "", 1).isdigit() else (float("inf"), head)


def _unit(desk: Desk, suffix: str) -> _Unit:
    if desk.words.units != "us":
        return _Unit(_METRIC[suffix], float, _DIGITS[suffix])
    base, other, sign = _US[suffix]
    return _Unit(sign, lambda value: convert(value, base, other), _DIGITS[sign])


def _read(desk: Desk, candle: CandleVerdict) -> Iterator[tuple[int, float, Cycle, CycleFigures]]:
    """Yield each cycle: its number, the hours burned at its end, its record and its figures."""
    hours = 0.0
    figures = desk.account.burns[candle.id].cycles
    for seen, figure in zip(candle.seen.cycles, figures, strict=True):
        hours += seen.cycle.burned_h or 0.0
        yield seen.index + 1, hours, seen.cycle, figure


def _wax(desk: Desk, candle: CandleVerdict) -> _Told:
    """Return the wax left at the beginning and after each cycle that was weighed."""
    unit, left_g = _unit(desk, "g"), desk.judged.burns[candle.id].combination.net_g
    points, cells = [(0.0, unit.convert(left_g))], {"0": unit.say(left_g)}
    for number, hours, _, figure in _read(desk, candle):
        if figure.consumed_g is not None:
            left_g -= figure.consumed_g
            points.append((hours, unit.convert(left_g)))
            after = desk.words.quantity(hours, "h")
            cells[str(number)] = desk.phrase("charts.wax.cell", left=unit.say(left_g), hours=after)
    return _Told(Line(candle.seen.burn.candle, tuple(points)), cells)


def _by_cycle(
    desk: Desk,
    candle: CandleVerdict,
    read: Callable[[Cycle, CycleFigures], float | None],
    unit: _Unit,
) -> _Told:
    found = {
        number: value
        for number, _, cycle, figure in _read(desk, candle)
        if (value := read(cycle, figure)) is not None
    }
    points = tuple((float(number), unit.convert(value)) for number, value in found.items())
    cells = {str(number): unit.say(value) for number, value in found.items()}
    return _Told(Line(candle.seen.burn.candle, points), cells)


def _rates(desk: Desk, candle: CandleVerdict) -> _Told:
    mass = _unit(desk, "g")
    finer = _Unit(mass.sign, mass.convert, mass.digits + 1)
    return _by_cycle(desk, candle, lambda _, figure: figure.rate_g_per_h, finer)


def _heat(desk: Desk, candle: CandleVerdict) -> _Told:
    return _by_cycle(desk, candle, lambda cycle, _: cycle.wall_c, _unit(desk, "c"))


def _pool(desk: Desk, candle: CandleVerdict, at: int, name: str) -> _Told:
    """Return the width of the pool through one cycle, from the checks to its end."""
    unit, cycle = _unit(desk, "mm"), candle.seen.cycles[at].cycle
    readings = pool_readings(cycle)
    points = tuple((hour, unit.convert(width)) for hour, width in readings)
    cells = {f"{hour:g} h": unit.say(width) for hour, width in cycle.checks.items()}
    if cycle.pool_mm is not None and cycle.burned_h is not None:
        end = desk.words.quantity(cycle.burned_h, "h")
        said = desk.phrase("charts.pool.cell", pool=unit.say(cycle.pool_mm), hours=end)
        cells[desk.phrase("charts.pool.end")] = said
    return _Told(Line(name, points), cells)


def _walls(desk: Desk, candles: Sequence[CandleVerdict]) -> tuple[Mark, ...]:
    """Return the wall of the vessel, and the rule of thumb for it."""
    unit = _unit(desk, "mm")
    vessels = desk.studio.vessels
    widths = {vessels[candle.seen.burn.made.vessel].inside_diameter_mm for candle in candles}
    return tuple(
        mark
        for width in sorted(widths)
        for mark in (
            Mark(desk.phrase("charts.marks.wall"), unit.convert(width)),
            Mark(desk.phrase("charts.marks.rule"), rule_of_thumb_h(width), upright=True),
        )
    )


def _limits(desk: Desk, candles: Sequence[CandleVerdict]) -> tuple[Mark, ...]:
    """Return the limits on the heat of these candles' walls, each with what a breach means."""
    unit = _unit(desk, "c")
    vessels = desk.studio.vessels
    speak_of = {None, *(vessels[candle.seen.burn.made.vessel].material for candle in candles)}
    return tuple(
        Mark(desk.phrase(f"charts.marks.{limit.on_breach}"), unit.convert(limit.bound))
        for limit in desk.studio.protocol.limits
        if limit.measure == "wall" and limit.upper and limit.material in speak_of
    )
