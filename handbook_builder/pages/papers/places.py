"""What stands on a paper with the place that it came from, so that each number can be followed."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, page_of
from handbook_builder.problems import Place
from handbook_builder.reading.shape import Source
from handbook_builder.studio.protocol import SHIPPED_FILE


@dataclass(frozen=True, slots=True)
class From:
    """Where something is written: file and line, and the page of the handbook that tells of it.

    An empty `path` leads nowhere.
    """

    where: str
    path: str


@dataclass(frozen=True, slots=True)
class Stated:
    """Something that is said on a paper, and every place that it was read or reckoned from."""

    label: str
    text: str | None
    places: tuple[From, ...]
    note: str = ""


def come_from(desk: Desk, place: Place, anchor: str = "") -> From:
    """Return the place of a record, with a place on its page where one is named."""
    if place.file == SHIPPED_FILE.name:
        return From(desk.phrase("papers.shipped", where=str(place)), "reference/limits")
    path = page_of(place)
    return From(str(place), f"{path}#{anchor}" if path and anchor else path)


def from_record(desk: Desk, source: Source, *keys: str) -> tuple[From, ...]:
    """Return the places of some keys of a record, each line once."""
    found = (come_from(desk, source.place(key)) for key in keys or ("",))
    return tuple(dict.fromkeys(found))
