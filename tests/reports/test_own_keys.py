"""Keys of the maker's own are read, kept and shown, and nothing is ever reckoned with them."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from handbook_builder.reading.records import read_record, read_texts
from handbook_builder.workshop import studio_from
from tests.records_in_text import as_bytes, proven
from tests.reports.studio import studio
from tests.reports.test_golden import CASES, GOLDEN, _answer

OWN = """x-the-end: {how: went_out, vessel: cracked}
x-the-cycles: [{flame: 500 mm, seen: [flare_up]}]
x-paid: "61.30"
x-set-aside: {why: "because I say so", by: me}
x-note: |
  two
  lines
"""
LETTERS = st.characters(exclude_categories=["C", "Z"])
TEXTS = st.text(LETTERS, max_size=12)
VALUES = st.recursive(
    TEXTS | st.integers() | st.booleans() | st.floats(allow_nan=True),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=6,
)


def with_own(text: str, own: str) -> str:
    """Return a record with more keys, the last of all, so that no other line moves."""
    before, fence, after = text.removeprefix("---\n").partition("---\n")
    assert fence
    return f"---\n{before}{own}---\n{after}"


@pytest.mark.deep
@pytest.mark.parametrize("name", [one for one in CASES if one != "check"])
def test_no_answer_to_a_program_knows_them(name: str, tmp_path: Path) -> None:
    """With a cracked vessel, a price and a void under such keys in every record: to the letter."""
    files = {path: with_own(text, OWN) for path, text in studio().items()}
    answer = _answer(tmp_path, files, CASES[name])
    assert answer == (GOLDEN / f"{name}.json").read_text("utf-8")


def _without_own(value: Any) -> Any:  # noqa: ANN401 -- any part of a studio
    """Return a value in which no record has keys of its own, nor says where anything stands."""
    if isinstance(value, Mapping):
        return {key: _without_own(one) for key, one in value.items()}
    if isinstance(value, tuple):
        return tuple(_without_own(one) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        if hasattr(value, "own"):
            value = replace(value, own={}, places={})
        return {one.name: _without_own(getattr(value, one.name)) for one in fields(value)}
    return value


@settings(max_examples=10)
@given(st.dictionaries(st.from_regex(r"x-[a-z][a-z0-9-]{0,10}", fullmatch=True), VALUES,
                       min_size=1, max_size=4))  # fmt: skip
def test_whatever_they_hold_no_record_reads_otherwise(own: dict[str, Any]) -> None:
    """Any text, number, list or mapping: all that is read beside them is what it was."""
    told = yaml.safe_dump(own, allow_unicode=True, sort_keys=False, width=4000)
    files = proven()
    path = "burns/fig-a.md"
    record, problems = read_record(path, with_own(files[path], told).encode(), "records/")
    assert problems == ()
    plain, _ = read_record(path, files[path].encode(), "records/")
    assert set(record.source.own) == set(own)
    assert _without_own(record) == _without_own(plain)


def test_they_are_kept_as_they_were_written() -> None:
    """Numbers and yes are text, as everything in a record is until a key says what it is."""
    own = 'x-a: 012\nx-b: [yes, "no", 12:30]\nx-c: {d: {e: ~}}\nx-f:\nx-g: |\n  one\n  two\n'
    files = {**proven()}
    files["waxes/soy.md"] = with_own(files["waxes/soy.md"], own)
    found, problems = studio_from(read_texts(as_bytes(files), "records/"))
    assert found is not None, problems
    source = found.waxes["soy"].source
    assert source.own == {
        "x-a": "012", "x-b": ("yes", "no", "12:30"), "x-c": {"d": {"e": "~"}}, "x-f": "",
        "x-g": "one\ntwo\n",
    }  # fmt: skip
    assert source.place("x-c.d.e").line == 8
