"""The hazards to water, by summation with M-factors: Annex I 4.1.3.5.5.

Sums: ADR 2.2.9.1.10.4.6 for acute 1, chronic 1 and 2, the UN example 4.1a for chronic 3 and 4
(both read; the same UN rules). Components count from 0.1 % / M (category 1) or 1 % on (4.1.3.1).
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from handbook_builder.hazards.component import Substance
from handbook_builder.hazards.threshold import Family, Source, Term, Threshold, percent, term_of

_ACUTE: Final = "Aquatic Acute 1"
_CHRONIC: Final = (
    "Aquatic Chronic 1", "Aquatic Chronic 2", "Aquatic Chronic 3", "Aquatic Chronic 4",
)  # fmt: skip
_SOURCE: Final = Source("Annex I 4.1.3.5.5; ADR 2.2.9.1.10.4.6", "C")
_SOURCE_MILD: Final = Source("Annex I 4.1.3.5.5; UN GHS example 4.1a", "C")
_LIMIT: Final = percent(25)


def acute_family(substances: Sequence[Substance]) -> Family:
    """Return the rule Σ (Acute 1 · M) ≥ 25 %."""
    terms = tuple(
        _toxic(substance, _ACUTE, substance.m_acute, 1)
        for substance in substances
        if _ACUTE in substance.words
    )
    return (Threshold("aquatic_acute_1", _ACUTE, _SOURCE, terms, is_sum=True),)


def chronic_family(substances: Sequence[Substance]) -> Family:
    """Return the rules for lasting harm; each substance counts by its severest category.

    1: Σ (M · C1); 2: Σ (M · 10 · C1) + C2; 3: Σ (M · 100 · C1) + 10 · C2 + C3; 4: C1 + C2 + C3 +
    C4 without M; each ≥ 25 %.
    """
    severest = [
        (substance, next(place for place, word in enumerate(_CHRONIC) if word in substance.words))
        for substance in substances
        if substance.words.intersection(_CHRONIC)
    ]
    return tuple(
        Threshold(
            rule=f"aquatic_chronic_{sought + 1}",
            outcome=word,
            source=_SOURCE if sought < 2 else _SOURCE_MILD,  # noqa: PLR2004 - categories 1 and 2
            terms=tuple(
                _chronic(substance, place, sought)
                for substance, place in severest
                if place <= sought
            ),
            is_sum=True,
        )
        for sought, word in enumerate(_CHRONIC)
    )


def _chronic(substance: Substance, place: int, sought: int) -> Term:
    """Return what a substance brings to the category sought."""
    word = _CHRONIC[place]
    weight = 1 if sought == 3 else 10 ** (sought - place)  # noqa: PLR2004 - category 4, unweighted
    if place > 0:
        return term_of(substance, word, _LIMIT, percent(1), weight=weight)
    term = _toxic(substance, word, substance.m_chronic, weight)
    if sought == 3:  # noqa: PLR2004 - category 4 knows no M-factors
        return term_of(substance, word, _LIMIT, term.cut_off)
    return term


def _toxic(substance: Substance, word: str, factor: Fraction | None, weight: int) -> Term:
    """Return what a substance of category 1 brings, with M = 1 at any share where M is missing.

    A missing M leaves the result incomplete (`unsaid_factors`); this is then the least it can be.
    """
    cut_off = Fraction(0) if factor is None else percent("0.1") / factor
    return term_of(substance, word, _LIMIT, cut_off, weight=weight * (factor or Fraction(1)))


def unsaid_factors(substances: Sequence[Substance]) -> tuple[tuple[Substance, str, str], ...]:
    """Return the substances without an M-factor that is due, the code of that, and the class.

    Art. 10(2) and (4) (read): whoever classifies a mixture by summation sets the M-factor from
    data where none is given. So 1 is never assumed; it is only too little to matter where the
    mixture is in the severest class with 1 already.
    """
    unsaid = []
    for substance in substances:
        if _ACUTE in substance.words and substance.m_acute is None:
            unsaid.append((substance, "m_acute_missing", _ACUTE))
        if _CHRONIC[0] in substance.words and substance.m_chronic is None:
            unsaid.append((substance, "m_chronic_missing", _CHRONIC[0]))
    return tuple(unsaid)
