"""Whatever a user can say or be told is written down, and the demo shows it."""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from handbook_builder.cli import main
from handbook_builder.reading.front import split
from handbook_builder.reading.kinds.house import StudioRecord
from handbook_builder.reading.kinds.readings import SEEN_WORDS
from handbook_builder.reading.nodes import Map, Node, Sequence
from handbook_builder.reading.records import KINDS, STUDIO_FILE
from handbook_builder.reading.shape import keys_of
from handbook_builder.studio.protocol import shipped
from tests.docs.test_keys_reach import shapes

ROOT = Path(__file__).parents[2]
GUIDES = ROOT / "site_templates" / "guides" / "guides"
SHAPES = {"studio": StudioRecord, **KINDS}


def _words(path: Path) -> set[str]:
    return set(re.findall(r"[a-z_0-9]+", path.read_text("utf-8")))


def _used(node: Node) -> Iterator[str]:
    """Yield every key under `node`."""
    if isinstance(node, Map):
        for key, value in node.entries:
            yield key.text
            yield from _used(value)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _used(item)


@cache
def _demo_keys(kind: str) -> set[str]:
    """Return every key that the demo's records of one kind use, at any depth."""
    records = ROOT / "records"
    files = [records / STUDIO_FILE] if kind == "studio" else sorted((records / kind).glob("*.md"))
    keys: set[str] = set()
    for file in files:
        front, _ = split(file.read_bytes(), file.name)
        assert front is not None
        keys |= set(_used(front.root))
    return keys


@pytest.mark.parametrize("kind", SHAPES)
def test_every_key_is_explained(kind: str) -> None:
    """The guide 'Writing a record' names each key of each kind."""
    explained = _words(GUIDES / "writing-a-record.md")
    assert set(keys_of(SHAPES[kind])) <= explained


@pytest.mark.parametrize("kind", SHAPES)
def test_every_key_is_used_in_the_demo(kind: str) -> None:
    """The demo is the reference example: it uses every key of every kind."""
    assert set(keys_of(SHAPES[kind])) <= _demo_keys(kind)


@pytest.mark.parametrize("cls", tuple(shapes()), ids=lambda one: one.__name__)
def test_every_key_within_a_key_is_explained_and_used_in_the_demo(cls: type) -> None:
    """Those of a cycle, a component or a limit too: a key may not come in below the others."""
    keys = set(keys_of(cls))
    assert sorted(keys - _words(GUIDES / "writing-a-record.md")) == []
    assert sorted(keys - {one for kind in SHAPES for one in _demo_keys(kind)}) == []


def test_every_command_is_in_the_readme() -> None:
    """The table of commands is whole, and names none that is not there."""
    text = (ROOT / "README.md").read_text("utf-8")
    listed = set(re.findall(r"^\| `handbook ([a-z]+)", text, re.MULTILINE))
    assert listed == set(main.commands)


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_has_help(name: str) -> None:
    """One sentence at the least, and each option with its own."""
    command: Any = main.commands[name]
    assert command.help
    for option in command.params:
        if option.param_type_name == "option" and option.name not in ("help", "port", "edition"):
            assert option.help, (name, option.name)


def test_every_limit_is_explained() -> None:
    """The guide on limits names the measure of each shipped limit as the record writes it."""
    explained = _words(GUIDES / "where-each-limit-comes-from.md")
    assert {limit.measure for limit in shipped().limits} <= explained


def test_every_word_that_can_be_seen_is_in_the_glossary() -> None:
    """A helper can look up what the records call it."""
    text = (GUIDES / "glossary.md").read_text("utf-8").lower()
    missing = [one for one in SEEN_WORDS if one.replace("_", " ") not in text.replace("-", " ")]
    assert missing == []
