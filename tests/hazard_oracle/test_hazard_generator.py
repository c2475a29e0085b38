"""What is generated reaches every class, and stands on the edges of the rules."""

from collections import Counter
from fractions import Fraction

from .classify import classify
from .generate import mixture
from .words import ACUTE, ACUTE_UNSAID, FLAMMABLE, UNDERSTOOD

SEEDS = range(3000)
# what a solid candle doesn't take over, and words that are no class of a mixture
NEVER = {"Asp. Tox. 1", *FLAMMABLE, *ACUTE_UNSAID}


def _counted() -> Counter[str]:
    counts: Counter[str] = Counter()
    for seed in SEEDS:
        components, accounted_for = mixture(seed)
        told = classify(components, accounted_for=accounted_for)
        counts.update(told["classes"])
        counts.update(key for key, value in told.items() if value)
        counts["nothing"] += not told["classes"]
    return counts


def test_every_class_comes_up() -> None:
    """Agreement on a class that is never reached would prove nothing."""
    counts = _counted()
    rare = {word: counts[word] for word in UNDERSTOOD - NEVER if counts[word] < 5}
    assert {word: count for word, count in rare.items() if word not in ACUTE or not count} == {}
    share = {key: counts[key] / len(SEEDS) for key in ("complete", "nothing", "euh208", "contains")}
    assert all(Fraction(1, 10) < found < Fraction(9, 10) for found in share.values()), share


def test_a_mixture_is_the_same_each_time() -> None:
    """A seed that fails can be looked at."""
    assert [mixture(seed) for seed in range(50)] == [mixture(seed) for seed in range(50)]


def test_mixtures_stand_on_edges() -> None:
    """Many change when all shares are a hair less, and many when they are a hair more."""
    fewer, more = Fraction(10**11 - 1, 10**11), Fraction(10**11 + 1, 10**11)
    changed = Counter[str]()
    for seed in range(500):
        components, _ = mixture(seed)
        here = classify(components, accounted_for=True)
        for way, hair in (("fewer", fewer), ("more", more)):
            there = [substance | {"share": substance["share"] * hair} for substance in components]
            changed[way] += classify(there, accounted_for=True) != here
    assert min(changed["fewer"], changed["more"]) > 15, changed


def test_one_substance_stands_on_several_lines() -> None:
    """Often, and sometimes with something else said of it."""
    counts = Counter[str]()
    for seed in range(500):
        components, _ = mixture(seed)
        numbers = [substance["cas"] for substance in components]
        counts["twice"] += len(set(numbers)) < len(numbers)
        counts["unknown"] += any(substance["hazards"] is None for substance in components)
        counts["own limit"] += any(substance["limits"] for substance in components)
        counts["own estimate"] += any(substance["ate"] for substance in components)
    assert all(counts[kind] > 25 for kind in ("twice", "unknown", "own limit", "own estimate"))
