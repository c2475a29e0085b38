"""What the search of the site knows of each page, and of each section of a guide."""

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import nh3

from handbook_builder.pages.page import Page
from handbook_builder.words import Word

# Tables, charts and forms would drown the sentences that a reader remembers, and what is folded
# away only says how a figure came about; the title is known.
_LEFT_OUT: Final = {
    "button", "details", "figure", "form", "h1", "h2", "h3", "nav", "noscript", "script", "style",
    "svg", "template", "title",
}  # fmt: skip
_TABLES: Final = _LEFT_OUT | {"table"}
_BULKY: Final = re.compile(r"<(svg|table)\b.*?</\1>", re.DOTALL)  # half of a page
_DRAWN: Final = re.compile(r"<(svg)\b.*?</\1>", re.DOTALL)
_HEAD: Final = re.compile(r'<header class="head">.*?</header>', re.DOTALL)
_LEADS: Final = re.compile(r'<p class="head__lead">(.*?)</p>', re.DOTALL)
_MISSING: Final = re.compile(r'<div class="missing">.*?</div>', re.DOTALL)
_FACTS: Final = re.compile(r'<dl class="facts.*?</dl>', re.DOTALL)
_PLACE: Final = re.compile(
    r'<span class="missing__where">.*?</span>|<p class="missing__title">.*?</p>', re.DOTALL
)
_COLUMN: Final = re.compile(r'<th scope="col"[^>]*>(.*?)</th>', re.DOTALL)
_DAY: Final = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_HEADING: Final = re.compile(r'<h([23])\b[^>]*?\bid="([^"]+)"[^>]*>(.*?)</h\1>', re.DOTALL)
_TERM: Final = re.compile(r"<li>(\s*(?:<p>)?\s*)<strong>([^<]+)</strong>:")
_LEAD_LETTERS: Final = 150
BY_SECTION: Final = ("guides/", "reference/")


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that can be found: a page, or a section of a guide with an address of its own.

    `kind`, `word` with its `tone`, and `code` stand above its title; `lead` is shown under it.
    `names` find it as its title does. `heads` are the anchor and the title of each section, `text`
    whatever else it says. `boost` ranks it: above 1 comes earlier.
    """

    location: str
    title: str
    kind: str = ""
    word: str = ""
    tone: str = ""
    code: str = ""
    lead: str = ""
    names: tuple[str, ...] = ()
    heads: tuple[tuple[str, str], ...] = ()
    text: str = ""
    boost: float = 1.0


def page_of(location: str) -> str:
    """Return the file of the page that an entry leads to."""
    return location.partition("#")[0]


def plain_text(markup: str, *, tables: bool = False) -> str:
    """Return the words of `markup` in one line, without charts, forms, tags and folded parts."""
    slim = _PLACE.sub(" ", (_DRAWN if tables else _BULKY).sub(" ", markup))
    said = slim.replace("</dt>", ": ").replace("</dd>", " · ")
    spaced = said.replace("<", " <")  # or the words of two neighbouring elements would join
    bare = nh3.clean(
        spaced, tags=set(), attributes={}, clean_content_tags=_LEFT_OUT if tables else _TABLES
    )
    return " ".join(html.unescape(bare).replace(" :", ":").split()).rstrip(" ·")


def plain_title(markup: str) -> str:
    """Return a title without its tags: within a word they part nothing."""
    bare = nh3.clean(markup, tags=set(), attributes={}, clean_content_tags=_LEFT_OUT)
    return " ".join(html.unescape(bare).split())


def told(location: str, page: Page, markup: str, kind: str) -> Entry:
    """Return the entry of a page of the handbook whose content is `markup`."""
    said = getattr(page.content, "word", None)
    word = said if isinstance(said, Word) else Word("", "", "")
    code = getattr(page.content, "code", "") or ""
    return Entry(
        location, page.title, kind, word.word, word.tone, str(code),
        lead=_lead(markup, has_lead=bool(getattr(page.content, "lead", ""))),
        names=page.words,
        heads=tuple((anchor, title) for anchor, title, _ in _sections(markup)),
        text=f"{plain_text(markup)} {_of_tables(markup)}",
        boost=page.boost,
    )  # fmt: skip


def told_by_section(whole: Entry, markup: str) -> Iterator[Entry]:
    """Yield the entry of a page that is looked up by section, and one for each section of it."""
    beginning = _HEADING.split(markup, maxsplit=1)[0]
    sections = list(_sections(markup))
    text = plain_text(beginning, tables=True)
    yield replace(whole, lead=cut(text) if text else whole.lead, text=text, heads=())
    for anchor, title, part in sections:
        text = plain_text(part, tables=True)
        yield replace(
            whole, location=f"{whole.location}#{anchor}", title=title, names=(), heads=(),
            kind=f"{whole.kind}: {whole.title}", lead=cut(text),
            text=f"{whole.title} {text}",
        )  # fmt: skip


def told_by_term(whole: Entry, markup: str, kind: str) -> Iterator[Entry]:
    """Yield the entry of the glossary, and one for each word that it explains."""
    yield replace(whole, text="", heads=())
    for part in markup.split("<li ")[1:]:
        anchor = re.match(r'id="([^"]+)"', part)
        if anchor is None:
            continue
        term, _, text = plain_text(f"<li {part}".partition("</li>")[0]).partition(":")
        yield replace(
            whole, location=f"{whole.location}#{anchor[1]}", title=term, kind=kind,
            lead=cut(text.strip()), text=text, names=(), heads=(),
        )  # fmt: skip


def with_anchors(markup: str) -> str:
    """Return the glossary with an id at each word that it explains, for links to lead there."""
    return _TERM.sub(
        lambda it: f'<li id="{_anchor(it[2])}">{it[1]}<strong>{it[2]}</strong>:', markup
    )


def _anchor(term: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", html.unescape(term).lower()).strip("-")


def cut(text: str) -> str:
    """Return the beginning of a text, never cut inside a word."""
    if len(text) <= _LEAD_LETTERS:
        return text
    return f"{text[:_LEAD_LETTERS].rsplit(' ', 1)[0].rstrip(' ,;:·')} …"


def _lead(markup: str, *, has_lead: bool) -> str:
    """Return what is shown of a page: its own lead, or what is missing and the facts.

    Below the head of a page with a verdict its meaning stands, the same for all that bear it.
    """
    kinds = (_LEADS,) if has_lead else (_MISSING, _FACTS)
    found = [one for kind in kinds for one in kind.findall(markup)]
    return cut(" · ".join(map(plain_text, found[:2])) or plain_text(_HEAD.sub(" ", markup)))


def _of_tables(markup: str) -> str:
    """Return what can be looked for of tables: what their columns are called, and days."""
    columns = " ".join(dict.fromkeys(_COLUMN.findall(markup)))
    return f"{plain_text(columns)} {' '.join(dict.fromkeys(_DAY.findall(markup)))}"


def _sections(markup: str) -> Iterator[tuple[str, str, str]]:
    """Yield the anchor, the title and the markup of each section of a page."""
    parts = _HEADING.split(markup)[1:]
    for _, anchor, title, part in zip(*(iter(parts),) * 4, strict=True):
        yield anchor, plain_title(title), part
