"""Adds to a record where it belongs, and gives the new bytes only when nothing else changed."""

import re
from collections.abc import Mapping
from typing import Any, Final

from handbook_builder.reading.front import split
from handbook_builder.reading.nodes import Node, Scalar, Sequence
from handbook_builder.writing.spots import Spot, spots
from handbook_builder.writing.text import Change, Text
from handbook_builder.writing.values import Entry, Value, in_one_line, written

_COMMENT: Final = "#"


class CannotAddError(Exception):
    """The place to add to was not found for certain; nothing was changed."""


def with_entry(data: bytes, key: str, entry: Entry) -> bytes:
    """Return a record with one more entry at the end of its list `key`, which it may not have yet.

    Raises CannotAddError unless the new text reads as the old one with that entry and no other
    difference.
    """
    text, root = opened(data)
    at = root.value(key)
    line = in_one_line(entry)
    if at is None:
        changes = _new_key(text, root, key, f"\n  - {line}", f"[{line}]")
    elif at.flow:
        changes = _in_brackets(text, at, line)
    else:
        changes = [_in_block(text, at, entry)]
    expected = dict(values_of(data))
    expected[key] = [*expected.get(key, []), _all_as_read(entry)]
    return checked(data, text.changed(changes), expected)


def with_key(data: bytes, key: str, entry: Entry) -> bytes:
    """Return a record with the new key, a map, after its others; raises as `with_entry` does."""
    text, root = opened(data)
    line = in_one_line(entry)
    changes = _new_key(text, root, key, f" {line}", line)
    return checked(data, text.changed(changes), {**values_of(data), key: _all_as_read(entry)})


def with_value(data: bytes, key: str, value: str) -> bytes:
    """Return a record with another value for a key that it has; raises as `with_entry` does.

    `made.candles` is the key `candles` within `made`.
    """
    text, root = opened(data)
    at: Spot | None = root
    for part in key.split("."):
        at = None if at is None else at.value(part)
    if at is None:
        raise CannotAddError(key)
    change = Change(at.begin, at.end, written(value))
    return checked(data, text.changed([change]), _with(values_of(data), key, value))


def with_new_value(data: bytes, key: str, value: str) -> bytes:
    """Return a record with a key that it does not have yet; raises as `with_entry` does.

    `made.tilt` is the key `tilt` within `made`, which must be there.
    """
    text, root = opened(data)
    within, _, last = key.rpartition(".")
    holder = root.value(within) if within else root
    if holder is None or holder.keys is None or holder.value(last) is not None:
        raise CannotAddError(key)
    line = written(value)
    if within and not holder.flow:
        at = after_line(text, holder.end)
        changes = [Change(at, at, f"{' ' * holder.column}{last}: {line}\n")]
    else:
        changes = _new_key(text, holder, last, f" {line}", line)
    return checked(data, text.changed(changes), _with(values_of(data), key, value))


def without_key(data: bytes, key: str) -> bytes:
    """Return a record without a key of its own; raises as `with_entry` does."""
    text, root = opened(data)
    at = root.value(key)
    if at is None:
        raise CannotAddError(key)
    left = {name: value for name, value in values_of(data).items() if name != key}
    return checked(data, text.changed([_taken_out(text, root, key, at)]), left)


def _taken_out(text: Text, root: Spot, key: str, at: Spot) -> Change:
    """Return the change that takes a key and its value out, with its line or its comma."""
    before = re.search(
        rf"(,?[ \t]*\n?[ \t]*){re.escape(key)}[ \t]*:[ \t]*$", text.plain[: at.begin]
    )
    if before is None:
        raise CannotAddError(key)
    if not root.flow:
        return Change(before.start() + len(before[1]), after_line(text, at.end), "")
    if "," in before[1]:
        return Change(before.start(), at.end, "")
    after = re.compile(r"[ \t]*,[ \t]*").match(text.plain, at.end)
    end = at.end if after is None else after.end()
    return Change(before.start() + len(before[1]), end, "")


def _with(values: Mapping[str, Any], key: str, value: str) -> dict[str, Any]:
    """Return values with another one in the place of `key`, which may lie within others."""
    first, _, rest = key.partition(".")
    return {**values, first: _with(values[first], rest, value) if rest else value}


