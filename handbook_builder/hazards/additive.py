"""Classes whose components add up: skin, eyes, irritated airways, narcosis, aspiration.

A component with a specific limit is weighed by it: its share / its limit. Sources: weights and
limits of Table 3.2.3 (S) and of Table 3.3.3 (read in Canada's HPR 8.3.11(2), the same UN numbers);
the sum of shares over limits where limits differ is from memory, unconfirmed (M). Cut-offs are the
lower of 1 % and a specific limit (Annex I 1.1.2.2.2, read; Table 1.1 itself second-hand).
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from handbook_builder.hazards.component import Substance
from handbook_builder.hazards.threshold import (
    Family,
    Source,
    Term,
    Threshold,
    percent,
    term_of,
    weightiest,
)

_PLAIN: Final = "Skin Corr. 1"
_SUBS: Final = ("Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C")
_CORROSION: Final = (_PLAIN, *_SUBS)
_SKIN: Final = (*_CORROSION, "Skin Irrit. 2")
_EYES: Final = ("Eye Dam. 1", "Eye Irrit. 2")
_OF_SKIN: Final = Source("Annex I 3.2.3.3, Table 3.2.3", "S")
_OF_SUBS: Final = Source("Annex I 3.2.3.3, Table 3.2.3, note", "M")
_OF_EYES: Final = Source("Annex I 3.3.3.3, Table 3.3.3; Canada HPR 8.3.11(2)", "C")
_OF_AIRWAYS: Final = Source("Annex I 3.8.3.4.5", "S")
_OF_ASPIRATION: Final = Source("Annex I 3.10.3.3.1", "C")


def skin_family(substances: Sequence[Substance]) -> Family:
    """Return the rules for skin corrosion and irritation.

    Sub-categories go by the sums of those at least as severe (note to Table 3.2.3, from memory,
    unconfirmed); with a relevant component of category 1 without one, the mixture has none either.
    """
    plain = _corrosive(substances, _CORROSION)
    needed = tuple(term for term in plain if term.hazard == _PLAIN)
    whole = _sum("skin_corr", _PLAIN, _OF_SKIN, plain, needed)
    subs = tuple(
        _sum("skin_corr", word, _OF_SUBS, _corrosive(substances, _SUBS[: place + 1]))
        for place, word in enumerate(_SUBS)
    )
    irritant = _sum("skin_irrit", "Skin Irrit. 2", _OF_SKIN, _irritant(substances))
    return (*((whole,) if needed else ()), *subs, irritant)


def _corrosive(substances: Sequence[Substance], among: Sequence[str]) -> tuple[Term, ...]:
    """Return what components corrosive by one of the words bring to corrosion."""
    return tuple(
        term_of(
            substance,
            word,
            _least(substance, (*among, _PLAIN), percent(5)),
            _cut_off(substance, _SKIN),
        )
        for substance, word in _of(substances, among)
    )


def _irritant(substances: Sequence[Substance]) -> tuple[Term, ...]:
    """Return what components bring to irritation: (10 · Skin Corr. 1) + Skin Irrit. 2 ≥ 10 %."""
    corrosive = (
        _milder(substance, word, "Skin Irrit. 2", _SKIN)
        for substance, word in _of(substances, _CORROSION)
    )
    return (*corrosive, *_own(substances, "Skin Irrit. 2", percent(10), _SKIN))


def eye_family(substances: Sequence[Substance]) -> Family:
    """Return the rules for damage to eyes and their irritation.

    A component that corrodes skin and damages eyes counts once (our reading of HPR 8.3.2(4)).
    """
    damaging = _of(substances, ("Eye Dam. 1", *_CORROSION))
    damage = (
        term_of(
            substance,
            word,
            _least(substance, ("Eye Dam. 1",), percent(3)),
            _cut_off(substance, _EYES),
        )
        for substance, word in damaging
    )
    irritation = (_milder(substance, word, "Eye Irrit. 2", _EYES) for substance, word in damaging)
    own = _own(substances, "Eye Irrit. 2", percent(10), _EYES)
    return (
        _sum("eye_dam", "Eye Dam. 1", _OF_EYES, damage),
        _sum("eye_irrit", "Eye Irrit. 2", _OF_EYES, (*irritation, *own)),
    )


def airway_families(substances: Sequence[Substance]) -> tuple[Family, ...]:
    """Return the rules for irritated airways and for narcosis: 20 % of each effect on its own."""
    families = []
    for effect in ("H335", "H336"):
        word = f"STOT SE 3 ({effect})"
        terms = _own(substances, word, percent(20), (word,))
        families.append((_sum(f"stot_se_3_{effect.lower()}", word, _OF_AIRWAYS, terms),))
    return tuple(families)


def aspiration(substances: Sequence[Substance]) -> Threshold:
    """Return the rule for aspiration: components from 1 % on, 10 % together.

    It asks for a kinematic viscosity of 20.5 mm²/s or less at 40 °C as well, which a solid candle
    does not have: reached or not, it never makes a class of a candle.
    """
    terms = _own(substances, "Asp. Tox. 1", percent(10), ())
    return _sum("aspiration", "Asp. Tox. 1", _OF_ASPIRATION, terms)


def _sum(
    rule: str,
    outcome: str,
    source: Source,
    terms: Iterable[Term],
    needs: tuple[Term, ...] = (),
) -> Threshold:
    return Threshold(
        rule=rule,
        outcome=outcome,
        source=source,
        terms=weightiest(tuple(terms)),
        is_sum=True,
        needs=needs,
    )


def _of(substances: Sequence[Substance], among: Sequence[str]) -> list[tuple[Substance, str]]:
    return [
        (substance, word) for substance in substances for word in among if word in substance.words
    ]


def _least(substance: Substance, words: Sequence[str], generic: Fraction) -> Fraction:
    """Return the least limit that a substance gives for these words, or the general one."""
    return min(_given(substance, words), default=generic)


def _given(substance: Substance, words: Sequence[str]) -> list[Fraction]:
    """Return the limits that a substance gives for these words."""
    return [substance.limits[word] for word in words if word in substance.limits]


def _cut_off(substance: Substance, words: Sequence[str]) -> Fraction:
    """Return from which share on a substance counts: 1 %, or its own limit where that is lower."""
    return min([percent(1), *_given(substance, words)])


def _milder(substance: Substance, word: str, outcome: str, cut_by: Sequence[str]) -> Term:
    """Return what a component of the harsher class brings to the milder: ten times its share.

    A limit of its own for the milder class goes before. One for the harsher class below 1 % needs
    no regard: from that share on the mixture is of the harsher class, and the milder is not asked.
    """
    own, cut_off = substance.limits.get(outcome), _cut_off(substance, cut_by)
    if own is None:
        return term_of(substance, word, percent(10), cut_off, weight=10)
    return term_of(substance, word, own, cut_off)


def _own(
    substances: Sequence[Substance], word: str, generic: Fraction, cut_by: Sequence[str]
) -> tuple[Term, ...]:
    return tuple(
        term_of(substance, word, _least(substance, (word,), generic), _cut_off(substance, cut_by))
        for substance, word in _of(substances, (word,))
    )
