"""The words that people look for and that no page says: `finding.yml`, and a studio's own of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any, Final

import yaml
from mkdocs.exceptions import PluginError

from handbook_builder.publish.templates import layers

NAME: Final = "finding.yml"
Words = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """What the search knows besides the words of the pages.

    Of a group of `same` words each finds the others; of a group of `spelt` ones all are one word.
    `pages` and `sections` are what people call a page ("board/index", or with an anchor) and a
    section of any page (by its anchor). `little` words are left out where others are left. `dated`
    are the folders in which a day is looked for first, in this order.
    """

    same: tuple[Words, ...] = ()
    spelt: tuple[Words, ...] = ()
    pages: Mapping[str, Words] = field(default_factory=dict)
    sections: Mapping[str, Words] = field(default_factory=dict)
    little: Words = ()
    dated: Words = ()


def finding_of(studio: Path) -> Finding:
    """Return the shipped words with those of the studio's own `site_templates/finding.yml`.

    Raises PluginError, with the file, for what has another form than the shipped file.
    """
    found = Finding()
    for folder in reversed(layers(studio)):
        if (folder / NAME).is_file():
            found = _joined(found, _read(folder / NAME))
    return found


def _joined(one: Finding, other: Finding) -> Finding:
    """Return both together; what both say of one page is added up."""
    return Finding(
        one.same + other.same,
        one.spelt + other.spelt,
        _added(one.pages, other.pages),
        _added(one.sections, other.sections),
        one.little + other.little,
        other.dated or one.dated,
    )


def _added(one: Mapping[str, Words], other: Mapping[str, Words]) -> dict[str, Words]:
    return {key: one.get(key, ()) + other.get(key, ()) for key in (*one, *other)}


def _read(file: Path) -> Finding:
    try:
        # A loader that knows texts alone: "on", "no" and a number are words here.
        told = yaml.load(file.read_text("utf-8"), yaml.BaseLoader) or {}  # noqa: S506 -- as above
        return _finding(told)
    except (yaml.YAMLError, UnicodeDecodeError, _ShapeError) as fault:
        raise PluginError(f"{file}: {fault}") from fault


class _ShapeError(Exception):
    """What a file of words holds has another form than it must have."""


def _finding(told: Any) -> Finding:  # noqa: ANN401 -- whatever a file may hold
    known = {one.name for one in fields(Finding)}
    if not isinstance(told, dict) or not told.keys() <= known:
        raise _ShapeError(f"expected the keys {', '.join(sorted(known))} alone")
    return Finding(
        tuple(_groups(told, "same")),
        tuple(_groups(told, "spelt")),
        _called(told, "pages"),
        _called(told, "sections"),
        _words(told.get("little") or [], "little"),
        _words(told.get("dated") or [], "dated"),
    )


def _groups(told: dict[str, Any], key: str) -> Iterator[Words]:
    groups = told.get(key) or []
    if not isinstance(groups, list):
        raise _ShapeError(f"'{key}' must be a list of lists of words")
    yield from (_words(group, key) for group in groups)


def _called(told: dict[str, Any], key: str) -> dict[str, Words]:
    called = told.get(key) or {}
    if not isinstance(called, dict):
        raise _ShapeError(f"'{key}' must be lists of words by what they lead to")
    return {str(name): _words(words, f"{key}: {name}") for name, words in called.items()}


def _words(words: Any, key: str) -> Words:  # noqa: ANN401 -- whatever a file may hold
    if not isinstance(words, list) or not all(isinstance(one, str) for one in words):
        raise _ShapeError(f"'{key}' must be a list of words")
    return tuple(words)
