"""Which finished files are a theme's as it was shipped, and so hold nothing of a studio's."""

import sysconfig
from collections.abc import Callable, Iterable
from pathlib import Path

from handbook_builder.publish import templates


def ours_in(studio: Path, theme_folders: Iterable[str]) -> Callable[[Path, str], bool]:
    """Return what says whether a finished file is one of the themes', as they are shipped."""
    folders = [folder for folder in map(Path, theme_folders) if _is_trusted(folder, studio)]

    def is_ours(file: Path, uri: str) -> bool:
        same = (folder / uri for folder in folders)
        return any(one.is_file() and one.read_bytes() == file.read_bytes() for one in same)

    return is_ours


def _is_trusted(folder: Path, studio: Path) -> bool:
    """Return whether a folder of a theme is installed or shipped, and not the studio's own."""
    place = folder.resolve()
    known = (templates.shipped().resolve(), Path(sysconfig.get_path("purelib")).resolve())
    return any(map(place.is_relative_to, known)) or not place.is_relative_to(studio)
