"""Tables of the book: columns as wide as their words need, heads anew on each page."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from handbook_builder.labels.typeface import Font
from handbook_builder.publish.book.blocks import Run, Runs, Table, plain
from handbook_builder.publish.book.leaf import MM_A_POINT, Line
from handbook_builder.publish.book.measure import LineOfWords, lines_of, settable, width_mm

if TYPE_CHECKING:
    from handbook_builder.publish.book.setter import Setter

_LEADING: Final = 1.25
_PAD_MM: Final = 0.9
_GAP_MM: Final = 2.4
_SIZES_PT: Final = (8.0, 7.2, 6.4, 5.8)  # the largest in which no word is broken, else the last
_LONGEST_MM: Final = 62.0  # what a column asks for at most


@dataclass(frozen=True, slots=True)
class _Grid:
    """Where the columns of a table stand, and in which size it is set."""

    size_pt: float
    widths: tuple[float, ...]
    starts: tuple[float, ...]

    @property
    def line_mm(self) -> float:
        """Return how high a line is."""
        return self.size_pt * MM_A_POINT * _LEADING


def set_table(setter: "Setter", table: Table) -> None:
    """Set a table, and its head again on each further page that it takes."""
    grid = _grid(setter, table)
    head = _set_lines(table.head, grid)
    setter.ensure(grid.line_mm * 4)
    _set_row(setter, head, table.numeric, grid, plain_row(table.head))
    for row in table.rows:
        cells = _set_lines((_bold(row[0]), *row[1:]), grid)
        high = max(map(len, cells)) * grid.line_mm + 2 * _PAD_MM
        if setter.y + min(high, 40.0) > setter.floor:
            setter.turn()
            _set_row(setter, head, table.numeric, grid, "")
        _set_row(setter, cells, table.numeric, grid, plain_row(row))


def plain_row(row: Sequence[Runs]) -> str:
    """Return the words of a row."""
    return " ".join(settable(plain(cell)) for cell in row)


def _bold(runs: Runs) -> Runs:
    return tuple(Run(run.text, bold=True, framed=run.framed) for run in runs)


def _set_lines(row: Sequence[Runs], grid: _Grid) -> list[list[LineOfWords]]:
    return [
        lines_of(cell, wide, grid.size_pt) for cell, wide in zip(row, grid.widths, strict=False)
    ]


def _grid(setter: "Setter", table: Table) -> _Grid:
    """Return the columns in the largest size in which no word must be broken."""
    rows = (table.head, *table.rows)
    count = max(map(len, rows))
    room = setter.room - (count - 1) * _GAP_MM
    for size_pt in (one * setter.scale for one in _SIZES_PT):
        least = [max((_widest(row[at], size_pt) for row in rows if at < len(row)), default=0.0)
                 for at in range(count)]  # fmt: skip
        if sum(least) <= room:
            break
    widths = _shared(least, _wanted(rows, count, size_pt), room)
    starts = tuple(setter.left + sum(widths[:at]) + at * _GAP_MM for at in range(count))
    return _Grid(size_pt, widths, starts)


def _widest(cell: Runs, size_pt: float) -> float:
    """Return the width of the widest word of a cell."""
    words = [(word, run.bold) for run in cell for word in _whole(run)]
    return max((width_mm(word, Font.BOLD, size_pt) + 2.0 for word, _ in words), default=0.0)


def _whole(run: Run) -> list[str]:
    text = settable(run.text)
    return [text] if run.framed else text.split(" ")


def _wanted(rows: Sequence[Sequence[Runs]], count: int, size_pt: float) -> list[float]:
    """Return the width in which no cell of a column would take a second line, within reason."""
    texts = ([settable(plain(row[at])) for row in rows if at < len(row)] for at in range(count))
    return [
        min(max((width_mm(text, Font.BOLD, size_pt) for text in column), default=0.0), _LONGEST_MM)
        for column in texts
    ]


def _shared(least: Sequence[float], wanted: Sequence[float], room: float) -> tuple[float, ...]:
    """Return the width of each column: what it must have, and its share of what is left."""
    if sum(least) > room:
        return tuple(room * one / sum(least) for one in least)
    more = [max(want - must, 0.0) for want, must in zip(wanted, least, strict=True)]
    left = room - sum(least)
    share = min(left / sum(more), 1.0) if sum(more) else 0.0
    widths = [must + share * extra for must, extra in zip(least, more, strict=True)]
    spread = (room - sum(widths)) / len(widths)
    return tuple(one + spread for one in widths)


def _set_row(
    setter: "Setter",
    cells: Sequence[Sequence[LineOfWords]],
    numeric: Sequence[bool],
    grid: _Grid,
    told: str,
) -> None:
    """Set a row line by line, over several pages where it is higher than one."""
    setter.advance(_PAD_MM)
    if told:
        setter.told(told)
    for number in range(max(map(len, cells), default=0)):
        setter.ensure(grid.line_mm)
        for at, lines in enumerate(cells):
            if number < len(lines):
                _set_cell(
                    setter, lines[number], at, grid, is_right=at < len(numeric) and numeric[at]
                )
        setter.advance(grid.line_mm)
    setter.advance(_PAD_MM)
    rule = Line(setter.left, setter.y, setter.left + setter.room, setter.y, 0.12)
    setter.leaf.ops.append(rule)


def _set_cell(setter: "Setter", line: LineOfWords, at: int, grid: _Grid, *, is_right: bool) -> None:
    used = line[-1].x + line[-1].width
    x = grid.starts[at] + (grid.widths[at] - used if is_right else 0.0)
    setter.draw(line, x, setter.y + grid.line_mm * 0.78, grid.size_pt / setter.scale)
