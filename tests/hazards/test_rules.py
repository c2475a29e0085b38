"""The rules one by one, with answers worked out by hand from the clauses.

`C`, `S`, `M`, `X` behind a clause say how surely the rule was read (see the package).
"""

from fractions import Fraction

import pytest

from handbook_builder.hazards.classify import classify
from handbook_builder.hazards.component import Component, Note
from tests.hazards.kit import classes, codes, part

CASES = [
    # Skin, Table 3.2.3 (S)
    ("corrosive at five", (part("5", "Skin Corr. 1B"),), ("Skin Corr. 1B", "Eye Dam. 1")),
    (
        "corrosives add up: 3 + 2",
        (part("3", "Skin Corr. 1B"), part("2", "Skin Corr. 1B")),
        ("Skin Corr. 1B", "Eye Dam. 1"),
    ),
    (
        "below five together: irritating, and 4.9 ≥ 3 harms eyes",
        (part("4.9", "Skin Corr. 1A"),),
        ("Skin Irrit. 2", "Eye Dam. 1"),
    ),
    ("ten of an irritant", (part("10", "Skin Irrit. 2"),), ("Skin Irrit. 2",)),
    (
        "ten times 0.9 counts not: below the cut-off of 1 %",
        (part("0.9", "Skin Corr. 1"), part("9", "Skin Irrit. 2")),
        (),
    ),
    (
        "irritants add up: 6 + 4",
        (part("6", "Skin Irrit. 2"), part("4", "Skin Irrit. 2")),
        ("Skin Irrit. 2",),
    ),
    ("irritants: 6 + 3.9", (part("6", "Skin Irrit. 2"), part("3.9", "Skin Irrit. 2")), ()),
    (
        "1A 3 % and 1B 3 %: neither 1A alone, together 1B (M)",
        (part("3", "Skin Corr. 1A"), part("3", "Skin Corr. 1B")),
        ("Skin Corr. 1B", "Eye Dam. 1"),
    ),
    (
        "1A 3 % and 1C 3 %: 1C (M)",
        (part("3", "Skin Corr. 1A"), part("3", "Skin Corr. 1C")),
        ("Skin Corr. 1C", "Eye Dam. 1"),
    ),
    (
        "a category 1 without a sub-category leaves the mixture without one (M)",
        (part("5", "Skin Corr. 1A"), part("1", "Skin Corr. 1")),
        ("Skin Corr. 1", "Eye Dam. 1"),
    ),
    (
        "unless it is below its cut-off (M)",
        (part("5", "Skin Corr. 1A"), part("0.9", "Skin Corr. 1")),
        ("Skin Corr. 1A", "Eye Dam. 1"),
    ),
    # Specific limits as a sum of shares over limits (M): 1/5 + 8/10 = 1
    (
        "a specific limit weighs: 2 of 10 % and 8 of 10 %",
        (
            part("2", "Skin Irrit. 2", limits={"Skin Irrit. 2": "10"}),
            part("8", "Skin Irrit. 2"),
        ),
        ("Skin Irrit. 2",),
    ),
    (
        "a lower specific limit: 0.5 of 1 % and 5 of 10 %",
        (part("0.5", "Skin Irrit. 2", limits={"Skin Irrit. 2": "0.5"}),),
        ("Skin Irrit. 2",),
    ),
    (
        "below one's own lower limit nothing counts: 0.4 of 0.5 %, 9 of 10 % (C, 1.1.2.2.2)",
        (
            part("0.4", "Skin Irrit. 2", limits={"Skin Irrit. 2": "0.5"}),
            part("9", "Skin Irrit. 2"),
        ),
        (),
    ),
    (
        "a higher specific limit goes before the general: 15 of 20 %",
        (part("15", "Skin Irrit. 2", limits={"Skin Irrit. 2": "20"}),),
        (),
    ),
    (
        "a corrosive with its own limits, 25 % and 10 %",
        (
            part(
                "12",
                "Skin Corr. 1B",
                limits={"Skin Corr. 1B": "25", "Skin Irrit. 2": "10", "Eye Dam. 1": "15"},
            ),
        ),
        ("Skin Irrit. 2", "Eye Irrit. 2"),
    ),
    (
        "limits for two sub-categories: 20 % makes 1A, 5 % makes 1B",
        (part("6", "Skin Corr. 1A", limits={"Skin Corr. 1A": "20", "Skin Corr. 1B": "5"}),),
        ("Skin Corr. 1B", "Eye Dam. 1"),
    ),
    (
        "corrosive from 0.5 %: irritating below is no question, and eyes go with skin (X, M)",
        (part("0.5", "Skin Corr. 1B", limits={"Skin Corr. 1B": "0.5"}),),
        ("Skin Corr. 1B", "Eye Dam. 1"),
    ),
    # Eyes, Table 3.3.3 (C, in Canada's law)
    ("one of damage: irritating", (part("1", "Eye Dam. 1"),), ("Eye Irrit. 2",)),
    ("below one of damage", (part("0.99", "Eye Dam. 1"),), ()),
    (
        "both in one component count once: 2 %",
        (part("2", "Skin Corr. 1C", "Eye Dam. 1"),),
        ("Skin Irrit. 2", "Eye Irrit. 2"),
    ),
    (
        "corrosive and damaging add up: 1.5 + 1.5",
        (part("1.5", "Skin Corr. 1C"), part("1.5", "Eye Dam. 1")),
        ("Skin Irrit. 2", "Eye Dam. 1"),
    ),
    ("ten of an eye irritant", (part("10", "Eye Irrit. 2"),), ("Eye Irrit. 2",)),
    (
        "its own limit for eyes: 0.6 of 0.5 %",
        (part("0.6", "Eye Dam. 1", limits={"Eye Dam. 1": "0.5"}),),
        ("Eye Dam. 1",),
    ),
    (
        "its own limit for irritated eyes: 0.6 of 0.5 %",
        (part("0.6", "Eye Dam. 1", limits={"Eye Irrit. 2": "0.5"}),),
        ("Eye Irrit. 2",),
    ),
    # Allergies, 3.4.3.3.1 (C): each alone
    ("sensitisers never add up", (part("0.9", "Skin Sens. 1B"), part("0.8", "Skin Sens. 1B")), ()),
    (
        "1A goes before 1B",
        (part("2", "Skin Sens. 1B"), part("0.2", "Skin Sens. 1A")),
        ("Skin Sens. 1A",),
    ),
    (
        "without a sub-category goes before 1B",
        (part("2", "Skin Sens. 1B"), part("1", "Skin Sens. 1")),
        ("Skin Sens. 1",),
    ),
    ("airways at one (S)", (part("1", "Resp. Sens. 1B"),), ("Resp. Sens. 1B",)),
    ("airways 1A at a tenth (S)", (part("0.1", "Resp. Sens. 1A"),), ("Resp. Sens. 1A",)),
    (
        "a limit for category 1 holds for its sub-category",
        (part("0.05", "Skin Sens. 1A", limits={"Skin Sens. 1": "0.05"}),),
        ("Skin Sens. 1A",),
    ),
    (
        "a limit for irritation is none for the allergy",
        (part("0.6", "Skin Irrit. 2", "Skin Sens. 1B", limits={"Skin Irrit. 2": "0.7"}),),
        (),
    ),
    # CMR (S), each alone
    ("carcinogen at a tenth", (part("0.1", "Carc. 1B"),), ("Carc. 1B",)),
    ("carcinogens never add up", (part("0.09", "Carc. 1B"), part("0.05", "Carc. 1A")), ()),
    ("suspected carcinogen at one", (part("1", "Carc. 2"),), ("Carc. 2",)),
    ("mutagen", (part("0.1", "Muta. 1A"), part("0.1", "Muta. 1B")), ("Muta. 1A",)),
    ("suspected mutagen below one", (part("0.99", "Muta. 2"),), ()),
    ("reproduction at 0.3", (part("0.3", "Repr. 1B"),), ("Repr. 1B",)),
    ("reproduction 2 at 3", (part("3", "Repr. 2"),), ("Repr. 2",)),
    ("reproduction 2 below 3", (part("2.9", "Repr. 2"),), ()),
    ("milk at 0.3", (part("0.3", "Lact."),), ("Lact.",)),
    (
        "a specific limit of a carcinogen",
        (part("0.05", "Carc. 1B", limits={"Carc. 1B": "0.05"}),),
        ("Carc. 1B",),
    ),
    # Organs (S), each alone
    ("one exposure at ten", (part("10", "STOT SE 1"),), ("STOT SE 1",)),
    ("one exposure from one on", (part("1", "STOT SE 1"),), ("STOT SE 2",)),
    ("organs never add up", (part("6", "STOT RE 1"), part("7", "STOT RE 1")), ("STOT RE 2",)),
    ("repeated 2 at ten", (part("10", "STOT RE 2"),), ("STOT RE 2",)),
    ("repeated 2 below ten", (part("9.9", "STOT RE 2"),), ()),
    (
        "organs with a limit of their own below 1 %",
        (part("0.5", "STOT SE 1", limits={"STOT SE 1": "0.5"}),),
        ("STOT SE 1",),
    ),
    (
        "both categories on file: the severer decides",
        (part("5", "STOT SE 1", "STOT SE 2"),),
        ("STOT SE 2",),
    ),
    # Irritated airways and narcosis add up, each effect on its own (S)
    (
        "airways add up to 20",
        (part("12", "STOT SE 3 (H335)"), part("8", "STOT SE 3 (H335)")),
        ("STOT SE 3 (H335)",),
    ),
    (
        "the two effects never add up",
        (part("12", "STOT SE 3 (H335)"), part("8", "STOT SE 3 (H336)")),
        (),
    ),
    # Acute toxicity, 3.1.3.6 (C in Canada's law and UN examples)
    ("oral: 20/500 = 40/1000", (part("25", "Acute Tox. 4 (oral)"),), ("Acute Tox. 4 (oral)",)),
    ("oral: 24.9 % at 500 is 2008", (part("24.9", "Acute Tox. 4 (H302)"),), ()),
    ("dermal point 1100: 55 %", (part("55", "Acute Tox. 4 (dermal)"),), ("Acute Tox. 4 (dermal)",)),
    ("gas point 4500 ppm: 22.5 %", (part("22.5", "Acute Tox. 4 (gas)"),), ("Acute Tox. 4 (gas)",)),
    (
        "mist point 1.5: 30 %",
        (part("30", "Acute Tox. 4 (dust)"),),
        ("Acute Tox. 4 (mist)",),
    ),
    (
        "an estimate goes before the point: 1500, 75 %",
        (part("75", "Acute Tox. 4 (oral)", ate={"oral": 1500}),),
        ("Acute Tox. 4 (oral)",),
    ),
    (
        "category 1 counts from 0.1 %: 0.5 mg/kg makes 500",
        (part("0.1", "Acute Tox. 1 (oral)"),),
        ("Acute Tox. 4 (oral)",),
    ),
    ("category 1 below 0.1 %", (part("0.099", "Acute Tox. 1 (oral)"),), ()),
    (
        "two routes are two classes",
        (part("60", "Acute Tox. 4 (oral)", "Acute Tox. 4 (dermal)"),),
        ("Acute Tox. 4 (oral)", "Acute Tox. 4 (dermal)"),
    ),
    (
        "the upper end of a category belongs to it: 2,000 (C)",
        (part("100", "Acute Tox. 4 (oral)", ate={"oral": 2000}),),
        ("Acute Tox. 4 (oral)",),
    ),
    # Water, 4.1.3.1 (C): 0.1/M and 1 %
    (
        "acute at 25 with M 10: 2.5 %",
        (part("2.5", "Aquatic Acute 1", m=(10, None)),),
        ("Aquatic Acute 1",),
    ),
    (
        "0.01 % counts with M 2500",
        (part("0.01", "Aquatic Acute 1", m=(2500, None)),),
        ("Aquatic Acute 1",),
    ),
    (
        "below 0.1/M: 0.009 % of M 10 brings nothing to chronic 3's 25",
        (part("0.009", "Aquatic Chronic 1", m=(None, 10)), part("24.5", "Aquatic Chronic 3")),
        (),
    ),
    (
        "chronic 2 and 3: 10 · 2 + 5",
        (part("2", "Aquatic Chronic 2"), part("5", "Aquatic Chronic 3")),
        ("Aquatic Chronic 3",),
    ),
    (
        "chronic 3 and 4 as 4: 20 + 5",
        (part("20", "Aquatic Chronic 3"), part("5", "Aquatic Chronic 4")),
        ("Aquatic Chronic 4",),
    ),
    ("chronic 2 alone", (part("25", "Aquatic Chronic 2"),), ("Aquatic Chronic 2",)),
    ("chronic 4 below its cut-off", (part("0.9", "Aquatic Chronic 4"),), ()),
    # A solid candle
    ("aspiration makes no class", (part("40", "Asp. Tox. 1"),), ()),
    ("a flammable liquid makes no class", (part("40", "Flam. Liq. 2"),), ()),
    ("nothing at all", (), ()),
    ("known to have none", (part("50"),), ()),
    ("a share of nothing", (part("0", "Carc. 1A"),), ()),
]  # fmt: skip


