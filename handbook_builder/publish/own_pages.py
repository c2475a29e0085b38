"""A studio's own pages beside the records: linked among the guides, in the order of its `nav`."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import escape
from mkdocs.structure import StructureItem
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Link, Navigation, Section
from mkdocs.structure.pages import Page as MkDocsPage

from handbook_builder.pages.page import Page
from handbook_builder.publish.refusals import Refusal, refusal
from handbook_builder.publish.search import plain_title

INDEX: Final = "guides/index.md"
"""The page that lists the guides, and a studio's own pages below them."""


@dataclass(frozen=True, slots=True)
class OwnPages:
    """The files of a build, and which of them are pages of the studio's own."""

    files: Files
    is_own: Callable[[File], bool]

    def __bool__(self) -> bool:
        """Return whether there are any."""
        return any(self.is_own(file) for file in self.files.documentation_pages())

    def listed(self, nav: Navigation, begin: MkDocsPage, title: str) -> str:
        """Return their list as HTML under a title, nothing where there are none.

        First those of the navigation with its sections, then what it does not name and
        `not_in_nav` does not either. Links start from the page `begin`.
        """
        if not self:
            return ""
        shown = {page.file.src_uri for page in _pages(nav.items)}
        left = [
            file.page
            for file in self.files.documentation_pages()
            if file.src_uri not in shown and file.inclusion is not InclusionLevel.NOT_IN_NAV
        ]
        items = [*nav.items, *(page for page in left if page is not None)]
        rows = "".join(_rows(items, self.is_own, begin.file))
        return f'\n<h2 id="own-pages">{escape(title)}</h2>\n<ul>{rows}</ul>\n'


def covered(files: Files, pages: Iterable[Page], is_own: Callable[[File], bool]) -> list[Refusal]:
    """Return why each own page is not shown in whose place a page of the handbook is put."""
    ours = {page.path for page in pages}
    found = (file.src_uri for file in files.documentation_pages() if is_own(file))
    return [
        refusal(uri, "own_page_covered") for uri in sorted(found) if uri.removesuffix(".md") in ours
    ]


def _pages(items: Iterable[StructureItem]) -> Iterator[MkDocsPage]:
    for item in items:
        if isinstance(item, MkDocsPage):
            yield item
        elif isinstance(item, Section):
            yield from _pages(item.children)


def _rows(
    items: Iterable[StructureItem], is_own: Callable[[File], bool], begin: File
) -> Iterator[str]:
    for item in items:
        if isinstance(item, Section):
            within = "".join(_rows(item.children, is_own, begin))
            if within:
                yield f"<li>{escape(item.title)}<ul>{within}</ul></li>"
        elif isinstance(item, Link):
            yield f'<li><a href="{escape(item.url)}">{escape(item.title)}</a></li>'
        elif isinstance(item, MkDocsPage) and is_own(item.file):
            address = escape(item.file.url_relative_to(begin))
            title = escape(plain_title(str(item.title or item.file.name)))
            yield f'<li><a href="{address}">{title}</a></li>'
