"""What is asked of a thing that never changes is found out once, and only when it is asked.

A studio, its verdicts and its account are frozen, and what is reckoned from them is the same each
time. The answers are kept beside the thing for as long as it lives, and are gone with it.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import ref

S = TypeVar("S")
K = TypeVar("K")
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


class Found(Mapping[K, T]):
    """A mapping of things that are found when they are first asked for, each once.

    A command that tells of one product pays for that one; pages and reports ask for all.
    """

    __slots__ = ("_find", "_kept", "_keys")

    def __init__(self, keys: Iterable[K], find: Callable[[K], T]) -> None:
        """Know `keys`, in their order, and how to find what belongs to one of them."""
        self._keys, self._find = dict.fromkeys(keys), find
        self._kept: dict[K, T] = {}

    def __getitem__(self, key: K) -> T:
        """Return what belongs to `key`; KeyError for one that is not known."""
        if key not in self._kept:
            if key not in self._keys:
                raise KeyError(key)
            self._kept[key] = self._find(key)
        return self._kept[key]

    def __contains__(self, key: object) -> bool:
        """Return whether `key` is known, without finding anything."""
        return key in self._keys

    def __iter__(self) -> Iterator[K]:
        """Return the keys in their order."""
        return iter(self._keys)

    def __len__(self) -> int:
        """Return the count of keys."""
        return len(self._keys)
