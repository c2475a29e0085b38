"""Shapes: a frozen dataclass whose fields say how each key is read."""

import dataclasses
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any, Final, TypeVar, cast, dataclass_transform, overload

from handbook_builder.problems import Place
from handbook_builder.reading.fields import BAD, Bad, Reader, Report, near
from handbook_builder.reading.forms import Keys, takes
from handbook_builder.reading.nodes import Map, Node, Scalar, Sequence

T = TypeVar("T")
D = TypeVar("D")
C = TypeVar("C", bound=type)

# A field is named for its key, with the unit added: `burned_h` holds the key `burned`.
_UNIT_ENDINGS: Final = ("_g_per_ml", "_days", "_mm", "_ml", "_g", "_h", "_c", "_k", "_s")
# What is left of "468,9 g" within braces, where the comma begins a new key.
_AFTER_A_COMMA: Final = re.compile(r"\d[\d.,]*\s*\S*$")
_READER: Final = "reader"
_EXPECTED: Final = "expected"


def required(read: Reader[T], expected: str = "a value") -> T:
    """Declare a key that a record must have."""
    return cast("T", dataclasses.field(metadata={_READER: read, _EXPECTED: expected}))


@overload
def optional(read: Reader[T]) -> T | None: ...
@overload
def optional(read: Reader[T], default: D) -> T | D: ...
def optional(read: Reader[T], default: D | None = None) -> T | D | None:
    """Declare a key that a record may have, and what it means to leave it out."""
    # A factory, since dataclasses take a sealed mapping for a mutable default.
    return cast(
        "T | D | None",
        dataclasses.field(default_factory=lambda: default, metadata={_READER: read}),
    )


@dataclass_transform(kw_only_default=True, frozen_default=True,
                     field_specifiers=(required, optional))  # fmt: skip
def shape(cls: C) -> C:
    """Make a class a shape: frozen, with slots, its fields by keyword only."""
    return cast("C", dataclass(frozen=True, slots=True, kw_only=True)(cls))


@dataclass(frozen=True, slots=True)
class Source:
    """Where a record was written: its kind and id, its file, the place of every key, its body."""

    kind: str
    id: str
    file: str
    places: Mapping[str, tuple[int, int]]
    body: str

    def place(self, path: str = "") -> Place:
        """Return where `path` ("cycles[2].flame") stands, or the nearest thing that holds it."""
        while path not in self.places:
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        return Place(self.file, *self.places[path])


@dataclass(frozen=True, slots=True)
class _Key:
    field: str
    read: Reader[Any]
    expected: str
    required: bool


@cache
def keys_of(cls: type) -> Mapping[str, _Key]:
    """Return the keys that a shape knows, in the order of its declaration."""
    return MappingProxyType(
        {
            _key_of(field.name): _Key(
                field.name,
                field.metadata[_READER],
                field.metadata.get(_EXPECTED, ""),
                field.default_factory is dataclasses.MISSING,
            )
            for field in dataclasses.fields(cls)
            if _READER in field.metadata
        }
    )


def _key_of(field: str) -> str:
    for ending in _UNIT_ENDINGS:
        if field.endswith(ending):
            return field.removesuffix(ending)
    return field.removesuffix("_")  # `as_` holds the key `as`, which Python keeps for itself


def read_shape(
    cls: Callable[..., T], node: Node, report: Report, under: str, **given: object
) -> T | Bad:
    """Return an instance of the shape `cls` read from `node`, reporting every fault in it."""
    if not isinstance(node, Map):
        found = f"'{node.text}'" if isinstance(node, Scalar) else "a list"
        all_keys = ", ".join(keys_of(cast("type", cls)))
        return report.bad(node, "not_these_keys", found=found, key=under, known=all_keys)
    keys = keys_of(cast("type", cls))
    before = len(report.problems)
    where = f" under '{under}'" if under else ""
    values: dict[str, Any] = dict(given)
    for key, value in node.entries:
        known = keys.get(key.text)
        if known is None and _AFTER_A_COMMA.match(key.text):
            report.bad(key, "comma_in_braces", found=key.text)
        elif known is None:
            report.bad(
                key, "unknown_key", found=key.text, under=where, near=near(key.text, list(keys))
            )
        elif isinstance(value, Scalar) and value.plain and not value.text:
            report.bad(key, "empty_value", key=key.text, expected=known.expected or "a value")
        else:
            values[known.field] = known.read(value, report, key.text)
    present = {key.text for key, _ in node.entries}
    for key_name, one in keys.items():
        if one.required and key_name not in present:
            report.bad(node, "missing_key", key=key_name, under=where, expected=one.expected)
    if len(report.problems) > before:
        return BAD
    if any(isinstance(value, Bad) for value in values.values()):
        msg = f"a reader of {under or report.file} found fault without a word"
        raise AssertionError(msg)  # ours, not a user's: nothing may be dropped in silence
    return cls(**values)


def nested(cls: type[T]) -> Reader[T]:
    """Return a reader of a shape within a shape."""

    @takes(Keys(cls))
    def read(node: Node, report: Report, key: str) -> T | Bad:
        return read_shape(cls, node, report, key)

    return read


def places_of(root: Map) -> Mapping[str, tuple[int, int]]:
    """Return the line and column of every key and entry, by its path."""
    found: dict[str, tuple[int, int]] = {"": (root.line, root.column)}
    _note(root, "", found)
    return MappingProxyType(found)


def _note(node: Node, path: str, found: dict[str, tuple[int, int]]) -> None:
    if isinstance(node, Map):
        for key, value in node.entries:
            below = f"{path}.{key.text}" if path else key.text
            found[below] = (key.line, key.column)
            _note(value, below, found)
    elif isinstance(node, Sequence):
        for index, item in enumerate(node.items):
            below = f"{path}[{index}]"
            found[below] = (item.line, item.column)
            _note(item, below, found)
