"""What goes in: one component of a candle as a safety sheet describes it, and like ones as one."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from handbook_builder.hazards.wording import taken_word, taken_words

ROUTES: Final = ("oral", "dermal", "gas", "vapour", "mist")


@dataclass(frozen=True, slots=True)
class Component:
    """One component of a candle, at its `share` (0 to 1) of the finished candle's mass.

    `hazards` are class words as safety sheets write them (`wording.py`); None when they are not
    known, and () when it is known that there are none. `m_acute` and `m_chronic` are M-factors.
    `ate` holds acute toxicity estimates by route, in mg/kg for "oral" and "dermal", in ppmV for
    "gas" and in mg/L over four hours for "vapour" and "mist". `limits` holds specific
    concentration limits, as shares of the mixture, by the class word that they lead to. A value
    that cannot be is a mistake of the program: ValueError.
    """

    name: str
    cas: str
    share: Fraction
    hazards: tuple[str, ...] | None
    m_acute: Fraction | None = None
    m_chronic: Fraction | None = None
    ate: Mapping[str, Fraction] = field(default_factory=dict)
    limits: Mapping[str, Fraction] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse what cannot be, and seal the mappings."""
        _must(0 <= self.share <= 1, "share", self.share)
        for factor in (self.m_acute, self.m_chronic):
            _must(factor is None or factor >= 1, "M-factor", factor)
        for route, dose in self.ate.items():
            _must(route in ROUTES and dose > 0, "ate", (route, dose))
        for word, limit in self.limits.items():
            _must(0 < limit <= 1, "limit", (word, limit))
        object.__setattr__(self, "ate", MappingProxyType(dict(self.ate)))
        object.__setattr__(self, "limits", MappingProxyType(dict(self.limits)))

    @property
    def key(self) -> str:
        """Return what tells it from others: its CAS number, or its name where it has none."""
        return self.cas or self.name


@dataclass(frozen=True, slots=True)
class Note:
    """Something that a reader must be told about a component: `code`, and what it is about."""

    code: str
    name: str = ""
    cas: str = ""
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Substance:
    """All that is on file about one CAS number, whatever its share.

    `words` are class words as the rules know them; `unread` those that no rule knows. `told` are
    the places where its components differed or were unclear, and were taken on the safe side.
    """

    key: str
    name: str
    cas: str
    is_unknown: bool
    words: frozenset[str]
    unread: tuple[str, ...]
    m_acute: Fraction | None
    m_chronic: Fraction | None
    ate: Mapping[str, Fraction]
    limits: Mapping[str, Fraction]
    stray_limits: tuple[str, ...]
    told: tuple[Note, ...]

    def note(self, code: str, detail: str = "") -> Note:
        """Return a note about this substance."""
        return Note(code, self.name, self.cas, detail)


def shares_by_key(components: Iterable[Component]) -> Mapping[str, Fraction]:
    """Return the share of each substance: the components of one CAS number added up."""
    shares: dict[str, Fraction] = {}
    for component in components:
        shares[component.key] = shares.get(component.key, Fraction(0)) + component.share
    return shares


def substances(components: Sequence[Component]) -> tuple[Substance, ...]:
    """Return the substances of `components`, in the order of their keys.

    Components of one CAS number are one substance: its hazards are the union, its factors,
    estimates and limits the strictest that any of them gives. What has no share is left out.
    """
    alike: dict[str, list[Component]] = {}
    for component in components:
        if component.share > 0:
            alike.setdefault(component.key, []).append(component)
    return tuple(_substance(alike[key]) for key in sorted(alike))


