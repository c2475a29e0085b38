"""Papers as files that open alone: styles, charts and pictures are in them, and no request leaves.

A paper stands in the site beside the pages, and `handbook paper` writes the same one elsewhere.
"""

import base64
import html
import posixpath
import re
from dataclasses import replace
from pathlib import Path
from typing import Final
from urllib.parse import unquote

from jinja2 import Environment
from markupsafe import Markup

from handbook_builder import workshop
from handbook_builder.derived.account import Account
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.page import Page
from handbook_builder.pages.private.amounts import Care
from handbook_builder.problems import Problem
from handbook_builder.publish import generated, searched, templates, views
from handbook_builder.publish.notes import NoteReader
from handbook_builder.publish.photos import Album
from handbook_builder.publish.refusals import Refusal
from handbook_builder.words import Words

LONGEST_SIDE: Final = 900  # of a picture in points: half the width of a sheet at 250 to the inch
_SHEETS: Final = ("theme/assets/handbook.css", "theme/assets/paper.css")
_PICTURE: Final = re.compile(r'(<img\b[^>]*?\ssrc=")([^"]+)(")')
_COMMENT: Final = re.compile(r"/\*.*?\*/", re.DOTALL)
_INDENT: Final = re.compile(r"\n\s*")


def style_of(studio: Path) -> Markup:
    """Return the style sheets of a paper as they stand in its head, the studio's own first."""
    return _styled(*(templates.file_text(studio, name) or "" for name in _SHEETS))


def shipped_style() -> Markup:
    """Return the same of the shipped sheets: the text that holds nothing of any studio."""
    return _styled(*((templates.shipped() / name).read_text("utf-8") for name in _SHEETS))


def _styled(*sheets: str) -> Markup:
    """Return style sheets in an element that none of them can end."""
    text = _INDENT.sub("\n", _COMMENT.sub("", "\n".join(sheets))).strip()
    safe = text.replace("</", "<\\/").replace("<!--", "<\\!--")
    return Markup(f"<style>\n{safe}\n</style>")  # noqa: S704 -- nothing in it can close the element


def alone(
    env: Environment,
    paper: Page,
    around: views.Surroundings,
    style: Markup,
) -> str:
    """Return a paper as one file of HTML.

    A picture that cannot be read is left out here, and told where pictures are published.
    """
    content = views.render(env, paper, around)
    body = _with_pictures(content, paper.path, around.album)
    frame = replace(paper, view="_alone")
    return views.render(env, frame, around, style=style, body=Markup(body))  # noqa: S704 -- a view's


def _with_pictures(content: str, path: str, album: Album) -> str:
    """Return the content with each of its pictures in it; an empty one where it is none."""

    def inside(found: re.Match[str]) -> str:
        source = unquote(html.unescape(found[2]))
        within = posixpath.normpath(posixpath.join(posixpath.dirname(path), source))
        held = album.at(within.removeprefix("photos/"), LONGEST_SIDE)
        address = "data:,"
        if held is not None:
            address = f"data:{held[0]};base64,{base64.b64encode(held[1]).decode()}"
        return found[1] + address + found[3]

    return _PICTURE.sub(inside, content)


def paper_of(  # noqa: PLR0913, PLR0917 -- one a part of what is asked
    account: Account,
    words: Words,
    studio: Path,
    records: Path,
    edition: Edition,
    path: str,
    known: tuple[str, ...] = (),
    address: str = "",
    pupils: int | None = None,
) -> str | tuple[Refusal | Problem, ...]:
    """Return the paper at `path` of an edition as one file, or what keeps it from going out.

    It is the site's own, told and cleaned the same way, without links: nothing is around it. Its
    square codes lead to the `address` where the edition is served.
    """
    press, faults = workshop.press_of(account, studio)
    if faults:
        return faults
    told = workshop.in_edition(account, words, edition, known, press, pupils)
    paper = next(page for page in told.pages if page.path == path)
    photos = generated.lying_in(records, told.photos)
    secrets = told.secrets
    if secrets is not None:
        photos = generated.for_the_floor(photos, secrets.names)
    reader = NoteReader(None if secrets is None else secrets.in_note)
    album, day = Album(photos), account.judged.as_of
    around = views.Surroundings(frozenset(), photos.keys(), day, reader, album, address)
    env = views.environment(templates.layers(studio, "views"))
    text = alone(env, paper, around, style_of(studio))
    if secrets is None:
        return text
    floor = searched.Floor(secrets, {path: Care.PAGE}, lambda *_: False, {}, shipped_style())
    return searched.cleaned_paper(path, text, floor)
