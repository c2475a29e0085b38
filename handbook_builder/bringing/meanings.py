"""What the cells of a column mean in records, as far as that is plain."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from handbook_builder.bringing.headers import Meant
from handbook_builder.bringing.rows import slug
from handbook_builder.bringing.targets import Target, target_of
from handbook_builder.reading.records import Reading
from handbook_builder.reading.refs import ITEM_FOLDERS
from handbook_builder.writing.values import written

_NONE: Final = frozenset({
    "none", "no", "without", "unscented", "no dye", "no oil", "no scent", "n/a", "nil", "kein",
    "keine", "keiner", "ohne",
})  # fmt: skip
_PIECES: Final = frozenset({
    "ea", "each", "ct", "count", "unit", "units", "stk", "st\u00fcck", "stueck",
})  # fmt: skip
# Keys that hold several items with their masses, or none.
_MAY_BE_NONE: Final = frozenset({"fragrance", "colorant", "made.fragrance", "made.colorant"})
_YES_NO: Final = {"y": "yes", "n": "no", "x": "yes"}
WHICH: Final = "WHICH"  # stands for the folder of an item that is in none
_CLOSE: Final = 0.8


@dataclass(frozen=True, slots=True)
class Guess:
    """A column: its header, what it seems to mean, and its cells that are not blank."""

    header: str
    meant: Meant | None
    texts: tuple[str, ...]
    typed: bool  # the file itself says what its numbers and days are
    has_blanks: bool


def target_for(one: Guess, kind: str) -> Target | None:
    """Return what a column seems to lead to, or None."""
    return target_of(kind, one.meant.key) if one.meant else None


def words_of(one: Guess, kind: str, reading: Reading) -> Iterator[str]:
    """Yield what the cells say beside what records say, as far as that is plain."""
    found = {text: word for text in dict.fromkeys(_said_in(one, kind))
             if (word := _word(text, one, kind, reading)) not in {None, text}}  # fmt: skip
    if found:
        pairs = ", ".join(
            f"{written(text)}: {written(word)}" for text, word in found.items() if word
        )
        yield f"words: {{{pairs}}}"


def _said_in(one: Guess, kind: str) -> Iterator[str]:
    target = target_for(one, kind)
    for text in one.texts:
        if target is not None and target.many:
            yield from (part for part in re.split(r"\s*[,;\n]\s*", text) if part)
        else:
            yield " ".join(text.split())


def _word(text: str, one: Guess, kind: str, reading: Reading) -> str | None:
    """Return the word of a record that a cell means; None where that is not plain."""
    target, folder = target_for(one, kind), _folder(one, kind)
    plainly = _plainly(text.lower(), one)
    if plainly is not None:
        return plainly
    if folder is not None:
        if text.lower() in _NONE and folder in {"fragrances", "colorants"}:
            return "none"
        return ident_of(text, folder, reading)
    if target is None or not target.known:
        return _YES_NO.get(text.lower()) if _is_yes_no(one) else None
    plain = re.sub(r"[\s-]+", "_", text.strip().lower())
    begun = [word for word in target.known if word.startswith(plain) and len(plain) > 3]  # noqa: PLR2004
    near = get_close_matches(plain, target.known, n=1, cutoff=_CLOSE)
    if plain in target.known:
        return plain
    return begun[0] if len(begun) == 1 else near[0] if near else None


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
    found = plain if plain in known else titled.get(plain) or _alone(plain, list(known))
    if not folder and "/" in text:
        return text
    ident = found or plain
    return ident if folder else f"{known.get(ident, WHICH)}/{ident}"


def _alone(plain: str, known: Sequence[str]) -> str | None:
    """Return the one id that has all the words of a text, or is very near to it."""
    words = set(plain.split("-"))
    having = [ident for ident in known if words <= set(ident.split("-"))]
    near = get_close_matches(plain, known, n=2, cutoff=_CLOSE)
    return having[0] if len(having) == 1 else near[0] if len(near) == 1 and not having else None
