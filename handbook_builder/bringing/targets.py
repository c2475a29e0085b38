"""Where in a record a value goes, and what sort of value is due there.

A path names a key as records write it, the keys within it after points: `made.on`,
`made.wax.soy-blend`. In a list of entries, `cycles.before` is of the entry that the table's row
is, and `cycles.2.before` of the second.
"""

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, Final, Union, get_args, get_origin, get_type_hints

from handbook_builder import units
from handbook_builder.reading.fields import Bad, Report
from handbook_builder.reading.nodes import Map, Node, Scalar, Sequence
from handbook_builder.reading.records import KINDS
from handbook_builder.reading.shape import OWN_KEY, keys_of

BODY: Final = "body"  # what stands below the keys
_QUANTITIES: Final = (
    units.MASS, units.LENGTH, units.VOLUME, units.DURATION, units.TEMPERATURE, units.DIFFERENCE,
    units.SHARE, units.DENSITY,
)  # fmt: skip
_NUMBER: Final = re.compile(r"[1-9][0-9]{0,2}")
# Between the parts of a path. A header within braces may have points of its own, and a picture is
# called by its file's name.
_POINT: Final = re.compile(r"\.(?![^{]*\})(?!(?i:avif|gif|heic|heif|jpe?g|png|webp)$)")


class Form(Enum):
    """How a value is written."""

    WORD = "word"
    DAY = "day"
    MOMENT = "moment"
    QUANTITY = "quantity"
    AMOUNT = "amount"  # a mass, a volume or a number of pieces
    COUNT = "count"
    NUMBER = "number"


@dataclass(frozen=True, slots=True)
class Target:
    """What a path leads to. `parts` are its keys; `entry` the place of a list's entry in them.

    A number among the parts is an entry's own, counted from 1; where it is left out, `is_row` says
    that each row of the table is an entry. `many` says that one cell holds several values; they are
    `whole` where each may have commas of its own, and only semicolons part them.
    """

    path: str
    parts: tuple[str, ...]
    form: Form
    dimension: units.Dimension | None = None
    bare: bool = False  # a number without a unit will do
    many: bool = False
    whole: bool = False
    is_row: bool = False
    known: tuple[str, ...] = ()  # the words that are taken, where there are only some
    names: bool = False  # it names a record by its id
    items: bool = False  # it names an item by folder and id


class _Probe(Report):
    """A report that keeps what the readers would have told."""

    __slots__ = ("codes", "known")

    def __init__(self) -> None:
        super().__init__("")
        self.codes: list[str] = []
        self.known: tuple[str, ...] = ()

    def bad(self, node: Node, code: str, **details: object) -> Bad:
        self.codes.append(code)
        if code == "not_a_choice":
            self.known = tuple(str(details["known"]).split(", "))
        return Report.bad(self, node, code, **details)


# A number of the right sort, though too great or too small for this key.
_OF_THE_SORT: Final = frozenset({"out_of_range", "overfull", "negative", "absurd"})


@cache
def target_of(kind: str, path: str) -> Target | None:
    """Return what a path of a record of `kind` leads to, or None when there is no such key."""
    if path == BODY:
        return Target(path, (BODY,), Form.WORD)
    parts = tuple(_POINT.split(path))
    if OWN_KEY.fullmatch(parts[0]):
        return Target(path, parts, Form.WORD) if all(parts) else None
    found = _place(KINDS[kind], parts)
    return None if found is None else _told(path, *found)


def without_number(path: str) -> str:
    """Return a path without the numbers of entries: the key that all of them share."""
    return ".".join(part for part in _POINT.split(path) if not _NUMBER.fullmatch(part))


def rank_of(kind: str, path: tuple[str, ...]) -> tuple[int, ...]:
    """Return what orders paths as the keys of their kind are declared, entries by their number."""
    cls: type | None = KINDS[kind]
    ranks: list[int] = []
    for part in path:
        keys = list(keys_of(cls)) if cls is not None else []
        ranks.append(int(part) if part.isdigit() else (keys.index(part) if part in keys else 999))
        if cls is not None and part in keys:
            cls = within(get_type_hints(cls)[keys_of(cls)[part].field])[0]
    return tuple(ranks)


@dataclass(frozen=True, slots=True)
class _Place:
    """A key with its reader, and what of the path lies within it: an id, or nothing."""

    read: Any
    key: str
    within: str = ""
    many: bool = False
    numbered: bool = False


