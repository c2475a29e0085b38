"""How much a note may hold, so that it is shown in bounded time, whoever wrote it.

The Markdown that shows notes looks, at some marks, through all that follows: twice as many marks
take four times as long, and a few thousand of them a minute. No note that is meant to be read
comes near these limits.
"""

import re
from collections.abc import Iterator
from typing import Final

from handbook_builder.problems import Place, Problem, problem

LONGEST_NOTE: Final = 20_000
MOST_BRACKETS: Final = 60
MOST_LINES: Final = 300
DEEPEST: Final = 12

_BLANK: Final = re.compile(r"\n[ \t]*(?:\n[ \t]*)+")
_NESTED: Final = re.compile(
    rf"(?:[ \t]*(?:[-+*>]|\d+[.)])[ \t>]*){{{DEEPEST + 1},}}(?=.*[^\s*+->])"
)
_INDENT: Final = re.compile(rf"(?: {{4}}|\t){{{DEEPEST + 1},}}(?:[-+*>]|\d+[.)])")


def knots(body: str, first_line: int, file: str) -> Iterator[Problem]:
    """Yield what of a note cannot be shown in bounded time, each where it begins."""
    if len(body) > LONGEST_NOTE:
        details = {"found": f"{len(body)}", "limit": LONGEST_NOTE}
        yield problem(Place(file, first_line), "note_too_long", details)
        return
    for line, block in _blocks(body, first_line):
        yield from _in_block(block, line, file)


def _blocks(body: str, first_line: int) -> Iterator[tuple[int, str]]:
    """Yield each stretch of lines without a blank one between them, with the line it begins at."""
    at = 0
    for blank in [*_BLANK.finditer(body), None]:
        end = len(body) if blank is None else blank.start()
        yield first_line + body.count("\n", 0, at), body[at:end]
        at = end if blank is None else blank.end()


def _in_block(block: str, line: int, file: str) -> Iterator[Problem]:
    brackets, lines = block.count("["), block.count("\n") + 1
    if brackets > MOST_BRACKETS:
        details = {"found": f"{brackets}", "limit": MOST_BRACKETS}
        yield problem(Place(file, line), "note_brackets", details)
    if lines > MOST_LINES:
        details = {"found": f"{lines}", "limit": MOST_LINES}
        yield problem(Place(file, line), "note_lines", details)
    for number, one in enumerate(block.split("\n"), line):
        if _NESTED.match(one) or _INDENT.match(one):
            yield problem(Place(file, number), "note_nested", {"limit": DEEPEST})
            return
