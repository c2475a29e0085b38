"""Blocks set on pages, one below the other: nothing is cut, and no heading stands alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final

from handbook_builder.publish.book import tables, vessel
from handbook_builder.publish.book.blocks import (
    Block,
    Box,
    Code,
    Drawn,
    Fact,
    Facts,
    Item,
    Run,
    Runs,
    Style,
    Table,
    Words,
)
from handbook_builder.publish.book.leaf import (
    MM_A_POINT,
    Frame,
    Leaf,
    Letters,
    Line,
    Paper,
    Told,
)
from handbook_builder.publish.book.measure import LineOfWords, lines_of, settable, text_of

_LEADING: Final = 1.36
_BAR_MM: Final = 4.0  # a box is set in by so much, beside its bar
_INDENT_MM: Final = 5.0
_GUTTER_MM: Final = 4.0
_LABEL_PT, _VALUE_PT = 6.8, 8.6  # of a fact
_KEPT: Final = 3  # lines that a heading keeps with it


@dataclass(frozen=True, slots=True)
class Kind:
    """How words of a style are set: their size, and the room before and after them in mm."""

    size_pt: float
    before: float
    after: float
    bold: bool = False
    keeps: bool = False


KINDS: Final = {
    Style.BODY: Kind(8.6, 0.0, 1.7),
    Style.LEAD: Kind(10.0, 0.0, 2.4),
    Style.NOTE: Kind(7.4, 0.0, 1.5),
    Style.SECOND: Kind(12.0, 3.6, 1.4, bold=True, keeps=True),
    Style.THIRD: Kind(9.8, 2.2, 1.0, bold=True, keeps=True),
    Style.FOURTH: Kind(8.8, 1.0, 0.7, bold=True, keeps=True),
}


@dataclass
class Setter:
    """Sets blocks on the pages of a book, which it adds as they are needed."""

    paper: Paper
    leaves: list[Leaf] = field(default_factory=list)
    y: float = 0.0
    head: str = ""
    part: str = ""
    section: str = ""
    scale: float = 1.0  # of every size of letters
    _bars: list[float] = field(default_factory=list)

    @property
    def left(self) -> float:
        """Return where a line begins."""
        return self._bars[-1] + _BAR_MM if self._bars else self.paper.left

    @property
    def room(self) -> float:
        """Return how wide a line may be."""
        return self.paper.width - self.paper.right - self.left

    @property
    def floor(self) -> float:
        """Return down to where a page is set."""
        return self.paper.height - self.paper.bottom

    @property
    def leaf(self) -> Leaf:
        """Return the page that is being set."""
        return self.leaves[-1]

    def mm(self, size_pt: float, leading: float = _LEADING) -> float:
        """Return how high a line of letters of a size is."""
        return size_pt * MM_A_POINT * leading * self.scale

    def wrapped(self, runs: Runs, room: float, size_pt: float) -> list[LineOfWords]:
        """Return words in lines, in letters of a size."""
        return lines_of(runs, room, size_pt * self.scale)

    def begin(self, head: str, part: str, section: str) -> int:
        """Begin a section on a new page, whose heads name it; return its number."""
        self.head, self.part, self.section = head, part, section
        self.turn()
        return len(self.leaves)

    def turn(self) -> None:
        """Begin a new page."""
        self.leaves.append(Leaf(self.head, self.part))
        self.y = self.paper.top

    def space(self, high_mm: float) -> None:
        """Leave room, but none at the top of a page."""
        if self.y > self.paper.top:
            self._bar(high_mm)
            self.y += high_mm

    def ensure(self, high_mm: float) -> None:
        """Begin a new page where this one has less room."""
        if self.y + high_mm > self.floor and self.y > self.paper.top:
            self.turn()

    def advance(self, high_mm: float) -> None:
        """Go down behind what was set, with the bars of the boxes that it stands in."""
        self._bar(high_mm)
        self.y += high_mm

    def _bar(self, high_mm: float) -> None:
        for x in self._bars:
            end = min(self.y + high_mm, self.floor)
            self.leaf.ops.append(Line(x + 0.6, self.y, x + 0.6, end, 0.9))

    def told(self, text: str) -> None:
        """Keep what was told on this page, for the index."""
        self.leaf.told.append(Told(self.section, text))

    def draw(self, line: LineOfWords, x: float, baseline: float, size_pt: float) -> None:
        """Draw a line of words, and a frame around each that is framed."""
        size = size_pt * self.scale
        for piece in line:
            self.leaf.ops.append(Letters(x + piece.x, baseline, size, piece.font, piece.text))
            if piece.framed:
                high = size * MM_A_POINT
                self.leaf.ops.append(Frame(x + piece.x - 0.7, baseline - high * 0.92,
                                           piece.width + 1.4, high * 1.22, 0.25))  # fmt: skip

    def lines(self, lines: Sequence[LineOfWords], x: float, size_pt: float) -> None:
        """Set lines one below the other."""
        high = self.mm(size_pt)
        for line in lines:
            self.ensure(high)
            self.draw(line, x, self.y + high * 0.76, size_pt)
            self.told(text_of(line))
            self.advance(high)

    def blocks(self, blocks: Sequence[Block]) -> None:
        """Set blocks in their order."""
        for block in blocks:
            _SETTERS[type(block)](self, block)

    def words(self, block: Words) -> None:
        """Set a heading or a paragraph."""
        kind = KINDS[block.style]
        high = self.mm(kind.size_pt)
        self.space(kind.before * self.scale)
        runs = [Run(run.text, run.bold or kind.bold, run.framed) for run in block.runs]
        lines = self.wrapped(runs, self.room, kind.size_pt)
        self.ensure(high * (len(lines) + _KEPT) if kind.keeps else high * min(len(lines), 2))
        self.lines(lines, self.left, kind.size_pt)
        self.space(kind.after * self.scale)

    def _item(self, block: Item) -> None:
        size_pt = KINDS[Style.BODY].size_pt
        high = self.mm(size_pt)
        x = self.left + block.level * _INDENT_MM
        room = self.room - (block.level + 1) * _INDENT_MM
        lines = self.wrapped(block.runs, room, size_pt)
        self.ensure(high * min(len(lines), 2))
        if block.mark:
            self.draw(
                self.wrapped((Run(block.mark),), room, size_pt)[0], x, self.y + high * 0.76, size_pt
            )
        self.lines(lines, x + _INDENT_MM, size_pt)
        self.space(0.7 * self.scale)

    def _facts(self, block: Facts) -> None:
        self.space(0.6)
        across = 3 if len(block.facts) % 4 else 4
        for first in range(0, len(block.facts), across):
            self._row_of_facts(block.facts[first : first + across], across)
        self.space(1.6 * self.scale)

    def _row_of_facts(self, facts: Sequence[Fact], across: int) -> None:
        wide = (self.room - (across - 1) * _GUTTER_MM) / across
        cells: list[list[tuple[LineOfWords, float]]] = []
        for fact in facts:
            label = self.wrapped((Run(fact.label),), wide, _LABEL_PT)
            value = self.wrapped(_emphasised(fact.runs), wide, _VALUE_PT)
            told = [(line, _LABEL_PT) for line in label]
            cells.append(told + [(line, _VALUE_PT) for line in value])
        high = max(sum(self.mm(size, 1.28) for _, size in cell) for cell in cells) + 1.4
        self.ensure(high)
        for at, cell in enumerate(cells):
            self._fact(cell, self.left + at * (wide + _GUTTER_MM), wide)
        for fact in facts:
            self.told(f"{fact.label} {''.join(run.text for run in fact.runs)}")
        self.advance(high)

    def _fact(self, cell: Sequence[tuple[LineOfWords, float]], x: float, wide: float) -> None:
        y = self.y
        self.leaf.ops.append(Line(x, y, x + wide, y, 0.15))
        for line, size_pt in cell:
            high = self.mm(size_pt, 1.28)
            self.draw(line, x, y + 0.4 + high * 0.78, size_pt)
            y += high

    def _code(self, block: Code) -> None:
        for line in block.lines:
            indent = len(line) - len(line.lstrip(" "))
            runs = (Run(settable("\N{NO-BREAK SPACE}" * indent + line.lstrip(" "))),)
            self.lines(self.wrapped(runs, self.room - 3, 7.4) or [[]], self.left + 3, 7.4)
        self.space(2.0)

    def _box(self, block: Box) -> None:
        self.space(0.8)
        self.ensure(18.0)
        self._bars.append(self.left)
        self.blocks(block.blocks)
        self._bars.pop()
        self.space(2.0)

    def _table(self, block: Table) -> None:
        if block.caption:
            self.words(Words(block.caption, Style.THIRD))
        tables.set_table(self, block)
        self.space(2.6)

    def _drawn(self, block: Drawn) -> None:
        vessel.set_vessel(self, block)
        self.space(3.0)


def _emphasised(runs: Runs) -> Runs:
    """Return a value with its first words bold; what stands behind them is a note."""
    return tuple(Run(run.text, run.bold or at == 0, run.framed) for at, run in enumerate(runs))


_SETTERS: Final[dict[type, Callable[..., None]]] = {
    Words: Setter.words,
    Item: Setter._item,  # noqa: SLF001 -- its own
    Facts: Setter._facts,  # noqa: SLF001
    Code: Setter._code,  # noqa: SLF001
    Box: Setter._box,  # noqa: SLF001
    Table: Setter._table,  # noqa: SLF001
    Drawn: Setter._drawn,  # noqa: SLF001
}
