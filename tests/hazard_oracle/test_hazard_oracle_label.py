"""Hand-worked mixtures that pin the oracle on who is named, and on what a label says.

How sure each is: as in the other hand-worked cases.
"""

from fractions import Fraction

import pytest

from .label import pictograms, signal, statements
from .mixtures import CHRONIC_1, holds, told
from .words import Component

EUH208: list[tuple[str, list[Component], list[str]]] = [
    # values.md [X] and Annex II 2.10 [C], which has the same bands
    ("1B under 0.1 %", [holds("0.099", "Skin Sens. 1B")], []),
    ("1B at 0.1 %", [holds("0.1", "Skin Sens. 1B", name="b")], ["b"]),
    ("1A under 0.01 %", [holds("0.0099", "Skin Sens. 1A")], []),
    ("1A at 0.01 %", [holds("0.01", "Skin Sens. 1A", name="a")], ["a"]),
    ("airways", [holds("0.1", "Resp. Sens. 1", name="r")], ["r"]),
    ("a tenth of its own limit",
     [holds("0.001", "Skin Sens. 1A", name="a", limits={"Skin Sens. 1A": "0.01"})], ["a"]),
    ("a limit above 0.1 %: the lower of the two readings, a tenth",
     [holds("0.05", "Skin Sens. 1", name="a", limits={"Skin Sens. 1": "0.5"})], ["a"]),
    ("a limit far above: the lower of the two readings, the general one",
     [holds("0.1", "Skin Sens. 1", name="a", limits={"Skin Sens. 1": "20"})], ["a"]),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "components", "expected"), EUH208, ids=[c[0] for c in EUH208])
def test_euh208(clause: str, components: list[Component], expected: list[str]) -> None:
    """Named on a candle that is not classified as sensitising (Annex II 2.8 [C])."""
    found = told(*components)
    assert (found["classes"], found["euh208"], found["contains"]) == ([], expected, []), clause


def test_other_sensitisers_are_named_beside_the_class() -> None:
    """Annex II 2.8, second paragraph [C]: names, and no EUH208."""
    parts = (holds("1", "Skin Sens. 1", name="a"), holds("0.1", "Skin Sens. 1B", name="b"))
    found = told(*parts, holds("0.1", "Resp. Sens. 1", name="c"), holds("0.09", "Skin Sens. 1"))
    assert (found["euh208"], found["contains"]) == ([], ["a", "b", "c"])


def test_contains_names_what_leads_to_a_class_of_health() -> None:
    """Article 18(3)(b) [S]: not for irritation, nor for water."""
    found = told(
        holds("5", "Skin Irrit. 2", "Eye Irrit. 2", name="irritant"),
        holds("5", "Skin Irrit. 2", "Eye Irrit. 2", name="another"),
        holds("25", CHRONIC_1, m_chronic=Fraction(1), name="fish"),
        holds("10", "STOT RE 2", name="organ"),
        holds("1", "Carc. 2", name="cell"),
        holds("3", "Eye Dam. 1", name="eye"),
    )
    assert found["contains"] == ["cell", "eye", "organ"]
    assert "Eye Irrit. 2" not in found["classes"]


NAMED: list[tuple[str, list[Component]]] = [
    ("both carcinogens", [holds("0.1", "Carc. 1A"), holds("0.2", "Carc. 1B")]),
    ("the milder carcinogen too", [holds("0.1", "Carc. 1B"), holds("5", "Carc. 2")]),
    ("the milder for an organ too", [holds("10", "STOT RE 1"), holds("12", "STOT RE 2")]),
    ("every corrosive", [holds("5", "Skin Corr. 1A"), holds("10", "Skin Corr. 1B")]),
    ("all that harms eyes", [holds("2", "Skin Corr. 1A"), holds("2", "Eye Dam. 1")]),
    ("all that is poisonous on a route", [holds("20", "Acute Tox. 3 (oral)"),
     holds("1", "Acute Tox. 4 (oral)")]),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "components"), NAMED, ids=[case[0] for case in NAMED])
def test_all_that_are_above_their_limit_are_named(clause: str, components: list[Component]) -> None:
    """Article 18(3)(b) [C], and ECHA's answer on which to name [S, a mirror of its questions]."""
    names = sorted(substance["name"] for substance in components)
    cut_off = holds("0.09", *components[0]["hazards"], name="too little")
    assert told(*components, cut_off)["contains"] == names, clause


LABELS: list[tuple[list[str], list[str], str | None, list[str]]] = [
    ([], [], None, []),
    # H410 says H400 too [S gischem.de]
    (["Aquatic Acute 1", "Aquatic Chronic 1"], ["H410"], "Warning", ["GHS09"]),
    (["Aquatic Acute 1", "Aquatic Chronic 2"], ["H400", "H411"], "Warning", ["GHS09"]),
    (["Aquatic Chronic 2"], ["H411"], None, ["GHS09"]),  # T4.1.4 [C cs]
    (["Aquatic Chronic 3"], ["H412"], None, []),  # Annex V 3.1 [C]: no pictogram
    (["Aquatic Chronic 4", "Lact."], ["H362", "H413"], None, []),
    # T3.3.5 footnote [C cs]
    (["Eye Dam. 1", "Skin Corr. 1"], ["H314"], "Danger", ["GHS05"]),
    # Article 26(1)(b) [C]: GHS06 leaves off GHS07
    (["Acute Tox. 3 (oral)", "Skin Sens. 1"], ["H301", "H317"], "Danger", ["GHS06"]),
    # (c) [C]: GHS05 leaves it off for skin and eyes, not for H317, H302, H335
    (["Eye Dam. 1", "Skin Irrit. 2"], ["H315", "H318"], "Danger", ["GHS05"]),
    (["Eye Dam. 1", "Skin Sens. 1"], ["H317", "H318"], "Danger", ["GHS05", "GHS07"]),
    (["Eye Dam. 1", "STOT SE 3 (H335)"], ["H318", "H335"], "Danger", ["GHS05", "GHS07"]),
    (["Acute Tox. 4 (oral)", "Eye Dam. 1"], ["H302", "H318"], "Danger", ["GHS05", "GHS07"]),
    # (d) [C]: of GHS08 only that for the airways leaves it off, for sensitisation, skin and eyes
    (["Resp. Sens. 1", "Skin Sens. 1"], ["H317", "H334"], "Danger", ["GHS08"]),
    (["Eye Irrit. 2", "Resp. Sens. 1"], ["H319", "H334"], "Danger", ["GHS08"]),
    (["Carc. 2", "Skin Sens. 1"], ["H317", "H351"], "Warning", ["GHS07", "GHS08"]),
    (["Resp. Sens. 1", "STOT SE 3 (H336)"], ["H334", "H336"], "Danger", ["GHS07", "GHS08"]),
    (["Acute Tox. 4 (vapour)"], ["H332"], "Warning", ["GHS07"]),
    (["Acute Tox. 2 (dermal)", "Acute Tox. 3 (gas)"], ["H310", "H331"], "Danger", ["GHS06"]),
]  # fmt: skip


@pytest.mark.parametrize(("found", "codes", "word", "signs"), LABELS, ids=str)
def test_label(found: list[str], codes: list[str], word: str | None, signs: list[str]) -> None:
    """Statements, signal word and pictograms after precedence."""
    assert (statements(found), signal(found), pictograms(found)) == (codes, word, signs)
