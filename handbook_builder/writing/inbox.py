"""The folder in which files wait that were handed over, and the one beside it for those taken."""

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from handbook_builder.files import move_file
from handbook_builder.reading.handover import LARGEST

INBOX: Final = "inbox"
TAKEN: Final = "taken"
ENDING: Final = ".txt"
_MOST_ALIKE: Final = 999


class NoNameLeftError(Exception):
    """As many files of one name as can be told apart are there already."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """What lies in a folder: files that may have been handed over, and whatever else is there.

    Hidden files are nobody's concern, and neither is the folder of what was taken.
    """

    files: tuple[Path, ...]
    others: tuple[Path, ...]


def waiting_in(folder: Path) -> Waiting:
    """Return what lies in a folder, by name; links are never followed."""
    found = [one for one in sorted(folder.iterdir()) if not one.name.startswith(".")]
    found = [one for one in found if one.name != TAKEN or not one.is_dir()]
    files = tuple(one for one in found if is_file(one) and one.suffix.lower() == ENDING)
    return Waiting(files, tuple(one for one in found if one not in files))


def is_file(path: Path) -> bool:
    """Return whether something is a plain file itself, and no link, folder or pipe."""
    return path.is_file() and not path.is_symlink()


def bytes_of(path: Path) -> bytes | None:
    """Return what a file holds, and a byte more than is read of any; None when it is gone."""
    try:
        with path.open("rb") as opened:
            return opened.read(LARGEST + 1)
    except FileNotFoundError:
        return None


def moved_to_taken(path: Path, inbox: Path) -> Path:
    """Move a file to where taken ones are kept, over no other, and return its place there.

    A name that is there already gets a number. Raises NoNameLeftError, and OSError where the system
    refuses; then it stays where it is.
    """
    taken = inbox / TAKEN
    taken.mkdir(parents=True, exist_ok=True)
    if path.parent.resolve() == taken.resolve():
        return path
    for target in _names(taken, path):
        if os.path.lexists(target):
            if not (is_file(target) and target.samefile(path)):
                continue
            path.unlink()  # moved by a run that died before it could take the old name away
            return target
        try:
            move_file(path, target)
        except FileExistsError:
            continue
        return target
    raise NoNameLeftError(path.name)


def _names(folder: Path, path: Path) -> Iterable[Path]:
    yield folder / path.name
    for number in range(2, _MOST_ALIKE + 1):
        yield folder / f"{path.stem}-{number}{path.suffix}"
