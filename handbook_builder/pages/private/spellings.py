"""Names found in a text, however people write them.

Capitals, accents, hyphens, underscores, no space at all, letters that cannot be seen between the
others, a first or a last name alone: all the same name.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

# What a plain text has none of: accents, full-width letters, soft hyphens, marks of direction.
_ODD: Final = re.compile(
    "[\u00aa\u00ad\u00ba\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u024f\u0300-\u036f\u034f\u061c\u115f\u1160"
    "\u17b4\u17b5\u180b-\u180f\u1e00-\u1eff\u200b-\u200f\u202a-\u202e\u2060-\u206f\u3164"
    "\ufb00-\ufb06\ufe00-\ufe0f\ufeff\uff00-\uffef]"
)
_UNSEEN: Final = frozenset({"Cf", "Mn", "Cc"})
_FILLERS: Final = frozenset("\u115f\u1160\u3164\uffa0\u2800")
_KEPT: Final = frozenset("\n\t\r")
_TELLING_LETTERS: Final = 4
_JOINED_LETTERS: Final = 8
_ESCAPE: Final = "%[0-9a-f][0-9a-f]"  # of an address, which may stand in a text as well
_ARTICLE: Final = r"(?:(?:the|an?)\s+)?"  # or it would be left standing before the other words


@dataclass(frozen=True, slots=True)
class Hit:
    """A stretch of a text that may not be told, and what is said in its place."""

    start: int
    end: int
    said: str


@dataclass(frozen=True, slots=True)
class Folded:
    """A text with plain letters alone; `at` says where each of them stood in the original."""

    text: str
    at: Sequence[int] | None = None

    def hit(self, start: int, end: int, said: str) -> Hit:
        """Return the hit in the original text."""
        if self.at is None:
            return Hit(start, end, said)
        return Hit(self.at[start], self.at[end - 1] + 1, said)


def folded(text: str) -> Folded:
    """Return `text` without accents and without letters that cannot be seen."""
    if _ODD.search(text) is None:
        return Folded(text)
    letters, at = [], []
    for number, letter in enumerate(text):
        for plain in unicodedata.normalize("NFKD", letter):
            is_seen = unicodedata.category(plain) not in _UNSEEN and plain not in _FILLERS
            if is_seen or plain in _KEPT:
                letters.append(plain)
                at.append(number)
    return Folded("".join(letters), tuple(at))


def parts_of(name: str) -> list[str]:
    """Return the words of a name, in small plain letters: quay-candle-goods has three."""
    # Not case-folded: that would make "weiss" of "weiß", which no text is searched for.
    return re.findall(r"[^\W_]+", folded(name).text.lower()) or [name.lower()]


def telling_parts(name: str, ordinary: frozenset[str]) -> Iterator[str]:
    """Yield the words of a name that tell whose it is, each by itself.

    An ordinary word tells nothing; nor, of a name that its writer gave capitals, does a small one.
    """
    plain = folded(name).text
    words = re.findall(r"[^\W_]+", plain)
    capitals = [word for word in words if word[0].isupper()]
    for word in capitals or words:
        told = word.lower()
        is_plural = told.endswith("s") and told[:-1] in ordinary
        is_common = told in ordinary or is_plural
        if len(told) >= _TELLING_LETTERS and told.isalpha() and not is_common:
            yield told


@dataclass(frozen=True, slots=True)
class _Name:
    parts: tuple[str, ...]
    pattern: re.Pattern[str]
    said: str


@dataclass(frozen=True, slots=True)
class NameFinder:
    """Finds names, each with what is said in its place; the longest of two comes first."""

    names: Mapping[tuple[str, ...], str]
    _patterns: tuple[_Name, ...] = field(init=False)

    def __post_init__(self) -> None:
        """Make the patterns once."""
        longest = sorted(self.names, key=lambda one: (-sum(map(len, one)), one))
        made = tuple(_Name(name, _pattern(name), self.names[name]) for name in longest)
        object.__setattr__(self, "_patterns", made)

    def hits(self, text: Folded) -> Iterator[Hit]:
        """Yield every name in a text; a name within another name may come twice."""
        small = text.text.lower()
        for pattern in self._patterns:
            if all(part in small for part in pattern.parts):  # much faster than to try each pattern
                for hit in pattern.pattern.finditer(text.text):
                    yield text.hit(*hit.span(), pattern.said)


def _pattern(parts: tuple[str, ...]) -> re.Pattern[str]:
    joined = rf"(?:{_ESCAPE}|[\W_]){{0,3}}".join(map(re.escape, parts))
    whole = rf"(?:(?<![^\W_])|(?<={_ESCAPE})){_ARTICLE}{joined}s?(?![^\W_])"
    if len(parts) > 1 and sum(map(len, parts)) >= _JOINED_LETTERS:
        whole = f"{whole}|{joined}"  # in the middle of an address: invoicequaycandlegoods2
    return re.compile(whole, re.IGNORECASE)


def apart(hits: Iterator[Hit]) -> list[Hit]:
    """Return hits in their order, the longer of two that overlap."""
    kept: list[Hit] = []
    for hit in sorted(hits, key=lambda it: (it.start - it.end, it.start)):
        if all(hit.end <= candle.start or candle.end <= hit.start for candle in kept):
            kept.append(hit)
    return sorted(kept, key=lambda it: it.start)


def replaced(text: str, hits: Sequence[Hit]) -> str:
    """Return a text with what is said in the place of each hit."""
    for hit in reversed(hits):
        text = text[: hit.start] + hit.said + text[hit.end :]
    return text
