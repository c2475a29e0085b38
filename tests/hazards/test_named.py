"""Who is named on the label, and by which of its own limits an allergen goes."""

import pytest

from handbook_builder.hazards.classify import classify
from handbook_builder.hazards.component import Component
from tests.hazards.kit import part

# Art. 18(3)(b) (C), and ECHA's answer on whom to name when there are many (S, a mirror of its
# questions in translation): every component above its general or specific limit.
NAMED = [
    ("the same statement from 1A and 1B", ["Carc. 1A", "Carc. 1B"], ["0.1", "0.1"]),
    ("a milder carcinogen", ["Carc. 1B", "Carc. 2"], ["0.1", "1"]),
    ("a milder mutagen", ["Muta. 1B", "Muta. 2"], ["0.1", "1"]),
    ("a milder harm to reproduction", ["Repr. 1A", "Repr. 2"], ["0.3", "3"]),
    ("a milder harm to organs", ["STOT RE 1", "STOT RE 2"], ["10", "10"]),
    ("a milder harm to organs, once", ["STOT SE 1", "STOT SE 2"], ["10", "10"]),
    ("corrosives of two sub-categories", ["Skin Corr. 1A", "Skin Corr. 1B"], ["5", "1"]),
]


def _pair(words: list[str], shares: list[str]) -> tuple[Component, ...]:
    names = ("first", "second")
    pairs = zip(names, words, shares, strict=True)
    return tuple(part(share, word, name=name) for name, word, share in pairs)


@pytest.mark.parametrize(("clause", "words", "shares"), NAMED, ids=[case[0] for case in NAMED])
def test_a_severer_class_hides_no_name(clause: str, words: list[str], shares: list[str]) -> None:
    """Both are named at their limits, and the second not just below its own."""
    assert classify(_pair(words, shares)).contains == ("first", "second"), clause
    below = [shares[0], f"{float(shares[1]) * 0.99:.4f}"]
    assert classify(_pair(words, below)).contains == ("first",), clause


def test_irritants_are_not_named_beside_a_corrosive() -> None:
    """Art. 18(3)(b) names corrosion and eye damage, and no irritation."""
    found = classify(_pair(["Skin Corr. 1", "Skin Irrit. 2"], ["5", "20"]))
    assert found.contains == ("first",)


@pytest.mark.parametrize("kind", ["Skin Sens.", "Resp. Sens."])
def test_an_allergen_goes_by_the_least_of_its_limits(kind: str) -> None:
    """X: from that share on its own sheet calls a mixture an allergen. On the safe side."""
    limits = {f"{kind} 1A": "0.5", f"{kind} 1B": "0.05"}
    assert classify([part("0.05", f"{kind} 1A", limits=limits)]).classes == (f"{kind} 1A",)
    assert classify([part("0.049", f"{kind} 1A", limits=limits)]).classes == ()
