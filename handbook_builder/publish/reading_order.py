"""In which order guides are read: that of their index, so that each leads to the next."""

import re
from collections.abc import Iterator
from typing import Final

from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page

_INDEX: Final = "guides/index.md"
_LINK: Final = re.compile(r"\]\(([\w./-]+\.md)(?:#[^)]*)?\)")


def link_in_order(files: Files) -> None:
    """Let each guide lead to the one before it and the one after it.

    Those that the index does not name come after those that it does, by their addresses. Pages
    that are no guides lead nowhere: they are made of records, and stand in no order.
    """
    pages = list(_ordered(files))
    for at, page in enumerate(pages):
        page.previous_page = pages[at - 1] if at else None
        page.next_page = pages[at + 1] if at + 1 < len(pages) else None


def _ordered(files: Files) -> Iterator[Page]:
    guides = {
        file.src_uri: file.page
        for file in files.documentation_pages()
        if file.src_uri.startswith("guides/") and file.page is not None
    }
    index = files.get_file_from_path(_INDEX)
    text = "" if index is None else index.content_string
    named = [f"guides/{uri}" for uri in _LINK.findall(text)]
    for uri in dict.fromkeys((_INDEX, *named, *sorted(guides))):
        if uri in guides:
            yield guides[uri]
