"""A record with blanks, read as far as it says something."""

import dataclasses
from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Any, Final, get_origin, get_type_hints

from handbook_builder.reading.fields import BAD, Bad, Report
from handbook_builder.reading.front import split
from handbook_builder.reading.nodes import Map, Node, Scalar
from handbook_builder.reading.records import KINDS
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source, keys_of, places_of

# What stands for a value that is not there yet: it names nothing, and agrees with most.
_STAND_INS: Final[Mapping[object, object]] = {
    str: "",
    Ref: Ref(""),
    int: 0,
    float: 0.0,
    date: date.max,
    tuple: (),
    get_origin(Mapping[str, str]): MappingProxyType({}),
}


def unfinished(path: str, data: bytes, shown_as: str) -> Any:  # noqa: ANN401 -- a record of any kind
    """Return the record of one file with a stand-in for each blank, or None where it has no keys.

    It tells only what the values that are there say: nothing may be judged by it.
    """
    folder, _, name = path.rpartition("/")
    front, _ = split(data, shown_as + path)
    if front is None:
        return None
    ident, places = name.removesuffix(".md"), places_of(front.root)
    source = Source(folder, ident, shown_as + path, places, front.body)
    return _filled(KINDS[folder], front.root, source=source)


def _filled(cls: type, root: Map, **given: object) -> Any:  # noqa: ANN401 -- an instance of `cls`
    """Return an instance of a shape, a stand-in for each due value that cannot be read."""
    nodes, hints = {key.text: node for key, node in root.entries}, get_type_hints(cls)
    values = dict(given)
    for key, one in keys_of(cls).items():
        found = _value(nodes.get(key), hints[one.field], one.read, key)
        if not isinstance(found, Bad):
            values[one.field] = found
        elif one.required:
            values[one.field] = _STAND_INS.get(get_origin(hints[one.field]) or hints[one.field])
    return cls(**values)


def _value(node: Node | None, hint: Any, read: Any, key: str) -> Any:  # noqa: ANN401 -- of any key
    """Return the value of a key, or what is bad for one that is blank or cannot be read."""
    if isinstance(node, Map) and dataclasses.is_dataclass(hint):
        return _filled(hint, node)  # type: ignore[arg-type]  # a shape is a class
    if node is None or (isinstance(node, Scalar) and not node.text):
        return BAD
    return read(node, Report(""), key)
