"""Classes that each component brings about alone: allergies, CMR, single organs.

Limits: Table 3.4.5 (S), Tables 3.5.2, 3.6.2 and 3.7.2 (S), Tables 3.8.3 and 3.9.4 (S); that one
component is asked for, and none are added, was read in 3.4.3.3.1 and 3.9.3.4.1 (C).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from handbook_builder.hazards.component import Note, Substance
from handbook_builder.hazards.threshold import (
    Family,
    Source,
    Term,
    Threshold,
    percent,
    term_of,
    weightiest,
)

_OF_ALLERGY: Final = Source("Annex I 3.4.3.3.1, Table 3.4.5", "S")
_OF_MUTAGENS: Final = Source("Annex I 3.5.3.1, Table 3.5.2", "S")
_OF_CARCINOGENS: Final = Source("Annex I 3.6.3.1, Table 3.6.2", "S")
_OF_REPRODUCTION: Final = Source("Annex I 3.7.3.1, Table 3.7.2", "S")
_OF_SINGLE: Final = Source("Annex I 3.8.3.4, Table 3.8.3", "S")
_OF_REPEATED: Final = Source("Annex I 3.9.3.4.1, Table 3.9.4", "S")

# Rule → its source, and its classes with their general limits, the severest first.
_ALONE: Final[Mapping[str, tuple[Source, tuple[tuple[str, str], ...]]]] = {
    "resp_sens": (
        _OF_ALLERGY,
        (("Resp. Sens. 1A", "0.1"), ("Resp. Sens. 1", "1"), ("Resp. Sens. 1B", "1")),
    ),
    "skin_sens": (
        _OF_ALLERGY,
        (("Skin Sens. 1A", "0.1"), ("Skin Sens. 1", "1"), ("Skin Sens. 1B", "1")),
    ),
    "muta": (_OF_MUTAGENS, (("Muta. 1A", "0.1"), ("Muta. 1B", "0.1"), ("Muta. 2", "1"))),
    "carc": (_OF_CARCINOGENS, (("Carc. 1A", "0.1"), ("Carc. 1B", "0.1"), ("Carc. 2", "1"))),
    "repr": (_OF_REPRODUCTION, (("Repr. 1A", "0.3"), ("Repr. 1B", "0.3"), ("Repr. 2", "3"))),
    "lact": (_OF_REPRODUCTION, (("Lact.", "0.3"),)),
}
_ORGANS: Final = {"STOT SE": _OF_SINGLE, "STOT RE": _OF_REPEATED}
# Table 3.4.6: from this share on an allergic person may react (row 1A, 1 and 1B; C for Annex II
# 2.10, which gives the same numbers, S for EUH208).
_ELICITATION: Final = {"1A": percent("0.01"), "1": percent("0.1"), "1B": percent("0.1")}


def alone_families(substances: Sequence[Substance]) -> tuple[Family, ...]:
    """Return the rules by which a component alone makes a class of the mixture."""
    plain = tuple(
        tuple(_rule(substances, rule, source, word, limit) for word, limit in classes)
        for rule, (source, classes) in _ALONE.items()
    )
    organs = tuple(_organs(substances, word, source) for word, source in _ORGANS.items())
    return (*plain, *organs)


def _rule(
    substances: Sequence[Substance], rule: str, source: Source, word: str, limit: str
) -> Threshold:
    terms = tuple(
        _alone(substance, word, _own_limit(substance, word, percent(limit)))
        for substance in substances
        if word in substance.words
    )
    return Threshold(rule, word, source, terms, is_sum=False)


def _own_limit(substance: Substance, word: str, generic: Fraction) -> Fraction:
    """Return the limit of a substance: for a sensitiser, the least that it gives for the allergy.

    Of several, as for 1A and 1B, too, since from the least on its own sheet calls it an allergen.
    """
    if not _is_sensitiser(word):
        return substance.limits.get(word, generic)
    family = word.rpartition(" ")[0]
    given = [limit for name, limit in substance.limits.items() if name.startswith(family)]
    return min(given, default=generic)


def _alone(substance: Substance, word: str, limit: Fraction) -> Term:
    """Return a term that is there exactly when it decides."""
    return term_of(substance, word, limit, cut_off=limit)


def _organs(substances: Sequence[Substance], family: str, source: Source) -> Family:
    """Return the rules for damaged organs: category 1 from 10 % on, category 2 from 1 % of 1."""
    first, second = f"{family} 1", f"{family} 2"
    rule = family.lower().replace(" ", "_")
    severe, some = [], []
    for substance in substances:
        if first in substance.words:
            limit = substance.limits.get(first, percent(10))
            severe.append(_alone(substance, first, limit))
            milder = substance.limits.get(second, min(percent(1), limit))
            some.append(_alone(substance, first, milder))
        if second in substance.words:
            some.append(_alone(substance, second, substance.limits.get(second, percent(10))))
    return (
        Threshold(f"{rule}_1", first, source, tuple(severe), is_sum=False),
        Threshold(f"{rule}_2", second, source, weightiest(some), is_sum=False),
    )


def _is_sensitiser(word: str) -> bool:
    return word.startswith(("Skin Sens.", "Resp. Sens."))


@dataclass(frozen=True, slots=True)
class Elicitation:
    """From which share on a sensitiser must be named, and what to check by hand about it."""

    key: str
    name: str
    hazards: tuple[str, ...]
    limit: Fraction
    by_hand: tuple[Note, ...]


def elicitations(substances: Sequence[Substance]) -> tuple[Elicitation, ...]:
    """Return the shares from which sensitisers must be named, Annex II 2.8 and Table 3.4.6.

    With a specific limit it is a tenth of it (Annex II 2.10). Note 1 to Table 3.4.6 says so for
    limits below 0.1 % only (not read): from there on the lower of both is taken, and told.
    """
    limits = []
    for substance in substances:
        words = tuple(word for word in sorted(substance.words) if _is_sensitiser(word))
        if words:
            limits.append(_elicitation(substance, words))
    return tuple(limits)


def _elicitation(substance: Substance, words: tuple[str, ...]) -> Elicitation:
    generic = min(_ELICITATION[word.rpartition(" ")[2]] for word in words)
    given = [limit for word, limit in substance.limits.items() if _is_sensitiser(word)]
    doubtful = [limit for limit in given if limit >= percent("0.1") and limit / 10 != generic]
    return Elicitation(
        key=substance.key,
        name=substance.name,
        hazards=words,
        limit=min([generic, *(limit / 10 for limit in given)]),
        by_hand=(substance.note("elicitation_limit"),) if doubtful else (),
    )
