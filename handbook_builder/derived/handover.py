"""The state of a test candle's record: what a file of readings was made against.

A page at the bench bears the state of the record that it was made from, and hands it over with
what was read. Who takes the readings can then tell whether anything was written in between.
"""

import dataclasses
import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Final

from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.making import Burn, End, Made
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.combination import (
    code_of_combination,
    combination_of_candle,
    combination_of_recipe,
)

# What a candle is by its file's name, what it was weighed on, and what was read of it.
_OF_BURN: Final = ("recipe", "candle", "made", "scale_g", "room_c", "cycles", "end")
# What people wrote may hold a name, which no edition for all may depend on. A tilt is handed over
# with the readings, a count changes when another candle or cycle is added, and what a reading was
# before it was mended says nothing that the reading does not.
_LEFT_OUT: Final[Mapping[type, frozenset[str]]] = {
    Made: frozenset({"tilt", "candles", "rungs"}),
    Cycle: frozenset({"note", "amended", "former"}),
    End: frozenset({"why", "cycles", "amended", "former"}),
}


def state_of(burn: Burn) -> str:
    """Return the state of a record as the 64 hex digits of a SHA-256.

    It is of what was made and read alone, in base units; whatever is unsaid is left out, so that a
    key which records learn later changes no state. Notes, reasons, names, lots, counts and the text
    below the keys are in no state.
    """
    told = {name: _plain(getattr(burn, name)) for name in _OF_BURN}
    canonical = json.dumps(_said(told), sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(canonical.encode()).hexdigest()


def as_it_was(burn: Burn, cycles: int) -> Burn:
    """Return the burn as it stood after so many of its cycles, before its end."""
    return replace(burn, cycles=burn.cycles[:cycles], end=None)


def cycles_at(burn: Burn, state: str) -> int | None:
    """Return after how many of its cycles a burn was in a state, or None when it never was.

    An end makes a state of its own, which is that of all its cycles.
    """
    if state_of(burn) == state:
        return len(burn.cycles)
    known = range(len(burn.cycles), -1, -1)
    return next((count for count in known if state_of(as_it_was(burn, count)) == state), None)


def _plain(value: Any) -> Any:  # noqa: ANN401 -- any value of a record
    """Return a value in the words of JSON; of a day or a name its text."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type | When):
        left_out = _LEFT_OUT.get(type(value), frozenset())
        names = [one.name for one in dataclasses.fields(value) if one.name not in left_out]
        return _said({name: _plain(getattr(value, name)) for name in names})
    if isinstance(value, When):
        return [value.day.isoformat(), None if value.at is None else value.at.isoformat("minutes")]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        # A list of pairs: a key may be a number.
        return [[_plain(key), _plain(value[key])] for key in sorted(value)]
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(one) for one in value]
    return value


def _said(told: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is said at all: neither None nor an empty list."""
    return {name: value for name, value in told.items() if value is not None and value != []}


def codes_of(studio: Studio, burn: Burn, days: Iterable[date]) -> tuple[str, ...]:
    """Return what the page of a candle may have called its combination, on one of some days.

    It is the code of its recipe while it counts for that, and its own otherwise.
    """
    recipe = studio.recipes[burn.recipe]
    hoped = [code_of_combination(combination_of_recipe(studio, recipe, day)) for day in days]
    own = code_of_combination(combination_of_candle(studio, burn.made))
    return tuple(dict.fromkeys((*hoped, own)))
