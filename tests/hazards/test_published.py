"""Examples that somebody published, and boundary cases reckoned from the rules.

Examples by their names in our reference: E1 to E4 are work sheets of the UN sub-committee on GHS
(E1, E2, E3, E6: ST/SG/AC.10/C.4/2008/23; E4: 2012/25), E5 a seminar of the ECHA Helpdesk (2012),
W1 and W2 a guide of the New Zealand EPA (2012), W3 a Czech legal publisher (2014).
"""

from fractions import Fraction

import pytest

from handbook_builder.hazards.classify import classify
from tests.hazards.kit import classes, codes, part

ATE_WITHOUT_CLASS = "estimate_without_class"


def test_e1_oral() -> None:
    """E1 (C): ATE of the mixture 43,425, not classified; valid for CLP as it stands."""
    result = classify(
        (
            part("4", "Acute Tox. 4 (oral)", ate={"oral": 1737}),
            part("5", ate={"oral": 5001}, cas="over 5000"),
            part("5", ate={"oral": 5400}, cas="5400"),
            part("86", ate={"oral": 2001}, cas="limit dose"),
        )
    )
    (working,) = result.workings
    assert (result.classes, working.ate, result.complete) == ((), Fraction(43425), True)


def test_e2_oral_without_category_five() -> None:
    """E2 oral: the UN's answer is 873, category 4; CLP has no category 5: 1,000, category 4 (X)."""
    result = classify(
        (
            part("26", ate={"oral": 2737}, cas="a"),
            part("23", ate={"oral": 4500}, cas="b"),
            part("11", ate={"oral": 5001}, cas="c"),
            part("40", "Acute Tox. 4 (oral)", ate={"oral": 400}),
        )
    )
    assert result.classes == ("Acute Tox. 4 (oral)",)
    assert result.working_of("Acute Tox. 4 (oral)").ate == 1000


def test_e2_inhaled_with_the_unknown_corrected() -> None:
    """E2 vapour (C): 6.6 mg/L (6.557, X), category 3, and 11 % of unknown toxicity."""
    result = classify(
        (
            part("26", "Acute Tox. 4 (vapour)", ate={"vapour": 11}),
            part("23", "Acute Tox. 4 (vapour)", ate={"vapour": 19}),
            part("40", "Acute Tox. 3 (vapour)", ate={"vapour": 4}),
            part("11", unknown=True),
        )
    )
    working = result.working_of("Acute Tox. 3 (vapour)")
    assert round(float(working.ate or 0), 3) == 6.557
    assert working.unknown == Fraction(11, 100)
    assert codes(result) == {"hazards_unknown"}


def test_e3_shows_no_category_five() -> None:
    """E3: the UN's answer is 1,880, category 4; 3,450 is in no class of CLP: 3,333, none (X)."""
    result = classify(
        (
            part("16", "Acute Tox. 4 (oral)", ate={"oral": 1600}),
            part("4", "Acute Tox. 3 (oral)", ate={"oral": 200}),
            part("80", ate={"oral": 3450}),
        )
    )
    (working,) = result.workings
    assert result.classes == ()
    assert working.ate == Fraction(10000, 3)


def test_e4_water() -> None:
    """E4 (C): acute none; 26.01 % makes chronic 4. Acute 2 is no class of CLP and is left out."""
    result = classify(
        (
            part("0.01", "Aquatic Acute 1", "Aquatic Chronic 1", m=(10, 10)),
            part("1", "Aquatic Chronic 2"),
            part("25", "Aquatic Chronic 4"),
            part("73.99"),
        )
    )
    sums = {working.outcome: working.total / 4 for working in result.workings}
    assert result.classes == ("Aquatic Chronic 4",)
    assert result.h == ("H413",)
    assert sums == {
        "Aquatic Acute 1": Fraction("0.1") / 100,
        "Aquatic Chronic 1": Fraction("0.1") / 100,
        "Aquatic Chronic 2": Fraction(2) / 100,  # 10 x 10 x 0.01 + 1
        "Aquatic Chronic 3": Fraction(20) / 100,  # 100 x 10 x 0.01 + 10 x 1
        "Aquatic Chronic 4": Fraction("26.01") / 100,
    }


@pytest.mark.parametrize("percent", ["0.8", "1.8"])
def test_e5_thickener(percent: str) -> None:
    """E5 (C for 0.8 %, below the cut-off; X for 1.8 %, below ten)."""
    assert classes(part(percent, "Skin Irrit. 2"), part("9.2"), part("90")) == ()


