"""The index of a site's search, read without the program: a second reading of its form."""

import json
from pathlib import Path
from typing import Any

SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
FILE = "search/search_index.js"


def index_of(site: Path) -> dict[str, Any]:
    """Return the index of a site as it stands in its file."""
    return index_in((site / FILE).read_text("utf-8"))


def index_in(text: str) -> dict[str, Any]:
    """Return the index that the text of a file holds."""
    found: dict[str, Any] = json.loads(text.removeprefix("var handbookIndex = ").rstrip(";\n"))
    return found


def entries_of(site: Path) -> list[dict[str, Any]]:
    """Return what is shown of each entry of a site."""
    return entries_in(index_of(site))


def entries_in(index: dict[str, Any]) -> list[dict[str, Any]]:
    """Return what is shown of each entry."""
    names = ("location", "title", "kind", "state", "code", "lead", "boost", "heads", "words")
    rows = [dict(zip(names, row, strict=True)) for row in index["entries"]]
    for row in rows:
        row["kind"] = index["kinds"][row["kind"]]
        row["state"], row["tone"] = index["states"][row["state"]]
        row["heads"] = [index["heads"][at][1] for at in row["heads"]]
    return rows


def places_of(site: Path) -> dict[str, dict[str, int]]:
    """Return for each word the addresses of the entries that have it, and in which part."""
    index = index_of(site)
    addresses = [row[0] for row in index["entries"]]
    return {
        word: {addresses[at]: part for at, part in _row(signs)}
        for word, signs in zip(index["words"].split(","), index["places"], strict=True)
    }


def _row(signs: str) -> list[tuple[int, int]]:
    digits = [SIGNS.index(sign) for sign in signs]
    at, found = -1, []
    while digits:
        value, place = 0, 0
        while True:
            digit = digits.pop(0)
            value |= (digit & 31) << (5 * place)
            place += 1
            if digit < 32:
                break
        at += value >> 2
        found.append((at, value & 3))
    return found
