"""Words of sheets, labels after precedence, names, and the choice of P statements."""

from fractions import Fraction

import pytest

from handbook_builder.hazards.classify import classify
from handbook_builder.hazards.component import Component
from handbook_builder.hazards.label import hazard_statements, pictograms, signal_word
from handbook_builder.hazards.precaution import (
    LEFT_OUT,
    SmallPack,
    listed_p,
    p_statements,
    small_pack,
    statements_due,
    sureness_of,
)
from handbook_builder.hazards.wording import LABELS, taken_word, taken_words
from tests.hazards.kit import part


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("Skin Sens. 1B", "Skin Sens. 1B"),
        ("  Skin  Sens. 1B ", "Skin Sens. 1B"),
        ("Skin Sens. 1B (H317)", "Skin Sens. 1B"),
        ("Repr. 1B (H360FD)", "Repr. 1B"),
        ("Flam. Liq. 3 (H226)", "Flam. Liq. 3"),
        ("Acute Tox. 4", "Acute Tox. 4"),
        ("Acute Tox. 4 (oral)", "Acute Tox. 4 (oral)"),
        ("Acute Tox. 4 (Dermal)", "Acute Tox. 4 (dermal)"),
        ("Acute Tox. 4 (H312)", "Acute Tox. 4 (dermal)"),
        ("Acute Tox. 1 (H330)", "Acute Tox. 1 (inhalation)"),
        ("Acute Tox. 3 (dust)", "Acute Tox. 3 (mist)"),
        ("STOT SE 3 (H336)", "STOT SE 3 (H336)"),
        ("STOT SE 3", "STOT SE 3"),
        # contradictions and words of no rule
        ("Skin Sens. 1B (H334)", None),
        ("Acute Tox. 4 (H301)", None),
        ("Acute Tox. 4 (H4)", None),
        ("STOT SE 3 (H373)", None),
        ("Skin Irrit. 3", None),
        ("skin sens. 1b", None),
        ("EUH066", None),
        ("(H317)", None),
        ("Skin Sens. 1B (H317", None),
        ("", None),
    ],
)
def test_words(text: str, word: str | None) -> None:
    """A sheet's word is taken as it is meant, or not at all."""
    assert taken_word(text) == word


def test_words_of_unsaid_effects() -> None:
    """STOT SE 3 is both effects; an unknown word is none."""
    assert taken_words("STOT SE 3") == ("STOT SE 3 (H335)", "STOT SE 3 (H336)")
    assert taken_words("Lact.") == ("Lact.",)
    assert taken_words("nothing") == ()


# Art. 26(1)(b), (c), (d) (C), and what lifts nothing.
@pytest.mark.parametrize(
    ("classes", "signs"),
    [
        (("Skin Sens. 1B",), ("GHS07",)),
        (("Acute Tox. 3 (oral)", "Skin Sens. 1B"), ("GHS06",)),  # (b)
        (("Eye Dam. 1", "Skin Irrit. 2"), ("GHS05",)),  # (c)
        (("Skin Corr. 1", "Eye Dam. 1", "Eye Irrit. 2"), ("GHS05",)),  # (c)
        (("Eye Dam. 1", "Skin Sens. 1B"), ("GHS05", "GHS07")),  # (c) not for allergies
        (("Eye Dam. 1", "Acute Tox. 4 (oral)"), ("GHS05", "GHS07")),
        (("Eye Dam. 1", "STOT SE 3 (H335)"), ("GHS05", "GHS07")),
        (("Resp. Sens. 1", "Skin Sens. 1", "Skin Irrit. 2", "Eye Irrit. 2"), ("GHS08",)),  # (d)
        (("Resp. Sens. 1", "Acute Tox. 4 (oral)"), ("GHS07", "GHS08")),
        (("Carc. 2", "Skin Sens. 1"), ("GHS07", "GHS08")),  # GHS08 for cancer lifts nothing
        (("STOT SE 2", "STOT SE 3 (H335)"), ("GHS07", "GHS08")),
        (("Aquatic Chronic 2",), ("GHS09",)),
        (("Aquatic Chronic 3", "Aquatic Chronic 4", "Lact."), ()),  # Annex V 3.1 (C)
        ((), ()),
    ],
)
def test_pictograms(classes: tuple[str, ...], signs: tuple[str, ...]) -> None:
    """The pictograms that stay."""
    assert pictograms(classes) == signs


