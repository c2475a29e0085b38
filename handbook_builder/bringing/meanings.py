"""What the cells of a column mean in records, as far as that is plain."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from handbook_builder.bringing.headers import Meant
from handbook_builder.bringing.rows import slug
from handbook_builder.bringing.targets import Target, target_of, without_number
from handbook_builder.bringing.values import OPEN
from handbook_builder.reading.records import Reading
from handbook_builder.reading.refs import ITEM_FOLDERS

_NONE: Final = frozenset({
    "none", "no", "without", "unscented", "no dye", "no oil", "no scent", "n/a", "nil", "kein",
    "keine", "keiner", "ohne",
})  # fmt: skip
_PIECES: Final = frozenset({
    "ea", "each", "ct", "count", "unit", "units", "stk", "st\u00fcck", "stueck",
})  # fmt: skip
# Keys that hold several items with their masses, or none.
_MAY_BE_NONE: Final = frozenset({"fragrance", "colorant", "made.fragrance", "made.colorant"})
WHICH: Final = "WHICH"  # stands for the folder of an item that is in none
_YES_NO: Final = {"y": "yes", "n": "no", "yes": "yes", "no": "no", "true": "yes", "false": "no"}
# How somebody doubts, denies or crosses out what stands beside it: an id has no such signs.
_DOUBT: Final = re.compile(r"[?!~*\u00ac\u2260\u00bf]")


@dataclass(frozen=True, slots=True)
class Guess:
    """A column: its header, what it seems to mean, and its cells that are not blank."""

    header: str
    meant: Meant | None
    texts: tuple[str, ...]
    typed: bool  # the file itself says what its numbers and days are
    has_blanks: bool
    rival: str = ""  # the key that another column means too, so that this one is asked


def target_for(one: Guess, kind: str) -> Target | None:
    """Return what a column seems to lead to, or None."""
    return target_of(kind, one.meant.key) if one.meant else None


def words_of(
    one: Guess, kind: str, reading: Reading, headers: Mapping[str, Any]
) -> Mapping[str, str]:
    """Return what the cells say beside what records say; `OPEN` where a person must tell it."""
    found = {text: _word(text, one, kind, reading, headers)
             for text in dict.fromkeys(_said_in(one, kind))}  # fmt: skip
    return {text: word for text, word in found.items() if word not in {None, text}}


def _said_in(one: Guess, kind: str) -> Iterator[str]:
    target = target_for(one, kind)
    for text in one.texts:
        if target is not None and target.many:
            yield from (part for part in re.split(r"\s*[,;\n]\s*", text) if part)
        else:
            yield " ".join(text.split())


def _word(
    text: str, one: Guess, kind: str, reading: Reading, headers: Mapping[str, Any]
) -> str | None:
    """Return the word of a record that a cell is, `OPEN` for none; None where it stays as it is."""
    target, folder = target_for(one, kind), _folder(one, kind)
    plainly = _plainly(text.lower(), one)
    if plainly is not None:
        return plainly
    if folder is not None:
        if text.lower() in _NONE and folder in {"fragrances", "colorants"}:
            return "none"
        return None if _DOUBT.search(text) else ident_of(text, folder, reading)
    if _is_yes_no(one):
        return _YES_NO.get(text.lower(), OPEN)
    if target is None or one.meant is None or set(target.known) <= {"none"}:
        return None
    said = headers.get("words", {}).get(without_number(one.meant.key), {})
    return _known(text, target.known, said)


def _known(text: str, known: Sequence[str], said: Mapping[str, Sequence[object]]) -> str:
    """Return the word that a text is, whole: nothing near to a word is ever taken for it."""
    words = {_folded(str(other)): word for word in said if word in known for other in said[word]}
    words |= {_folded(word): word for word in known}
    return words.get(_folded(text), OPEN)


def tells_of_harm(text: str, headers: Mapping[str, Any]) -> bool:
    """Return whether a word of a text begins like one of harm, or like what a candle may show."""
    seen = target_of("burns", "cycles.seen")
    shown = (word.removesuffix("ing") for word in (seen.known if seen else ()))
    begun = (*shown, *(str(one).casefold() for one in headers.get("harm", ())))
    words = re.findall(r"[^\W_]+", text.casefold())
    return any(word.startswith(begun) for word in (*words, "_".join(words)))


def _folded(text: str) -> str:
    """Return a text without its capitals, and one sign for blanks, hyphens and underscores."""
    return re.sub(r"[\s_-]+", "_", text.strip().casefold())


def _plainly(text: str, one: Guess) -> str | None:
    """Return what a word says wherever it stands: pieces among units, none where that may be."""
    if one.meant is not None and one.meant.names == "unit":
        return "pcs" if text.rstrip(".") in _PIECES else None
    is_none = one.meant is not None and one.meant.key in _MAY_BE_NONE and text in _NONE
    return "none" if is_none else None


def _is_yes_no(one: Guess) -> bool:
    keys = {"drinkware", "porous", "sealed"}
    return one.meant is not None and one.meant.key in keys


def _folder(one: Guess, kind: str) -> str | None:
    """Return the folder of the records that a column names; an empty text for any item's."""
    if one.meant is None or one.meant.names == "unit":
        return None
    if one.meant.names:
        return one.meant.names
    target = target_for(one, kind)
    if target is None or not (target.names or target.items):
        return None
    if target.items:
        return ""
    own = {"wax": "waxes", "vessel": "vessels", "wick": "wicks", "recipe": "recipes",
           "supplier": "suppliers", "by": "helpers"}  # fmt: skip
    return own.get(target.parts[-1], "")


def is_on_file(text: str, folder: str, reading: Reading) -> bool:
    """Return whether a text is just the id or the title of a record of a folder."""
    records, plain = reading.records.get(folder, {}), slug(text)
    titles = {slug(str(getattr(record, "title", ident))) for ident, record in records.items()}
    return plain in records or plain in titles


def ident_of(text: str, folder: str, reading: Reading) -> str:
    """Return the id that a text means: of a record on file, else the text as an id."""
    folders = (folder,) if folder else ITEM_FOLDERS
    known = {ident: one for one in folders for ident in reading.records.get(one, {})}
    if text in known:
        return text if folder else f"{known[text]}/{text}"
    records = [pair for one in folders for pair in reading.records.get(one, {}).items()]
    titled = {slug(str(getattr(record, "title", ident))): ident for ident, record in records}
    plain = slug(text)
    found = plain if plain in known else titled.get(plain)
    if not folder and "/" in text:
        return text
    ident = found or plain
    return ident if folder else f"{known.get(ident, WHICH)}/{ident}"
