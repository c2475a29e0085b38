"""Sensitisers, CMR and organ toxicity: each component alone; only H335 and H336 are summed."""

from fractions import Fraction

from .local import own_limit, relevant, summed
from .words import (
    CMR,
    LACT,
    RESP_SENS,
    SKIN_SENS,
    STOT_RE,
    STOT_SE,
    STOT_SE_3,
    Component,
    percent,
)

Found = dict[str, list[str]]

# T3.4.5 [S] and T3.4.6 [S; the same bands C in Annex II 2.10]: respiratory as skin, for a solid
SENSITISES = {"1A": percent("0.1"), "1": percent("1"), "1B": percent("1")}
ELICITS = {"1A": percent("0.01"), "1": percent("0.1"), "1B": percent("0.1")}
# [S: TRGS 201 2.2.5]
CMR_LIMITS = {
    "Carc. 1": percent("0.1"),
    "Carc. 2": percent("1"),
    "Muta. 1": percent("0.1"),
    "Muta. 2": percent("1"),
    "Repr. 1": percent("0.3"),
    "Repr. 2": percent("3"),
}
LACTATION = percent("0.3")
# [S: TRGS 201 2.2.6]: "SE1 >= 10 -> SE1; 1 <= SE1 < 10 -> SE2; SE2 >= 10 -> SE2", RE alike
STOT, STOT_LESSER = percent("10"), percent("1")
NARCOTIC, STOT_CUT_OFF = percent("20"), percent("1")


def _words_of(substance: Component, words: tuple[str, ...]) -> list[str]:
    return [word for word in words if word in substance["hazards"]]


def sensitising(pool: list[Component], words: tuple[str, ...]) -> Found:
    """Return the class of sensitisation: "at least one ingredient ... at or above" [C 3.4.3.3.1].

    Of several, that of 1A; then that without a sub-category, which may be a 1A; then 1B.
    """
    hits: Found = {}
    for substance in pool:
        for word in _words_of(substance, words):
            limit = own_limit(substance, words, SENSITISES[word.split()[-1]])
            if substance["share"] >= limit:
                hits.setdefault(word, []).append(substance["name"])
    worst = next((word for word in words if word in hits), None)
    return {worst: [name for names in hits.values() for name in names]} if worst else {}


def elicits(substance: Component) -> bool:
    """Tell whether a component is there in a share that an already allergic person notices.

    A tenth of its own limit, or the general one where that is lower: Note 1 to Table 3.4.6 is
    unread, and Annex II 2.10 speaks of "one tenth of the specific concentration limit".
    """
    for words in (SKIN_SENS, RESP_SENS):
        general = [ELICITS[word.split()[-1]] for word in _words_of(substance, words)]
        own = [
            substance["limits"][word] / 10
            for word in words
            if word in substance["limits"] and general
        ]
        if general and substance["share"] >= min(general + own):
            return True
    return False


def _above(pool: list[Component], word: str, limited_by: str, general: Fraction) -> list[str]:
    """Return the names of those with a word that are at their limit for another, or above."""
    held = [substance for substance in pool if word in substance["hazards"]]
    return [
        substance["name"]
        for substance in held
        if substance["share"] >= own_limit(substance, [limited_by], general)
    ]


def cmr(pool: list[Component]) -> Found:
    """Return the worst class of each of carcinogens, mutagens and what harms reproduction.

    With the names of all that are at or above their own limit, the milder ones too: ECHA's answer
    on Article 18(3) [S, a mirror] holds each of them responsible.
    """
    hits: Found = {}
    for substance in pool:
        for word in _words_of(substance, CMR):
            if substance["share"] >= own_limit(substance, [word], CMR_LIMITS[word.rstrip("AB")]):
                hits.setdefault(word, []).append(substance["name"])
    found: Found = {}
    for kind in ("Carc.", "Muta.", "Repr."):
        of_kind = [word for word in CMR if word in hits and word.startswith(kind)]
        if of_kind:
            found[of_kind[0]] = [name for word in of_kind for name in hits[word]]
    nursing = _above(pool, LACT, LACT, LACTATION)
    return found | ({LACT: nursing} if nursing else {})


def organs(pool: list[Component], words: tuple[str, str]) -> Found:
    """Return the class of organ toxicity after one exposure, or after many: each alone."""
    first, second = words
    high = _above(pool, first, first, STOT)
    low = _above(pool, first, second, STOT_LESSER) + _above(pool, second, second, STOT)
    if high:
        return {first: high + low}
    return {second: low} if low else {}


def transient(pool: list[Component]) -> Found:
    """Return H335 and H336, "20 %, each effect on its own", of a substance or substances."""
    found: Found = {}
    for word in STOT_SE_3:
        counted = [
            substance
            for substance in pool
            if word in substance["hazards"] and relevant(substance, [word], STOT_CUT_OFF)
        ]
        total, names = summed(
            [(substance, own_limit(substance, [word], NARCOTIC)) for substance in counted]
        )
        if total >= Fraction(1):
            found[word] = names
    return found


def alone(pool: list[Component]) -> Found:
    """Return every class of this module, with the names that lead to it."""
    return (
        sensitising(pool, SKIN_SENS)
        | sensitising(pool, RESP_SENS)
        | cmr(pool)
        | organs(pool, STOT_SE)
        | organs(pool, STOT_RE)
        | transient(pool)
    )