@pytest.mark.parametrize(
    ("components", "expected"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_classes(components: tuple[Component, ...], expected: tuple[str, ...]) -> None:
    """The classes of the mixture are those that the clauses give, and nothing is missing."""
    result = classify(components)
    assert result.classes == expected
    assert result.complete


# What is unknown or unclear: never nothing.
GAPS = [
    ((part("0.001", unknown=True),), "hazards_unknown"),
    ((part("0.001", "Aquatic Acute 2"),), "word_unknown"),
    ((part("0.001", "Acute Tox. 5"),), "word_unknown"),
    ((part("1", "Acute Tox. 4"),), "route_unsaid"),
    ((part("1", "Acute Tox. 4", ate={"oral": 3000}),), "route_unsaid"),
    ((part("0.1", "Acute Tox. 3 (inhalation)"),), "route_unsaid"),
    ((part("1", "Acute Tox. 4 (oral)", ate={"oral": 200}),), "estimate_contradicts"),
    ((part("1", "Acute Tox. 4 (oral)", ate={"oral": 2500}),), "estimate_contradicts"),
    ((part("1", "Acute Tox. 3 (oral)", ate={"oral": 400}),), "estimate_contradicts"),
    ((part("0.001", "Aquatic Acute 1"),), "m_acute_missing"),
    ((part("1", "Aquatic Acute 1", m=(None, 1)),), "m_acute_missing"),
    ((part("24", "Aquatic Chronic 1"),), "m_chronic_missing"),
    ((part("1", "Skin Irrit. 2", limits={"Skin Sens. 1A": "0.01"}),), "limit_without_class"),
    ((part("1", "Acute Tox. 4 (oral)", limits={"Acute Tox. 4": "3"}),), "limit_without_class"),
    (
        (part("1", "Aquatic Acute 1", m=(1, 1), limits={"Aquatic Acute 1": "1"}),),
        "limit_without_class",
    ),
    ((part("1", "Carc. 2", limits={"Carc. 1B": "1"}),), "limit_without_class"),
    ((part("1", "Carc. 2", limits={"what is this": "1"}),), "limit_without_class"),
]  # fmt: skip


@pytest.mark.parametrize(("components", "code"), GAPS)
def test_gaps(components: tuple[Component, ...], code: str) -> None:
    """What is not known leaves the result incomplete, and names the component."""
    result = classify(components)
    (note,) = result.missing
    assert (result.complete, note.code, note.name) == (False, code, components[0].name)


@pytest.mark.parametrize(
    "component",
    [
        part("0.99", "Acute Tox. 4"),  # by whatever route, it is below the cut-off of 1 %
        part("0.09", "Acute Tox. 3"),
        part("1", "Acute Tox. 4", ate={"oral": 500}),  # one estimate tells the route
        part("1", "Acute Tox. 4 (inhalation)", ate={"vapour": 15}),
        part("25", "Aquatic Acute 1"),  # with M = 1 it is in the severest class already
        part("25", "Aquatic Chronic 1"),
        part("0.9", "Acute Tox. 4 (oral)", ate={"oral": 2500}),
    ],
)
def test_no_gap(component: Component) -> None:
    """What could not change the answer is not asked for."""
    assert classify((component,)).complete


def test_unclear_acute_is_on_the_safe_side() -> None:
    """Beside the gap the least that is known is reckoned: swallowed, inhaled as vapour."""
    assert classes(part("30", "Acute Tox. 4")) == ("Acute Tox. 4 (oral)",)
    assert classes(part("60", "Acute Tox. 4 (inhalation)")) == ("Acute Tox. 4 (vapour)",)
    # swallowed it is harmless by its estimate: then through the skin
    assert classes(part("60", "Acute Tox. 4", ate={"oral": 3000})) == ("Acute Tox. 4 (dermal)",)
    # inhaled is not swallowed, whatever the estimate for that
    inhaled = part("60", "Acute Tox. 4 (inhalation)", ate={"oral": 500})
    assert "Acute Tox. 4 (vapour)" in classes(inhaled)
    assert not classify((inhaled,)).complete
    # a route whose estimate is beyond all categories is not the one that was meant
    for doses, route in (
        ({"oral": 3000, "dermal": 3000}, "vapour"),
        ({"oral": 3000, "dermal": 3000, "vapour": 30}, "oral"),
    ):
        assert classes(part("60", "Acute Tox. 4", ate=doses)) == (f"Acute Tox. 4 ({route})",)
    for doses, route in (
        ({"vapour": 30}, "mist"),
        ({"vapour": 30, "mist": 6}, "gas"),
        ({"vapour": 30, "mist": 6, "gas": 30000}, "vapour"),
    ):
        unsaid = part("60", "Acute Tox. 4 (inhalation)", ate=doses)
        assert classes(unsaid) == (f"Acute Tox. 4 ({route})",)
    # the severer of class and estimate: category 3 at its point of 100, not 1,900
    assert classes(part("40", "Acute Tox. 3 (oral)", ate={"oral": 1900})) == (
        "Acute Tox. 3 (oral)",
    )
    assert classes(part("40", "Acute Tox. 4 (oral)", ate={"oral": 100})) == ("Acute Tox. 3 (oral)",)


def test_a_class_whose_estimates_tell_two_routes() -> None:
    """Estimates of two routes in the category make it both."""
    result = classify((part("70", "Acute Tox. 4", ate={"oral": 500, "dermal": 1100}),))
    assert result.classes == ("Acute Tox. 4 (oral)", "Acute Tox. 4 (dermal)")
    assert result.complete


def test_two_categories_of_one_route() -> None:
    """Two sheets, two categories: the severer counts, at its point."""
    result = classify((part("30", "Acute Tox. 4 (oral)", "Acute Tox. 3 (oral)"),))
    (working,) = result.workings
    assert (result.classes, working.ate) == (("Acute Tox. 4 (oral)",), Fraction(1000, 3))


def test_estimate_without_a_class_counts_and_is_told() -> None:
    """An estimate within a category is a hazard, whatever the sheet's list says."""
    result = classify((part("40", ate={"oral": 400}),))
    assert result.classes == ("Acute Tox. 4 (oral)",)
    assert [note.code for note in result.told] == ["estimate_without_class"]


def test_unknown_toxicity_up_to_ten_is_not_corrected() -> None:
    """Ten per cent unknown: no correction, 2,000 exactly; just over: (1 - 0.1001) · 2,000."""
    known = part("25", "Acute Tox. 4 (oral)")
    at_ten = classify((known, part("10", unknown=True)))
    over = classify((known, part("10.01", unknown=True)))
    assert at_ten.working_of("Acute Tox. 4 (oral)").ate == 2000
    assert over.working_of("Acute Tox. 4 (oral)").ate == Fraction("0.8999") * 2000


def test_unknown_alone_is_no_class() -> None:
    """Nothing known to be toxic: the unknown is told as such, not as a class."""
    assert classes(part("99", unknown=True)) == ()


def test_unknown_with_an_estimate_is_known_by_that_route() -> None:
    """A component whose hazards are unknown but for its oral estimate is not unknown by mouth."""
    result = classify(
        (part("25", "Acute Tox. 4 (oral)"), part("50", ate={"oral": 9000}, unknown=True))
    )
    assert result.working_of("Acute Tox. 4 (oral)").unknown == 0


def test_same_cas_adds_up_across_oils() -> None:
    """0.6 % and 0.4 % of one CAS number are 1 %."""
    parts = (
        part("0.6", "Skin Sens. 1B", cas="78-70-6"),
        part("0.4", "Skin Sens. 1B", cas="78-70-6"),
    )
    result = classify(parts)
    assert result.classes == ("Skin Sens. 1B",)
    assert result.told == ()


def test_same_cas_with_other_facts_takes_the_stricter() -> None:
    """Hazards are united, factors the largest, estimates and limits the least, and it is told."""
    first = part(
        "1", "Skin Sens. 1A", "Aquatic Chronic 1", cas="1-1-1", name="a", m=(None, 1),
        ate={"oral": 1500}, limits={"Skin Sens. 1A": "5"},
    )  # fmt: skip
    second = part(
        "1", "Skin Sens. 1A", "Acute Tox. 4 (oral)", "Aquatic Acute 1", cas="1-1-1", name="b",
        m=(1, 10), ate={"oral": 400}, limits={"Skin Sens. 1A": "2"},
    )  # fmt: skip
    result = classify((second, first))
    assert result.classes == ("Skin Sens. 1A", "Aquatic Chronic 2")  # 2 ≥ 2; 10 · 10 · 2 ≥ 25
    assert result.contains == ("a",)
    assert {(note.code, note.detail) for note in result.told} == {
        ("components_differ", what)
        for what in ("name", "hazards", "m_acute", "m_chronic", "ate", "limits")
    }


def test_one_unknown_of_a_cas_leaves_it_unknown() -> None:
    """That another sheet knows the substance does not make this sheet whole."""
    result = classify((part("1", unknown=True, cas="1-1-1"), part("1", "Carc. 2", cas="1-1-1")))
    assert codes(result) == {"hazards_unknown"}
    assert result.classes == ("Carc. 2",)


def test_without_a_cas_the_name_tells_apart() -> None:
    """Two components without a CAS number are one only by their name."""
    named = [
        Component(name, "", Fraction(6, 1000), ("Skin Sens. 1B",))
        for name in ("moss", "moss", "bark")
    ]
    assert classify(named[1:]).classes == ()
    assert classify(named).contains == ("bark", "moss")


def test_effect_unsaid_counts_for_both() -> None:
    """STOT SE 3 without its statement is both effects, and is told."""
    result = classify((part("20", "STOT SE 3", limits={"STOT SE 3": "20"}),))
    assert result.classes == ("STOT SE 3 (H335)", "STOT SE 3 (H336)")
    assert result.told[0].code == "effect_unsaid"
    assert result.complete


def test_a_list_that_is_not_whole() -> None:
    """Without a word that the sheet's list is whole, nothing is complete."""
    result = classify((), accounted_for=False)
    assert (result.complete, result.missing) == (False, (Note("not_accounted_for"),))


def test_ignored_are_listed_with_their_limits() -> None:
    """Below the cut-off or one's own limit, with that limit; a sensitiser by its elicitation."""
    result = classify(
        (
            part("0.04", "Skin Irrit. 2", "Skin Sens. 1", "Flam. Liq. 3", "STOT SE 1", "Carc. 1A"),
            part("0.04", "Aquatic Acute 1", "Acute Tox. 2 (oral)", m=(1, None), cas="2"),
            part("0.5", "Asp. Tox. 1", "Aquatic Chronic 1", m=(None, 1), cas="3"),
        )
    )
    assert {(one.hazard, one.limit and one.limit * 100, one.why) for one in result.ignored} == {
        ("Skin Irrit. 2", 1, "below_cut_off"),
        ("Skin Sens. 1", Fraction("0.1"), "below_cut_off"),
        ("Flam. Liq. 3", None, "solid_candle"),
        ("STOT SE 1", 1, "below_cut_off"),
        ("Carc. 1A", Fraction("0.1"), "below_cut_off"),
        ("Aquatic Acute 1", Fraction("0.1"), "below_cut_off"),
        ("Acute Tox. 2 (oral)", Fraction("0.1"), "below_cut_off"),
        ("Asp. Tox. 1", 1, "below_cut_off"),
    }


def test_aspiration_is_worked_out_and_told() -> None:
    """Sum and limit are shown; a solid candle makes it a matter to check, and no class."""
    result = classify((part("11", "Asp. Tox. 1"),))
    (working,) = result.workings
    assert (working.outcome, working.reached, working.total) == (
        "Asp. Tox. 1",
        True,
        Fraction(11, 10),
    )
    assert [note.code for note in result.by_hand] == ["aspiration_solid"]
    assert result.h == ()
    assert classify((part("9", "Asp. Tox. 1"),)).by_hand == ()


def test_a_working_says_its_sum_and_limit() -> None:
    """Weights, a limit that all share, and none where one part has its own."""
    result = classify((part("1", "Skin Corr. 1"), part("2", "Skin Irrit. 2")))
    working = result.working_of("Skin Irrit. 2")
    assert working.limit == Fraction(1, 10)
    assert [(one.weight, one.share * 100) for one in working.through] == [(10, 1), (1, 2)]
    assert (working.clause, working.sure) == ("Annex I 3.2.3.3, Table 3.2.3", "S")
    own = classify(
        (part("1", "Skin Corr. 1"), part("2", "Skin Irrit. 2", limits={"Skin Irrit. 2": "2"}))
    )
    assert own.working_of("Skin Irrit. 2").limit is None


def test_no_working_of_what_is_no_class() -> None:
    """Asking how a class came about that the candle has not is a mistake."""
    with pytest.raises(KeyError, match=r"Carc\. 2"):
        classify((part("0.5", "Skin Irrit. 2"), part("1", "Muta. 2"))).working_of("Carc. 2")
    with pytest.raises(KeyError, match=r"Skin Irrit\. 2"):
        classify((part("5", "Skin Irrit. 2"), part("1", "Muta. 2"))).working_of("Skin Irrit. 2")


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"share": Fraction(-1)}, "share cannot be -1"),
        ({"share": Fraction(2)}, "share cannot be 2"),
        ({"m_acute": Fraction(1, 2)}, "M-factor cannot be 1/2"),
        ({"m_chronic": Fraction(0)}, "M-factor cannot be 0"),
        ({"ate": {"oral": Fraction(0)}}, r"ate cannot be \('oral', Fraction\(0, 1\)\)"),
        ({"ate": {"ear": Fraction(1)}}, r"ate cannot be \('ear', Fraction\(1, 1\)\)"),
        ({"limits": {"Carc. 2": Fraction(0)}}, r"limit cannot be \('Carc. 2', Fraction\(0, 1\)\)"),
        ({"limits": {"Carc. 2": Fraction(2)}}, r"limit cannot be \('Carc. 2', Fraction\(2, 1\)\)"),
    ],
)
def test_what_cannot_be_is_a_mistake(changes: dict[str, object], told: str) -> None:
    """A component that cannot be never reaches the rules."""
    given = {"name": "a", "cas": "b", "share": Fraction(1), "hazards": (), **changes}
    with pytest.raises(ValueError, match=f"^{told}$"):
        Component(**given)  # type: ignore[arg-type] # drawn from a table


def test_what_can_just_be() -> None:
    """The ends of what a component can have."""
    bounds = {"limits": {"Carc. 2": Fraction(1)}, "ate": {"oral": Fraction(1, 10)}}
    for share in (Fraction(0), Fraction(1)):
        Component("a", "b", share, (), Fraction(1), Fraction(1), **bounds)


def test_a_note_says_of_what() -> None:
    """Name, CAS number, and the word that it is about."""
    missing = classify((part("1", "odd word", name="a", cas="1-1-1"),)).missing
    assert missing == (Note("word_unknown", "a", "1-1-1", "odd word"),)
    unknown = classify((part("1", unknown=True, name="a", cas="1-1-1"),)).missing
    assert unknown == (Note("hazards_unknown", "a", "1-1-1", ""),)


def test_sealed() -> None:
    """Nobody can change a component's facts from outside."""
    ate = {"oral": Fraction(5)}
    component = Component("a", "b", Fraction(1), (), ate=ate)
    ate["oral"] = Fraction(1)
    assert component.ate["oral"] == 5
    with pytest.raises(TypeError):
        component.limits["Carc. 2"] = Fraction(1)  # type: ignore[index] # that is the point