def _substance(alike: Sequence[Component]) -> Substance:
    first = min(alike, key=lambda component: component.name)
    written = sorted({word for component in alike for word in component.hazards or ()})
    words = frozenset(word for text in written for word in taken_words(text))
    limits = _strictest(_taken_limits(component.limits) for component in alike)
    usable = {word for word in limits if may_limit(word, words)}
    return Substance(
        key=first.key,
        name=first.name,
        cas=first.cas,
        is_unknown=any(component.hazards is None for component in alike),
        words=words,
        unread=tuple(text for text in written if taken_word(text) is None),
        m_acute=_largest(component.m_acute for component in alike),
        m_chronic=_largest(component.m_chronic for component in alike),
        ate=_strictest(component.ate for component in alike),
        limits={word: limit for word, limit in limits.items() if word in usable},
        stray_limits=tuple(sorted(set(limits) - usable)),
        told=(*_differences(alike, first), *_unclear(written, first)),
    )


def _differences(alike: Sequence[Component], first: Component) -> tuple[Note, ...]:
    """Return in what components of one CAS number differ."""
    seen: dict[str, set[object]] = {
        "name": {component.name for component in alike},
        "hazards": {
            None if component.hazards is None else frozenset(component.hazards)
            for component in alike
        },
        "m_acute": {component.m_acute for component in alike},
        "m_chronic": {component.m_chronic for component in alike},
        "ate": {frozenset(component.ate.items()) for component in alike},
        "limits": {frozenset(component.limits.items()) for component in alike},
    }
    return tuple(
        Note("components_differ", first.name, first.cas, what)
        for what, values in seen.items()
        if len(values) > 1
    )


def _unclear(written: Sequence[str], first: Component) -> tuple[Note, ...]:
    return tuple(
        Note("effect_unsaid", first.name, first.cas, text)
        for text in written
        if taken_word(text) == "STOT SE 3"
    )


def _taken_limits(limits: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """Return limits by the words of the rules; one that no rule knows keeps its own word."""
    taken: dict[str, Fraction] = {}
    for text, limit in limits.items():
        for word in taken_words(text) or (text,):
            taken[word] = min(limit, taken.get(word, limit))
    return taken


_CORROSION: Final = ("Skin Corr. 1", "Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C")
# Class word of a component → the limits that its sheet may give with it, other than its own.
_MILDER: Final[Mapping[str, tuple[str, ...]]] = {
    **dict.fromkeys(_CORROSION, (*_CORROSION, "Skin Irrit. 2", "Eye Dam. 1", "Eye Irrit. 2")),
    "Eye Dam. 1": ("Eye Irrit. 2",),
    **dict.fromkeys(
        ("Skin Sens. 1", "Skin Sens. 1A", "Skin Sens. 1B"),
        ("Skin Sens. 1", "Skin Sens. 1A", "Skin Sens. 1B"),
    ),
    **dict.fromkeys(
        ("Resp. Sens. 1", "Resp. Sens. 1A", "Resp. Sens. 1B"),
        ("Resp. Sens. 1", "Resp. Sens. 1A", "Resp. Sens. 1B"),
    ),
    "STOT SE 1": ("STOT SE 2",),
    "STOT RE 1": ("STOT RE 2",),
}
# Acute toxicity has estimates, the water classes have M-factors, and neither takes a limit
# (Art. 10); aspiration and a liquid's flammability go by viscosity and flash point.
_WITHOUT_LIMIT: Final = ("Acute Tox.", "Aquatic", "Asp. Tox.", "Flam. Liq.")


def may_limit(word: str, words: frozenset[str]) -> bool:
    """Return whether a limit for `word` is one that a component of these hazards can have."""
    if word.startswith(_WITHOUT_LIMIT):
        return False
    return word in words or any(word in _MILDER.get(own, ()) for own in words)


def _largest(values: Iterable[Fraction | None]) -> Fraction | None:
    return max((value for value in values if value is not None), default=None)


def _strictest(given: Iterable[Mapping[str, Fraction]]) -> dict[str, Fraction]:
    """Return the least value on file of each name."""
    least: dict[str, Fraction] = {}
    for values in given:
        for name, value in values.items():
            least[name] = min(value, least.get(name, value))
    return least


def _must(holds: bool, name: str, value: object) -> None:  # noqa: FBT001 - a guard's condition
    if not holds:
        msg = f"{name} cannot be {value}"
        raise ValueError(msg)
