"""One value of a cycle on file or of an end is changed, and no other byte of the record."""

import pytest

from handbook_builder.writing.adding import CannotAddError
from handbook_builder.writing.amending import with_amended, without_amended
from handbook_builder.writing.cycle_draft import CYCLE_KEYS
from handbook_builder.writing.values import Value

HEAD = "---\nrecipe: fig   # the one with two oils\n"
TAIL = "scale: 0.1 g\n---\nbody: {pool: 1 mm}\n"
BREAKS = {"lf": "\n", "crlf": "\r\n", "cr": "\r"}

# What stands between head and tail, the key and its new value, and what stands there then.
CASES: dict[str, tuple[str, str, Value, str]] = {
    "a value in brackets": (
        "cycles:\n  - {on: a, pool: 70 mm, wall: 5 degC}  # hot\n", "pool", "71 mm",
        "cycles:\n  - {on: a, pool: 71 mm, wall: 5 degC}  # hot\n",
    ),
    "a key that is not there goes to its place": (
        "cycles:\n  - {on: a, burned: 4 h, wall: 5 degC}\n", "pool", "71 mm",
        "cycles:\n  - {on: a, burned: 4 h, pool: 71 mm, wall: 5 degC}\n",
    ),
    "last, before a comma at the end": (
        "cycles:\n  - {on: a, }\n", "pool", "71 mm", "cycles:\n  - {on: a, pool: 71 mm, }\n",
    ),
    "a quoted value": (
        "cycles:\n  - {\"on\": 'a', \"note\": \"it: 'was'\"}\n", "note", 'now: "is"',
        "cycles:\n  - {\"on\": 'a', \"note\": \"now: \\\"is\\\"\"}\n",
    ),
    "over two lines, with comments": (
        "cycles:\n  - {on: a,  # lit\n     pool: 70 mm,  # wide\n     wall: 5 degC}\n",
        "pool", "71 mm",
        "cycles:\n  - {on: a,  # lit\n     pool: 71 mm,  # wide\n     wall: 5 degC}\n",
    ),
    "a key a line": (
        "cycles:\n  - on: a\n    pool: 70 mm  # wide\n  - on: b\n", "pool", "71 mm",
        "cycles:\n  - on: a\n    pool: 71 mm  # wide\n  - on: b\n",
    ),
    "a key that is not there, a key a line": (
        "cycles:\n  - on: a  # lit\n    wall: 5 degC\n  - on: b\n", "pool", "71 mm",
        "cycles:\n  - on: a  # lit\n    pool: 71 mm\n    wall: 5 degC\n  - on: b\n",
    ),
    "a list of dashes": (
        "cycles:\n  - on: a\n    seen:\n    - leak\n    - crack\n    note: x\n", "seen", ["leak"],
        "cycles:\n  - on: a\n    seen: [leak]\n    note: x\n",
    ),
    "a list of dashes, a comment beside its key": (
        "cycles:\n  - on: a\n    seen:  # words\n      - leak\n    note: x\n", "seen", ["crack"],
        "cycles:\n  - on: a\n    seen:  # words\n      [crack]\n    note: x\n",
    ),
    "a map with a line a check": (
        "cycles:\n  - on: a\n    checks:\n      1 h: 41 mm\n\n    note: x\n",
        "checks", {"1 h": "42 mm"},
        "cycles:\n  - on: a\n    checks: {1 h: 42 mm}\n\n    note: x\n",
    ),
    "a folded note": (
        "cycles:\n  - on: a\n    note: >\n      one\n      two\n\n  - on: b\n", "note", "three",
        "cycles:\n  - on: a\n    note: three\n\n  - on: b\n",
    ),
    "a key after a folded note": (
        "cycles:\n  - on: a\n    note: >\n      one\n  - on: b\n", "amended", "2026-05-01",
        "cycles:\n  - on: a\n    note: >\n      one\n    amended: 2026-05-01\n  - on: b\n",
    ),
    "a list in brackets": (
        "cycles: [{on: a, pool: 70 mm}, {on: b}]\n", "pool", "71 mm",
        "cycles: [{on: a, pool: 71 mm}, {on: b}]\n",
    ),
    "several former values": (
        "cycles:\n  - {on: a, amended: b}\n", "former", {"pool": ["7 mm", "70 mm"], "wall": "5 C"},
        "cycles:\n  - {on: a, amended: b, former: {pool: [7 mm, 70 mm], wall: 5 C}}\n",
    ),
}  # fmt: skip


@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"], ids=["plain", "bom"])
@pytest.mark.parametrize("line_break", BREAKS)
@pytest.mark.parametrize("case", CASES)
def test_a_value_is_changed_and_nothing_else(case: str, line_break: str, bom: bytes) -> None:
    """In each style, with the line ends and the byte-order mark as they were."""
    old, key, value, new = CASES[case]
    data, expected = (
        bom + (HEAD + one + TAIL).replace("\n", BREAKS[line_break]).encode() for one in (old, new)
    )
    assert with_amended(data, ("cycles", 0), key, value, CYCLE_KEYS) == expected


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  - {on: a, unread: [wall], note: x}\n", "  - {on: a, note: x}\n"),
        ("  - {on: a, unread: [wall]}  # x\n", "  - {on: a}  # x\n"),
        ("  - {on: a, unread: [wall] , }\n", "  - {on: a, }\n"),
        ("  - {on: a,  # lit\n     unread: [wall]}\n", "  - {on: a  # lit\n     }\n"),
        ("  - {on: a, 'unread': [wall]}\n", "  - {on: a}\n"),
        ("  - on: a\n    unread:\n    - wall\n    note: x\n", "  - on: a\n    note: x\n"),
        ("  - on: a\n    unread: [wall]  # a\n  - on: b\n", "  - on: a\n    # a\n  - on: b\n"),
        ("  - {unread: [wall], on: a}\n", "  - {on: a}\n"),
    ],
)  # fmt: skip
def test_a_key_is_taken_out_and_nothing_else(old: str, new: str) -> None:
    """With its comma or its line; a comment beside it keeps its own."""
    data = f"{HEAD}cycles:\n{old}{TAIL}".encode()
    expected = f"{HEAD}cycles:\n{new}{TAIL}".encode()
    assert without_amended(data, ("cycles", 0), "unread") == expected


@pytest.mark.parametrize(
    "old",
    [
        "cycles:\n  - on: a\n    seen:\n      - leak  # at the foot\n      - crack\n",
        "cycles:\n  - {on: a, seen: [leak,  # at the foot\n      crack]}\n",
        "cycles:\n  - {on: a, seen: [  # none\n      ]}\n",
        "cycles: []\n",
        "cycles: soon\n",
        "end: {on: a}\n",
    ],
)
def test_no_comment_is_lost_and_no_place_is_guessed(old: str) -> None:
    """A comment between the words would go with them: that is left to a person."""
    with pytest.raises(CannotAddError):
        with_amended(f"{HEAD}{old}{TAIL}".encode(), ("cycles", 0), "seen", ["leak"], CYCLE_KEYS)


@pytest.mark.parametrize(
    "old",
    [
        "  - {unread: [wall]}\n",
        "  - unread: [wall]\n    on: a\n",
        "  - on: a\n    unread:\n      - wall  # lens\n      - pool\n",
        "  - on: a\n",
    ],
)
def test_what_cannot_be_taken_out_for_certain_stays(old: str) -> None:
    """The only key, the one that bears the dash, one with a comment in it, and none."""
    with pytest.raises(CannotAddError):
        without_amended(f"{HEAD}cycles:\n{old}{TAIL}".encode(), ("cycles", 0), "unread")
