"""A finished page taken apart: what it tells, what it only addresses, and both without secrets.

The page is read as a browser would show it, since a name may stand in two colours, in entities or
with letters that nobody sees, whatever made the page.
"""

import html
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import unquote

from handbook_builder.pages.private.spellings import Hit

# A picture that stands in a page: its letters are its points, and tell no word.
_POINTS: Final = re.compile(r"data:image/(?:png|jpeg|gif|webp|avif);base64,[A-Za-z0-9+/]+=*")

Finds = Callable[[str], list[Hit]]

_PIECE: Final = re.compile(
    r"(<!--.*?-->|<script\b.*?</script\s*>|<style\b.*?</style\s*>"
    r"|</?[a-zA-Z!?](?:[^<>\"']|\"[^\"]*\"|'[^']*')*+>)",
    re.DOTALL | re.IGNORECASE,
)
_TAG: Final = re.compile(r"</?([a-zA-Z][\w-]*)")
# Elements within a line of text: a name may begin in one and end behind it.
_INLINE: Final = frozenset(
    {"a", "abbr", "b", "bdi", "bdo", "cite", "code", "data", "del", "dfn", "em", "font", "i", "ins",
     "kbd", "mark", "q", "s", "samp", "small", "span", "strike", "strong", "sub", "sup", "time",
     "tt", "u", "var", "wbr"}
)  # fmt: skip
_INSIDE: Final = r"(?:[^<>\"']|\"[^\"]*\"|'[^']*')*+>"
_WITHIN_LINE: Final = re.compile(
    rf"</?(?:{'|'.join(sorted(_INLINE))})(?![\w-]){_INSIDE}", re.IGNORECASE
)
_ASIDE: Final = re.compile(
    r"<!--.*?-->|<script\b.*?</script\s*>|<style\b.*?</style\s*>", re.DOTALL | re.IGNORECASE
)
_COMMENT: Final = re.compile(r"<!--.*?-->", re.DOTALL)
_TAG_ALONE: Final = re.compile(rf"<[a-zA-Z]{_INSIDE}")
_PIECE_AT_ALL: Final = re.compile(_PIECE.pattern[1:-1], re.DOTALL | re.IGNORECASE)
_ATTRIBUTE: Final = re.compile(r"([\w:@.-]+)(\s*=\s*)(\"[^\"]*\"|'[^']*'|[^\s\"'<>]+)")
# Attributes that name a place of the page, or link to one: they must stay alike on both sides.
_PLACES: Final = frozenset(
    {"id", "for", "name", "aria-labelledby", "aria-describedby", "aria-controls", "headers"}
)
_ADDRESSES: Final = frozenset({"href", "src", "srcset", "action", "poster", "data", "cite"})
_STYLED: Final = frozenset({"class", "style", "d", "points", "viewbox", "transform", "rel", "type"})
_WITHHELD: Final = "withheld"


@dataclass(frozen=True, slots=True)
class Taken:
    """A page in pieces, and the text that it shows, each letter with the piece it comes from."""

    pieces: Sequence[str]
    text: str
    starts: Sequence[tuple[int, int]]  # where in the text, which piece


def taken_apart(markup: str) -> Taken:
    """Return a page in pieces: text at the even places, markup at the odd ones."""
    pieces = _PIECE.split(markup)
    shown, starts, at = [], [], 0
    for number, piece in enumerate(pieces):
        told = html.unescape(piece) if number % 2 == 0 else _between(piece)
        starts.append((at, number))
        shown.append(told)
        at += len(told)
    return Taken(pieces, "".join(shown), starts)


def _between(markup: str) -> str:
    """Return what stands for a piece of markup in the text."""
    tag = _TAG.match(markup)
    return "" if tag is None or tag[1].lower() in _INLINE else "\n"


def cleaned(markup: str, finds: Finds) -> str:
    """Return a page without what `finds` finds in its text and attributes, nor any comment.

    Addresses stay, or links would be dead; the places within a page get another name.
    """
    markup = _COMMENT.sub("", markup)
    if not finds(told_by(markup)) and not finds(addressed_by(markup)):
        return markup  # nearly every page: the way below is slow
    taken = taken_apart(markup)
    pieces = list(taken.pieces)
    pieces[0::2] = _texts_without(taken, finds(taken.text))
    pieces[1::2] = [_tag_without(piece, finds) for piece in pieces[1::2]]
    return "".join(pieces)


def _texts_without(taken: Taken, hits: Sequence[Hit]) -> list[str]:
    """Return the texts of a page without the hits, each of which may reach over several."""
    told = []
    for start, number in taken.starts:
        if number % 2:
            continue
        piece = html.unescape(taken.pieces[number])
        new = _text_without(piece, start, hits)
        told.append(taken.pieces[number] if new == piece else html.escape(new, quote=False))
    return told


def _text_without(piece: str, start: int, hits: Sequence[Hit]) -> str:
    """Return one text; what is said for a hit is said where the hit begins."""
    for hit in reversed(hits):
        first, last = max(hit.start - start, 0), min(hit.end - start, len(piece))
        if first < last:
            said = hit.said if hit.start >= start else ""
            piece = piece[:first] + said + piece[last:]
    return piece


def _tag_without(piece: str, finds: Finds) -> str:
    if "=" not in piece or piece[1:7].lower() in ("script", "style>") or piece.startswith("<!--"):
        return piece

    def attribute(found: re.Match[str]) -> str:
        name, old = found[1].lower(), html.unescape(found[3].strip("\"'"))
        new = old if name in _STYLED else _value_without(name, old, finds)
        return found.group() if new == old else f'{found[1]}{found[2]}"{html.escape(new)}"'

    return _ATTRIBUTE.sub(attribute, piece)


def _value_without(name: str, value: str, finds: Finds) -> str:
    if name in _PLACES:
        return _place_without(value, finds)
    if name in _ADDRESSES:
        path, mark, place = value.partition("#")
        return path + mark + _place_without(unquote(place), finds) if place else value
    return _replaced(value, [(hit, hit.said) for hit in finds(value)])


def _place_without(place: str, finds: Finds) -> str:
    return _replaced(place, [(hit, _WITHHELD) for hit in finds(place)])


def _replaced(text: str, hits: Sequence[tuple[Hit, str]]) -> str:
    for hit, said in reversed(hits):
        text = text[: hit.start] + said + text[hit.end :]
    return text


def without_pictures(markup: str) -> str:
    """Return a page without the points of the pictures that stand in it."""
    return _POINTS.sub("", markup) if ";base64," in markup else markup


def told_by(markup: str) -> str:
    """Return all that a page shows to whoever reads it."""
    inline = _WITHIN_LINE.sub("", markup)
    return html.unescape(_PIECE_AT_ALL.sub("\n", inline))


def addressed_by(markup: str) -> str:
    """Return all that stands in the tags of a page: addresses, places, titles."""
    tags = "\n".join(tag for tag in _TAG_ALONE.findall(without_pictures(markup)) if "=" in tag)
    return unquote(html.unescape(tags))


def run_by(markup: str) -> str:
    """Return a page's own scripts, styles and comments."""
    return "\n".join(_ASIDE.findall(markup))
