"""The text of a record that was brought, in the form in which records are written by hand."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.bringing.rows import Draft, Leaf, Origin, Path
from handbook_builder.bringing.targets import BODY, rank_of
from handbook_builder.reading.front import split
from handbook_builder.reading.nodes import Map, Node, Sequence
from handbook_builder.writing.values import written

# What stands on lines of its own below its key; all else is short enough for one line.
_IN_BLOCK: Final = ("made", "lots")
_END: Final = "end"


@dataclass(frozen=True, slots=True)
class Brought:
    """A record's text, and the cell that each of its values came from."""

    path: str
    text: str
    row: int
    origins: Mapping[Path, Origin]


def brought(kind: str, draft: Draft, *, whole: bool = False) -> Brought:
    """Return a draft as a record; with `whole` the cycles of a test candle are counted in it."""
    leaves = _in_order(kind, {**draft.leaves, **(_counted(draft) if whole else {})})
    body = leaves.pop((BODY,), None)
    tree = _tree(leaves)
    lines = [line for key, one in tree.items() for line in _lines(key, one)]
    below = f"{body.value}\n" if body else ""
    text = "---\n" + "".join(f"{line}\n" for line in lines) + "---\n" + below
    origins = {path: leaf.origin for path, leaf in leaves.items()}
    if body:
        origins[BODY,] = body.origin
    return Brought(f"{kind}/{draft.id}.md", text, draft.row, origins)


def _counted(draft: Draft) -> dict[Path, Leaf]:
    """Return the count of the cycles, where it is due: at the end, or while it burns on."""
    cycles = {path[1] for path in draft.leaves if path[0] == "cycles" and len(path) > 1}
    ended = any(path[0] == _END for path in draft.leaves)
    key = (_END, "cycles") if ended else ("lit",)
    if key in draft.leaves or (ended and not cycles):
        return {}
    return {key: Leaf(str(len(cycles)), Origin(0, 0, "whole"))}


def _in_order(kind: str, leaves: Mapping[Path, Leaf]) -> dict[Path, Leaf]:
    """Return the values in the order in which the keys of their kind are declared."""
    return {path: leaves[path] for path in sorted(leaves, key=lambda one: rank_of(kind, one))}


def _tree(leaves: Mapping[Path, Leaf]) -> dict[str, "Leaf | dict[str, object]"]:
    tree: dict[str, object] = {}
    for path, leaf in leaves.items():
        held = tree
        for part in path[:-1]:
            below = held.setdefault(part, {})
            assert isinstance(below, dict)  # noqa: S101 -- a path is set once, and so is none above it
            held = below
        held[path[-1]] = leaf
    return tree  # type: ignore[return-value]  # leaves and dicts in each other


def _lines(key: str, one: object) -> Iterator[str]:
    """Yield the lines of a key of the record itself."""
    if isinstance(one, dict) and _is_list(one):
        yield f"{key}:"
        yield from (f"  - {_inline(entry)}" for entry in one.values())
    elif isinstance(one, dict) and key in _IN_BLOCK:
        yield f"{key}:"
        yield from (f"  {name}:{_after(value)}" for name, value in one.items())
    else:
        yield f"{key}:{_after(one)}"


def _is_list(one: dict[str, object]) -> bool:
    return all(name.isdigit() for name in one)


def _after(one: object) -> str:
    """Return what stands after a key and its colon: nothing where it is left blank."""
    shown = _inline(one)
    return f" {shown}" if shown else ""


def _inline(one: object) -> str:
    if isinstance(one, Leaf):
        return written(one.value) if one.value else ""
    assert isinstance(one, dict)  # noqa: S101 -- a tree holds no more
    if one and _is_list(one):
        return "[" + ", ".join(_inline(entry) for entry in one.values()) + "]"
    return "{" + ", ".join(f"{written(key)}:{_after(value)}" for key, value in one.items()) + "}"


def origin_of(record: Brought, line: int, column: int, *, holder: bool = False) -> Origin:
    """Return the cell that a place of the record's text came from; its first row at the worst.

    A `holder` is at fault for what is not in it: it begins where its first value does.
    """
    front, _ = split(record.text.encode(), "")
    if front is None:
        return Origin(record.row)
    if line >= front.body_line and (BODY,) in record.origins:
        return record.origins[BODY,]
    found = list(_places(front.root, ()))
    places = dict(reversed(found) if holder else found)
    path = places.get((line, column), ())
    known = [one for one in record.origins if one[: len(path)] == path and path]
    while path and not known:
        path = path[:-1]
        known = [path] if path in record.origins else []
    return record.origins[known[0]] if len(known) == 1 or (known and path) else Origin(record.row)


def _places(node: Node, path: Path) -> Iterator[tuple[tuple[int, int], Path]]:
    """Yield where each key and each value stands, with its path; what lies deeper comes last."""
    yield (node.line, node.column), path
    if isinstance(node, Map):
        for key, value in node.entries:
            yield (key.line, key.column), (*path, key.text)
            yield from _places(value, (*path, key.text))
    elif isinstance(node, Sequence):
        for number, item in enumerate(node.items, 1):
            yield from _places(item, (*path, str(number)))
