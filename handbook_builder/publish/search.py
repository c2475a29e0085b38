"""What the search of the site knows of each page."""

import html
import json
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import nh3

# Tables, charts and forms would drown the sentences that a reader remembers; the title is known.
_LEFT_OUT = {"button", "form", "h1", "nav", "script", "style", "svg", "table", "template", "title"}

_BULKY = re.compile(r"<(svg|table)\b.*?</\1>", re.DOTALL)  # half of a page: not worth parsing


def plain_text(markup: str) -> str:
    """Return the words of `markup` in one line, without tables, charts, forms and tags."""
    slim = _BULKY.sub(" ", markup)
    spaced = slim.replace("<", " <")  # or the words of two neighbouring elements would join
    bare = nh3.clean(spaced, tags=set(), attributes={}, clean_content_tags=_LEFT_OUT)
    return " ".join(html.unescape(bare).split())


def plain_title(markup: str) -> str:
    """Return a title without its tags: within a word they part nothing."""
    bare = nh3.clean(markup, tags=set(), attributes={}, clean_content_tags=_LEFT_OUT)
    return " ".join(html.unescape(bare).split())


@dataclass(slots=True)
class SearchIndex:
    """The entries of all pages, in the shape that the search of the base theme loads."""

    docs: list[dict[str, Any]] = field(default_factory=list)

    def add(
        self,
        location: str,
        title: str,
        markup: str,
        boost: float = 1.0,
        words: tuple[str, ...] = (),
    ) -> None:
        """Add one page: its address, its title as plain text, its HTML, its rank, its names."""
        text = plain_text(markup)
        self.docs.append(
            {"location": location, "title": title, "text": text, "boost": boost, "words": words}
        )

    def write(self, folder: Path) -> None:
        """Write the index into the site: as data for a server, as a script for file://."""
        config = {"lang": ["en"], "separator": r"[\s\-]+", "pipeline": []}
        data = json.dumps({"config": config, "docs": self.docs}, separators=(",", ":"))
        target = folder / "search"
        target.mkdir(parents=True, exist_ok=True)
        (target / "search_index.json").write_text(data, encoding="utf-8")
        (target / "search_index.js").write_text(f"var __index = {data}", encoding="utf-8")
