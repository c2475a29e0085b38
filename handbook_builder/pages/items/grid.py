"""Vessels against wicks: what became of the test candles of each pair, in words."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link, item_link, name_of
from handbook_builder.verdicts.readings import Verdict


@dataclass(frozen=True, slots=True)
class GridRow:
    """One vessel: what became of its candles, wick by wick; None where there was none."""

    vessel: Link
    cells: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """The vessels that were tested against the wicks that were used."""

    title: str
    wicks: tuple[str, ...]
    rows: tuple[GridRow, ...]
    note: str


_Wick = tuple[str, int, str, int]


def grid_of(desk: Desk) -> Grid | None:
    """Return the grid of every pair that was tried, or None while nothing was burned."""
    cells: dict[tuple[str, _Wick], Counter[Verdict]] = defaultdict(Counter)
    for burn in desk.judged.burns.values():
        made = burn.candle.seen.burn.made
        wick = desk.studio.wicks[made.wick]
        key = (wick.series, wick.step, made.wick, made.wicks)
        cells[made.vessel, key][burn.candle.verdict] += 1
    if not cells:
        return None
    wicks = sorted({wick for _, wick in cells})
    rows = tuple(
        GridRow(
            item_link("vessels", vessel),
            tuple(_cell(desk, cells.get((vessel, wick))) for wick in wicks),
        )
        for vessel in sorted({vessel for vessel, _ in cells})
    )
    heads = tuple(_head(desk, wick) for wick in wicks)
    return Grid(desk.phrase("grid.title"), heads, rows, desk.phrase("grid.note"))


def _head(desk: Desk, wick: _Wick) -> str:
    _, _, ident, count = wick
    name = name_of(ident)
    return name if count == 1 else desk.phrase("grid.wick", wick=name, count=count)


def _cell(desk: Desk, counts: Counter[Verdict] | None) -> str | None:
    """Return the counts in words, the failures first."""
    if counts is None:
        return None
    order = desk.words.phrases["pages"]["grid"]["verdicts"]
    return ", ".join(
        desk.phrase("grid.cell", count=counts[Verdict(word)], verdict=order[word])
        for word in order
        if counts[Verdict(word)]
    )
