"""Hand-worked mixtures that pin the oracle on what is unknown, contradicted or left open.

How sure each is: as in the other hand-worked cases.
"""

from fractions import Fraction

import pytest

from .mixtures import ACUTE_1, CHRONIC_1, chronic, classes, holds, told
from .words import Component

# one component each, and what is unknown or contradicted in it, at a share where it could count
DOUBTFUL: list[tuple[str, Component]] = [
    ("unknown", holds("0.01") | {"hazards": None}),
    ("an unknown word", holds("0.01", "Repellent. 1")),
    ("no route", holds("1", "Acute Tox. 4")),
    ("no form", holds("0.1", "Acute Tox. 3 (inhalation)")),
    ("an estimate beyond the class", holds("1", "Acute Tox. 4 (oral)", ate={"oral": "2500"})),
    ("an estimate before the class", holds("0.1", "Acute Tox. 4 (oral)", ate={"oral": "250"})),
    ("a flammable solid", holds("0.01", "Flam. Sol. 2")),
    ("no acute M", holds("24.9", ACUTE_1, m_chronic=Fraction(1))),
    ("no chronic M", holds("0.01", CHRONIC_1, m_acute=Fraction(1))),
    ("a limit of what nobody knows", holds("0.01", limits={"Repellent. 1": "1"})),
    ("a limit of another class", holds("0.01", "Carc. 2", limits={"Carc. 1B": "1"})),
    ("a limit for water", holds("0.01", CHRONIC_1, m_chronic=Fraction(1), limits={CHRONIC_1: "1"})),
]
# what cannot change the result, however it is: below every cut-off, or the category is reached
CLEAR: list[tuple[str, Component]] = [
    ("no route", holds("0.99", "Acute Tox. 4")),
    ("no form", holds("0.09", "Acute Tox. 3 (inhalation)")),
    ("an estimate beyond the class", holds("0.9", "Acute Tox. 4 (oral)", ate={"oral": "2500"})),
    ("a route by its estimate", holds("9", "Acute Tox. 4", ate={"dermal": "1100"})),
    ("no chronic M", holds("25", CHRONIC_1)),
    ("no acute M", holds("25", ACUTE_1)),
    ("a milder limit for eyes", holds("2", "Eye Dam. 1", limits={"Eye Irrit. 2": "2"})),
]