def _place(cls: type, parts: tuple[str, ...]) -> tuple[tuple[str, ...], _Place, bool] | None:
    """Return the parts with a list's missing entry as `row`, the key, and whether it is a row."""
    one = keys_of(cls).get(parts[0])
    if one is None:
        return None
    inner, is_list = within(get_type_hints(cls)[one.field])
    rest = parts[1:]
    if inner is None:
        if len(rest) > 1 or (rest and not rest[0]):
            return None
        inside = rest[0] if rest else ""
        if is_list and inside:
            numbered = bool(_NUMBER.fullmatch(inside))
            place = _Place(one.read, parts[0], many=True, numbered=True)
            return (parts, place, False) if numbered else None
        return parts, _Place(one.read, parts[0], inside, is_list), False
    numbered = bool(is_list and rest and _NUMBER.fullmatch(rest[0]))
    below = rest[1:] if numbered else rest
    found = _place(inner, below) if below else None
    if found is None:
        return None
    entry = (rest[0],) if numbered else ("row",) if is_list else ()
    return (parts[0], *entry, *found[0]), found[1], (is_list and not numbered) or found[2]


def within(hint: Any) -> tuple[type | None, bool]:  # noqa: ANN401 -- a type hint
    """Return the shape that a hint holds, if any, and whether it is a list."""
    if get_origin(hint) in (Union, UnionType):
        hint = next(one for one in get_args(hint) if one is not NoneType)
    is_list = get_origin(hint) is tuple
    inner = get_args(hint)[0] if is_list else hint
    is_shape = dataclasses.is_dataclass(inner) and isinstance(inner, type) and keys_of(inner)
    return (inner if is_shape else None), is_list


def _told(path: str, parts: tuple[str, ...], place: _Place, is_row: bool) -> Target | None:  # noqa: FBT001
    """Return the target, by what its reader takes."""
    tried = (True,) if place.numbered else (False, True) if place.many else (False,)
    for many in tried:
        found = _form(place, many=many)
        if found is not None:
            whole = bool(place.within) and not _tried(place, "xyzzy", many=True).codes
            several = (many and not place.numbered) or whole
            return Target(path, parts, many=several, whole=whole, is_row=is_row, **found)
    return None


def _form(place: _Place, *, many: bool) -> Mapping[str, Any] | None:  # noqa: PLR0911 -- one a form
    """Return what a reader takes, as fields of a target; None where it takes no single value."""

    def takes(text: str, *but: str) -> bool:
        report = _tried(place, text, many=many)
        return not set(report.codes) - _OF_THE_SORT - set(but)

    if takes("Xyzzy and b!"):
        return {"form": Form.WORD}
    if takes("xyzzy"):  # an id, which may be one of digits and hyphens too
        return {"form": Form.WORD, "names": True}
    if takes("2026-03-15"):
        return {"form": Form.MOMENT if takes("2026-03-15 10:00") else Form.DAY}
    if takes("1 kg") and takes("1 mL"):
        return {"form": Form.AMOUNT}
    for dimension in _QUANTITIES:
        if takes(dimension.example):
            return {"form": Form.QUANTITY, "dimension": dimension, "bare": takes("3")}
    if takes("3"):
        return {"form": Form.NUMBER if takes("3.5") else Form.COUNT}
    return _worded(place, takes, many=many)


def _worded(place: _Place, takes: Any, *, many: bool) -> Mapping[str, Any] | None:  # noqa: ANN401
    report = _tried(place, "xyzzy", many=many)
    if takes("waxes/xyzzy"):
        return {"form": Form.WORD, "items": True}
    alone = set(report.codes) <= {"not_a_list", "not_a_map", "not_these_keys"}
    if alone:  # what has values within it may still be said to be none
        return {"form": Form.WORD, "known": ("none",)} if takes("none") else None
    return {"form": Form.WORD, "known": report.known}


def _tried(place: _Place, text: str, *, many: bool) -> _Probe:
    report = _Probe()
    one_value: Node = Scalar(text, plain=True, line=1, column=1)
    node: Node = Sequence((one_value,), 1, 1) if many else one_value
    if place.within:
        key = "0" if place.within.startswith("{") else place.within
        for one in (place.within, "waxes/xyzzy", "xyzzy", "1 h") if key == "0" else (key,):
            report = _Probe()
            held = Map(((Scalar(one, plain=True, line=1, column=1), node),), 1, 1)
            place.read(held, report, place.key)
            if not report.codes:
                break
        return report
    place.read(node, report, place.key)
    return report
