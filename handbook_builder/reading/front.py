"""From the bytes of one file to its front matter and its body."""

import re
from dataclasses import dataclass
from typing import Final

from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.nodes import Map, Node, compose

_FENCE: Final = re.compile(r"^---[ \t]*$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Front:
    """A record taken apart: its keys as nodes, and the Markdown below them."""

    root: Map
    body: str
    body_line: int


def split(data: bytes, file: str) -> tuple[Front | None, list[Problem]]:
    """Return the front matter and body of a record's bytes, or None, and what is wrong."""
    text, faults = _decoded(data, file)
    if text is None:
        return None, faults
    if not text.strip():
        return None, [problem(Place(file), "empty_file")]
    opening = _FENCE.match(text)
    if not opening:
        first = text.splitlines()[0][:40]
        return None, [problem(Place(file), "no_front", {"found": f"'{first}'"})]
    closing = _FENCE.search(text, opening.end())
    if not closing:
        return None, [problem(Place(file, text.count("\n") + 1), "unclosed_front")]
    # The opening fence's line break stays in, so that line 1 of the YAML is line 1 of the file.
    root, problems = compose(text[opening.end() : closing.start()], file, 1)
    below = text[closing.end() :]
    body = below.lstrip("\n")
    first_line = text.count("\n", 0, len(text) - len(body)) + 1
    front = _front(root, (body.rstrip("\n"), first_line), file, problems)
    return front, problems


def _front(
    root: Node | None, body: tuple[str, int], file: str, problems: list[Problem]
) -> Front | None:
    if isinstance(root, Map):
        return Front(root, *body)
    if not problems:
        details = {"key": "the record", "found": "no keys" if root is None else "one value"}
        problems.append(problem(Place(file, 2), "not_a_map", details))
    return None


def _decoded(data: bytes, file: str) -> tuple[str | None, list[Problem]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = len(before) - (before.rfind(b"\n") + 1) + 1
        details = {"byte": f"0x{data[error.start]:02x}"}
        return None, [problem(Place(file, line, column), "not_text", details)]
    return text.replace("\r\n", "\n").replace("\r", "\n"), []
