"""The headings of a page's HTML, as the tree that MkDocs' themes show beside it."""

import re
from typing import Any

_HEADING = re.compile(r"<h([1-3])\b[^>]*?\bid=\"([^\"]+)\"[^>]*>(.*?)</h\1>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_ID = re.compile(r"\sid=\"([^\"]+)\"")


def outline(markup: str) -> list[dict[str, Any]]:
    """Return the headings with an id, nested by level, in the form of Markdown's `toc_tokens`."""
    top: list[dict[str, Any]] = []
    open_items: list[dict[str, Any]] = []
    for level, anchor, inner in _HEADING.findall(markup):
        name = " ".join(_TAG.sub("", inner).split())
        item = {"level": int(level), "id": anchor, "name": name, "children": []}
        while open_items and open_items[-1]["level"] >= item["level"]:
            open_items.pop()
        (open_items[-1]["children"] if open_items else top).append(item)
        open_items.append(item)
    return top


def anchors(markup: str) -> set[str]:
    """Return every id in the page, for MkDocs to check links to it."""
    return set(_ID.findall(markup))