def test_e6_is_not_this_path() -> None:
    """E6 (C) takes 4 % by its pH, where nothing adds up; the additive path makes it irritating."""
    assert classes(part("4", "Skin Corr. 1")) == ("Skin Irrit. 2", "Eye Dam. 1")


def test_w1_two_sums() -> None:
    """W1 (C for the sums 6 and 65, X for taking 9.1A to C as chronic 1 to 3); W2 is the same."""
    result = classify(
        (
            part("5", "Aquatic Chronic 2"),
            part("0.05", "Aquatic Chronic 1", m=(None, 100)),
            part("1", "Aquatic Chronic 1", m=(None, 1)),
            part("40", "Aquatic Chronic 3"),
            part("53.95"),
        )
    )
    first, second = result.workings
    assert (first.total, second.total) == (Fraction(6, 25), Fraction(65, 25))
    assert result.classes == ("Aquatic Chronic 2",)
    assert result.h == ("H411",)


@pytest.mark.parametrize(
    ("percent", "expected"),
    [("4", ("Skin Irrit. 2", "Eye Dam. 1")), ("7", ("Skin Corr. 1", "Eye Dam. 1"))],
)
def test_w3_range(percent: str, expected: tuple[str, ...]) -> None:
    """W3 (S): 4 % of a corrosive does not corrode; told as 3 to 7 %, 7 % counts and does."""
    assert classes(part(percent, "Skin Corr. 1")) == expected


# Reckoned from the rules (X): the boundary list of our reference.
BOUNDARIES = [
    ("0.0999", "Skin Sens. 1B", {}, (), ()),
    ("0.1", "Skin Sens. 1B", {}, (), ("stuff",)),
    ("0.999", "Skin Sens. 1B", {}, (), ("stuff",)),
    ("1.0", "Skin Sens. 1B", {}, ("Skin Sens. 1B",), ()),
    ("0.999", "Skin Sens. 1", {}, (), ("stuff",)),
    ("1.0", "Skin Sens. 1", {}, ("Skin Sens. 1",), ()),
    ("0.0099", "Skin Sens. 1A", {}, (), ()),
    ("0.01", "Skin Sens. 1A", {}, (), ("stuff",)),
    ("0.0999", "Skin Sens. 1A", {}, (), ("stuff",)),
    ("0.1", "Skin Sens. 1A", {}, ("Skin Sens. 1A",), ()),
    ("0.01", "Skin Sens. 1A", {"Skin Sens. 1A": "0.01"}, ("Skin Sens. 1A",), ()),
    ("0.001", "Skin Sens. 1A", {"Skin Sens. 1A": "0.01"}, (), ("stuff",)),
    ("0.0009", "Skin Sens. 1A", {"Skin Sens. 1A": "0.01"}, (), ()),
    ("2.9", "Eye Dam. 1", {}, ("Eye Irrit. 2",), ()),
    ("3.0", "Eye Dam. 1", {}, ("Eye Dam. 1",), ()),
]


@pytest.mark.parametrize(("percent", "word", "limits", "expected", "euh208"), BOUNDARIES)
def test_boundaries(
    percent: str,
    word: str,
    limits: dict[str, str],
    expected: tuple[str, ...],
    euh208: tuple[str, ...],
) -> None:
    """A class begins at its limit, and so does the duty to name a sensitiser."""
    result = classify((part(percent, word, name="stuff", limits=limits),))
    assert (result.classes, result.euh208, result.complete) == (expected, euh208, True)


@pytest.mark.parametrize(
    ("percent", "factor", "expected"),
    [
        ("0.25", 10, ("Aquatic Chronic 2",)),  # 10 x 10 x 0.25 = 25 exactly
        ("0.249", 10, ("Aquatic Chronic 3",)),  # 24.9, then 249
        ("2.5", 1, ("Aquatic Chronic 2",)),
        ("2.49", 1, ("Aquatic Chronic 3",)),
        ("25", 1, ("Aquatic Chronic 1",)),
    ],
)
def test_boundaries_of_water(percent: str, factor: int, expected: tuple[str, ...]) -> None:
    """The sums of chronic 1 and 2 at 25 % (X, from the boundary list and its rule)."""
    assert classes(part(percent, "Aquatic Chronic 1", m=(None, factor))) == expected
