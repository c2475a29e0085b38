"""What lies in a folder of records, file by file: records, pictures, attachments, and the rest."""

import os
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.beside import ACTIVE, ENDINGS, Attachment, attachment_at, ending_of
from handbook_builder.reading.fields import near
from handbook_builder.reading.leftovers import (
    RECORD_ENDINGS,
    PassedOver,
    holds_a_record,
    is_alone,
    is_draft,
    is_left_folder,
    is_on_purpose,
    left_behind,
)
from handbook_builder.reading.pictures import is_picture

STUDIO_FILE: Final = "studio.md"
LARGEST_FILE: Final = 500_000
# What the site calls its rooms, and what their records' folders are called.
_FOLDERS_MEANT: Final = {"tests": "burns", "products": "recipes", "materials": "waxes"}
_TESTS: Final = "burns"  # what is left of a candle may be a failure that nobody else wrote down
_OF_A_RECORD: Final = 2  # parts of the path of a record: the folder of its kind, and its name


@dataclass(slots=True)
class _Heap:
    """What was found so far, each by its path below the folder, with `/`."""

    folder: Path
    kinds: Collection[str]
    shown_as: str
    records: dict[str, bytes] = field(default_factory=dict)
    photos: list[str] = field(default_factory=list)
    attachments: list[Attachment] = field(default_factory=list)
    passed_over: list[PassedOver] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Lying:
    """What lies in a folder: the bytes of records by their path, and the rest by its sort."""

    records: dict[str, bytes]
    photos: tuple[str, ...]
    attachments: tuple[Attachment, ...]
    passed_over: tuple[PassedOver, ...]
    problems: tuple[Problem, ...]


def lying_in(folder: Path, kinds: Collection[str], shown_as: str) -> Lying:
    """Return everything under `folder`, whose own folders are of `kinds`; nothing is left untold.

    `shown_as` is put before each path in messages.
    """
    heap = _Heap(folder, kinds, shown_as)
    refused: list[OSError] = []
    for path in sorted(_walk(folder, refused)):
        try:
            _put(heap, path)
        except OSError as error:
            heap.problems.append(_unreadable(shown_as + _below(path, folder), error))
    for one in refused:
        heap.problems.append(_unreadable(shown_as + _below(Path(one.filename), folder), one))
    return Lying(
        heap.records,
        tuple(heap.photos),
        tuple(heap.attachments),
        tuple(heap.passed_over),
        tuple(heap.problems),
    )


def _below(path: Path, folder: Path) -> str:
    return path.relative_to(folder).as_posix()


def _unreadable(shown: str, error: OSError) -> Problem:
    reason = {"reason": error.strerror or "the system refuses"}
    return problem(Place(shown), "cannot_read", reason)


def _walk(folder: Path, refused: list[OSError]) -> Iterator[Path]:
    """Yield every file below `folder`, and every folder that is not to be entered."""
    for base, folders, files in os.walk(folder, onerror=refused.append):
        entered = []
        for name in sorted(folders):
            path = Path(base, name)
            is_shut = path.is_symlink() or name.startswith(".") or is_left_folder(name)
            if is_shut or _is_too_deep(folder, path):
                yield path
            else:
                entered.append(name)
        folders[:] = entered
        yield from (Path(base, file) for file in files)


def _is_too_deep(folder: Path, path: Path) -> bool:
    """Return whether a folder looks like a record: a kind's folder holds files."""
    return len(path.relative_to(folder).parts) > 1 and path.suffix in RECORD_ENDINGS


def _put(heap: _Heap, path: Path) -> None:
    """Put one file, or a folder that is not entered, where it belongs."""
    below = _below(path, heap.folder)
    shown = heap.shown_as + below
    if is_on_purpose(path, at_the_top="/" not in below):
        return
    left = left_behind(path, below)
    if left is not None:
        heap.problems += _left_of_a_record(path, below, heap)
        heap.passed_over.append(left)
    elif stray := _stray(path, below, heap):
        heap.problems.append(stray)
    elif _is_photo(path):
        heap.photos.append(below)
    elif path.name.startswith("."):
        heap.problems += _left_of_a_record(path, below, heap)
        heap.passed_over.append(PassedOver(below))
    elif _is_attachment(below):
        found = attachment_at(path, below, shown)
        heap.attachments += [found] if isinstance(found, Attachment) else []
        heap.problems += [found] if isinstance(found, Problem) else []
    elif path.stat().st_size > LARGEST_FILE:  # asked first: it may not fit into memory
        heap.problems.append(problem(Place(shown), "too_big", {"what": "file"}))
    else:
        heap.records[below] = path.read_bytes()


def _left_of_a_record(path: Path, below: str, heap: _Heap) -> list[Problem]:
    """Return the problem of a file that is left of a record which is not there, if it is."""
    if not path.is_file():
        return []
    parts = below.split("/")
    if is_draft(path.name) and parts[0] != _TESTS:
        return []  # it is listed; as a fault it would stop the very call that writes it whole
    in_a_kind = len(parts) == _OF_A_RECORD and parts[0] in heap.kinds
    place = Place(heap.shown_as + below)
    of = is_alone(path, in_a_kind=in_a_kind)
    if of is not None:
        return [problem(place, "beside_backup", {"found": of})]
    return [problem(place, "beside_record")] if holds_a_record(path) else []


def _stray(path: Path, below: str, heap: _Heap) -> Problem | None:
    """Return the problem of what no kind of record would have, else None."""
    place = Place(heap.shown_as + below)
    if path.is_symlink():
        return problem(place, "linked")
    if path.name.startswith("."):
        return problem(place, "hidden_record") if _hides_a_record(path, below, heap.kinds) else None
    if not path.is_file():
        return problem(place, "stray_file")
    return None if below == STUDIO_FILE or _is_photo(path) else _misplaced(place, below, heap.kinds)


def _misplaced(place: Place, below: str, kinds: Collection[str]) -> Problem | None:
    """Return the problem of a file that is no record or attachment where it lies, else None."""
    parts = below.split("/")
    if len(parts) > 1 and parts[0] not in kinds:
        meant = _FOLDERS_MEANT.get(parts[0].lower()) or near(parts[0].lower(), list(kinds))
        return problem(place, "stray_folder", {"found": parts[0], "near": meant})
    if ending_of(below) in ACTIVE:
        return problem(place, "beside_active")
    is_record = len(parts) == _OF_A_RECORD and below.endswith(".md")
    return None if is_record or _is_attachment(below) else problem(place, "stray_file")


def _is_attachment(below: str) -> bool:
    """Return whether a path is of an attachment in the folder of a record."""
    return below.count("/") == _OF_A_RECORD and ending_of(below) in ENDINGS


def _is_photo(path: Path) -> bool:
    return is_picture(path.name) and ".md." not in path.name.lower()


def _hides_a_record(path: Path, below: str, kinds: Collection[str]) -> bool:
    """Return whether something hidden is, holds or once was a record."""
    if path.is_dir():
        inside_a_kind = below.split("/", maxsplit=1)[0] in kinds
        named_like_one = path.name.lstrip(".") in kinds
        return inside_a_kind or named_like_one or any(path.rglob("*.md"))
    return path.suffix.lower() in RECORD_ENDINGS
