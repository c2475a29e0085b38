"""What people write over their columns, and what it most likely means.

The words stand in `headers.yml`, so that a studio can add its own.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from handbook_builder import units
from handbook_builder.bringing.targets import Form, target_of
from handbook_builder.bringing.values import H_MM
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reading.shape import keys_of

_BRACKETED: Final = re.compile(r"^(?P<name>.*?)\s*[(\[](?P<unit>[^()\[\]]+)[)\]]\s*$")
_LAST: Final = re.compile(r"^(?P<name>.*\S)[\s,/:-]+(?:in\s+)?(?P<unit>\S+(?:\s\S+)?)$")
# A cycle's own column: "burn 2 pool", "2. Brand Pool", "2nd burn: pool", "pool 2", "pool (burn 2)".
_CYCLE: Final = r"(?:cycle|burn|test|session|light|c|brand|brennen|zyklus|durchgang)"
_NUMBER: Final = r"(?P<number>[1-9][0-9]?)(?:st|nd|rd|th)?"
_WIDE: Final = (
    re.compile(rf"{_CYCLE}?\s*{_NUMBER}\s+(?P<name>.+)"),
    re.compile(rf"{_NUMBER}\s+{_CYCLE}\s+(?P<name>.+)"),
    re.compile(rf"(?P<name>.+?)\s*{_CYCLE}?\s*{_NUMBER}"),
    re.compile(rf"(?P<name>.+?)\s+{_NUMBER}\s+{_CYCLE}"),
)
# What people shorten, by the whole word.
_SHORT: Final = {
    "wt": "weight", "wgt": "weight", "dia": "diameter", "diam": "diameter", "\u00f8": "diameter",
    "ht": "height", "hgt": "height", "temp": "temperature", "no": "number",
    "nr": "number", "num": "number", "qty": "quantity", "avg": "average",
}  # fmt: skip
_CLOCKS: Final = {"h:mm", "hh:mm", "h:min", "hours:minutes"}
_MONEY: Final = re.compile(r"[A-Z]{3}|[\u20ac$\u00a3\u00a5]")
# In words.yml the column that names an item of a folder is called by the folder, in braces.
OWN_ID: Final = "{id}"  # and the column that the ids of the records are made of
_NAMES: Final = re.compile(r"^\{([a-z]+)\}$")


@dataclass(frozen=True, slots=True)
class Meant:
    """What a header most likely means: a key, and the unit that it states; `names` a folder."""

    key: str
    unit: str | None = None
    names: str = ""


def meant_by(header: str, kind: str, headers: Mapping[str, Any]) -> Meant | None:
    """Return what a header means in a table of `kind`, or None where that is not known."""
    name, unit = named(header)
    for said, its_unit in ((name, unit), (header, None)):
        if target_of(kind, said) is not None:  # a table of ours says the keys themselves
            return Meant(said, its_unit)
    for said, its_unit in ((header, unit), (name, unit)):
        found = _known(_plain(said), kind, headers)
        if found is not None:
            folder = _NAMES.fullmatch(found) if found != OWN_ID else None
            return Meant(found, its_unit or _said_by(said), folder[1] if folder else "")
    return None


def _said_by(name: str) -> str | None:
    """Return the unit that a header is itself, such as "Hours 2"."""
    word = re.sub(r"[\s0-9#.]+$", "", name.strip().lower())
    return word if word in units.UNITS and units.UNITS[word][1] is units.DURATION else None


def named(header: str) -> tuple[str, str | None]:
    """Return a header without the unit that it ends in, and the unit, where there is one."""
    for pattern in (_BRACKETED, _LAST):
        found = pattern.fullmatch(header.strip())
        unit = _unit(found["unit"]) if found else None
        if found and unit is not None:
            return found["name"], unit
    return header.strip(), None


def _unit(text: str) -> str | None:
    """Return a unit as records write it, from a header; None where it is none."""
    plain = text.strip().rstrip(".")
    if plain.lower() in _CLOCKS:
        return H_MM
    for one in (plain, plain.lower()):
        if one in units.UNITS or one == "delta degC" or one in {"\u00b0c", "\u00b0f"}:
            return {"\u00b0c": "\u00b0C", "\u00b0f": "\u00b0F"}.get(one, one)
    return plain if _MONEY.fullmatch(plain) else None


def _plain(text: str) -> str:
    """Return a header's words in lower case and in full, without what stands between them."""
    plain = re.sub(r"#(?!\s*[0-9])", " number ", text.replace("_", " ").lower())
    plain = plain.replace("\u2300", " diameter ")
    words = re.sub(r"[^\w%/]+", " ", plain).split()
    return " ".join(_SHORT.get(word, word) for word in words)


def _known(plain: str, kind: str, headers: Mapping[str, Any]) -> str | None:
    known = {_plain(str(one)): key for key, said in headers.get(kind, {}).items() for one in said}
    found: str | None = known.get(plain)
    return found or (_numbered(plain, known) if kind == "burns" else None)


def _numbered(plain: str, known: Mapping[str, str]) -> str | None:
    """Return the key of a column such as "pool 2": of a numbered cycle of its own."""
    for pattern in _WIDE:
        match = pattern.fullmatch(plain)
        key = known.get(match["name"].strip()) if match else None
        if match and key and key.startswith("cycles.") and key[7:] in keys_of(Cycle):
            return f"cycles.{match['number']}.{key[7:]}"
    return None


def suits(meant: Meant, kind: str) -> bool:
    """Return whether the unit of a header is one that its key can have."""
    target = target_of(kind, meant.key)
    if meant.unit is None or target is None or target.dimension is units.DIFFERENCE:
        return True
    if meant.unit == H_MM:
        return True
    known = units.UNITS.get(meant.unit)
    if target.form is Form.NUMBER:
        return known is None
    if target.form is Form.COUNT:
        return known is not None and known[1] is units.COUNT
    return known is not None and target.dimension in {None, known[1]}


def header_row(rows: Sequence[Sequence[str]], kind: str, headers: Mapping[str, Any]) -> int:
    """Return the row of the headers, counted from 1: the first with the most that are known."""
    scores = [
        sum(bool(one.strip()) and meant_by(one, kind, headers) is not None for one in row)
        for row in rows[:20]
    ]
    best = max(scores, default=0)
    return scores.index(best) + 1 if best else next(
        (at for at, row in enumerate(rows, 1) if sum(bool(one.strip()) for one in row) > 1), 1
    )  # fmt: skip