@pytest.mark.parametrize(
    ("classes", "signal"),
    [
        (("Skin Sens. 1B", "Eye Dam. 1"), "Danger"),
        (("Aquatic Chronic 1",), "Warning"),
        (("Aquatic Chronic 2",), None),  # C
        ((), None),
    ],
)
def test_signal_words(classes: tuple[str, ...], signal: str | None) -> None:
    """Danger goes before Warning."""
    assert signal_word(classes) == signal


@pytest.mark.parametrize(
    ("classes", "statements"),
    [
        (("Aquatic Acute 1", "Aquatic Chronic 1"), ("H410",)),  # S
        (("Aquatic Acute 1", "Aquatic Chronic 2"), ("H400", "H411")),
        (("Skin Corr. 1B", "Eye Dam. 1"), ("H314",)),  # C, footnote to Table 3.3.5
        (("Skin Irrit. 2", "Eye Dam. 1"), ("H315", "H318")),
        (("Acute Tox. 4 (gas)", "Acute Tox. 4 (mist)"), ("H332",)),
        (("Aquatic Chronic 3", "Skin Sens. 1"), ("H317", "H412")),
    ],
)
def test_statements(classes: tuple[str, ...], statements: tuple[str, ...]) -> None:
    """One statement is never said by another as well."""
    assert hazard_statements(classes) == statements


def test_a_sensitising_mixture_names_the_others() -> None:
    """Annex II 2.8, second paragraph (C): no EUH208, but every sensitiser from elicitation on."""
    result = classify(
        (
            part("1", "Skin Sens. 1B", name="a"),
            part("0.1", "Skin Sens. 1", name="b"),
            part("0.01", "Resp. Sens. 1A", name="c"),
            part("0.05", "Skin Sens. 1", name="d"),
        )
    )
    assert (result.euh208, result.contains) == ((), ("a", "b", "c"))


def test_a_mixture_that_is_not_names_them_by_euh208() -> None:
    """Annex II 2.8, first paragraph (C)."""
    result = classify(
        (part("0.5", "Skin Sens. 1B", name="b"), part("0.2", "Skin Sens. 1", name="a"))
    )
    assert (result.classes, result.euh208, result.contains) == ((), ("a", "b"), ())


def test_names_of_other_classes() -> None:
    """Art. 18(3)(b) (C): toxic, corrosive, damaging, organs; not irritants, not water."""
    result = classify(
        (
            part("30", "Acute Tox. 4 (oral)", name="a"),
            part("3", "Eye Dam. 1", name="b"),
            part("10", "Skin Irrit. 2", name="c"),
            part("30", "Aquatic Chronic 2", name="d"),
            part("9", "STOT RE 2", name="e"),
            part("10", "STOT RE 2", name="f"),
        )
    )
    assert result.contains == ("a", "b", "f")


@pytest.mark.parametrize(
    ("word", "limit", "elicits", "is_doubtful"),
    [
        ("Skin Sens. 1A", "0.01", "0.001", False),  # a tenth, both texts
        ("Skin Sens. 1A", "0.1", "0.01", False),  # a tenth is the general one
        ("Skin Sens. 1B", "0.5", "0.05", True),  # Annex II 2.10 says a tenth, the note 0.1
        ("Skin Sens. 1B", "0.1", "0.01", True),  # from 0.1 % on the two texts differ
        ("Skin Sens. 1B", "2", "0.1", True),  # a tenth would be 0.2: the lower
        ("Skin Sens. 1B", "1", "0.1", False),
        ("Resp. Sens. 1", "0.05", "0.005", False),
    ],
)
def test_elicitation_with_a_specific_limit(
    word: str,
    limit: str,
    elicits: str,
    is_doubtful: bool,  # noqa: FBT001 - a column of the table
) -> None:
    """A tenth of the specific limit, or the general one where that is lower, and told."""
    facts = {"name": "a", "limits": {word: limit}}
    at_limit = classify((part(elicits, word, **facts),))  # type: ignore[arg-type] # a table's facts
    below = classify((part(str(float(elicits) * 0.99), word, **facts),))  # type: ignore[arg-type]
    assert (at_limit.euh208, below.euh208) == (("a",), ())
    assert [note.code for note in at_limit.by_hand] == ["elicitation_limit"] * is_doubtful


def _result(*words: str) -> "object":
    return classify(
        [
            Component(word, word, Fraction(60, 100), (word,), Fraction(1), Fraction(1))
            for word in words
        ]
    )


