"""What stands beside the keys of a record: keys of the maker's own, and attachments."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from handbook_builder.derived.beside import address_of
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.reading.beside import Attachment, day_in
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source

_KILO: Final = 1000
_MEGA: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class OwnLine:
    """One value under a key of the maker's own: the way to it, and its text as it was written."""

    key: str
    text: str


@dataclass(frozen=True, slots=True)
class FileShown:
    """A file beside a record; an empty `path` leads nowhere, since the file is left out.

    A picture has a `photo` instead: where it lies among the records.
    """

    name: str
    path: str
    kind: str
    on: date | None
    size: str | None
    photo: str = ""


@dataclass(frozen=True, slots=True)
class Beside:
    """What a page shows under the notes of a record; `title` names the record where it must."""

    title: str
    own: tuple[OwnLine, ...]
    own_note: str
    files: tuple[FileShown, ...]
    files_note: str


def beside_of(desk: Desk, source: Source, title: str = "") -> Beside | None:
    """Return what stands beside a record, or None where nothing does.

    The floor edition is given the attachments for helpers, and no key of the maker's own.
    """
    own = tuple(line for key, value in source.own.items() for line in _lines(key, value))
    attached = desk.studio.attachments.get(Ref.to(source.kind, source.id), ())
    files = (*(_file(desk, source, one) for one in attached), *_pictures(desk, source))
    if not own and not files:
        return None
    is_floor = desk.edition is Edition.FLOOR
    return Beside(
        title,
        own,
        desk.phrase("beside.own"),
        files,
        desk.phrase("beside.as_it_is") if is_floor else "",
    )


def beside_each(desk: Desk, sources: Iterable[Source]) -> tuple[Beside, ...]:
    """Return what stands beside several records, each under its id; some have nothing."""
    found = (beside_of(desk, one, one.id) for one in sources)
    return tuple(one for one in found if one is not None)


def _lines(key: str, value: Any) -> Iterator[OwnLine]:  # noqa: ANN401 -- text, lists and maps in each other
    if isinstance(value, Mapping):
        for name, held in value.items():
            yield from _lines(f"{key}, {name}", held)
    elif isinstance(value, tuple) and not all(isinstance(one, str) for one in value):
        for number, held in enumerate(value, 1):
            yield from _lines(f"{key}, {number}", held)
    else:
        yield OwnLine(key, value if isinstance(value, str) else "; ".join(value))


def _file(desk: Desk, source: Source, one: Attachment) -> FileShown:
    kind = desk.phrase(f"beside.kinds.{one.kind}")
    if desk.edition is Edition.OWNER and one.name in source.for_helpers:
        kind = desk.phrase("beside.for_helpers", kind=kind)
    size = _size(desk, one.size_bytes)
    if one.is_too_large:
        size = desk.phrase("beside.too_large", size=size)
    return FileShown(one.name, "" if one.is_too_large else address_of(one), kind, one.on, size)


def _pictures(desk: Desk, source: Source) -> Iterator[FileShown]:
    """Yield the pictures in the folder of a record, for the owner: bills are photographed, too.

    Those of a test candle stand in strips of their own.
    """
    folder = f"{source.kind}/{source.id}/"
    if desk.edition is Edition.OWNER and source.kind != "burns":
        kind = desk.phrase("beside.kinds.picture")
        for photo in (one for one in desk.studio.photos if one.startswith(folder)):
            name = photo.removeprefix(folder)
            yield FileShown(name, "", kind, day_in(name), None, photo)


def _size(desk: Desk, size_bytes: int) -> str:
    """Return a size in thousands of bytes, or in millions to the tenth; never nothing at all."""
    if size_bytes < _MEGA:
        return desk.phrase("beside.kilo", size=max(round(size_bytes / _KILO), 1))
    return desk.phrase("beside.mega", size=f"{size_bytes / _MEGA:.1f}")