VAPOUR = [holds(share, ate={"vapour": dose}) for share, dose in (("26", "11"), ("23", "19"))]
TOXIC, UNKNOWN = holds("24", "Acute Tox. 4 (oral)"), holds("12") | {"hazards": None}
# what is not known of part of a mixture, or not the same on its lines, and the classes all the same
UNCLEAR: list[tuple[str, list[Component], list[str]]] = [
    # 24 % of a fourth category (500): 2083; with 10 % unknown the same; with 10.1 %, 1873 [X]
    ("ten per cent unknown", [TOXIC, holds("10") | {"hazards": None}], []),
    ("over ten", [TOXIC, holds("10.1") | {"hazards": None}], ["Acute Tox. 4 (oral)"]),
    ("known to be harmless by this route",
     [TOXIC, UNKNOWN | {"ate": {"oral": Fraction(5000)}}], []),
    ("known by another route",
     [TOXIC, UNKNOWN | {"ate": {"dermal": Fraction(5000)}}], ["Acute Tox. 4 (oral)"]),
    # E2 [C, UN 3.1d]: vapour 26 % 11, 23 % 19, 40 % 4 mg/l, 11 % unknown: 6.6 mg/l, Cat. 3
    ("E2, vapour", [*VAPOUR, holds("40", ate={"vapour": "4"}), holds("11") | {"hazards": None}],
     ["Acute Tox. 3 (vapour)"]),
    # left open by the law: swallowed, or inhaled as vapour, unless an estimate tells the route
    ("no route", [holds("60", "Acute Tox. 4")], ["Acute Tox. 4 (oral)"]),
    ("no form", [holds("60", "Acute Tox. 4 (inhalation)")], ["Acute Tox. 4 (vapour)"]),
    ("told by its estimate", [holds("60", "Acute Tox. 4", ate={"dermal": "1100"})],
     ["Acute Tox. 4 (dermal)"]),
    ("not swallowed", [holds("60", "Acute Tox. 4", ate={"oral": "3000"})],
     ["Acute Tox. 4 (dermal)"]),
    ("no vapour", [holds("40", "Acute Tox. 4 (inhalation)", ate={"vapour": "30"})],
     ["Acute Tox. 4 (mist)"]),
    # the class counts, by its point: 25 % of 100 is 400; an estimate of its category goes first
    ("an estimate that says less than its class",
     [holds("25", "Acute Tox. 3 (oral)", ate={"oral": "1900"})], ["Acute Tox. 4 (oral)"]),
    ("an estimate of its class", [holds("14", "Acute Tox. 3 (oral)", ate={"oral": "300"})], []),
    # the cut-off falls with M, which is not known
    ("a missing M at any share", [chronic("2.45"), holds("0.05", CHRONIC_1)],
     ["Aquatic Chronic 2"]),
    ("M of 1, cut off", [chronic("2.45"), chronic("0.05")], ["Aquatic Chronic 3"]),
    # several lines of one substance: the worse of what they say
    ("two limits", [holds("0.6", "Skin Sens. 1B", cas="x", limits={"Skin Sens. 1B": limit})
     for limit in ("2", "1.2")], ["Skin Sens. 1B"]),
    ("one limit", [holds("0.6", "Skin Sens. 1B", cas="x", limits={"Skin Sens. 1B": "2"})] * 2, []),
    ("two factors", [chronic("1", 100) | {"cas": "x"}, chronic("0.1") | {"cas": "x"}],
     [CHRONIC_1]),
    ("two estimates", [holds("10", cas="x", ate={"oral": dose}) for dose in ("450", "390")],
     ["Acute Tox. 4 (oral)"]),
    ("two words", [holds("0.6", word, cas="x") for word in ("Carc. 2", "Carc. 1B")], ["Carc. 1B"]),
    ("known and unknown", [holds("0.6", "Carc. 2", cas="x"),
     holds("0.6", cas="x") | {"hazards": None}], ["Carc. 2"]),
    ("a line that is not in the candle", [holds("1", cas="x"),
     holds("0", "Carc. 1A", cas="x")], []),
    ("no number, one name", [holds("0.6", "Skin Sens. 1B", cas="", name="a")] * 2,
     ["Skin Sens. 1B"]),
    ("no number, two names", [holds("0.6", "Skin Sens. 1B", cas="", name=name) for name in "ab"],
     []),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "components", "expected"), UNCLEAR, ids=[c[0] for c in UNCLEAR])
def test_unclear(clause: str, components: list[Component], expected: list[str]) -> None:
    """Left open by the law, contradicted or unknown: on the safe side, as `classify` has it."""
    assert classes(*components) == expected, clause


@pytest.mark.parametrize(
    "substance", [substance for _, substance in DOUBTFUL], ids=[case[0] for case in DOUBTFUL]
)
def test_what_is_unknown_is_never_complete(substance: Component) -> None:
    """However little of it there is."""
    assert not told(substance)["complete"]
    assert told(substance | {"share": Fraction(0)})["complete"]  # what isn't in the candle


@pytest.mark.parametrize(
    "substance", [substance for _, substance in CLEAR], ids=[case[0] for case in CLEAR]
)
def test_what_cannot_change_the_result_leaves_it_complete(substance: Component) -> None:
    """A route unsaid below every cut-off; an M-factor unsaid where the category is reached."""
    assert told(substance)["complete"]


def test_the_first_of_two_names_is_told() -> None:
    """By the alphabet, whatever the order of the lines."""
    lines = [holds("0.6", "Skin Sens. 1B", cas="x", name=name) for name in "ba"]
    assert told(*lines)["contains"] == ["a"]


def test_what_is_not_accounted_for_is_never_complete() -> None:
    """Shares that do not account for what the sheets list."""
    assert not told(holds("1"), accounted_for=False)["complete"]
