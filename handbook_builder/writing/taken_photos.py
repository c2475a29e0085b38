"""The pictures that come with a file of cycles: each to the folder of its record, over no other."""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from handbook_builder.files import create_file
from handbook_builder.problems import Problem, problem
from handbook_builder.reading.handover import HandedCycles, HandedPhoto
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.pictures import cycle_of, is_picture
from handbook_builder.writing.adding import with_key
from handbook_builder.writing.amending import with_amended
from handbook_builder.writing.inbox import is_file

# Beyond what any telephone takes.
_LARGEST: Final = 60_000_000


@dataclass(frozen=True, slots=True)
class TakenPhoto:
    """A picture by its name in the folder of its record, and what is seen on it, if that was said.

    `source` is where it was handed over, None when it is gone from there; `data` are its bytes
    where they are not in the folder yet.
    """

    name: str
    alt: str | None
    source: Path | None
    data: bytes | None


@dataclass(frozen=True, slots=True)
class Photos:
    """The pictures that could be found, and a problem for each that could not."""

    found: tuple[TakenPhoto, ...]
    problems: tuple[Problem, ...]

    @property
    def are_new(self) -> bool:
        """Return whether any of them is not in the folder of the record yet."""
        return any(one.data is not None for one in self.found)


def photos_with(handed: HandedCycles, since: int, beside: Path, folder: Path) -> Photos:
    """Return the pictures that a file names: those in the folder `beside` it, or on file already.

    `since` is how many cycles the record had when its page was made, `folder` that of its pictures.
    """
    on_file = _on_file(folder)
    names = {name.casefold() for name in on_file.values()}
    names |= {one.name.casefold() for one in folder.iterdir()} if folder.is_dir() else set()
    found: list[TakenPhoto] = []
    problems: list[Problem] = []
    for number, photo in handed.photos.items():
        cycle = since + min(number, len(handed.cycles))
        path = beside / photo.file
        known = next((on_file[key] for key in on_file if key == (cycle, photo.sha256)), None)
        data = _bytes(path) if known is None or is_file(path) else None
        is_same = data is not None and hashlib.sha256(data).hexdigest() == photo.sha256
        if known is not None:
            found.append(TakenPhoto(known, photo.alt, path if is_same else None, None))
        elif is_same:
            name = next(name for name in _names(cycle, photo) if name.casefold() not in names)
            names.add(name.casefold())
            found.append(TakenPhoto(name, photo.alt, path, data))
        else:
            problems.append(_lacking(handed, number, photo, is_there=data is not None))
    return Photos(tuple(found), tuple(problems))


def _on_file(folder: Path) -> Mapping[tuple[int | None, str], str]:
    """Return the names of the pictures of a record by the cycle that each shows and its SHA-256."""
    pictures = sorted(folder.iterdir()) if folder.is_dir() else []
    read = ((one.name, _bytes(one)) for one in pictures if is_picture(one.name))
    return {
        (cycle_of(name), hashlib.sha256(data).hexdigest()): name
        for name, data in read
        if data is not None
    }


def _bytes(path: Path) -> bytes | None:
    """Return what a picture holds, or None where there is none, or none that is a picture."""
    if not (is_file(path) and is_picture(path.name)) or path.stat().st_size > _LARGEST:
        return None
    return path.read_bytes()


def _names(cycle: int, photo: HandedPhoto) -> Iterator[str]:
    """Yield names that show a cycle, until one is free."""
    ending = Path(photo.file).suffix.lower()
    yield f"{cycle}{ending}"
    number = 2
    while True:
        yield f"{cycle}-{number}{ending}"
        number += 1


def _lacking(handed: HandedCycles, number: int, photo: HandedPhoto, *, is_there: bool) -> Problem:
    code = "handover_other_photo" if is_there else "handover_no_photo"
    return problem(handed.source.place(f"photos.{number}"), code, {"file": photo.file})


def with_photos(data: bytes, burn: Burn, photos: Photos) -> bytes:
    """Return a record that says what is seen on its new pictures; raises CannotAddError.

    What it says of those that it has stays.
    """
    known = dict(burn.photos)
    for one in photos.found:
        if one.alt is None or one.name in known:
            continue
        if known:
            order = sorted({*known, one.name})
            data = with_amended(data, ("photos",), one.name, one.alt, order)
        else:
            data = with_key(data, "photos", {one.name: one.alt})
        known[one.name] = one.alt
    return data


def put_on_file(photos: Photos, folder: Path) -> None:
    """Write the pictures that are not in the folder of the record yet."""
    for one in photos.found:
        if one.data is not None:
            folder.mkdir(exist_ok=True)
            create_file(folder / one.name, one.data)


def take_away(photos: Photos) -> None:
    """Remove the pictures from where they were handed over; they are on file, byte for byte."""
    for one in photos.found:
        if one.source is not None:
            one.source.unlink()