def opened(data: bytes) -> tuple[Text, Spot]:
    """Return the text and where its values stand, counted from the beginning of the text."""
    values_of(data)  # raises, unless it can be read without fault
    text = Text(data)
    begin, end = text.front
    # What comes before is blanked out, so that places need not be shifted.
    return text, spots(" " * begin + text.plain[begin:end])


def _new_key(text: Text, root: Spot, key: str, block: str, inline: str) -> list[Change]:
    """Return the change that puts a key last: as `block`, or `inline` when all is in brackets."""
    if root.flow:
        return _in_brackets(text, root, f"{key}: {inline}")
    at = _after_comments(text, after_line(text, root.end), 1)
    return [Change(at, at, f"{key}:{block}\n")]


def _in_brackets(text: Text, at: Spot, piece: str) -> list[Change]:
    """Return the changes that put `piece` last in a list or map in brackets."""
    if not at.parts:
        return [Change(at.begin + 1, at.begin + 1, piece)]
    last, plain = at.parts[-1], text.plain
    line_end = plain.find("\n", last.end, at.end)
    blanks = re.compile(r"[ \t]*(,?)[ \t]*").match(plain, last.end)
    assert blanks is not None  # noqa: S101 -- it matches nothing, too
    comma = "" if blanks[1] else ","
    indent = plain[plain.rfind("\n", 0, last.begin) + 1 : last.begin]
    own_line = not indent.strip()
    if line_end > 0 and plain.startswith(_COMMENT, blanks.end()):
        # The comment stays beside the entry that it was written for.
        added = f"\n{indent if own_line else '  '}{piece}"
        return [Change(last.end, last.end, comma), Change(line_end, line_end, added)]
    place = last.end if comma else blanks.end(1)
    space = f"\n{indent}" if own_line else " "
    return [Change(place, place, f"{comma}{space}{piece}")]


def _in_block(text: Text, at: Spot, entry: Entry) -> Change:
    """Return the change that puts an entry after the last of a list of dashes, in its style."""
    last, dash = at.parts[-1], " " * at.column + "-"
    if last.flow:
        lines = [f"{dash} {in_one_line(entry)}"]
    else:
        pad = " " * last.column
        lines = [f"{pad}{key}: {written(value)}" for key, value in entry.items()]
        lines[0] = dash + lines[0][len(dash) :]
    place = _after_comments(text, after_line(text, last.end), at.column)
    return Change(place, place, "".join(f"{line}\n" for line in lines))


def after_line(text: Text, end: int) -> int:
    """Return the beginning of the line after the one in which a value ends."""
    if text.plain[end - 1] == "\n":  # the mark of a folded text lies beyond its last line
        return end
    return text.plain.index("\n", end) + 1


def _after_comments(text: Text, at: int, column: int) -> int:
    """Return the place after the comment lines that belong to a list, by how far in they stand."""
    comments = re.compile(rf"(?: {{{column},}}#.*\n)*" if column else "")
    found = comments.match(text.plain, at)
    return at if found is None else found.end()


def _all_as_read(entry: Entry) -> dict[str, object]:
    """Return what a map of values is when it is read back."""
    return {key: as_read(value) for key, value in entry.items()}


def as_read(value: Value) -> object:
    """Return what one value is when it is read back."""
    if isinstance(value, str):
        return value
    if isinstance(value, Mapping):
        return {key: as_read(one) for key, one in value.items()}
    return list(value)


def _plain(node: Node) -> Any:  # noqa: ANN401 -- texts, lists and maps in each other
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [_plain(item) for item in node.items]
    return {key.text: _plain(value) for key, value in node.entries}


def values_of(data: bytes) -> dict[str, Any]:
    """Return every value of a record as text, in lists and maps, whatever their style."""
    front, problems = split(data, "")
    if front is None or problems:
        raise CannotAddError
    values: dict[str, Any] = _plain(front.root)
    return values


def checked(old: bytes, new: bytes, expected: Mapping[str, object]) -> bytes:
    """Return the new bytes, once they read as they were meant to, and end as the old ones."""
    before, after = Text(old), Text(new)
    if values_of(new) != expected:
        raise CannotAddError
    if old[before.place(before.front[1]) :] != new[after.place(after.front[1]) :]:
        raise CannotAddError
    return new
