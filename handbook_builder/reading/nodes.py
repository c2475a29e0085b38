"""YAML as positioned nodes: every value stays text until our own schema decides its type.

PyYAML's resolver would read `12:30` as 750, `no` as False and take a key given twice. So we take
its parser's events only, and build nodes from them. Aliases, anchors and tags are refused, which
also leaves nothing to explode and nothing to construct.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import yaml

from handbook_builder.problems import Place, Problem, problem

MAX_DEPTH: Final = 12
_Loader: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value as written. `plain` is false when it stood in quotes."""

    text: str
    plain: bool
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of nodes."""

    items: "tuple[Node, ...]"
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Map:
    """Keys with nodes, in the order of the file."""

    entries: "tuple[tuple[Scalar, Node], ...]"
    line: int
    column: int


Node = Scalar | Sequence | Map


class _Refused(Exception):  # noqa: N818 -- it never leaves this module
    """Stops the composing of one document at the first thing that YAML or we cannot take."""

    def __init__(self, line: int, column: int, code: str, **details: object) -> None:
        super().__init__(code)
        self.where, self.code, self.details = (line, column), code, details


# What the parser says, by a part of it, and what a maker can do about it.
_PLAIN_WORDS: Final = {
    "could not find expected ':'": "a key and its value need a colon and a space between them: "
    "'scale: 0.1 g'",
    "cannot start any token": "a line begins with a character that cannot begin a value; indent "
    "with spaces, not with tabs, and put such a text in quotes",
    "mapping values are not allowed": "there is a second colon in the line; put the text that "
    "holds it in quotes",
    "expected ',' or": "a brace or bracket is not closed, or a comma is missing between two keys",
    "expected comment or line break": "the sign > or | stands before other text; leave it out, or "
    "put the text in quotes",
    "expected <block end>": "a line is not indented like the lines around it",
    "expected key": "a line is not indented like the lines around it",
    "tab character": "a line is indented with a tab; indent with spaces",
    "while scanning a quoted scalar": "a quotation mark is not closed",
    "unexpected end of stream": "a quotation mark is not closed",
}


def _in_plain_words(said: str) -> str:
    return next((words for part, words in _PLAIN_WORDS.items() if part in said), said)


def compose(
    text: str, file: str, first_line: int, unreadable: str = "not_yaml"
) -> tuple[Node | None, list[Problem]]:
    """Return the root node of one YAML document, or None, and the problems found in it.

    `first_line` is the line of the file in which `text` begins, counted from 1; `unreadable` is the
    code of what YAML itself cannot take.
    """
    composer = _Composer(text, file, first_line, unreadable)
    try:
        root = composer.document()
    except _Refused as refused:
        line, column = refused.where
        place = Place(file, line, column)
        return None, [*composer.problems, problem(place, refused.code, refused.details)]
    return root, composer.problems


class _Composer:
    def __init__(self, text: str, file: str, first_line: int, unreadable: str) -> None:
        self.text, self.file, self.first_line = text, file, first_line
        self.unreadable = unreadable
        self.problems: list[Problem] = []
        self.events = self._events()

    def _events(self) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse(self.text, Loader=_Loader)
        except yaml.reader.ReaderError as error:
            raise self._unreadable() from error
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark
            line, column = (mark.line, mark.column) if mark else (0, 0)
            reason = _in_plain_words(error.problem or "it is not YAML")
            raise _Refused(
                line + self.first_line, column + 1, self.unreadable, reason=reason
            ) from error

    def _unreadable(self) -> _Refused:
        """Return the place of the first character that YAML forbids."""
        odd = next(
            (i for i, c in enumerate(self.text) if not c.isprintable() and c not in "\t\r\n"), 0
        )
        line = self.text.count("\n", 0, odd)
        column = odd - (self.text.rfind("\n", 0, odd) + 1)
        reason = f"character {self.text[odd : odd + 1]!r} is not allowed"
        return _Refused(line + self.first_line, column + 1, self.unreadable, reason=reason)

    def document(self) -> Node | None:
        root: Node | None = None
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent) and root is not None:
                raise self._refused(event, self.unreadable, reason="a second document begins here")
            if isinstance(event, yaml.NodeEvent):
                root = self._node(event, 1)
        return root

    def _refused(self, event: yaml.Event, code: str, **details: object) -> _Refused:
        line, column = self._where(event)
        return _Refused(line, column, code, **details)

    def _where(self, event: yaml.Event) -> tuple[int, int]:
        mark = event.start_mark
        return (mark.line + self.first_line, mark.column + 1) if mark else (self.first_line, 1)

    def _node(self, event: yaml.Event, depth: int) -> Node:
        if isinstance(event, yaml.AliasEvent):
            raise self._refused(event, "alias", found=f"*{event.anchor}")
        if anchor := getattr(event, "anchor", None):
            raise self._refused(event, "alias", found=f"&{anchor}")
        if tag := getattr(event, "tag", None):
            raise self._refused(event, "bad_tag", found=tag)
        if depth > MAX_DEPTH:
            raise self._refused(event, "too_deep", limit=MAX_DEPTH)
        line, column = self._where(event)
        if isinstance(event, yaml.ScalarEvent):
            return Scalar(event.value, not event.style, line, column)
        if isinstance(event, yaml.SequenceStartEvent):
            return Sequence(tuple(self._items(depth)), line, column)
        return Map(tuple(self._entries(depth)), line, column)

    def _items(self, depth: int) -> Iterator[Node]:
        for event in self.events:
            if isinstance(event, yaml.SequenceEndEvent):
                return
            yield self._node(event, depth + 1)

    def _entries(self, depth: int) -> Iterator[tuple[Scalar, Node]]:
        seen: dict[str, int] = {}
        for event in self.events:
            if isinstance(event, yaml.MappingEndEvent):
                return
            key = self._node(event, depth + 1)
            value = self._node(next(self.events), depth + 1)
            if not isinstance(key, Scalar):
                reason = "a key must be one word"
                raise _Refused(key.line, key.column, self.unreadable, reason=reason)
            if key.text in seen:
                place = Place(self.file, key.line, key.column)
                details = {"found": key.text, "first": seen[key.text]}
                self.problems.append(problem(place, "duplicate_key", details))
                continue
            seen[key.text] = key.line
            yield key, value
