"""The class words of safety sheets, and the label elements that go with each class of a mixture.

Statements, signal words and pictograms: label tables of Annex I, parts 3 and 4. Read in the own
text for skin sensitisation, eye, acute oral category 4, STOT SE 3, aspiration and water (C, see
`precaution.py`); the others are from memory, unconfirmed (M).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

_ACUTE: Final = ("Acute Tox. 1", "Acute Tox. 2", "Acute Tox. 3", "Acute Tox. 4")
_FLAMMABLE: Final = ("Flam. Liq. 1", "Flam. Liq. 2", "Flam. Liq. 3")
_WORD: Final = re.compile(r"(?P<base>[^()]*[^() ])(?: ?\((?P<detail>[^()]+)\))?")


@dataclass(frozen=True, slots=True)
class Label:
    """What a class brings to a label: H statement, signal word and pictogram."""

    h: str
    signal: str | None
    pictogram: str | None


def _acute() -> dict[str, Label]:
    """Return the label elements of acute toxicity, by route and category."""
    numbers = {
        "oral": ("H300", "H300", "H301", "H302"),
        "dermal": ("H310", "H310", "H311", "H312"),
        **dict.fromkeys(("gas", "vapour", "mist"), ("H330", "H330", "H331", "H332")),
    }
    return {
        f"{word} ({route})": (
            Label(h, "Warning", "GHS07") if word == "Acute Tox. 4" else Label(h, "Danger", "GHS06")
        )
        for route, statements in numbers.items()
        for word, h in zip(_ACUTE, statements, strict=True)
    }


# In the order of Annex I, which is the written order of classes everywhere.
LABELS: Final[Mapping[str, Label]] = {
    **_acute(),
    "Skin Corr. 1": Label("H314", "Danger", "GHS05"),
    "Skin Corr. 1A": Label("H314", "Danger", "GHS05"),
    "Skin Corr. 1B": Label("H314", "Danger", "GHS05"),
    "Skin Corr. 1C": Label("H314", "Danger", "GHS05"),
    "Skin Irrit. 2": Label("H315", "Warning", "GHS07"),
    "Eye Dam. 1": Label("H318", "Danger", "GHS05"),
    "Eye Irrit. 2": Label("H319", "Warning", "GHS07"),
    "Resp. Sens. 1": Label("H334", "Danger", "GHS08"),
    "Resp. Sens. 1A": Label("H334", "Danger", "GHS08"),
    "Resp. Sens. 1B": Label("H334", "Danger", "GHS08"),
    "Skin Sens. 1": Label("H317", "Warning", "GHS07"),
    "Skin Sens. 1A": Label("H317", "Warning", "GHS07"),
    "Skin Sens. 1B": Label("H317", "Warning", "GHS07"),
    "Muta. 1A": Label("H340", "Danger", "GHS08"),
    "Muta. 1B": Label("H340", "Danger", "GHS08"),
    "Muta. 2": Label("H341", "Warning", "GHS08"),
    "Carc. 1A": Label("H350", "Danger", "GHS08"),
    "Carc. 1B": Label("H350", "Danger", "GHS08"),
    "Carc. 2": Label("H351", "Warning", "GHS08"),
    "Repr. 1A": Label("H360", "Danger", "GHS08"),
    "Repr. 1B": Label("H360", "Danger", "GHS08"),
    "Repr. 2": Label("H361", "Warning", "GHS08"),
    "Lact.": Label("H362", None, None),
    "STOT SE 1": Label("H370", "Danger", "GHS08"),
    "STOT SE 2": Label("H371", "Warning", "GHS08"),
    "STOT SE 3 (H335)": Label("H335", "Warning", "GHS07"),
    "STOT SE 3 (H336)": Label("H336", "Warning", "GHS07"),
    "STOT RE 1": Label("H372", "Danger", "GHS08"),
    "STOT RE 2": Label("H373", "Warning", "GHS08"),
    "Asp. Tox. 1": Label("H304", "Danger", "GHS08"),
    "Aquatic Acute 1": Label("H400", "Warning", "GHS09"),
    "Aquatic Chronic 1": Label("H410", "Warning", "GHS09"),
    "Aquatic Chronic 2": Label("H411", None, "GHS09"),
    "Aquatic Chronic 3": Label("H412", None, None),
    "Aquatic Chronic 4": Label("H413", None, None),
}
# What a sheet may say of a component, and no class of a candle: a flammable liquid is none in it.
_STATEMENTS_OF_LIQUIDS: Final = dict(zip(_FLAMMABLE, ("H224", "H225", "H226"), strict=True))
_ROUTE_WORDS: Final = {
    "oral": "oral", "dermal": "dermal", "gas": "gas", "gases": "gas", "vapour": "vapour",
    "vapours": "vapour", "mist": "mist", "dust": "mist", "dust/mist": "mist",
    "inhalation": "inhalation",
}  # fmt: skip
_ROUTE_OF_STATEMENT: Final = {"H30": "oral", "H31": "dermal", "H33": "inhalation"}


def taken_word(text: str) -> str | None:
    """Return a sheet's class word as the rules know it, or None when no rule knows it.

    An acute class keeps its route, "Acute Tox. 4 (oral)", where the sheet says one, by name or by
    its statement; STOT SE 3 its effect. Any other class may name its own statement in brackets.
    """
    match = _WORD.fullmatch(" ".join(text.split()))
    if match is None:
        return None
    base, detail = match["base"], match["detail"]
    if base in _ACUTE:
        return base if detail is None else _with_route(base, detail)
    if base == "STOT SE 3":
        word = base if detail is None else f"{base} ({detail})"
        return word if detail is None or word in LABELS else None
    statement = LABELS[base].h if base in LABELS else _STATEMENTS_OF_LIQUIDS.get(base)
    if statement is None or (detail is not None and detail[: len(statement)] != statement):
        return None
    return base


def taken_words(text: str) -> tuple[str, ...]:
    """Return the words that a sheet's word stands for: STOT SE 3 without an effect is both."""
    word = taken_word(text)
    if word == "STOT SE 3":
        return ("STOT SE 3 (H335)", "STOT SE 3 (H336)")
    return () if word is None else (word,)


def _with_route(base: str, detail: str) -> str | None:
    route = _ROUTE_WORDS.get(detail.lower())
    if route is not None:
        return f"{base} ({route})"
    route = _ROUTE_OF_STATEMENT.get(detail[:3])
    spoken = "vapour" if route == "inhalation" else route  # all three have the same statements
    label = LABELS.get(f"{base} ({spoken})")
    return f"{base} ({route})" if label is not None and label.h == detail else None


def in_order(words: frozenset[str]) -> tuple[str, ...]:
    """Return class words in the written order."""
    return tuple(word for word in LABELS if word in words)
