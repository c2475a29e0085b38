"""A record's bytes as text that can be added to, every byte that was there left as it is."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

_BOM: Final = b"\xef\xbb\xbf"
_FENCE: Final = re.compile(r"^---[ \t]*$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Change:
    """Text to put in the place of the characters from `begin` to `end`."""

    begin: int
    end: int
    text: str


@dataclass(frozen=True)
class Text:
    """The bytes of a UTF-8 file, and its characters with every line break as a line feed."""

    data: bytes

    @cached_property
    def _mapped(self) -> tuple[str, tuple[int, ...]]:
        """Return the characters, and for each (and for the end) its place among the bytes."""
        at = len(_BOM) if self.data.startswith(_BOM) else 0
        raw = self.data[at:].decode()
        plain: list[str] = []
        places: list[int] = []
        for match in re.finditer(r"\r\n|[\s\S]", raw):
            plain.append("\n" if match[0][0] == "\r" else match[0])
            places.append(at)
            at += len(match[0].encode())
        return "".join(plain), (*places, at)

    @property
    def plain(self) -> str:
        """Return the characters, a line feed for every line break, without byte-order mark."""
        return self._mapped[0]

    def place(self, at: int) -> int:
        """Return the place among the bytes of a character."""
        return self._mapped[1][at]

    @cached_property
    def front(self) -> tuple[int, int]:
        """Return where the front matter begins and ends, its two fences left out.

        As `reading.front` has it; a record without two fences is a `ValueError`.
        """
        opening = _FENCE.match(self.plain)
        closing = _FENCE.search(self.plain, opening.end()) if opening else None
        if opening is None or closing is None:
            msg = "a record without front matter cannot be added to"
            raise ValueError(msg)
        return opening.end(), closing.start()

    def changed(self, changes: Sequence[Change]) -> bytes:
        """Return the bytes with the changes made, their line breaks as those around them."""
        places = self._mapped[1]
        new = self.data
        for one in sorted(changes, key=lambda change: change.begin, reverse=True):
            text = one.text.replace("\n", self._break_near(one.begin)).encode()
            new = new[: places[one.begin]] + text + new[places[one.end] :]
        return new

    def _break_near(self, at: int) -> str:
        """Return the line break last used before a place, or the first of the file."""
        plain, places = self._mapped
        found = plain.rfind("\n", 0, at)
        found = plain.find("\n") if found < 0 else found
        return "\n" if found < 0 else self.data[places[found] : places[found + 1]].decode()
