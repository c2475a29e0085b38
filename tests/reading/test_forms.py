"""What readers say that they take, held against what they do take."""

import re
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from handbook_builder import units
from handbook_builder.reading.fields import Bad, Reader, Report, item_name
from handbook_builder.reading.forms import Unsaid, fits, form_of, quantity_pattern
from handbook_builder.reading.nodes import Node, Scalar
from handbook_builder.reading.pictures import picture_name
from handbook_builder.reading.shape import keys_of
from handbook_builder.reports.schema import schema_of
from tests.docs.test_keys_reach import shapes
from tests.yaml_1_2 import value_of

# Each reader of a key that takes something of its own, and those of keys in tables. The bound of a
# limit is read once its measure is known (tests/reports/test_schema.py sees the whole).
READERS: dict[str, Reader[Any]] = {
    repr(form_of(read)): read
    for read in (
        *(
            key.read
            for cls in shapes()
            if cls.__name__ != "_WrittenLimit"
            for key in keys_of(cls).values()
        ),
        item_name,
        picture_name,
    )
}
VALIDATORS = {form: Draft202012Validator(schema_of(form_of(one))) for form, one in READERS.items()}
# Pieces that values are made of, and that slips are made of.
PIECES = (
    "0", "1", "3", "12", "2026", "-", "+", ".", ",", "/", " ", "  ", "e", "E", "delta ", "Δ", "3/4",
    "2026-03-15", "09:30", "T", "24:00", "7:5", "none", "to_line", "unknown", "yes", "No", "TRUE",
    "soy-blend", "waxes/soy", "A", "zz", "78-70-6", "EUR", "en", "lb", "oz", "pcs", "<", "≥", "to ",
    "%", "W-1", "1.jpg", "~", "\u00a0", "\u200b", "flame", "glass", *units.UNITS, *units.TAKEN_FOR,
)  # fmt: skip
# What a form refuses and its reader takes: a zero below zero.
NO_ZERO = re.compile(r"-\s*[0.]+(?![.0-9])")


def takes(read: Reader[Any], text: str, *, plain: bool) -> bool:
    """Return whether a reader takes a value."""
    node: Node = Scalar(text, plain=plain, line=1, column=1)
    return not isinstance(read(node, Report(""), "key"), Bad)


@settings(max_examples=100, deadline=None)
@given(pieces=st.lists(st.sampled_from(PIECES), min_size=1, max_size=6), plain=st.booleans())
@example(pieces=["1", " ", "lb", " ", "3", " ", "oz"], plain=True)
@example(pieces=["2026-03-15", " ", "09:30"], plain=True)
@example(pieces=["≥", "3", "-", "<", "12", " ", "%"], plain=True)
@example(pieces=["\u00a0", "4", "\u00a0", "h"], plain=False)
def test_a_form_refuses_nothing_that_its_reader_takes(*, pieces: list[str], plain: bool) -> None:
    """Whether an editor's loader makes a text of it, a number or a truth; a blank is no value."""
    text = "".join(pieces).strip()
    value = value_of(text) if plain else text
    if value is None or NO_ZERO.search(text):
        return
    for form, read in READERS.items():
        assert VALIDATORS[form].is_valid(value) or not takes(read, text, plain=plain), form


DIMENSIONS = (
    units.MASS, units.LENGTH, units.VOLUME, units.DURATION, units.TEMPERATURE, units.DIFFERENCE,
    units.SHARE, units.DENSITY,
)  # fmt: skip
WAYS = ("3 {}", "3{}", "1.5 {}", "3/4 {}", "1,5 {}", "delta 3 {}", "{}", "3 {} 2 {}", "-3 {}")


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=lambda one: one.word)
def test_a_quantity_is_of_its_own_dimension(dimension: units.Dimension) -> None:
    """Every spelling of every unit, and two of none: pattern and reader agree on each."""
    pattern = quantity_pattern(dimension)
    spelled = (*units.UNITS, *units.TAKEN_FOR, "K", "xg", "")
    agreed = 0
    for text in (way.format(one, one) for way in WAYS for one in spelled):
        found = units.read_quantity(text, dimension)
        is_read = not isinstance(found, units.Fault) or found.code == "out_of_range"
        assert fits(pattern, text) == is_read, text
        agreed += is_read
    assert agreed > 3


def test_what_no_reader_says_is_no_schema() -> None:
    """A key whose reader is silent would be a hole, and nobody would know."""

    def silent(_node: Node, _report: Report, _key: str) -> str | Bad:
        return ""

    assert isinstance(form_of(silent), Unsaid)
    with pytest.raises(TypeError, match="silent does not say what it takes"):
        schema_of(form_of(silent))
