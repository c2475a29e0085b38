"""What a record says, fact by fact, so that a change can be seen to take away or to say anew."""

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

from handbook_builder.reading.shape import Source

Facts = Mapping[str, object]


def facts_of(record: object) -> Facts:
    """Return every value of a record by its path; what is left at its default says nothing."""
    return dict(_facts(record, ""))


def _facts(value: Any, path: str) -> Iterator[tuple[str, object]]:  # noqa: ANN401 -- any record
    if isinstance(value, Source):
        return
    if dataclasses.is_dataclass(value):
        for one in dataclasses.fields(value):
            inner = getattr(value, one.name)
            unsaid = one.default_factory is not dataclasses.MISSING and (
                inner == one.default_factory()
            )
            if not unsaid:
                yield from _facts(inner, f"{path}.{one.name}")
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _facts(inner, f"{path}.{key}")
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from _facts(inner, f"{path}[{index}]")
    elif value is not None:  # a time of day that is left out says nothing
        yield path, value


def only_takes_away(before: object, after: object) -> bool:
    """Return whether a record says nothing new: each fact of it was said before.

    Facts in a list may move up when one before them is gone, so they are compared by value.
    """
    former = sorted((_shape(path), repr(value)) for path, value in facts_of(before).items())
    for path, value in facts_of(after).items():
        fact = (_shape(path), repr(value))
        if fact not in former:
            return False
        former.remove(fact)
    return True


def _shape(path: str) -> str:
    """Return a path without the numbers of its entries."""
    return "".join(one.partition("]")[2] if one[:1].isdigit() else one for one in path.split("["))
