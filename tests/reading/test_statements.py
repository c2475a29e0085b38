"""Catalogues of statements: the shipped one is whole, and a studio's own is told what it lacks."""

from pathlib import Path

import pytest

from handbook_builder.hazards.classify import classify
from handbook_builder.hazards.precaution import CHOSEN, LEFT_OUT, listed_p, statements_due
from handbook_builder.hazards.wording import LABELS
from handbook_builder.reading.statements import Catalogue, read_catalogue
from handbook_builder.workshop import statements_for
from tests.hazards.kit import part
from tests.reading.test_messages import FROM_A_CATALOGUE

FILE = "site_templates/statements/nl.yml"
HEAD = (
    "language: Nederlands\ndanger: {text: Gevaar, sure: C}\n"
    "warning: {text: Waarschuwing, sure: C}\n"
    'contains: {text: "Bevat {names}.", sure: M}\n'
    'unknown_acute: {text: "{share} onbekend.", sure: M}\n'
)
CAUTIONS = 'cautions:\n  within_sight: {text: "Verlies de kaars nooit uit het oog.", sure: X}\n'
STATED = HEAD + 'statements:\n  H317: {text: "Kan de huid allergisch maken.", sure: M}\n'
WHOLE = STATED + CAUTIONS


def _shipped() -> Catalogue:
    catalogue, problems = statements_for(None, "en")
    assert problems == ()
    assert catalogue is not None
    return catalogue


def _told(written: str) -> list[str]:
    catalogue, problems = read_catalogue(written, FILE)
    assert (catalogue is None) == bool(problems)
    return [str(one) for one in problems]


def test_the_shipped_one_is_whole() -> None:
    """It has every statement that a candle's label can need, and none besides."""
    needed = {label.h for word, label in LABELS.items() if word != "Asp. Tox. 1"}
    assert set(_shipped().statements) == needed | set(CHOSEN) | {"EUH208"}
    assert not set(LEFT_OUT) & set(_shipped().statements)


def test_the_shipped_one_says_what_was_read() -> None:
    """Two statements that were read in the law's own text (C), and where names go."""
    catalogue = _shipped()
    assert catalogue.said("H317") == "May cause an allergic skin reaction."
    assert catalogue.said("EUH208", ("linalool", "citral")) == (
        "Contains linalool, citral. May produce an allergic reaction."
    )
    assert catalogue.signals["Warning"].text == "Warning"
    assert {one.sure for one in catalogue.statements.values()} <= {"C", "S", "M"}


def test_what_a_candle_needs_is_there() -> None:
    """The statements that are due are those of the result, and the shipped catalogue has them."""
    sensitising = classify((part("1", "Skin Sens. 1B"),))
    near = classify((part("0.5", "Skin Sens. 1B"),))
    assert statements_due(sensitising)[0] == "H317"
    assert statements_due(near) == ("EUH208",)
    assert _shipped().lacking((*statements_due(sensitising), *statements_due(near))) == ()
    assert set(statements_due(sensitising)[1:]) - {"P102"} <= set(listed_p(sensitising))


def test_what_is_lacking_is_listed_at_once() -> None:
    """A label is refused with all that is to be filled in."""
    catalogue, _ = read_catalogue(WHOLE, FILE)
    assert catalogue is not None
    assert [str(one) for one in catalogue.lacking(("H317", "P102", "P501", "P102"))] == [
        (
            f"{FILE}:1:1: the label needs statements that are not in Nederlands here: P102, P501. "
            "Write each under 'statements' as the law prints it: 'P102: {text: …, sure: C}'."
        )
    ]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("", "1:1: the statements cannot be read: it is empty."),
        ("a: [", ": the statements cannot be read:"),
        ("a: b\n---\nc: d\n", "2:1: the statements cannot be read: a second document begins here."),
        ("? [a]\n: b\n", "1:3: the statements cannot be read: a key must be one word."),
        ("a: \x07", "1:4: the statements cannot be read: character '\\x07' is not allowed."),
        (STATED + "  H317: {text: x, sure: S}\n" + CAUTIONS, "8:3: found the key 'H317' twice"),
        (WHOLE.replace("H317", "H31"), "7:3: found 'H31'; expected the number of a statement"),
        (WHOLE.replace("H317", '""'), "7:3: found nothing after 'statements:'"),
        (
            WHOLE.replace('maken.", sure: M', 'maken.", sure: X'),
            "found 'X' for 'sure'; expected one of C, S, M",
        ),
        (WHOLE.replace("H317", "EUH208"), "found no '{names}' in 'EUH208', or more than one"),
        (WHOLE.replace("Bevat {names}", "Bevat"), "found no '{names}' in 'contains'"),
        (WHOLE.replace("{share}", "{share}{share}"), "found no '{share}' in 'unknown_acute'"),
        (WHOLE.replace("contains: {", "contains: {odd: x, "), "found the unknown key 'odd'"),
        (HEAD, "the key 'statements' is missing"),
        ("- a", "1:1: found a list"),
    ],
)
def test_faults_are_told_with_their_place(written: str, told: str) -> None:
    """A catalogue that a person wrote is read like a record."""
    assert any(one.startswith(f"{FILE}:") and told in one for one in _told(written)), _told(written)


def test_a_language_that_nobody_wrote(tmp_path: Path) -> None:
    """It is told which file to write."""
    catalogue, problems = statements_for(tmp_path, "nl")
    assert catalogue is None
    assert [one.code for one in problems] == ["no_catalogue"]
    assert str(problems[0]).startswith(f"{FILE}:1:1: there are no statements in the language 'nl'")


def test_a_studio_may_write_its_own(tmp_path: Path) -> None:
    """A studio's file of a language goes before the shipped one."""
    (tmp_path / "site_templates/statements").mkdir(parents=True)
    (tmp_path / FILE).write_text(WHOLE, "utf-8")
    catalogue, problems = statements_for(tmp_path, "nl")
    assert problems == ()
    assert catalogue is not None
    assert (catalogue.language, list(catalogue.statements)) == ("Nederlands", ["H317"])


def test_every_message_of_a_catalogue_is_earned() -> None:
    """Those that no record can earn are earned here."""
    catalogue, _ = read_catalogue(WHOLE, FILE)
    assert catalogue is not None
    written = ("", WHOLE.replace("H317", "H31"), WHOLE.replace("{share}", ""))
    problems = [*catalogue.lacking(("P102",)), *statements_for(None, "xx")[1]]
    for text in written:
        problems += read_catalogue(text, FILE)[1]
    assert {one.code for one in problems} == FROM_A_CATALOGUE
