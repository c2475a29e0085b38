"""What is asked again and again of a thing that never changes is found out once.

A studio, its verdicts and its account are frozen, and what is reckoned from them is the same each
time. The answers are kept beside the thing for as long as it lives, and are gone with it.
"""

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import ref

S = TypeVar("S")
P = ParamSpec("P")
T = TypeVar("T")


def once(find: Callable[Concatenate[S, P], T]) -> Callable[Concatenate[S, P], T]:
    """Return `find` such that it is asked once for each subject and what else it is given.

    The subject comes first, is told by its identity, and must never change (a frozen dataclass with
    `weakref_slot`); whatever else is given must be hashable, and by position.
    """
    kept: dict[int, tuple[ref[Any], dict[tuple[Hashable, ...], T]]] = {}

    @wraps(find)
    def found(subject: S, /, *rest: P.args, **named: P.kwargs) -> T:
        if named:  # they would not tell one answer from another
            msg = f"{find.__name__} is given what it is asked by position"
            raise TypeError(msg)
        at = id(subject)
        if at not in kept:
            kept[at] = (ref(subject, lambda _: kept.pop(at, None)), {})
        answers = kept[at][1]
        if rest not in answers:
            answers[rest] = find(subject, *rest, **named)  # none, but the type says so
        return answers[rest]

    return found