@pytest.mark.parametrize(
    ("words", "chosen"),
    [
        ((), ()),
        (("Skin Sens. 1B",), ("P102", "P280", "P302+P352", "P333+P313", "P362+P364", "P501")),
        (
            ("Skin Sens. 1B", "Aquatic Chronic 3"),
            ("P102", "P273", "P280", "P302+P352", "P333+P313", "P501"),
        ),
        (("Aquatic Chronic 3",), ("P102", "P273", "P501")),
        (("Eye Irrit. 2",), ("P102", "P264", "P280", "P305+P351+P338", "P337+P313")),
        (("Aquatic Chronic 2",), ("P102", "P273", "P391", "P501")),
        (("Acute Tox. 4 (oral)",), ("P102", "P264", "P270", "P301+P312", "P330", "P501")),
        (
            ("Skin Corr. 1B",),
            ("P102", "P301+P330+P331", "P303+P361+P353", "P305+P351+P338", "P310", "P501"),
        ),
    ],
)
def test_precautions(words: tuple[str, ...], chosen: tuple[str, ...]) -> None:
    """Art. 28 (C): P501 stands where it is listed, and no more than six; the order is ours."""
    assert p_statements(_result(*words)) == chosen  # type: ignore[arg-type] # see `_result`


def test_every_class_has_its_precautions() -> None:
    """Every listed P statement has its place in the order, or is left out by name."""
    for word in LABELS.keys() - {"Asp. Tox. 1"}:
        result = classify(())
        forced = type(result)(
            **{
                field: getattr(result, field)
                for field in result.__slots__  # type: ignore[attr-defined] # of a dataclass
                if field not in {"classes", "h"}
            },
            classes=(word,),
            h=hazard_statements((word,)),
        )
        listed = set(listed_p(forced)) - set(LEFT_OUT)
        chosen = p_statements(forced)
        assert set(chosen) - {"P102"} <= listed
        assert len(chosen) == min(6, len(listed) + 1)
        assert sureness_of(forced.h[0]) in {"C", "M"}


def test_what_is_due() -> None:
    """H statements, EUH208 where sensitisers are only named, and the chosen P statements."""
    near = classify((part("0.5", "Skin Sens. 1B"), part("25", "Aquatic Chronic 3")))
    assert statements_due(near) == ("H412", "EUH208", "P102", "P273", "P501")
    assert statements_due(classify((part("1", "Skin Sens. 1B"),)))[:2] == ("H317", "P102")
    assert statements_due(classify(())) == ()


def test_a_small_pack() -> None:
    """Annex I 1.5.2.1 (C): irritants and water may go, allergies stay, and shared P stay."""
    result = classify(
        (
            part("10", "Eye Irrit. 2"),
            part("1", "Skin Sens. 1B"),
            part("5", "Aquatic Chronic 2"),
            part("25", "Aquatic Chronic 3", cas="3"),
        )
    )
    assert result.h == ("H317", "H319", "H412")
    # H319 may go with P305+P351+P338; H412 stays, its own P273 may go; P280 is H317's as well.
    assert small_pack(result) == SmallPack(h=("H319",), p=("P273", "P305+P351+P338"))


def test_a_small_pack_of_one_class() -> None:
    """What one class alone lists may all go, but for the statement that any label bears."""
    result = classify((part("25", "Aquatic Chronic 2"),))
    assert small_pack(result) == SmallPack(h=("H411",), p=("P273", "P391", "P501"))


def test_a_small_pack_with_h410_for_h400() -> None:
    """H400 is said by H410, which may go; nothing else does."""
    result = classify((part("30", "Aquatic Acute 1", "Aquatic Chronic 1", m=(1, 1)),))
    assert small_pack(result) == SmallPack(h=("H410",), p=("P273", "P391", "P501"))


# Mutations that cannot be told apart:
# - _acute and _doses: they run once, when their module is read, before any mutation is switched on.


# CLP Annex I, Table 3.1.3: category 4 oral read in the own text (C), the others from memory,
# unconfirmed (M).
@pytest.mark.parametrize(
    ("route", "statements"),
    [
        ("oral", ("H300", "H300", "H301", "H302")),
        ("dermal", ("H310", "H310", "H311", "H312")),
        ("gas", ("H330", "H330", "H331", "H332")),
        ("vapour", ("H330", "H330", "H331", "H332")),
        ("mist", ("H330", "H330", "H331", "H332")),
    ],
)
def test_what_a_poison_brings_to_a_label(route: str, statements: tuple[str, ...]) -> None:
    """Categories 1 to 3 the skull and Danger, category 4 the exclamation mark and Warning."""
    found = [LABELS[f"Acute Tox. {category} ({route})"] for category in range(1, 5)]
    assert tuple(label.h for label in found) == statements
    assert [label.signal for label in found] == ["Danger", "Danger", "Danger", "Warning"]
    assert [label.pictogram for label in found] == ["GHS06", "GHS06", "GHS06", "GHS07"]
