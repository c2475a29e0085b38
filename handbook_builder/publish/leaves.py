"""What each printed page says of itself at its top: a loose one must not be anybody's."""

import re
from typing import Final

from mkdocs.structure.pages import Page as MkDocsPage

from handbook_builder.pages.page import Page
from handbook_builder.pages.private.spellings import replaced
from handbook_builder.publish.generated import HandbookPage
from handbook_builder.publish.search import plain_title
from handbook_builder.publish.searched import Floor

# What ends a string of a style sheet, or the element that it stands in.
_SPECIAL: Final = re.compile(r"[\"\\<>&'\x00-\x1f]")


def css_text(text: str) -> str:
    """Return a text as a string of a style sheet, in double quotes that nothing in it can end."""
    return '"' + _SPECIAL.sub(lambda found: f"\\{ord(found[0]):x} ", text) + '"'


def name_of_leaf(page: Page) -> str:
    """Return the name of a page with its word and its code, as far as it has any.

    The word of an index is that of its entries, and none of its own.
    """
    is_index = page.path.rpartition("/")[2] == "index"
    word = None if is_index else getattr(page.content, "word", None)
    said = getattr(word, "word", ""), getattr(page.content, "code", "")
    return " \N{MIDDLE DOT} ".join(filter(None, (page.title, *said)))


def leaf_of(page: MkDocsPage, floor: Floor | None) -> str:
    """Return the same of any page of the site, for its style; without what `floor` withholds."""
    if isinstance(page, HandbookPage):
        text = name_of_leaf(page.source)
    else:
        text = plain_title(page.title or "")
    if floor is not None:
        text = replaced(text, floor.finds(page.file.dest_uri)(text))
    return css_text(text)
