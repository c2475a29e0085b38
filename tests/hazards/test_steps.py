"""The loads at which something changes: solved, confirmed on both sides, and none forgotten."""

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from handbook_builder.hazards.classify import Result, classify
from handbook_builder.hazards.component import Component
from handbook_builder.hazards.steps import Mixture, Step, blend, steps
from tests.hazards.kit import pantry, part

NEAR = Fraction(1, 10**12)


def _held(result: Result) -> set[tuple[str, str]]:
    """Return all that a label bears, told in the terms of a step."""
    return (
        {("class", word) for word in result.classes}
        | {("pictogram", sign) for sign in result.pictograms}
        | {("statement", h) for h in result.h}
        | {("euh208", name) for name in result.euh208}
    )


def _at(mixture: Mixture, load: Fraction) -> set[tuple[str, str]]:
    return _held(classify(mixture.at(load), accounted_for=mixture.accounted_for))


def _changed(held: set[tuple[str, str]], step: Step) -> set[tuple[str, str]]:
    if step.appears is not None:
        return held | {(step.kind, step.appears)}
    return held - {(step.kind, step.falls_away or "")}


def test_one_sensitiser() -> None:
    """20 % · x / (1 + x) = 1 % at x = 1/19; EUH208 from 0.1 % on, at x = 1/199."""
    oil = (part("20", "Skin Sens. 1B", name="linalool", cas="78-70-6"),)
    found = [
        (one.at, one.kind, one.appears, one.falls_away, one.through, one.cas)
        for one in steps(Mixture(oil))
    ]
    by = (("linalool",), ("78-70-6",))
    assert found == [
        (Fraction(1, 199), "euh208", "linalool", None, *by),
        (Fraction(1, 19), "class", "Skin Sens. 1B", None, *by),
        (Fraction(1, 19), "euh208", None, "linalool", *by),
        (Fraction(1, 19), "pictogram", "GHS07", None, *by),
        (Fraction(1, 19), "statement", "H317", None, *by),
    ]


def test_a_sum_at_a_cut_off() -> None:
    """A sum that leaps over its limit where a share begins to count changes at the cut-off.

    60 % chronic 4 alone needs x/(1+x) = 25/60; with 24 % more, which counts from 1 % on (x =
    1/23), 84 % need 25/84, x = 25/59.
    """
    oil = (part("60", "Aquatic Chronic 4", cas="a"), part("24", "Aquatic Chronic 4", cas="b"))
    assert steps(Mixture(oil))[0].at == Fraction(25, 59)
    steep = (part("2.4", "Aquatic Chronic 3", cas="a"), part("97", "Aquatic Chronic 3", cas="b"))
    assert steps(Mixture(steep), up_to=Fraction(1, 2))[0].at == Fraction(25, 72)


def test_a_sum_leaps_where_a_share_begins_to_count() -> None:
    """61 % and 2.5 % of category 4, from 25 % on together: the second counts from 1 % on.

    It does so at x/(1+x) = 1/2.5, x = 2/3, where the first stands at 24.4 %: 25.4 % together.
    """
    oil = (part("61", "Aquatic Chronic 4", cas="a"), part("2.5", "Aquatic Chronic 4", cas="b"))
    (first, *_) = steps(Mixture(oil))
    assert (first.at, first.beyond, first.appears) == (
        Fraction(2, 3),
        False,
        "Aquatic Chronic 4",
    )


def test_a_sum_is_solved_between_two_cut_offs() -> None:
    """56 % and 2.5 % of category 4 come to 25 % at x/(1+x) = 25/58.5, x = 50/67.

    The second counts from x = 2/3 on, a third of 2.2 % only from x = 5/6 on.
    """
    oil = (
        part("56", "Aquatic Chronic 4", cas="a"),
        part("2.5", "Aquatic Chronic 4", cas="b"),
        part("2.2", "Aquatic Chronic 4", cas="c"),
    )
    (first, *_) = steps(Mixture(oil))
    assert (first.at, first.beyond) == (Fraction(50, 67), False)


def test_dye_thins_out() -> None:
    """A dye's share falls as oil is added: 2.04 % of 1.02 is 2 %; at 1 % exactly when x = 1.02."""
    dyes = (part("2.04", "Skin Sens. 1B", name="dye"),)
    mixture = Mixture((), dyes, dye_on_wax=Fraction("0.02"))
    (first, *_) = steps(mixture, up_to=Fraction(2))
    assert (first.at, first.beyond, first.falls_away) == (Fraction("1.02"), True, "Skin Sens. 1B")


def test_dye_and_oil_of_one_cas() -> None:
    """0.5 % on the wax, 10 % in the oil: (0.1 x + 0.005) / (1.02 + x) = 1 %, x = 0.0052/0.09."""
    oil = (part("10", "Skin Sens. 1B", cas="1-1-1"),)
    dyes = (part("0.5", "Skin Sens. 1B", cas="1-1-1"),)
    found = steps(Mixture(oil, dyes, dye_on_wax=Fraction("0.02")))
    assert next(one.at for one in found if one.kind == "class") == Fraction("0.0052") / Fraction(
        "0.09"
    )


