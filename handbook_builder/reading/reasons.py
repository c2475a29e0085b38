"""A reason in words: what somebody wrote so that another person can read it."""

from typing import Final

from handbook_builder.reading.fields import Bad, Report, word
from handbook_builder.reading.forms import Words, takes
from handbook_builder.reading.nodes import Node

_LEAST_LETTERS: Final = 3
# Letters by their class, and blank in every font.
_BLANK_LETTERS: Final = frozenset("\u115f\u1160\u3164\uffa0")


@takes(Words(_LEAST_LETTERS))
def reason(node: Node, report: Report, key: str) -> str | Bad:
    """Read a reason that another person can read: a text with at least three letters in it."""
    found = word("a reason in words")(node, report, key)
    if isinstance(found, Bad):
        return found
    letters = sum(one.isalpha() and one not in _BLANK_LETTERS for one in found)
    if letters >= _LEAST_LETTERS:
        return found
    return report.bad(node, "no_reason", found=found, key=key)
