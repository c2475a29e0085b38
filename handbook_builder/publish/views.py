"""A page's content, told through its view: HTML in which every value is escaped."""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import Markup

from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.square import Square
from handbook_builder.pages.products.label import FaceShown
from handbook_builder.publish import squares
from handbook_builder.publish.burn_picture import burn_drawing, small_drawing, vessel_drawing
from handbook_builder.publish.charts import drawing
from handbook_builder.publish.leaves import css_text
from handbook_builder.publish.links import linker, relative
from handbook_builder.publish.notes import NoteReader, Place
from handbook_builder.publish.photos import Album
from handbook_builder.publish.quick import keep_compiled
from handbook_builder.publish.templates import are_installed

TONES: Final = ("good", "bad", "warn", "wait")  # of a word without one of these no mark is drawn


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What every view may lean on: the pages and photos there are, and the day of the verdicts.

    `address` is where this edition is served, without a slash at its end; empty where unknown.
    `attached` says where each attachment stands, by its file below the records.
    """

    pages: Container[str]
    photos: Container[str]
    as_of: date
    reader: NoteReader = field(default_factory=NoteReader)
    album: Album = field(default_factory=Album)
    address: str = ""
    attached: Mapping[str, str] = field(default_factory=dict)


def environment(folders: list[Path]) -> Environment:
    """Return the Jinja2 environment of the views, looking in `folders` in their order.

    Every value is escaped; a name that a view misspells is an error, never an empty text. A
    studio's own view may come from another hand: it can show what it is given, and reach nothing
    behind it.
    """
    # The box costs a fifth of a build, and what is shipped needs none.
    kind = Environment if are_installed(folders) else SandboxedEnvironment
    views = kind(
        loader=FileSystemLoader([str(folder) for folder in folders]),
        autoescape=True,
        undefined=StrictUndefined,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    views.filters["drawing"] = drawing
    views.filters["burn_drawing"] = burn_drawing
    views.filters["small_drawing"] = small_drawing
    views.filters["vessel_drawing"] = vessel_drawing
    views.filters["notes"] = _notes
    views.filters["label"] = _label
    views.filters["square"] = _square
    views.filters["css_text"] = css_text
    keep_compiled(views)
    return views


def marks(folders: list[Path]) -> dict[str, str]:
    """Return the drawing of each tone of a verdict, as it stands on the pages beside its word."""
    mark = getattr(environment(folders).get_template("_components.html").module, "mark", None)
    return {} if mark is None else {tone: str(mark(tone)) for tone in TONES}


def render(views: Environment, page: Page, around: Surroundings, **more: Markup) -> str:
    """Return the HTML of one page, without the frame that the theme puts around it.

    The view sees `page` (the page's content), `title`, `path`, `as_of`, the function
    `link("vessels/amber-tumbler#fills")`, `leads` that says whether there is such a page,
    `is_addressed` that says whether it is known where the handbook is served,
    `lying("attachments/…")` that gives the address of a file of the site,
    `pictured("burns/cedar-fig-a/2.jpg")` that gives the addresses of a picture, and the filter
    `text | notes("burns")`. `more` is markup for a frame.
    """
    name = page.view if page.view.endswith(".html") else f"{page.view}.html"
    return views.get_template(name).render(
        page=page.content,
        title=page.title,
        path=page.path,
        as_of=around.as_of,
        link=linker(page.path, around.pages),
        leads=lambda there: there.partition("#")[0] in around.pages,
        is_addressed=bool(around.address),
        lying=lambda address: relative(page.path, address),
        pictured=lambda photo: around.album.shown(page.path, photo),
        around=around,
        is_alone=page.is_alone,
        **more,
    )


def _label(face: FaceShown) -> Markup:
    """Filter: one face of a label as a drawing of its true size."""
    from handbook_builder.labels.fonts import typefaces  # noqa: PLC0415 -- its library loads slowly
    from handbook_builder.labels.svg import svg  # noqa: PLC0415 -- as above

    drawn = svg(face.layout, typefaces(), title=face.name, description=face.words,
                prefix=face.prefix)  # fmt: skip
    return Markup(drawn)  # noqa: S704 -- its words are escaped where it is drawn


@pass_context
def _square(context: Context, code: Square) -> Markup:
    """Filter: a square code that opens its page, or holds what the page is looked up by."""
    address = context["around"].address
    return squares.drawing(f"{address}/{code.path}.html" if address else code.instead, code.title)


@pass_context
def _notes(context: Context, text: str, folder: str = "") -> Markup:
    """Filter: the told part of a record, whose file lies in `folder` of the records, as HTML."""
    around: Surroundings = context["around"]
    opens = not context["is_alone"]
    attached = around.attached if opens else {}
    place = Place(context["path"], folder, around.pages, around.photos, opens, attached)
    return around.reader.html(text, place)
