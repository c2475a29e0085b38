"""What the search is told of each page as it is built, and the file that it becomes."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from handbook_builder.pages.page import Page
from handbook_builder.publish import search_file
from handbook_builder.publish.search import (
    BY_SECTION,
    Entry,
    plain_title,
    told,
    told_by_section,
    told_by_term,
)
from handbook_builder.publish.search_words import finding_of, for_the_floor
from handbook_builder.words import Words

GLOSSARY: Final = "guides/glossary.md"
_GLOSSARY_PAGE: Final = "guides/glossary.html"


class Indexing:
    """The entries of all pages of one edition."""

    def __init__(
        self, studio: Path, words: Words | None, hides: Callable[[str], bool] | None = None
    ) -> None:
        """Begin with no page; the kinds of pages are called as the studio's words have it.

        `hides` says of a word whether the floor edition may not tell it; None is for the owner's.
        """
        self.entries: list[Entry] = []
        self._finding = finding_of(studio) if hides is None else for_the_floor(studio, hides)
        phrases: Mapping[str, Any] = {} if words is None else words.phrases["pages"]["search"]
        self._kinds: Mapping[str, str] = phrases.get("kinds", {})

    def add(self, location: str, title: str, markup: str, source: Page | None) -> None:
        """Add one page: its address, its title, its HTML; `source` is what it was told from."""
        view = "guide" if source is None else source.view
        kind = self._kinds.get(view, "")
        whole = (
            Entry(location, plain_title(title), kind)
            if source is None
            else told(location, source, markup, kind)
        )
        if location == _GLOSSARY_PAGE:
            self.entries += told_by_term(whole, markup, self._kinds.get("glossary", kind))
        elif source is None or location.startswith(BY_SECTION):
            self.entries += told_by_section(whole, markup)
        else:
            self.entries.append(whole)

    def write(self, folder: Path, marks: Mapping[str, str]) -> None:
        """Write the index into the site; `marks` are the drawings of the tones of verdicts."""
        search_file.write(folder, search_file.written(self.entries, self._finding, marks))
