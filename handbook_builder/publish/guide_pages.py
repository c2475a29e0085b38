"""What is put to the text of a guide once it is a page: its edition, and addresses of words."""

from markupsafe import escape
from mkdocs.structure.pages import Page as MkDocsPage

from handbook_builder.derived.hands import page_named
from handbook_builder.publish.headings import anchors
from handbook_builder.publish.indexing import GLOSSARY
from handbook_builder.publish.search import with_anchors
from handbook_builder.workshop import Handbook


def completed(html: str, page: MkDocsPage, handbook: Handbook) -> str:
    """Return the content of a page, each word of the glossary with an address of its own.

    Under a guide stands which edition it is, as whoever has read it writes it down.
    """
    if page.file.src_uri == GLOSSARY:
        html = with_anchors(html)
        page.present_anchor_ids = anchors(html)
    return f"{html}{_edition_told(page.file.src_uri, handbook)}"


def _edition_told(uri: str, handbook: Handbook) -> str:
    account, words = handbook.account, handbook.words
    name = page_named(uri)
    if account is None or words is None or not uri.endswith(".md"):
        return ""
    if not uri.startswith("guides/") or name not in account.guides:
        return ""
    told = str(words.phrases["pages"]["guide_edition"])
    told = told.format(edition=account.guides[name], page=name)
    return f'\n<p class="fact__note">{escape(told)}</p>'
