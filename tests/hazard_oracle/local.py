"""Skin and eyes: what corrodes and what irritates is summed, each against its own limit."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from .words import EYE_DAM, EYE_IRRIT, SKIN_CORR, SKIN_IRRIT, Component, percent

# "Generic cut-offs: ... skin, eye 1" and "ingredients from 1.0 %" [S; C(Canada HPR 8.3.11)]
CUT_OFF = percent("1")
CORR, CORR_AS_IRRITANT, IRRITANT = percent("5"), percent("1"), percent("10")  # T3.2.3 [C(Canada)]
DAM, DAM_AS_IRRITANT = percent("3"), percent("1")  # T3.3.3 [C(Canada HPR 8.3.11(2))]
Sum = tuple[Fraction, list[str]]


def own_limit(substance: Component, words: Iterable[str], general: Fraction) -> Fraction:
    """Return the lowest specific limit of some words, or the general one where none is given."""
    return min(
        (substance["limits"][word] for word in words if word in substance["limits"]),
        default=general,
    )


def relevant(substance: Component, words: Iterable[str], cut_off: Fraction) -> bool:
    """Tell whether a component counts at all.

    Says CLP 1.1.2.2.2(a)(i) [C, reachonline]: "the lower of the specific concentration limit and
    the relevant generic cut-off value in Table 1.1".
    """
    share: Fraction = substance["share"]
    return share >= min(cut_off, own_limit(substance, words, cut_off))


def summed(parts: Sequence[tuple[Component, Fraction]]) -> Sum:
    """Return the sum of shares over their limits, and the names in it: it takes hold at 1."""
    total = sum((substance["share"] / limit for substance, limit in parts), Fraction(0))
    return total, [substance["name"] for substance, _ in parts]


def _corrosive(corrosive: list[Component]) -> str | None:
    """Return the category of corrosion, or None.

    The note to Table 3.2.3 (from memory, unconfirmed): 1A, 1B and 1C by the sums of those at least
    as severe; with a component of category 1 without a sub-category the mixture has none either.
    """
    plain, *subs = SKIN_CORR
    if any(plain in substance["hazards"] for substance in corrosive):
        total, _ = summed(
            [(substance, own_limit(substance, SKIN_CORR, CORR)) for substance in corrosive]
        )
        if total >= 1:
            return plain
    for place, word in enumerate(subs, start=1):
        harsh = subs[:place]
        among = [substance for substance in corrosive if substance["hazards"].intersection(harsh)]
        total, _ = summed(
            [(substance, own_limit(substance, [plain, *harsh], CORR)) for substance in among]
        )
        if total >= 1:
            return word
    return None


def skin(pool: list[Component]) -> dict[str, list[str]]:
    """Return the class of skin corrosion or irritation, with the names that lead to it."""
    words = (*SKIN_CORR, SKIN_IRRIT)
    counted = [substance for substance in pool if relevant(substance, words, CUT_OFF)]
    corrosive = [substance for substance in counted if substance["hazards"].intersection(SKIN_CORR)]
    irritant = [
        substance
        for substance in counted
        if SKIN_IRRIT in substance["hazards"] and substance not in corrosive
    ]
    found = _corrosive(corrosive)
    if found:
        return {found: [substance["name"] for substance in corrosive]}
    # "(10 x Corr 1) + Irrit 2 >= 10 %", and ">= 1 and < 5 % -> Skin Irrit 2": a limit of 1 %
    parts = [
        (substance, own_limit(substance, [SKIN_IRRIT], CORR_AS_IRRITANT)) for substance in corrosive
    ]
    parts += [(substance, own_limit(substance, [SKIN_IRRIT], IRRITANT)) for substance in irritant]
    total, names = summed(parts)
    return {SKIN_IRRIT: names} if total >= 1 else {}


def eye(pool: list[Component]) -> dict[str, list[str]]:
    """Return the class of eye damage or irritation, with the names that lead to it.

    What corrodes the skin counts as eye damage, once: "Skin Corr 1 substances are also Eye Dam 1"
    [C(Canada HPR 8.3.2(4))].
    """
    words = (EYE_DAM, EYE_IRRIT)
    counted = [substance for substance in pool if relevant(substance, words, CUT_OFF)]
    severe = [
        substance
        for substance in counted
        if substance["hazards"].intersection((EYE_DAM, *SKIN_CORR))
    ]
    irritant = [
        substance
        for substance in counted
        if EYE_IRRIT in substance["hazards"] and substance not in severe
    ]
    total, names = summed(
        [(substance, own_limit(substance, [EYE_DAM], DAM)) for substance in severe]
    )
    if total >= 1:
        return {EYE_DAM: names}
    parts = [
        (substance, own_limit(substance, [EYE_IRRIT], DAM_AS_IRRITANT)) for substance in severe
    ]
    parts += [(substance, own_limit(substance, [EYE_IRRIT], IRRITANT)) for substance in irritant]
    total, names = summed(parts)
    return {EYE_IRRIT: names} if total >= 1 else {}


def local(pool: list[Component]) -> dict[str, list[str]]:
    """Return the classes of skin and eyes; a candle that corrodes the skin damages eyes too."""
    found = skin(pool) | eye(pool)
    corroding = next((names for word, names in found.items() if word in SKIN_CORR), None)
    if corroding and EYE_DAM not in found:
        found.pop(EYE_IRRIT, None)
        found[EYE_DAM] = corroding
    return found
