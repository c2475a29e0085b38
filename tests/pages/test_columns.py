"""The columns of a candle's page: every reading that is to be shown has one, under its own head."""

from dataclasses import replace
from datetime import date

from handbook_builder.derived.account import Account
from handbook_builder.derived.burns import CycleFigures
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.tests.columns import cells, columns
from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.readings import TABLE, Cycle
from handbook_builder.words import Words

NOTHING = CycleFigures(None, None, None, None, None)
FIGURES = CycleFigures(26.0, 6.5, 0.05, 0.98, None)
CYCLE = Cycle(on=When(date(2026, 3, 17)))


def test_each_reading_stands_under_its_head(account: Account, words: Words) -> None:
    """Of a cycle in which one thing was read, one cell is filled: that under its name."""
    desk = Desk(account, words)
    heads = [one.label for one in columns(desk)]
    assert len(set(heads)) == len(heads)
    for reading in TABLE:
        found = cells(desk, replace(CYCLE, **{reading.field: 0.5}), NOTHING)
        filled = [head for head, cell in zip(heads, found, strict=True) if cell is not None]
        assert filled == ([words.reading(reading.key, "short")] if reading.is_shown else [])


def test_what_is_worked_out_stands_behind_its_readings(account: Account, words: Words) -> None:
    """What burned and its rate behind the two weights, the share of the width behind the pool.

    The doubt is told with a coverage factor of 2: 0.05 g/h is told as 0.10 g/h.
    """
    desk = Desk(account, words)
    heads = [one.label for one in columns(desk)]
    found = zip(heads, cells(desk, CYCLE, FIGURES), strict=True)
    told = {head: cell for head, cell in found if cell is not None}
    assert told == {"Consumed": "26.0", "Rate": "6.50 ± 0.10", "Coverage": "98%"}
    assert heads[heads.index("After") + 1 :][:2] == ["Consumed", "Rate"]
    assert heads[heads.index("Pool") + 1] == "Coverage"
