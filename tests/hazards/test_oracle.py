"""The hazards of a candle against an independent oracle, and what must hold of any mixture.

The oracle under `tests/hazard_oracle` was written from the published values alone and shares no
code with the package. Invented mixtures prove nothing about substances; they prove that two
readings of the rules agree.
"""

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from random import Random
from typing import Any, Final

import pytest

from handbook_builder.hazards.classify import classify
from handbook_builder.hazards.label import hazard_statements, pictograms, signal_word
from handbook_builder.hazards.steps import Mixture, Step, blend, steps
from tests.hazard_oracle import test_hazard_oracle_itself as by_hand
from tests.hazard_oracle import test_hazard_oracle_label as of_labels
from tests.hazard_oracle import test_hazard_oracle_unclear as of_doubts
from tests.hazard_oracle.generate import mixture
from tests.hazard_oracle.mixtures import holds
from tests.hazards.told import (
    Plain,
    at_load,
    component,
    differences,
    items,
    ours,
    taken,
    theirs,
    told,
)

# In slices, so that a failure names a few dozen and not all: 200 mixtures in every run, 2,000 in
# the deep one and 5,000 in the long one.
SLICE = 50
SLICES = (4, 20, 100)


def _parts(quick: int, deep: int, whole: int) -> list[Any]:
    """Return the first few for every run, more for the deep one, and all others for the long."""
    return [
        *range(quick),
        *(pytest.param(number, marks=pytest.mark.deep) for number in range(quick, deep)),
        *(pytest.param(number, marks=pytest.mark.long) for number in range(deep, whole)),
    ]


@pytest.mark.parametrize("part", _parts(*SLICES))
def test_the_oracle_agrees_on_generated_mixtures(part: int) -> None:
    """Completeness, classes, signal word, pictograms, statements and names: the same."""
    for seed in range(part * SLICE, (part + 1) * SLICE):
        components, accounted_for = mixture(seed)
        assert differences(components, accounted_for=accounted_for) == [], seed


def _hand_worked() -> list[Any]:
    """Return the mixtures of the oracle's own hand-worked cases, each at the edge of a clause."""
    worked = (*by_hand.CASES, *of_doubts.UNCLEAR, *of_labels.EUH208)
    cases = [(clause, parts) for clause, parts, _ in worked] + of_labels.NAMED
    cases += [
        (clause, [substance]) for clause, substance in (*of_doubts.DOUBTFUL, *of_doubts.CLEAR)
    ]
    return [pytest.param(parts, id=clause) for clause, parts in cases]


@pytest.mark.parametrize("components", _hand_worked())
def test_the_package_agrees_on_the_hand_worked_cases(components: list[Plain]) -> None:
    """What pins the oracle, clause by clause and at each edge, holds of the package too."""
    assert differences(components, accounted_for=True) == []
    assert differences(components, accounted_for=False) == []


@pytest.mark.parametrize("case", of_labels.LABELS, ids=str)
def test_the_package_agrees_on_labels(
    case: tuple[list[str], list[str], str | None, list[str]],
) -> None:
    """Precedence of statements and pictograms, and the signal word, of each set of classes."""
    found, *expected = case
    label = [list(hazard_statements(found)), signal_word(found), list(pictograms(found))]
    assert label == expected


# Classes of which a candle has one at most, the severest last.
RANKS: Final[Mapping[str, tuple[str, ...]]] = {
    **{
        route: tuple(f"Acute Tox. {number} ({route})" for number in (4, 3, 2, 1))
        for route in ("oral", "dermal", "gas", "vapour", "mist")
    },
    "skin": (
        "Skin Irrit. 2", "Skin Corr. 1C", "Skin Corr. 1B", "Skin Corr. 1A", "Skin Corr. 1",
    ),
    "eye": ("Eye Irrit. 2", "Eye Dam. 1"),
    **{
        kind: tuple(f"{kind} {number}" for number in ("2", "1B", "1A"))
        for kind in ("Carc.", "Muta.", "Repr.")
    },
    **{
        kind: tuple(f"{kind} {number}" for number in ("1B", "1", "1A"))
        for kind in ("Skin Sens.", "Resp. Sens.")
    },
    **{kind: (f"{kind} 2", f"{kind} 1") for kind in ("STOT SE", "STOT RE")},
    "chronic": tuple(f"Aquatic Chronic {number}" for number in (4, 3, 2, 1)),
    **{word: (word,) for word in ("Lact.", "Aquatic Acute 1", "STOT SE 3 (H335)",
       "STOT SE 3 (H336)")},
}  # fmt: skip


def _ranks(found: Plain) -> dict[str, int]:
    """Return how severe each kind of hazard is, 0 where there is none."""
    ranks = {
        kind: [place for place, word in enumerate(words, start=1) if word in found["classes"]]
        for kind, words in RANKS.items()
    }
    assert sum(map(len, ranks.values())) == len(found["classes"])
    return {kind: places[0] if places else 0 for kind, places in ranks.items()}


def _oil(seed: int) -> list[Plain]:
    """Return a generated mixture as an oil: as strong as it can be."""
    components, _ = mixture(seed)
    whole = sum(substance["share"] for substance in components)
    strength = min(1 / whole, Fraction(8))
    return [substance | {"share": substance["share"] * strength} for substance in components]


def _package_oil(seed: int) -> Mixture:
    return Mixture(tuple(component(substance) for substance in _oil(seed)))


SEEDS = _parts(40, 300, 1000)
LOADS = tuple(Fraction(load, 1000) for load in (1, 10, 35, 60, 63, 80, 100, 120, 250, 600))


