"""The keys of a new record, filled in where they stand."""

import re
from typing import Final

from handbook_builder.reading.nodes import Map, Scalar, compose
from handbook_builder.writing.text import Text
from handbook_builder.writing.values import written

# A comment stands at this column, where the value before it leaves room.
_COMMENT_AT: Final = 32
# Entries of a key stand a little further in than it does; a comment that goes on stands far in.
_BELOW: Final = r"(?:\n {1,8}[^ \n][^\n]*)*"
_RAW: Final = ("{", "[", '"', "'")


def filled_in(text: str, key: str, value: str) -> str:
    """Return the record with `value` for a top-level key: on its line, or on one of its own.

    The line may be blank, or commented out; entries below it give way to the value. A value in
    brackets or quotes is taken as it stands, any other is quoted where YAML needs it.
    """
    line = re.compile(
        rf"^(?:# )?{re.escape(key)}:(?: +[^#\n]+?)?(?P<comment> +#[^\n]*)?{_BELOW}$",
        re.MULTILINE,
    )
    found = line.search(text, 0, Text(text.encode()).front[1])
    entry = f"{key}: {_as_yaml(value)}"
    if found is None:
        end = Text(text.encode()).front[1]
        return f"{text[:end]}{entry}\n{text[end:]}"
    comment = (found["comment"] or "").strip()
    whole = f"{entry:<{_COMMENT_AT - 1}} {comment}" if comment else entry
    return text[: found.start()] + whole + text[found.end() :]


def _as_yaml(value: str) -> str:
    value = value.strip()
    if value.startswith(_RAW):
        return value
    root, problems = compose(f"key: {value}", "", 1)
    if isinstance(root, Map) and not problems:
        node = root.entries[0][1]
        if isinstance(node, Scalar) and node.text == value:
            return value
    return written(value)
