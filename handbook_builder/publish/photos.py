"""The pictures of the records in the sizes that a page shows: small in a strip, large when opened.

Each is made once from its points (`pictures.py`) and kept in the cache folder of the user by its
content. A picture that cannot be shown keeps nothing from being published: the page says so in its
place, since no reading hangs on it.
"""

import hashlib
import io
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Final

from PIL import Image
from platformdirs import user_cache_path

from handbook_builder import __version__
from handbook_builder.files import put_file
from handbook_builder.notices import notice
from handbook_builder.problems import Place, Problem
from handbook_builder.publish import links, pictures
from handbook_builder.publish.quick import keep_newest
from handbook_builder.publish.refusals import Refusal
from handbook_builder.reading.pictures import can_convert

SMALL_SIDE: Final = 360
_SMALL_QUALITY: Final = 70
MOST_KEPT: Final = 2000  # files: two a picture
FOLDER: Final = "photos"


@dataclass(frozen=True, slots=True)
class Shown:
    """The addresses of a picture as a page writes them, and the size of the small one."""

    small: str
    large: str
    wide: int
    high: int


@dataclass(frozen=True, slots=True)
class Unshown:
    """A picture that cannot be shown, and why."""

    why: str


def large_name(path: str) -> str:
    """Return where the large size of a picture among the records stands below `photos/`."""
    return f"{path}.jpg" if pictures.is_converted(path) else path


def small_name(path: str) -> str:
    """Return where the small size of a picture among the records stands below `photos/`."""
    is_jpeg = path.lower().endswith((".jpg", ".jpeg"))
    return f"small/{path}" if is_jpeg else f"small/{path}.jpg"


class Album:
    """The pictures of one edition, each made ready when a page first asks for it."""

    def __init__(
        self, photos: Mapping[str, Path] | None = None, named: Callable[[str], str] = str
    ) -> None:
        """Take the pictures by their path in the records; `named` names one in a message."""
        self._photos = dict(photos or {})
        self._named = named
        self._ready: dict[tuple[str, int], bytes | Refusal] = {}
        self._small = {small_name(path): path for path in self._photos}
        self._large = {large_name(path): path for path in self._photos}
        self._kept = _folder()

    def paths(self) -> frozenset[str]:
        """Return the paths in the records of those that can be shown."""
        return frozenset(path for path in self._photos if not isinstance(self.data(path), Refusal))

    def data(self, path: str, side: int = pictures.LONGEST_SIDE) -> bytes | Refusal:
        """Return a picture made anew, its longer side `side` points at the most, or why not."""
        if (path, side) not in self._ready:
            self._ready[path, side] = self._made(self._photos[path], path, side)
        return self._ready[path, side]

    def at(self, uri: str, side: int) -> tuple[str, bytes] | None:
        """Return kind and bytes of the picture at an address below `photos/`; None without one.

        The small one is handed over as it is, the large one made anew for `side`.
        """
        path = self._small.get(uri) or self._large.get(uri)
        if path is None:
            return None
        is_small = uri in self._small
        data = self.data(path, SMALL_SIDE if is_small else side)
        kind = "image/jpeg" if is_small else pictures.media_type(Path(path))
        return None if isinstance(data, Refusal) else (kind, data)

    def shown(self, here: str, path: str) -> Shown | Unshown | None:
        """Return how the page `here` shows a picture, or None for one not in the edition."""
        if path not in self._photos:
            return None
        small, large = self.data(path, SMALL_SIDE), self.data(path)
        for one in (small, large):
            if isinstance(one, Refusal):
                return Unshown(one.message)
        assert isinstance(small, bytes)  # noqa: S101 -- told apart above
        wide, high = _size(small)
        return Shown(
            links.relative(here, f"{FOLDER}/{small_name(path)}"),
            links.relative(here, f"{FOLDER}/{large_name(path)}"),
            wide,
            high,
        )

    def files(self) -> dict[str, bytes]:
        """Return every file that the site holds of them, by its address."""
        found = {}
        for path in self._photos:
            small, large = self.data(path, SMALL_SIDE), self.data(path)
            if isinstance(small, bytes) and isinstance(large, bytes):
                found[f"{FOLDER}/{small_name(path)}"] = small
                found[f"{FOLDER}/{large_name(path)}"] = large
        return found

    def refused(self) -> tuple[Refusal, ...]:
        """Return what keeps pictures from being shown."""
        found = (self.data(path, side) for path in self._photos
                 for side in (SMALL_SIDE, pictures.LONGEST_SIDE))  # fmt: skip
        return tuple(sorted({one for one in found if isinstance(one, Refusal)}))

    def notices(self) -> tuple[Problem, ...]:
        """Return the same as notices; of a kind that must be converted another one tells."""
        return tuple(
            notice(Place(one.file), "photo_unshown", {"reason": one.message})
            for one in self.refused()
            if not pictures.is_converted(one.file) or can_convert()
        )

    def _made(self, file: Path, path: str, side: int) -> bytes | Refusal:
        """Return a picture in one size, from the cache when it is there."""
        name = self._named(path)
        kept = None if self._kept is None else self._kept / _key(file, side)
        if kept is not None and kept.is_file():
            return kept.read_bytes()
        kind, quality = ("JPEG", _SMALL_QUALITY) if side == SMALL_SIDE else (None, None)
        data = pictures.anew(file, name, side, kind=kind, quality=quality)
        if kept is not None and isinstance(data, bytes):
            _keep(kept, data)
        return data


def _size(data: bytes) -> tuple[int, int]:
    with Image.open(io.BytesIO(data)) as picture:
        return picture.size


def _folder() -> Path | None:
    """Return the folder in which pictures are kept, or None where none can be written to."""
    folder = user_cache_path("handbook-builder") / "pictures"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError:
        return None
    if not os.access(folder, os.W_OK):
        return None
    keep_newest(folder, MOST_KEPT)
    return folder


def _key(file: Path, side: int) -> str:
    """Return a name for all that decides what is made of a picture."""
    made_by = f"{__version__} {version('pillow')} {side} {file.suffix.lower()}"
    try:
        data = file.read_bytes() if file.stat().st_size <= pictures.MOST_BYTES else b""
    except OSError:
        data = b""
    return hashlib.sha256(made_by.encode() + b"\0" + data).hexdigest()


def _keep(kept: Path, data: bytes) -> None:
    """Keep what was made; a full disk only makes the next build slower."""
    try:
        put_file(kept, data)
    except OSError:
        return
