"""Which precautionary statements a label bears, and what a small pack may leave off.

What each class lists: label tables of Annex I as read in `confirmed` (C) or from memory (M), by
class in `_LISTED`. Which of them stand on a candle's label is chosen by the order in `CHOSEN`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.hazards.classify import Result
from handbook_builder.hazards.label import statement_of
from handbook_builder.hazards.wording import LABELS

_AT_MOST: Final = 6  # Art. 28(3) (read): no more, unless the hazards need it

_SENSITISED: Final = "P261 P272 P280 P302+P352 P333+P313 P321 P362+P364 P501"
_ORGANS_HARMED: Final = "P201 P202 P280 P308+P313 P405 P501"
_CORRODED: Final = (
    "P260 P264 P280 P301+P330+P331 P303+P361+P353 P363 P304+P340 P310 P321 P305+P351+P338 P405 P501"
)
# H statement → the P statements that its table lists, and how surely it was read.
_LISTED: Final[Mapping[str, tuple[str, str]]] = {
    "H300": ("P264 P270 P301+P310 P321 P330 P405 P501", "M"),
    "H301": ("P264 P270 P301+P310 P321 P330 P405 P501", "M"),
    "H302": ("P264 P270 P301+P312 P330 P501", "C"),
    "H310": ("P262 P264 P270 P280 P302+P352 P310 P321 P361+P364 P405 P501", "M"),
    "H311": ("P280 P302+P352 P312 P321 P361+P364 P405 P501", "M"),
    "H312": ("P280 P302+P352 P312 P321 P362+P364 P501", "M"),
    "H314": (_CORRODED, "M"),
    "H315": ("P264 P280 P302+P352 P321 P332+P313 P362+P364", "M"),
    "H317": (_SENSITISED, "C"),
    "H318": ("P280 P305+P351+P338 P310", "C"),
    "H319": ("P264 P280 P305+P351+P338 P337+P313", "C"),
    "H330": ("P260 P271 P284 P304+P340 P310 P320 P403+P233 P405 P501", "M"),
    "H331": ("P261 P271 P304+P340 P311 P321 P403+P233 P405 P501", "M"),
    "H332": ("P261 P271 P304+P340 P312", "M"),
    "H334": ("P261 P284 P304+P340 P342+P311 P501", "M"),
    "H335": ("P261 P271 P304+P340 P312 P403+P233 P405 P501", "C"),
    "H336": ("P261 P271 P304+P340 P312 P403+P233 P405 P501", "C"),
    "H340": (_ORGANS_HARMED, "M"),
    "H341": (_ORGANS_HARMED, "M"),
    "H350": (_ORGANS_HARMED, "M"),
    "H351": (_ORGANS_HARMED, "M"),
    "H360": (_ORGANS_HARMED, "M"),
    "H361": (_ORGANS_HARMED, "M"),
    "H362": ("P201 P260 P263 P264 P270 P308+P313", "M"),
    "H370": ("P260 P264 P270 P308+P311 P321 P405 P501", "M"),
    "H371": ("P260 P264 P270 P308+P311 P405 P501", "M"),
    "H372": ("P260 P264 P270 P314 P501", "M"),
    "H373": ("P260 P314 P501", "M"),
    "H400": ("P273 P391 P501", "C"),
    "H410": ("P273 P391 P501", "C"),
    "H411": ("P273 P391 P501", "C"),
    "H412": ("P273 P501", "C"),
    "H413": ("P273 P501", "C"),
}
# Which go first when more than six are listed. One for disposal must stand (Art. 28(2), read) and
# children live where candles burn; then what to do at once, the worst first; then what keeps it
# from happening; then what a doctor is asked. The order is ours.
CHOSEN: Final = (
    "P501", "P102",
    "P301+P310", "P301+P330+P331", "P303+P361+P353", "P305+P351+P338", "P342+P311", "P310",
    "P308+P311", "P308+P313", "P304+P340", "P302+P352", "P301+P312", "P280",
    "P273", "P333+P313", "P337+P313", "P332+P313", "P314", "P361+P364", "P260",
    "P405", "P391", "P362+P364", "P264", "P270", "P261", "P271", "P311", "P312", "P330", "P363",
    "P262", "P263", "P201", "P403+P233",
)  # fmt: skip
# Never on a candle's label: P202, P272, P284 speak to a workplace, P320 and P321 point to a
# treatment that must be written on the label by whoever knows it.
LEFT_OUT: Final = ("P202", "P272", "P284", "P320", "P321")

# Annex I 1.5.2.1.1 and 1.5.2.1.2 (read): packs of up to 125 ml, for the general public.
_MAY_LOSE_BOTH: Final = (
    "Skin Irrit. 2", "Eye Irrit. 2", "Aquatic Acute 1", "Aquatic Chronic 1", "Aquatic Chronic 2",
)  # fmt: skip
_MAY_LOSE_P: Final = ("Aquatic Chronic 3", "Aquatic Chronic 4")


@dataclass(frozen=True, slots=True)
class SmallPack:
    """What a pack of up to 125 ml might leave off, to be checked by hand (Art. 29(2)).

    Only where a label in full cannot be carried by a fold-out, a tag or an outer pack. Signal word
    and pictograms stay.
    """

    h: tuple[str, ...]
    p: tuple[str, ...]


def listed_p(result: Result) -> Mapping[str, tuple[str, ...]]:
    """Return every P statement that the classes list, with the H statements that list it."""
    listed: dict[str, list[str]] = {}
    for h in result.h:
        for p in _LISTED[h][0].split():
            listed.setdefault(p, []).append(h)
    return {p: tuple(listed[p]) for p in sorted(listed)}


def sureness_of(h: str) -> str:
    """Return how surely the P statements of an H statement were read: C or M."""
    return _LISTED[h][1]


def p_statements(result: Result) -> tuple[str, ...]:
    """Return the P statements of a candle for the general public, in the order of their numbers.

    At most six of those listed, by the order of `CHOSEN`; P102 goes with any hazard statement.
    None without one. An incomplete result gives what is known to be due, and no label.
    """
    due = {*listed_p(result), *(("P102",) if result.h else ())}
    return tuple(sorted([p for p in CHOSEN if p in due][:_AT_MOST]))


def statements_due(result: Result) -> tuple[str, ...]:
    """Return the numbers of all that a label must say: H, EUH208 and the chosen P statements."""
    return (*result.h, *(("EUH208",) if result.euh208 else ()), *p_statements(result))


def small_pack(result: Result) -> SmallPack:
    """Return which H and chosen P statements go with nothing but classes that the relief names."""
    lifted_h = {
        statement_of(word, result.classes) for word in result.classes if word in _MAY_LOSE_BOTH
    }
    lifted_p = lifted_h | {LABELS[word].h for word in result.classes if word in _MAY_LOSE_P}
    listed = listed_p(result)
    return SmallPack(
        h=tuple(h for h in result.h if h in lifted_h),
        p=tuple(p for p in p_statements(result) if p in listed and set(listed[p]) <= lifted_p),
    )
