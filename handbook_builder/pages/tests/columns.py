"""The readings of a cycle as columns of a table, and beside them what is worked out of them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.burns import CycleFigures
from handbook_builder.figures.burn import expanded
from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.readings import AFTER, HOURS, POOL, TABLE, Cycle, Reading
from handbook_builder.verdicts.cycles import CycleVerdict

# What stands after a reading that it is worked out of.
_WORKED_OUT: Final[Mapping[str, tuple[str, ...]]] = {
    AFTER.key: ("consumed", "rate"),
    POOL.key: ("coverage",),
}


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column; its cells bear their own unit where `unit` is empty."""

    label: str
    unit: str
    numeric: bool = True


def columns(desk: Desk) -> tuple[Column, ...]:
    """Return the heads of the columns that tell of a cycle."""
    units = {"consumed": desk.unit("g"), "rate": desk.phrase("worked_out.rate_unit")}
    return tuple(
        Column(desk.words.reading(column.key, "short"), head_unit(desk, column.unit.name))
        if isinstance(column, Reading)
        else Column(desk.phrase(f"worked_out.{column}"), units.get(column, ""))
        for column in _shown()
    )


def cells(desk: Desk, cycle: Cycle, figures: CycleFigures) -> tuple[str | None, ...]:
    """Return the cells of a cycle, one a column; None is a reading that was not taken."""
    worked_out = {
        "consumed": desk.bare(_hundredth(figures.consumed_g), "g"),
        "rate": _rate(desk, figures),
        "coverage": None if figures.coverage is None else f"{figures.coverage:.0%}",
    }
    return tuple(
        cell(desk, column.of(cycle), column.unit.name)
        if isinstance(column, Reading)
        else worked_out[column]
        for column in _shown()
    )


def marks(verdict: CycleVerdict) -> tuple[str, ...]:
    """Return what a limit says of each column: "broke", "watched", or nothing."""
    spoken = (spoken_of(verdict, column) for column in _measures())
    return tuple("broke" if broke else "watched" if watched else "" for broke, watched in spoken)


def spoken_of(verdict: CycleVerdict, measure: str) -> tuple[bool, bool]:
    """Return whether a limit that fails was passed, and whether one that is only watched was."""
    codes = {f"{measure}_over", f"{measure}_under"}
    broke = any(reason.code in codes for reason in verdict.failures)
    return broke, any(reason.code in codes for reason in verdict.watches)


def _measures() -> Iterator[str]:
    for column in _shown():
        yield column.key if isinstance(column, Reading) else column


def head_unit(desk: Desk, unit: str) -> str:
    """Return the unit for the head of a column: hours and minutes bear their own."""
    return "" if unit == HOURS.name else desk.unit(unit)


def cell(desk: Desk, value: float | None, unit: str) -> str | None:
    """Return a value for a column with such a head, or None."""
    return desk.maybe(value, unit) if unit == HOURS.name else desk.bare(value, unit)


def _shown() -> Iterator[Reading | str]:
    """Yield what has a column, from the left: a reading, or the name of what is worked out."""
    for reading in TABLE:
        if reading.is_shown:
            yield reading
            yield from _WORKED_OUT.get(reading.key, ())


def _hundredth(value: float | None) -> float | None:
    return None if value is None else round(value, 2)


def _rate(desk: Desk, figures: CycleFigures) -> str | None:
    if figures.rate_g_per_h is None or figures.rate_uncertainty_g_per_h is None:
        return None
    doubt = expanded(figures.rate_uncertainty_g_per_h)
    return desk.phrase("uncertain", rate=f"{figures.rate_g_per_h:.2f}", doubt=f"{doubt:.2f}")
