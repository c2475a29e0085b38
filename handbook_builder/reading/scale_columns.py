"""Which column of a scale's file holds what: by the names it is given, else by those in use."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from handbook_builder import units
from handbook_builder.reading.scale_rows import FaultyError, Row, fault, has_number

_UNIT: Final = re.compile(r"[(\[_ ,/]\s*([A-Za-z]+)\s*[)\]]?\s*$")
_TIMES: Final = ("time", "elapsed", "date", "clock")
_MASSES: Final = ("mass", "weight", "gross")
# Of these a scale may write columns, too, and none is the mass of candle and vessel.
_OTHER_MASSES: Final = ("tare", "net", "unit")
_UNIT_COLUMNS: Final = frozenset({"unit", "units", "weight unit", "mass unit"})
ROLES: Final = ("time", "date", "mass", "unit")
"""What a call can name a column for."""
# A preamble is longer than this in no file that was seen.
_LOOKED_AT: Final = 50  # lines


@dataclass(frozen=True, slots=True)
class Columns:
    """Where time and mass stand in a line, and their units where the header or the call says.

    `day` is of a date whose time of day has a column of its own, `unit` of the unit of a mass.
    """

    time: int
    mass: int
    time_unit: str | None = None
    mass_unit: str | None = None
    day: int | None = None
    unit: int | None = None


def by_role(written: str) -> Mapping[str, str] | str:
    """Return the columns that `time=Uhrzeit,mass=Gewicht` names, or the part that is none."""
    found: dict[str, str] = {}
    for part in re.split(rf",\s*(?=(?:{'|'.join(ROLES)})\s*=)", written):
        role, equals, name = (one.strip() for one in part.partition("="))
        if not equals or role not in ROLES or not name or role in found:
            return part
        found[role] = name
    return found if {"time", "mass"} <= found.keys() else written


def header_at(rows: Sequence[Row], roles: Mapping[str, str]) -> int | None:
    """Return the place of the line that names the columns, or None where none does."""
    for at, (_, cells) in enumerate(rows[:_LOOKED_AT]):
        if not has_number(cells) and (_names_all(cells, roles) if roles else _names_both(cells)):
            return at
    return None


def _names_all(cells: Sequence[str], roles: Mapping[str, str]) -> bool:
    return all(_called(cells, name) is not None for name in roles.values())


def _names_both(cells: Sequence[str]) -> bool:
    times, masses = set(_holding(cells, _TIMES)), set(_holding(cells, _MASSES, _OTHER_MASSES))
    return bool(times and masses and len(times | masses) > 1)


def numbered(roles: Mapping[str, str]) -> bool:
    """Return whether a call names its columns by their numbers alone."""
    return bool(roles) and all(name.isdecimal() for name in roles.values())


def columns_of(header: Sequence[str], roles: Mapping[str, str], given: Columns) -> Columns:
    """Return the columns of a header, with the units that it states; raises FaultyError."""
    if roles:
        found = {role: _asked(header, role, name) for role, name in roles.items()}
        columns = replace(given, day=found.get("date"), unit=found.get("unit"),
                          time=found["time"], mass=found["mass"])  # fmt: skip
    else:
        columns = replace(given, time=_find(header, _TIMES)[0], mass=_mass_column(header),
                          unit=_unit_column(header))  # fmt: skip
    return with_units(header, columns)


def with_units(header: Sequence[str], columns: Columns) -> Columns:
    """Return the columns with the units that their names state."""
    return replace(
        columns,
        time_unit=_unit_in(header, columns.time, units.DURATION) or columns.time_unit,
        mass_unit=_unit_in(header, columns.mass, units.MASS) or columns.mass_unit,
    )


def _asked(header: Sequence[str], role: str, name: str) -> int:
    found = _called(header, name)
    if found is None:
        raise FaultyError(fault("no_such_column", wanted=name, role=role, found=", ".join(header)))
    return found


def _called(header: Sequence[str], name: str) -> int | None:
    """Return the column of a name, whatever its capitals, or of a number counted from 1."""
    names = [one.casefold() for one in header]
    if name.casefold() in names:
        return names.index(name.casefold())
    return int(name) - 1 if name.isdecimal() and 1 <= int(name) <= len(names) else None


def by_number(cells: Sequence[str], roles: Mapping[str, str], given: Columns) -> Columns:
    """Return the columns that are named by their numbers; raises FaultyError."""
    found = {role: _asked(["" for _ in cells], role, name) for role, name in roles.items()}
    return replace(given, time=found["time"], mass=found["mass"], day=found.get("date"),
                   unit=found.get("unit"))  # fmt: skip


def _holding(header: Sequence[str], words: Sequence[str], but: Sequence[str] = ()) -> Iterator[int]:
    """Yield each column whose name holds one of `words`, and none of `but`."""
    for at, name in enumerate(one.lower() for one in header):
        if any(word in name for word in words) and not any(word in name for word in but):
            yield at


def _find(header: Sequence[str], words: Sequence[str], but: Sequence[str] = ()) -> list[int]:
    """Return the columns whose names hold one of `words`, and none of `but`; there is one."""
    found = list(_holding(header, words, but))
    if not found:
        raise FaultyError(fault("no_column", wanted=words[0], found=", ".join(header)))
    return found


def _mass_column(header: Sequence[str]) -> int:
    """Return the column of the mass of all that stands on the scale; it is never guessed."""
    found = _find(header, _MASSES, _OTHER_MASSES)
    gross = [at for at in found if "gross" in header[at].lower()]
    if len(gross) == 1 or len(found) == 1:
        return (gross or found)[0]
    raise FaultyError(fault("which_mass", found=", ".join(header[at] for at in found)))


def _unit_column(header: Sequence[str]) -> int | None:
    found = [at for at, name in enumerate(header) if name.lower() in _UNIT_COLUMNS]
    return found[0] if len(found) == 1 else None


def with_day(header: Sequence[str], columns: Columns, is_clock: Sequence[bool]) -> Columns:
    """Return the columns with that of the date, where the time of day has one of its own.

    `is_clock` says of each column whether the first line has the time of a day there.
    """
    names = [name.lower() for name in header]
    days = [at for at, name in enumerate(names) if "date" in name and "time" not in name]
    clocks = [at for at in _holding(header, _TIMES) if at not in days and is_clock[at]]
    if days and clocks:
        return replace(columns, day=days[0], time=clocks[0])
    if days and columns.time == days[0]:  # a date alone, with the hours that ran beside it
        others = [at for at in _holding(header, ("time", "elapsed")) if at not in days]
        if others:
            unit = _unit_in(header, others[0], units.DURATION) or columns.time_unit
            return replace(columns, time=others[0], time_unit=unit)
    return columns


def _unit_in(header: Sequence[str], at: int, dimension: units.Dimension) -> str | None:
    found = _UNIT.search(header[at]) if at < len(header) else None
    known = units.UNITS.get(found[1]) if found else None
    return found[1] if found and known and known[1] is dimension else None
