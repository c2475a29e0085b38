"""Changes one value of a cycle or of an end in its place, and nothing else of the record.

As with what is added (`adding.py`), the new text is read again, and must differ from the old by
that value alone.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from handbook_builder.writing.adding import (
    CannotAddError,
    after_line,
    as_read,
    checked,
    opened,
    values_of,
)
from handbook_builder.writing.spots import Spot
from handbook_builder.writing.text import Change, Text
from handbook_builder.writing.values import Value, written

Path = tuple[str | int, ...]
"""Where a map stands: `("cycles", 2)` is the third cycle, `("end",)` the end."""

_COMMA: Final = re.compile(r"[ \t]*,[ \t]*")
_COMMENT: Final = re.compile(r"(?:^|\s)#")


def with_amended(data: bytes, within: Path, key: str, value: Value, order: Sequence[str]) -> bytes:
    """Return a record with a value of the map `within` changed, or added in the `order` of keys.

    Raises CannotAddError unless the new text reads as the old one with that value and no other
    difference, or when a comment would be lost with the old value.
    """
    text, root = opened(data)
    holder = _spot(root, within)
    at = holder.value(key)
    change = _added(text, holder, key, value, order) if at is None else _changed(text, at, value)
    expected = values_of(data)
    _map_in(expected, within)[key] = as_read(value)
    return checked(data, text.changed([change]), expected)


def without_amended(data: bytes, within: Path, key: str) -> bytes:
    """Return a record without a key of the map `within`; raises as `with_amended` does."""
    text, root = opened(data)
    holder = _spot(root, within)
    if key not in (holder.keys or ()):
        raise CannotAddError(key)
    expected = values_of(data)
    del _map_in(expected, within)[key]
    return checked(data, text.changed(_taken_out(text, holder, key)), expected)


def _spot(root: Spot, within: Path) -> Spot:
    """Return where a map stands; what is no map, or is not there, has no place."""
    at: Spot | None = root
    for part in within:
        if at is None or (isinstance(part, int) and part >= len(at.parts)):
            raise CannotAddError(part)
        at = at.value(part) if isinstance(part, str) else at.parts[part]
    if at is None or not at.keys:
        raise CannotAddError(within)
    return at


def _map_in(values: dict[str, Any], within: Path) -> dict[str, Any]:
    found: Any = values
    for part in within:
        found = found[part]
    held: dict[str, Any] = found
    return held


def _changed(text: Text, at: Spot, value: Value) -> Change:
    """Return the change of a value in its place, in the line of its key where it can stand there.

    A list of dashes, or a folded text, ends with its last letter: the line break stays.
    """
    end = at.end
    while text.plain[end - 1].isspace():
        end -= 1
    if _comment_in(text, at, end):
        raise CannotAddError
    begin = at.begin
    if not at.flow and not text.plain[text.plain.rfind(":", 0, begin) + 1 : begin].strip():
        begin = text.plain.rfind(":", 0, begin) + 1
        return Change(begin, end, f" {written(value)}")
    return Change(begin, end, written(value))


def _comment_in(text: Text, at: Spot, end: int) -> bool:
    """Return whether a comment stands between the parts of a list or a map."""
    begin = at.begin
    if not at.parts and text.plain[begin] not in "[{":
        return False
    for part in (*at.parts, None):
        until = end if part is None else part.begin
        if _COMMENT.search(text.plain[begin:until]):
            return True
        begin = end if part is None else part.end
    return False


def _added(text: Text, holder: Spot, key: str, value: Value, order: Sequence[str]) -> Change:
    """Return the change that adds a key after the nearest that stands before it in `order`."""
    keys = holder.keys or ()
    before = [one for one in order[: order.index(key)] if one in keys]
    last = holder.parts[keys.index(before[-1])] if before else holder.parts[-1]
    line = f"{key}: {written(value)}"
    if holder.flow:
        return Change(last.end, last.end, f", {line}")
    at = after_line(text, last.end)
    return Change(at, at, f"{' ' * holder.column}{line}\n")


def _taken_out(text: Text, holder: Spot, key: str) -> list[Change]:
    """Return the changes that take a key and its value out, with their line or their comma."""
    index = (holder.keys or ()).index(key)
    at, plain = holder.parts[index], text.plain
    found = re.search(rf"([\"']?){re.escape(key)}\1[ \t]*:\s*$", plain[: at.begin])
    if found is None or _comment_in(text, at, at.end):
        raise CannotAddError(key)
    if not holder.flow:
        return [_line_out(text, found.start(), at)]
    after = _COMMA.match(plain, at.end)
    if after is not None:
        return [Change(found.start(), after.end(), "")]
    if index == 0:
        raise CannotAddError(key)  # all that there is
    last = holder.parts[index - 1]
    comma = _COMMA.match(plain, last.end)
    if comma is None:
        raise CannotAddError(key)
    if comma.end() == found.start():
        return [Change(last.end, at.end, "")]
    at_comma = plain.index(",", last.end)
    return [Change(at_comma, at_comma + 1, ""), Change(found.start(), at.end, "")]


def _line_out(text: Text, begin: int, at: Spot) -> Change:
    """Return the change that takes out the lines of a key; a comment beside it keeps its own."""
    plain = text.plain
    line = plain.rfind("\n", 0, begin) + 1
    if plain[line:begin].strip():
        raise CannotAddError  # the first key after a dash carries the dash
    end = after_line(text, at.end)
    beside = plain[at.end : end].strip()
    return Change(begin, plain.index("#", at.end), "") if beside else Change(line, end, "")


def former_of(held: Mapping[str, Any], key: str) -> str:
    """Return what a record says of a key, as one text: a list or a map with commas."""
    found = held[key]
    if isinstance(found, dict):
        return ", ".join(f"{one}: {value}" for one, value in found.items())
    return ", ".join(found) if isinstance(found, list) else str(found)
