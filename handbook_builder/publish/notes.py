"""What a record tells in its body: Markdown in, harmless HTML out.

Nothing in a note is run. Markup written by hand, script and template signs come out as the text
that they are. A picture is shown only when its file lies among the records, so that a page asks
no other host for anything.
"""

import html
import posixpath
from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from urllib.parse import SplitResult, unquote, urlsplit
from xml.etree.ElementTree import Element, SubElement

import nh3
from markdown import Markdown
from markdown.extensions.tables import TableExtension
from markdown.treeprocessors import Treeprocessor
from markupsafe import Markup

from handbook_builder.publish import links
from handbook_builder.publish.finished import Finds, cleaned
from handbook_builder.publish.photos import large_name, small_name

_TAGS = {
    *("a", "blockquote", "br", "code", "em", "h3", "h4", "h5", "h6", "hr", "img", "li", "ol", "p"),
    *("pre", "span", "strong", "table", "tbody", "td", "th", "thead", "tr", "ul"),
}
_ATTRIBUTES = {
    "a": {"href", "title", "class"},
    "img": {"src", "alt", "title", "loading"},
    "ol": {"start"},
    "span": {"class"},
    "td": {"align"},
    "th": {"align"},
}
_SCHEMES = {"http", "https", "mailto"}
_TOP_HEADING = 3  # The page has its own headings of the first two levels.
_LAST_HEADING = 6

PAGE_FOLDERS = {"burns": "tests", "recipes": "products"}
"""Folders of records whose pages stand in a folder of another name."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a note stands: on which page, from which folder of records, among which files."""

    page: str
    folder: str
    pages: Container[str]
    photos: Container[str]
    opens: bool = True  # whether a picture leads to its large size: on a paper there is none
    attached: Mapping[str, str] = field(default_factory=dict)  # where attachments stand, by file

    def link(self, href: str) -> str | None:
        """Return the address that may stand in a link, or None when it leads nowhere."""
        parts = _parts(href)
        if parts is None:
            return None
        if parts.scheme in _SCHEMES and (parts.netloc or parts.scheme == "mailto"):
            return href
        if parts.scheme or parts.netloc or not parts.path:
            return None
        target = self._beside(parts.path)
        if target in self.photos:
            return links.relative(self.page, f"photos/{large_name(target)}")
        if target in self.attached:
            return links.relative(self.page, self.attached[target])
        return self._page_link(target)

    def photo(self, src: str) -> tuple[str, str] | None:
        """Return the small and the large address of a picture among the records, else None."""
        parts = _parts(src)
        if parts is None:
            return None
        target = self._beside(parts.path)
        if parts.scheme or parts.netloc or target not in self.photos:
            return None
        small, large = (
            links.relative(self.page, f"photos/{name(target)}") for name in (small_name, large_name)
        )
        return (small if self.opens else large, large)

    def _beside(self, path: str) -> str:
        return posixpath.normpath(posixpath.join(self.folder, unquote(path)))

    def _page_link(self, target: str) -> str | None:
        folder, _, name = posixpath.splitext(target)[0].rpartition("/")
        page = posixpath.join(PAGE_FOLDERS.get(folder, folder), name)
        return links.to_page(self.page, page) if page in self.pages else None


def _parts(address: str) -> SplitResult | None:
    """Return an address taken apart, or None for one that no browser would take."""
    try:
        return urlsplit(address)
    except ValueError:
        return None


class _Tidy(Treeprocessor):
    """Settles each link, picture and heading of one note for the place it stands in."""

    place: Place

    def run(self, root: Element) -> None:
        self._in_links = {below for link in root.iter("a") for below in link.iter()}
        for element in list(root.iter()):
            if element.tag == "a":
                self._settle_link(element)
            elif element.tag == "img":
                self._settle_picture(element)
            elif element.tag in {"h1", "h2", "h3", "h4", "h5", "h6"}:
                level = min(int(element.tag[1]) + _TOP_HEADING - 1, _LAST_HEADING)
                element.tag = f"h{level}"

    def _settle_link(self, element: Element) -> None:
        href = self.place.link(element.get("href", ""))
        if href is None:
            element.tag = "span"
        else:
            element.set("href", href)

    def _settle_picture(self, element: Element) -> None:
        source, words = element.get("src", ""), element.get("alt") or element.get("src", "")
        photo = self.place.photo(source)
        if photo is not None:
            self._show(element, *photo)
            return
        address = self.place.link(source)
        element.attrib.clear()
        element.text = words
        element.tag = "span" if address is None else "a"
        if address is None:
            element.set("class", "no-photo")
        else:
            element.set("href", address)

    def _show(self, element: Element, small: str, large: str) -> None:
        """Show the small size of a picture, as a link to the large one where that can be."""
        element.set("src", small)
        element.set("loading", "lazy")
        if not self.place.opens or element in self._in_links:
            return
        SubElement(element, "img", dict(element.attrib))
        element.attrib.clear()
        element.tag = "a"
        element.set("href", large)
        element.set("class", "strip__open")


class NoteReader:
    """Turns notes into HTML, one after the other; make one for a build."""

    def __init__(self, finds: Finds | None = None) -> None:
        """Set up Markdown without the parts that would let markup through.

        `finds` finds what a note may not tell; it is left out.
        """
        self._finds = finds
        tables = TableExtension(use_align_attribute=True)
        self._markdown = Markdown(extensions=[tables, "sane_lists"])
        self._markdown.preprocessors.deregister("html_block")
        self._markdown.inlinePatterns.deregister("html")
        self._markdown.inlinePatterns.deregister("automail")
        self._tidy = _Tidy(self._markdown)
        self._markdown.treeprocessors.register(self._tidy, "tidy", 15)  # after the inline parts

    def html(self, text: str, place: Place) -> Markup:
        """Return `text` (Markdown, from whatever hand) as HTML that is safe in a page."""
        self._tidy.place = place
        try:
            raw = self._markdown.reset().convert(text)
        except RecursionError:  # lists within lists without end: show the text as it stands
            raw = f"<pre>{html.escape(text)}</pre>"
        harmless = nh3.clean(
            raw,
            tags=_TAGS,
            attributes=_ATTRIBUTES,
            url_schemes=_SCHEMES,
            link_rel="noopener noreferrer",
        )
        told = harmless if self._finds is None else cleaned(harmless, self._finds)
        return Markup(told)  # noqa: S704 -- the one place where cleaned text becomes markup
