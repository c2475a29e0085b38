"""What the guide "Writing a record" says of each key: the help that an editor shows beside it.

A kind has its heading there, and each key a line of a list; a key within a key stands deeper. What
has no line of its own is told by a line that names it, or by that of the key around it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

from handbook_builder.shipped import templates_folder

_GUIDE: Final = ("guides", "guides", "writing-a-record.md")
# Keys that all items have are told of once, under a heading of their own.
_SHARED: Final = "every item"
_LINE: Final = re.compile(r"(?P<indent> *)- (?P<keys>`[a-z_0-9]+`.*)")
_NAME: Final = re.compile(r"`([a-z_0-9]+)`")
# The keys that a line is about: names, joined by words alone, before its colon.
_HEAD: Final = re.compile(r"(?:`[a-z_0-9]+`(?:,| and| or| with)? ?)+")
_LINK: Final = re.compile(r"\[([^]]+)\]\([^)]+\)")
_SEE_ABOVE: Final = "See above"
_OPTIONAL: Final = re.compile(r",? ?(?:all )?(?:\(\*optional\*\)|\*optional\*(?:, )?)")
# A kind whose section points to that of another.
_LIKE: Final = {"colorant": ("fragrance",)}


@dataclass(frozen=True, slots=True)
class _Told:
    """One line: how deep it stands, the keys that it is about, and what it says."""

    depth: int
    keys: tuple[str, ...]
    text: str


def help_for(kind: str, path: tuple[str, ...]) -> str:
    """Return what the guide says of a key of a kind ("wax"), the keys around it first in `path`.

    Empty where it says nothing.
    """
    for length in range(len(path), 0, -1):  # of itself, else of the key around it
        for section in (kind, *_LIKE.get(kind, ()), _SHARED):
            if found := _found(_lines(section), path[:length], path[-1]):
                return found
    return ""


def _found(lines: tuple[_Told, ...], path: tuple[str, ...], name: str) -> str:
    """Return the line of a path; where its last key has none, one beside it that names it."""
    text = ""
    for depth, key in enumerate(path):
        found = _within(lines, depth, key)
        if found is None:
            return _naming(lines, name) if path[depth:] == (name,) else ""
        text, lines = found[0].text, found[1]
    return "" if text.startswith(_SEE_ABOVE) else text


def _within(
    lines: tuple[_Told, ...], depth: int, key: str
) -> tuple[_Told, tuple[_Told, ...]] | None:
    """Return the line about a key at a depth, and the deeper ones below it."""
    for at, one in enumerate(lines):
        if one.depth == depth and key in one.keys:
            below = lines[at + 1 :]
            ends = (number for number, each in enumerate(below) if each.depth <= depth)
            return one, below[: next(ends, len(below))]
    return None


def _naming(lines: tuple[_Told, ...], name: str) -> str:
    return next((one.text for one in lines if f"'{name}'" in one.text), "")


@cache
def _lines(kind: str) -> tuple[_Told, ...]:
    """Return the lines under the heading of a kind."""
    return tuple(_told(_section(kind)))


def _section(kind: str) -> str:
    text = templates_folder().joinpath(*_GUIDE).read_text("utf-8")
    sections = re.split(r"^## ", text, flags=re.MULTILINE)
    return next((one for one in sections if re.match(rf"{kind}\b", one, re.IGNORECASE)), "")


def _told(section: str) -> Iterator[_Told]:
    for line in section.splitlines():
        found = _LINE.match(line)
        if found is None:
            continue
        head = _HEAD.match(found["keys"])
        said = _LINK.sub(r"\1", found["keys"][head.end() if head else 0 :])
        keys = tuple(_NAME.findall(head[0] if head else ""))
        yield _Told(len(found["indent"]) // 4, keys, _sentence(said))


def _sentence(said: str) -> str:
    """Return what stands behind the names of a line: without its marks, as a sentence.

    Names stand in plain quotes, since editors show the others as they are.
    """
    text = _OPTIONAL.sub("", said).strip(":,. ").replace("`", "'")
    return f"{text[:1].upper()}{text[1:]}." if text else ""
