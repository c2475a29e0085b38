"""A cycle is added where it belongs, and no other byte of the file changes."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.reading.front import split
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.nodes import Map, Scalar
from handbook_builder.reading.records import read_record
from handbook_builder.writing.adding import (
    CannotAddError,
    with_entry,
    with_key,
    with_new_value,
    with_value,
)
from handbook_builder.writing.text import Text
from handbook_builder.writing.values import Entry, in_one_line
from tests.records_in_text import burn

ENTRY: Entry = {"on": "2026-03-16 09:30", "seen": ["leak", "crack"], "checks": {"1 h": "41 mm"}}
LINE = "{on: 2026-03-16 09:30, seen: [leak, crack], checks: {1 h: 41 mm}}"
HEAD = "---\nrecipe: fig   # the one with two oils\nmade:\n  on: 2026-03-01  # a Sunday\n"

# A record below its head, and the same with the entry.
CASES: dict[str, tuple[str, str]] = {
    "no key yet": (
        "room: 21 degC  # cool\n# still to come: cycles\n---\nbody\n",
        f"room: 21 degC  # cool\ncycles:\n  - {LINE}\n# still to come: cycles\n---\nbody\n",
    ),
    "no key yet, a comment that belongs above": (
        "  wick: x\n  # braided\nvoid: {why: y}\n  # told\n---\n",
        f"  wick: x\n  # braided\nvoid: {{why: y}}\n  # told\ncycles:\n  - {LINE}\n---\n",
    ),
    "empty list": (
        "cycles: []   # none yet\nend: {how: x}\n---\ncycles: [1]\n",
        f"cycles: [{LINE}]   # none yet\nend: {{how: x}}\n---\ncycles: [1]\n",
    ),
    "dashes with maps in brackets": (
        "cycles:\n  - {on: a}  # one\n  # two will follow\n# the end\nend: {how: x}\n---\n",
        (
            f"cycles:\n  - {{on: a}}  # one\n  # two will follow\n  - {LINE}\n# the end\n"
            "end: {how: x}\n---\n"
        ),
    ),
    "dashes below the key itself": (
        "cycles:\n- {on: a}\n# the end\nend: {how: x}\n---\n",
        f"cycles:\n- {{on: a}}\n- {LINE}\n# the end\nend: {{how: x}}\n---\n",
    ),
    "dashes with keys a line": (
        "cycles:\n  - on: a\n    pool: 3 mm # x\n  -   on: b\n      note: 'a'''\n\nend: {}\n---\n",
        (
            "cycles:\n  - on: a\n    pool: 3 mm # x\n  -   on: b\n      note: 'a'''\n"
            "  -   on: 2026-03-16 09:30\n      seen: [leak, crack]\n      checks: {1 h: 41 mm}\n"
            "\nend: {}\n---\n"
        ),
    ),
    "a folded note last": (
        "cycles:\n  - on: a\n    note: >\n      one\n      two\nend: {how: x}\n---\n",
        (
            "cycles:\n  - on: a\n    note: >\n      one\n      two\n  - on: 2026-03-16 09:30\n"
            "    seen: [leak, crack]\n    checks: {1 h: 41 mm}\nend: {how: x}\n---\n"
        ),
    ),
    "an entry over two lines": (
        'cycles:\n  - {on: a,\n     note: "x\n       y"}\n---\n',
        f'cycles:\n  - {{on: a,\n     note: "x\n       y"}}\n  - {LINE}\n---\n',
    ),
    "list in brackets": (
        "cycles: [{on: a}, {on: b}]  # both\nend: {how: x}\n---\n",
        f"cycles: [{{on: a}}, {{on: b}}, {LINE}]  # both\nend: {{how: x}}\n---\n",
    ),
    "list in brackets, an entry a line": (
        "cycles: [\n    {on: a},\n    {on: b}\n  ]\nend: {how: x}\n---\n",
        f"cycles: [\n    {{on: a}},\n    {{on: b}},\n    {LINE}\n  ]\nend: {{how: x}}\n---\n",
    ),
    "list in brackets, a comma at its end": (
        "cycles: [\n    {on: a},\n    {on: b} ,\n  ]\nend: {how: x}\n---\n",
        f"cycles: [\n    {{on: a}},\n    {{on: b}} ,\n    {LINE}\n  ]\nend: {{how: x}}\n---\n",
    ),
    "list in brackets, a comment at its end": (
        "cycles: [\n    {on: a}, # 1\n    {on: b}  # 2\n  ]\nend: {}\n---\n",
        f"cycles: [\n    {{on: a}}, # 1\n    {{on: b}},  # 2\n    {LINE}\n  ]\nend: {{}}\n---\n",
    ),
    "list in brackets, a comma and a comment": (
        "cycles: [{on: a},  # 1\n  ]\nend: {how: x}\n---\n",
        f"cycles: [{{on: a}},  # 1\n  {LINE}\n  ]\nend: {{how: x}}\n---\n",
    ),
    "no line break at the very end": (
        "cycles:\n  - {on: a}\n---",
        f"cycles:\n  - {{on: a}}\n  - {LINE}\n---",
    ),
}
BREAKS = {"lf": "\n", "crlf": "\r\n", "cr": "\r"}


@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"], ids=["plain", "bom"])
@pytest.mark.parametrize("line_break", BREAKS)
@pytest.mark.parametrize("case", CASES)
def test_an_entry_is_added_and_nothing_else(case: str, line_break: str, bom: bytes) -> None:
    """For each way to write a list, line ends and byte-order mark as they were."""
    old, new = (
        bom + (HEAD + one).replace("\n", BREAKS[line_break]).encode() for one in CASES[case]
    )
    assert with_entry(old, "cycles", ENTRY) == new


def test_a_record_in_brackets() -> None:
    """A front matter that is one map in brackets gets its key within them."""
    old = b"---\n{recipe: x, cycles: [{on: a}]}\n---\n"
    assert with_entry(old, "cycles", ENTRY) == old.replace(b"a}]", b"a}, " + LINE.encode() + b"]")
    bare = b"---\n{recipe: x}\n---\n"
    new = bare.replace(b"x}", b"x, cycles: [" + LINE.encode() + b"]}")
    assert with_entry(bare, "cycles", ENTRY) == new
    assert with_key(bare, "end", {"how": "y"}) == bare.replace(b"x}", b"x, end: {how: y}}")


def test_mixed_line_ends_follow_their_neighbour() -> None:
    """A new line ends as the line before it does."""
    old = b"---\nrecipe: x\r\ncycles:\r\n  - {on: a}\nend: {how: x}\r\n---\r\n"
    new = with_entry(old, "cycles", {"on": "b"})
    assert new == old.replace(b"a}\n", b"a}\n  - {on: b}\n")


def test_the_end_stands_after_the_cycles() -> None:
    """`end` comes last, after the comments that belong to the cycles."""
    old = (HEAD + "cycles:\n  - {on: a}\n  # quiet\n# more\n---\n").encode()
    new = with_key(old, "end", {"how": "stopped", "why": "soot: too much"})
    added = b'  # quiet\nend: {how: stopped, why: "soot: too much"}\n'
    assert new == old.replace(b"  # quiet\n", added)


def test_one_value_is_replaced() -> None:
    """A number is raised in its place; a key that is not there is not made up."""
    old = b"---\r\ntitle: x\r\ntest_candles: 3   # three\r\n---\r\nfill: 3\r\n"
    assert with_value(old, "test_candles", "12") == old.replace(b": 3 ", b": 12 ")
    with pytest.raises(CannotAddError):
        with_value(old, "wicks", "2")


@pytest.mark.parametrize(
    "data",
    [
        b"---\nrecipe: x\nrecipe: y\n---\n",  # which of the two is meant
        b"---\nrecipe: [\n---\n",
        b"no record\n",
        b"---\nrecipe: x\n",
        b"---\ncycles: soon\n---\n",
        b"---\ncycles: {on: a}\n---\n",
    ],
)
def test_a_record_that_is_not_understood_is_left_alone(data: bytes) -> None:
    """No place is guessed."""
    with pytest.raises(CannotAddError):
        with_entry(data, "cycles", ENTRY)


@pytest.mark.parametrize(
    "wrong", [lambda new: new.replace(b"a}", b"b}"), lambda new: new + b" ", lambda new: new[:-9]]
)
def test_the_new_text_is_read_again(wrong: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """Had the place been wrong, the text would not be given out: another value, another body."""
    old = (HEAD + "cycles:\n  - {on: a}\n---\nbody\n").encode()
    changed = Text.changed
    monkeypatch.setattr(
        Text,
        "changed",
        lambda self, changes: wrong(changed(self, changes)),  # type: ignore[operator]
    )
    with pytest.raises(CannotAddError):
        with_entry(old, "cycles", ENTRY)


def test_text_without_front_matter() -> None:
    """There is no place in it to add to."""
    for data in (b"no record\n", b"---\nrecipe: x\n"):
        with pytest.raises(ValueError, match="front matter"):
            Text(data).front  # noqa: B018 -- the look itself fails


def test_a_whole_burn() -> None:
    """The record of a burn reads as before, with one cycle more and then its end."""
    data = burn(cycles=[], end="").replace("cycles: []\n", "").encode()
    cycle = {"on": "2026-03-16", "burned": "4 h", "note": 'she said: "no, {5} #1"'}
    new = with_entry(data, "cycles", cycle)
    new = with_entry(new, "cycles", {**cycle, "on": "2026-03-17"})
    new = with_key(new, "end", {"how": "went_out"})
    record, problems = read_record("burns/fig-a.md", new, "")
    assert problems == ()
    assert isinstance(record, Burn)
    assert [one.on.day.day for one in record.cycles] == [16, 17]
    assert record.cycles[0].note == 'she said: "no, {5} #1"'
    assert record.end is not None


@given(text=st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30))
def test_any_text_is_read_back_as_it_was(text: str) -> None:
    """Whatever a note holds, quotes and line breaks too, is written so that YAML gives it back."""
    front, problems = split(f"---\nk: {in_one_line({'note': text})}\n---\n".encode(), "x")
    assert problems == []
    assert front is not None
    node = front.root.entries[0][1]
    assert isinstance(node, Map)
    value = node.entries[0][1]
    assert isinstance(value, Scalar)
    assert value.text == text


@given(
    lines=st.lists(st.sampled_from(["# a", "  # b", "", "   "]), max_size=4),
    indent=st.integers(0, 4),
    style=st.sampled_from(["block", "flow"]),
    line_break=st.sampled_from(list(BREAKS.values())),
    ends=st.booleans(),
)
def test_taking_the_entry_out_gives_the_old_bytes(
    lines: list[str], indent: int, style: str, line_break: str, *, ends: bool
) -> None:
    """Whatever blanks and comments stand around it, the old file is the new one without it."""
    pad = " " * indent
    first = f"{pad}- {{on: a}}\n" if style == "flow" else f"{pad}- on: a\n{pad}  pool: 3 mm\n"
    tail = "".join(f"{one}\n" for one in lines) + ("end: {how: x}\n" if ends else "")
    old = (HEAD + "cycles:\n" + first + tail + "---\nbody\n").replace("\n", line_break).encode()
    new = with_entry(old, "cycles", {"on": "b"})
    assert new.count(b"on: b") == 1
    entry = re.search(rb"[ ]*- (\{on: b\}|on: b)(\r\n|\r|\n)", new)
    assert entry is not None
    assert new[: entry.start()] + new[entry.end() :] == old


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("made: {on: x, candles: 1}  # two\n", "made: {on: x, candles: 2}  # two\n"),
        (
            "made:\r\n  candles: 1   # two\r\n  on: x\r\n",
            "made:\r\n  candles: 2   # two\r\n  on: x\r\n",
        ),
        ('made:\n  candles: "1"\ncandles: 1\n', "made:\n  candles: 2\ncandles: 1\n"),
    ],
)
def test_a_value_within_another(old: str, new: str) -> None:
    """It is changed where it stands, and its namesake elsewhere is not."""
    data = f"---\n{old}---\nbody\n".encode()
    assert with_value(data, "made.candles", "2") == f"---\n{new}---\nbody\n".encode()
    with pytest.raises(CannotAddError):
        with_value(data, "made.wicks", "2")
    with pytest.raises(CannotAddError):
        with_value(data, "end.candles", "2")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Fig\n# fill: none\n", "title: Fig\ntest_candles: 3\n# fill: none\n"),
        ("{title: Fig}\n", "{title: Fig, test_candles: 3}\n"),
        ("title: Fig\r\n", "title: Fig\r\ntest_candles: 3\r\n"),
    ],
)
def test_a_new_value_comes_last(old: str, new: str) -> None:
    """All else stays byte for byte; a key that is there already is no new one."""
    data = f"---\n{old}---\ntest_candles are told below\n".encode()
    added = with_new_value(data, "test_candles", "3")
    assert added == f"---\n{new}---\ntest_candles are told below\n".encode()
    with pytest.raises(CannotAddError):
        with_new_value(added, "test_candles", "4")
