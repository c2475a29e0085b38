"""What must hold for whatever candle."""

from dataclasses import replace
from fractions import Fraction
from typing import Final

from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.hazards.classify import classify
from handbook_builder.hazards.component import Component
from handbook_builder.hazards.label import hazard_statements, pictograms, signal_word
from handbook_builder.hazards.precaution import p_statements, small_pack
from handbook_builder.hazards.steps import Mixture
from tests.hazards.kit import facts, pantry

# Classes of one family, the severest first: a candle with more oil never moves to the right.
FAMILIES: Final = (
    *(
        tuple(f"Acute Tox. {category} ({route})" for category in range(1, 5))
        for route in ("oral", "dermal", "gas", "vapour", "mist")
    ),
    ("Skin Corr. 1", "Skin Irrit. 2"),
    ("Eye Dam. 1", "Eye Irrit. 2"),
    ("Resp. Sens. 1",),
    ("Skin Sens. 1",),
    ("Muta. 1", "Muta. 2"),
    ("Carc. 1", "Carc. 2"),
    ("Repr. 1", "Repr. 2"),
    ("Lact.",),
    ("STOT SE 1", "STOT SE 2"),
    ("STOT SE 3 (H335)",),
    ("STOT SE 3 (H336)",),
    ("STOT RE 1", "STOT RE 2"),
    ("Aquatic Acute 1",),
    ("Aquatic Chronic 1", "Aquatic Chronic 2", "Aquatic Chronic 3", "Aquatic Chronic 4"),
)


def _ranks(classes: tuple[str, ...]) -> list[int]:
    """Return how severe each family is, 0 the severest."""
    return [
        next(
            (
                place
                for place, head in enumerate(family)
                if any(word.startswith(head) for word in classes)
            ),
            len(family),
        )
        for family in FAMILIES
    ]


@given(pantry(), st.integers(1, 400), st.integers(1, 400))
@settings(max_examples=100, deadline=None)
def test_more_oil_is_never_milder(oil: tuple[Component, ...], first: int, second: int) -> None:
    """With the load no class of any family becomes milder."""
    low, high = sorted((Fraction(first, 1000), Fraction(second, 1000)))
    milder, severer = (classify(Mixture(oil).at(load)) for load in (low, high))
    assert all(
        then <= now
        for now, then in zip(_ranks(milder.classes), _ranks(severer.classes), strict=True)
    )
    assert set(milder.contains) <= set(severer.contains)


@given(pantry(), st.randoms(use_true_random=False))
@settings(max_examples=100, deadline=None)
def test_order_does_not_matter(components: tuple[Component, ...], random: object) -> None:
    """A sheet may list its components in any order."""
    shuffled = list(components)
    random.shuffle(shuffled)  # type: ignore[attr-defined] # a Random
    assert classify(shuffled) == classify(components)


@given(pantry(), st.integers(1, 99))
@settings(max_examples=100, deadline=None)
def test_splitting_a_component_does_not_matter(
    components: tuple[Component, ...], percent: int
) -> None:
    """A component in two lines is the component in one."""
    part = Fraction(percent, 100)
    split = [
        replace(each, share=each.share * portion)
        for each in components
        for portion in (part, 1 - part)
    ]
    assert classify(split) == classify(components)


@given(pantry(), facts())
@settings(max_examples=100, deadline=None)
def test_a_further_component_is_never_milder(
    components: tuple[Component, ...], further: Component
) -> None:
    """Whatever is added, of a new CAS number, takes no class away and completes nothing."""
    strange = replace(further, cas="999-99-9", limits={})
    before, after = classify(components), classify((*components, strange))
    assert all(
        then <= now for now, then in zip(_ranks(before.classes), _ranks(after.classes), strict=True)
    )
    water = {"m_acute_missing", "m_chronic_missing"}  # the severest class asks for no factor
    assert {note for note in before.missing if note.code not in water} <= set(after.missing)


@given(pantry())
@settings(max_examples=100, deadline=None)
def test_a_result_agrees_with_itself(components: tuple[Component, ...]) -> None:
    """Label elements follow from the classes, every class has its working, P are at most six."""
    result = classify(components)
    assert result.complete == (not result.missing)
    assert result.signal == signal_word(result.classes)
    assert result.pictograms == pictograms(result.classes)
    assert result.h == hazard_statements(result.classes)
    assert not (result.euh208 and any("Sens." in word for word in result.classes))
    assert len(p_statements(result)) <= 6
    assert set(small_pack(result).p) <= set(p_statements(result))
    assert "H304" not in result.h
    for word in result.classes:
        assert result.working_of(word).through


@given(pantry())
@settings(max_examples=60, deadline=None)
def test_what_is_unknown_completes_nothing(components: tuple[Component, ...]) -> None:
    """Taking the hazards of any component away never makes a result complete, or a class new."""
    for place, each in enumerate(components):
        blind = (*components[:place], replace(each, hazards=None), *components[place + 1 :])
        assert not classify(blind).complete
