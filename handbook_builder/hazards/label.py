"""Signal word, pictograms and hazard statements of a set of classes, after precedence."""

from collections.abc import Iterable

from handbook_builder.hazards.wording import LABELS


def signal_word(classes: Iterable[str]) -> str | None:
    """Return the one signal word: Danger before Warning (Art. 20(3), from memory, unconfirmed)."""
    said = {LABELS[word].signal for word in classes}
    return next((signal for signal in ("Danger", "Warning") if signal in said), None)


def pictograms(classes: Iterable[str]) -> tuple[str, ...]:
    """Return the pictograms that stay, in the order of their numbers, Art. 26(1) (read).

    A class keeps its pictogram unless (b), (c) or (d) lifts it: GHS06 lifts GHS07; GHS05 lifts it
    for irritated skin and eyes; GHS08 for allergic airways lifts it for allergic and irritated
    skin and for eyes. GHS08 for anything else lifts nothing.
    """
    held = tuple(classes)
    return tuple(sorted({sign for word in held if (sign := pictogram_of(word, held)) is not None}))


def pictogram_of(word: str, classes: Iterable[str]) -> str | None:
    """Return the pictogram that a class brings among these classes, or None where it is lifted."""
    held = tuple(classes)
    sign = LABELS[word].pictogram
    others = {LABELS[other].pictogram for other in held}
    if sign != "GHS07":
        return sign
    is_irritant = word in {"Skin Irrit. 2", "Eye Irrit. 2"}
    has_allergic_airways = any(other.startswith("Resp. Sens.") for other in held)
    is_lifted = (
        "GHS06" in others
        or (is_irritant and "GHS05" in others)
        or (has_allergic_airways and (is_irritant or word.startswith("Skin Sens.")))
    )
    return None if is_lifted else sign


def hazard_statements(classes: Iterable[str]) -> tuple[str, ...]:
    """Return the H statements that stay, in the order of their numbers.

    H410 stands for H400 (Art. 27, S); H314 for H318 (footnote to Table 3.3.5, C).
    """
    held = tuple(classes)
    said = {h for word in held if (h := statement_of(word, held)) is not None}
    return tuple(sorted(said))


def statement_of(word: str, classes: Iterable[str]) -> str | None:
    """Return the H statement of a class among these classes, or None where another says it."""
    said = {LABELS[class_].h for class_ in classes}
    h = LABELS[word].h
    stands_for = {"H400": "H410", "H318": "H314"}.get(h)
    return None if stands_for in said else h
