"""Where each value of a YAML text stands, to the character."""

from collections.abc import Iterator
from dataclasses import dataclass

import yaml


@dataclass(frozen=True, slots=True)
class Spot:
    """One value: from its first character to just after its last, without what trails it.

    `flow` says that it stands in brackets. `parts` are the entries of a list, or the values of a
    map by their `keys`. `column` is of its first character, counted from 0.
    """

    begin: int
    end: int
    column: int
    flow: bool
    keys: tuple[str, ...] | None
    parts: "tuple[Spot, ...]"

    def value(self, key: str) -> "Spot | None":
        """Return where the value of `key` stands, or None when there is no such key."""
        keys = self.keys or ()
        return self.parts[keys.index(key)] if key in keys else None


def spots(text: str) -> Spot:
    """Return where the values of the YAML `text` stand; it must be one map without fault."""
    # PyYAML's own parser, not the C one: its marks count characters.
    events = yaml.parse(text, Loader=yaml.SafeLoader)
    first = next(event for event in events if isinstance(event, yaml.NodeEvent))
    return _spot(first, events)


def _spot(event: yaml.Event, events: Iterator[yaml.Event]) -> Spot:
    begin, end = event.start_mark, event.end_mark
    assert begin is not None  # noqa: S101 -- text has marks
    assert end is not None  # noqa: S101
    if not isinstance(event, yaml.CollectionStartEvent):
        return Spot(begin.index, end.index, begin.column, flow=True, keys=None, parts=())
    keys: list[str] = []
    parts: list[Spot] = []
    for one in events:
        if isinstance(one, yaml.CollectionEndEvent):
            break
        if isinstance(event, yaml.MappingStartEvent):
            keys.append(one.value if isinstance(one, yaml.ScalarEvent) else "")
            one = next(events)  # noqa: PLW2901 -- the value after its key
        parts.append(_spot(one, events))
    assert one.end_mark is not None  # noqa: S101
    # The mark of a block's end lies beyond the comments that follow it.
    stop = one.end_mark.index if event.flow_style else max(part.end for part in parts)
    names = tuple(keys) if isinstance(event, yaml.MappingStartEvent) else None
    return Spot(begin.index, stop, begin.column, bool(event.flow_style), names, tuple(parts))
