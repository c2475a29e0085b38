"""The page that says that something is wrong, and which record each page would speak of."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from handbook_builder.pages.bench.understood import Told, understood
from handbook_builder.pages.desk import Desk, name_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.trade.parts import batch_link
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref

PATH: Final = "bench/incident"
# Rooms of pages, and the folder of the record that they tell of.
_RECORDS: Final[Mapping[str, str]] = {
    "products": "recipes", "pour": "recipes", "labels": "recipes", "batches": "batches",
    **{folder: folder for folder in ITEM_FOLDERS},
}  # fmt: skip
# Said once it was handed over, in words of its own: no page knows of an incident that was taken.
_HANDED: Final = ("shared", "saved", "copied")


@dataclass(frozen=True, slots=True)
class About:
    """Something that an incident can be about, and how it is called."""

    path: str
    title: str


@dataclass(frozen=True, slots=True)
class Kind:
    """The things of one kind that an incident can be about."""

    title: str
    things: tuple[About, ...]


@dataclass(frozen=True, slots=True)
class IncidentForm:
    """What the form shows, and all that its script is told."""

    lead: str
    kinds: tuple[Kind, ...]
    helpers: tuple[str, ...]
    words: Mapping[str, object]
    told: Told


def incident_page(desk: Desk) -> Page:
    """Return the page that says that something is wrong."""
    bench = desk.words.phrases["pages"]["bench"]
    content = IncidentForm(
        lead=desk.phrase("bench.incident.lead"),
        kinds=tuple(_kinds(desk)),
        helpers=tuple(sorted(desk.studio.helpers)),
        words=bench,
        told={
            "edition": desk.edition.value,
            "said": {**bench["said"], **{key: bench["incident"][key] for key in _HANDED}},
            "lacking": bench["incident"]["lacking"],
            "ready": bench["incident"]["ready"],
            "words": bench["buttons"],
            "understood": understood(),
            "future": desk.words.phrases["new_and_log"]["future"],
        },
    )
    return Page(PATH, desk.phrase("bench.incident.title"), "incident_form", content, 0.3)


def with_about(desk: Desk, page: Page) -> Page:
    """Return a page with the record that an incident would be about, if it tells of one.

    A test candle is none: what ails its recipe is.
    """
    room, _, ident = page.path.partition("/")
    if room in {"tests", "bench"} and ident in desk.studio.burns:
        return replace(page, about=Ref.to("recipes", desk.studio.burns[ident].recipe))
    folder = _RECORDS.get(room)
    known = getattr(desk.studio, folder) if folder else {}
    return replace(page, about=Ref.to(folder, ident)) if folder and ident in known else page


def _kinds(desk: Desk) -> Iterator[Kind]:
    """Yield all that an incident can be about, under the names that this edition has for it."""
    recipes = sorted(desk.studio.recipes.values(), key=lambda one: one.title.casefold())
    products = (About(Ref.to("recipes", one.source.id), one.title) for one in recipes)
    yield Kind(desk.phrase("bench.incident.kinds.recipes"), tuple(products))
    batches = (About(Ref.to("batches", ident), batch_link(desk, ident).title)
               for ident in desk.account.batches)  # fmt: skip
    yield Kind(desk.phrase("bench.incident.kinds.batches"), tuple(batches))
    for folder in ITEM_FOLDERS:
        things = (About(Ref.to(folder, ident), name_of(ident))
                  for ident in sorted(getattr(desk.studio, folder)))  # fmt: skip
        yield Kind(desk.phrase(f"bench.incident.kinds.{folder}"), tuple(things))