def test_beyond_ten_per_cent_unknown() -> None:
    """The correction begins above 10 %, not at it: 90 % unknown in the oil, x = 1/8.

    There 10 % · 1/9 of 23 mg/kg come to 2,070 mg/kg, no class; corrected to 1,863, category 4.
    """
    oil = (part("10", "Acute Tox. 2 (oral)", ate={"oral": 23}), part("90", unknown=True))
    first = steps(Mixture(oil))[0]
    assert (first.at, first.beyond, first.appears) == (Fraction(1, 8), True, "Acute Tox. 4 (oral)")
    assert first.cas == ("10 of Acute Tox. 2 (oral)",)  # the unknown is told, and brings nothing


def test_pictogram_falls_away() -> None:
    """At 3 % of the damaging component the corrosion sign lifts the exclamation mark for skin."""
    oil = (part("20", "Eye Dam. 1", name="a"), part("60", "Skin Irrit. 2", name="b"))
    gone = [one for one in steps(Mixture(oil)) if one.falls_away == "GHS07"]
    (step,) = gone
    assert step.at == Fraction(3, 17)  # 0.2 x / (1 + x) = 0.03


def test_blend_is_one_oil() -> None:
    """Two oils at fixed proportions: 25 % of 8 % and 75 % of 4 % are 5 %: x/(1+x) = 1/5."""
    first = (part("8", "Skin Sens. 1B", cas="1-1-1"),)
    second = (part("4", "Skin Sens. 1B", cas="1-1-1"),)
    oil = blend(((Fraction(1, 4), first), (Fraction(3, 4), second)))
    assert [one.at for one in steps(Mixture(oil)) if one.kind == "class"] == [Fraction(1, 4)]


def test_no_oil_no_step() -> None:
    """Without oil and dye nothing changes, at whatever load."""
    assert steps(Mixture(())) == ()
    assert steps(Mixture((part("20", "Skin Sens. 1B"),)), up_to=Fraction(0)) == ()


@pytest.mark.deep
@given(pantry(), pantry(), st.sampled_from((Fraction(0), Fraction("0.002"), Fraction("0.3"))))
@settings(max_examples=60, deadline=None)
def test_every_step_is_there(
    oil: tuple[Component, ...], dyes: tuple[Component, ...], dye_on_wax: Fraction
) -> None:
    """Just before a step its item is as it was, and just after as it is, by `classify` alone."""
    mixture = Mixture(oil, dyes, dye_on_wax)
    for step in steps(mixture):
        item = (step.kind, step.appears or step.falls_away or "")
        sides = (step.at, step.at + NEAR) if step.beyond else (step.at - NEAR, step.at)
        before, after = (item in _at(mixture, load) for load in sides)
        assert (before, after) == ((False, True) if step.appears else (True, False))


@pytest.mark.deep
@given(
    pantry(), pantry(), st.sampled_from((Fraction(0), Fraction("0.002"))), st.lists(
        st.integers(0, 1000), min_size=1, max_size=8
    )
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_no_step_is_forgotten(
    oil: tuple[Component, ...], dyes: tuple[Component, ...], dye_on_wax: Fraction, mils: list[int]
) -> None:
    """At any load, the label is what it was at none and what the steps up to there have changed."""
    mixture = Mixture(oil, dyes, dye_on_wax)
    found = steps(mixture)
    for load in (Fraction(mil, 1000) for mil in mils):
        held = _at(mixture, Fraction(0))
        for step in found:
            if step.at < load or (step.at == load and not step.beyond):
                held = _changed(held, step)
        assert held == _at(mixture, load)


@pytest.mark.deep
@given(pantry(), pantry(), st.integers(1, 300))
@settings(max_examples=40, deadline=None)
def test_two_oils_at_half_load_are_one_at_full(
    oil: tuple[Component, ...], other: tuple[Component, ...], mil: int
) -> None:
    """A blend of an oil with itself is that oil; of two, whichever is named first."""
    load, half = Fraction(mil, 1000), Fraction(1, 2)
    itself = Mixture(blend(((half, oil), (half, oil))))
    assert classify(itself.at(load)) == classify(Mixture(oil).at(load))
    both = (
        Mixture(blend(((half, oil), (half, other)))),
        Mixture(blend(((half, other), (half, oil)))),
    )
    assert classify(both[0].at(load)) == classify(both[1].at(load))


@pytest.mark.deep
@given(pantry())
@settings(max_examples=30, deadline=None)
def test_steps_know_of_no_names(oil: tuple[Component, ...]) -> None:
    """Every step names whom it is through."""
    assume(oil)
    for step in steps(Mixture(oil)):
        assert step.through
        assert len(step.through) == len(step.cas)


# Mutations that cannot be told apart:
# - _solutions, `low <= load` against `low < load`, `load <= high` against `load < high`: both ends
#   of an interval are among the solutions already.