@pytest.mark.parametrize("seed", SEEDS)
def test_more_oil_is_never_milder(seed: int) -> None:
    """No class becomes milder with the load, and no name that was told is dropped.

    A corrosive without a sub-category takes the sub-category away, which is not milder: the
    mixture's own may be any of them.
    """
    oil = _package_oil(seed)
    found = [told(classify(oil.at(load))) for load in LOADS]
    for less, more in pairwise(found):
        before, after = _ranks(less), _ranks(more)
        assert {kind for kind in before if before[kind] > after[kind]} == set()
        named = {*more["euh208"], *more["contains"]}
        assert {*less["euh208"], *less["contains"]} <= named


@pytest.mark.parametrize("seed", SEEDS)
def test_order_and_lines_change_nothing(seed: int) -> None:
    """Components in another order, on more lines or on fewer: the same candle."""
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    components, accounted_for = mixture(seed)
    expected = ours(components, accounted_for=accounted_for)
    shuffled = rng.sample(components, len(components))
    assert ours(shuffled, accounted_for=accounted_for) == expected
    split = []
    for substance in components:
        first = substance["share"] * Fraction(rng.randrange(0, 8), 7)
        split += [substance | {"share": first}, substance | {"share": substance["share"] - first}]
    assert ours(split, accounted_for=accounted_for) == expected
    assert ours(_merged(components), accounted_for=accounted_for) == expected


def _merged(components: list[Plain]) -> list[Plain]:
    """Return the lines that say the same of the same substance as one."""
    merged: list[Plain] = []
    for substance in components:
        said = {key: value for key, value in substance.items() if key != "share"}
        alike = next((other for other in merged if {**other, **said} == other), None)
        if alike is None:
            merged.append(dict(substance))
        else:
            alike["share"] += substance["share"]
    return merged


@pytest.mark.parametrize("seed", SEEDS)
def test_two_oils_at_half_the_load_are_one(seed: int) -> None:
    """The same oil twice at half the load, and two oils as one: the same candle."""
    load, half = LOADS[seed % len(LOADS)], Fraction(1, 2)
    oil, other = _package_oil(seed), _package_oil(seed + 1)
    twice = Mixture(blend([(half, oil.oil), (half, oil.oil)]))
    assert told(classify(twice.at(load))) == told(classify(oil.at(load)))
    both = Mixture(blend([(half, oil.oil), (half, other.oil)]))
    whole = 1 + load
    apart = [
        substance | {"share": substance["share"] * half * load / whole}
        for substance in (*_oil(seed), *_oil(seed + 1))
    ]
    assert told(classify(both.at(load))) == theirs(apart)


def _with_dyes(seed: int) -> tuple[list[Plain], list[Plain], Fraction]:
    """Return an oil, the components of a dye on the wax, and all dye there is on the wax.

    Every third candle has a dye, and every other of these holds what the oil holds too, of which
    the sheet of the dye says less: without any oil only that is known.
    """
    oil = _oil(seed)
    if seed % 3:
        return oil, [], Fraction(0)
    dyes = [substance | {"share": substance["share"] / 20} for substance in _oil(seed + 7)]
    if seed % 2:
        dyes.append(oil[0] | {"share": Fraction(1, 50), "hazards": [], "limits": {}})
    return oil, dyes, sum((substance["share"] for substance in dyes), Fraction(1, 1000))


def _assert_confirmed(oil: list[Plain], dyes: list[Plain], dye: Fraction) -> tuple[Step, ...]:
    """Hold every step against the oracle: at it, a hair beside it and between steps."""
    candle = Mixture(
        tuple(component(substance) for substance in oil),
        tuple(component(substance) for substance in dyes),
        dye,
    )
    found = steps(candle)
    edges = sorted({Fraction(0), Fraction(1), *(step.at for step in found)})
    hair = min(high - low for low, high in pairwise(edges)) / 1000
    held = items(at_load(oil, dyes, dye, Fraction(0)))
    for low, high in pairwise(edges):
        held = taken(held, [step for step in found if step.at == low and step.beyond])
        for load in (low + hair, (2 * low + high) / 3, (low + high) / 2, high - hair):
            assert items(at_load(oil, dyes, dye, load)) == held, float(load)
        held = taken(held, [step for step in found if step.at == high and not step.beyond])
        assert items(at_load(oil, dyes, dye, high)) == held, float(high)
    assert all(0 <= step.at <= 1 for step in found)
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_every_step_is_one_by_the_oracle(seed: int) -> None:
    """So no step is told that is none, and none is left out that would show between two others."""
    _assert_confirmed(*_with_dyes(seed))


def test_a_step_that_comes_only_beyond_a_load() -> None:
    """Ten per cent of unknown corrects nothing; the least above it makes a fourth category of this.

    Worked by hand: at a quarter of the wax the oil is a fifth of the candle, so that 10 % of it are
    unknown, and 9.6 / 202 % of the rest come to 2104 mg/kg; less the tenth, to 1894, below 2000.
    """
    toxic = holds("48", "Acute Tox. 3 (oral)", ate={"oral": "202"})
    unknown = holds("50") | {"hazards": None}
    found = _assert_confirmed([toxic, unknown], [], Fraction(0))
    first = next(step for step in found if step.appears == "Acute Tox. 4 (oral)")
    assert (first.at, first.beyond) == (Fraction(1, 4), True)


def test_generated_oils_have_steps() -> None:
    """Of every kind, or that the oracle confirms them would prove nothing."""
    found = [step for seed in range(40) for step in steps(_package_oil(seed))]
    kinds = {(step.kind, step.appears is None) for step in found}
    both = {(kind, falls) for kind in ("class", "statement", "euh208") for falls in (False, True)}
    assert kinds >= {*both, ("pictogram", False)}
