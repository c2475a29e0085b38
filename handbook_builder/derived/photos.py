"""Pictures of a test candle: which cycle each shows, and what is seen on it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from posixpath import normpath
from typing import Final
from urllib.parse import unquote

from handbook_builder.notices import notice
from handbook_builder.problems import Problem
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.pictures import can_convert, cycle_of, is_shown
from handbook_builder.studio.studio import Studio

# The words in square brackets, and the address, which may stand in angle brackets.
IN_NOTE: Final = re.compile(
    r"!\[([^\]]{0,200})\]\(\s*(?:<([^<>\n]{1,200})>|([^<>)\s][^)\s]{0,199}))"
)


@dataclass(frozen=True, slots=True)
class Photo:
    """One picture: where it lies among the records, the cycle that it shows, what is seen on it.

    `cycle` is None for a picture of the candle that shows no cycle on file, `alt` None where
    nobody has said what is seen.
    """

    path: str
    cycle: int | None
    alt: str | None

    @property
    def name(self) -> str:
        """Return the name of its file."""
        return self.path.rpartition("/")[2]


def photos_of(studio: Studio, burn: Burn) -> tuple[Photo, ...]:
    """Return the pictures of a test candle, by cycle and name, those of no cycle last.

    They lie in the folder of its record, or its note names them.
    """
    folder = f"burns/{burn.source.id}/"
    told = dict(_in_note(burn))
    paths = {path for path in studio.photos if path.startswith(folder)}
    paths |= told.keys() & set(studio.photos)
    found = [_photo(burn, path, folder, told.get(path)) for path in paths]
    return tuple(sorted(found, key=lambda one: (one.cycle is None, one.cycle or 0, one.path)))


def _photo(burn: Burn, path: str, folder: str, told: str | None) -> Photo:
    name = path.rpartition("/")[2]
    own = burn.photos.get(name) if path == folder + name else None
    return Photo(path, _cycle(burn, name), own or told or None)


def _cycle(burn: Burn, name: str) -> int | None:
    """Return the cycle on file that a name begins with, the id of the candle before it or not."""
    number = cycle_of(name.removeprefix(f"{burn.source.id}-"))
    return number if number is not None and number <= len(burn.cycles) else None


def _in_note(burn: Burn) -> Iterator[tuple[str, str]]:
    """Yield each picture that the note names, with its words."""
    for words, bracketed, bare in IN_NOTE.findall(burn.source.body):
        yield normpath(f"burns/{unquote(bracketed or bare)}"), words.strip()


def photo_notices(studio: Studio) -> Iterator[Problem]:
    """Yield what a picture of a candle lacks: its file, words for it, its cycle, a kind to show."""
    for burn in studio.burns.values():
        yield from _not_there(studio, burn)
        for photo in photos_of(studio, burn):
            yield from _lacking(burn, photo)


def _not_there(studio: Studio, burn: Burn) -> Iterator[Problem]:
    """Yield each picture under `photos` that does not lie in the folder of its record."""
    folder = f"burns/{burn.source.id}"
    beside = [one.removeprefix(f"{folder}/") for one in studio.photos if one.startswith(folder)]
    for name in burn.photos:
        if name not in beside:
            hint = near(name, beside)
            told = f" (did you mean '{hint}'?)" if hint else ""
            details = {"found": name, "folder": folder, "near": told}
            yield notice(burn.source.place(f"photos.{name}"), "photo_not_beside", details)


def _lacking(burn: Burn, photo: Photo) -> Iterator[Problem]:
    place = burn.source.place(f"photos.{photo.name}")
    number = cycle_of(photo.name)
    if photo.alt is None:
        yield notice(place, "photo_undescribed", {"found": photo.path})
    if photo.cycle is None and number is not None:
        details = {"found": photo.path, "number": number, "count": len(burn.cycles)}
        yield notice(place, "photo_no_cycle", details)
    if not is_shown(photo.name) and not can_convert():
        yield notice(place, "photo_to_convert", {"found": photo.path})
