"""From a folder to records: every file is read, or a problem says why not."""

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from handbook_builder.files import HALF_WRITTEN
from handbook_builder.problems import Place, Problem, in_order, problem
from handbook_builder.reading.fields import ID, Bad, Report, near
from handbook_builder.reading.front import Front, split
from handbook_builder.reading.kinds.house import Helper, ProtocolRecord, StudioRecord, Supplier
from handbook_builder.reading.kinds.items import (
    Colorant,
    Fragrance,
    Packaging,
    Vessel,
    Wax,
    Wick,
)
from handbook_builder.reading.kinds.making import Burn, Recipe
from handbook_builder.reading.kinds.trade import Batch, Count, Incident, Purchase
from handbook_builder.reading.notes import knots
from handbook_builder.reading.pictures import is_picture
from handbook_builder.reading.shape import Source, keys_of, places_of, read_shape

STUDIO_FILE: Final = "studio.md"
# What messages put before the path of a file, as the studio's folder has it.
SHOWN_AS: Final = "records/"
KINDS: Final[Mapping[str, type]] = {
    "protocols": ProtocolRecord,
    "suppliers": Supplier,
    "purchases": Purchase,
    "stock": Count,
    "vessels": Vessel,
    "waxes": Wax,
    "wicks": Wick,
    "fragrances": Fragrance,
    "colorants": Colorant,
    "packaging": Packaging,
    "recipes": Recipe,
    "burns": Burn,
    "batches": Batch,
    "incidents": Incident,
    "helpers": Helper,
}
LONGEST_ID: Final = 80
LARGEST_FILE: Final = 500_000
LONGEST_LINE: Final = 5_000
# What version control writes where two hands changed the same lines.
_CONFLICT: Final = re.compile(rb"(?:<{7}|>{7})(?: |\r?$)")
# The last entries of a list that slipped below the keys: "  - {kind: makers_word".
_ENTRY_BELOW: Final = re.compile(r"\s*-\s*\{\s*\w+\s*:")
# What the site calls its rooms, and what their records' folders are called.
_FOLDERS_MEANT: Final = {"tests": "burns", "products": "recipes", "materials": "waxes"}
_RECORD_ENDINGS: Final = (".md", ".markdown")
# What file managers leave beside pictures, and nobody wrote.
_LEFT_BEHIND: Final = frozenset({"thumbs.db", "ehthumbs.db", "desktop.ini"})


@dataclass(frozen=True, slots=True)
class Reading:
    """All records that could be read, by kind and id, and every problem met on the way."""

    studio: StudioRecord | None
    records: Mapping[str, Mapping[str, Any]]
    photos: tuple[str, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class _Found:
    """A file of the records folder: its path below it, with `/`, and its bytes."""

    path: str
    data: bytes


def read_folder(folder: Path, shown_as: str = "") -> Reading:
    """Return everything under `folder`; `shown_as` is put before each path in messages."""
    if not (folder / STUDIO_FILE).is_file():
        return Reading(None, {}, (), (problem(Place(shown_as or str(folder)), "no_records"),))
    if (folder / HALF_WRITTEN).exists():
        place = Place(f"{shown_as}{HALF_WRITTEN}")
        return Reading(None, {}, (), (problem(place, "half_written"),))
    found: list[_Found] = []
    photos: list[str] = []
    problems: list[Problem] = []
    refused: list[OSError] = []
    for path in sorted(_walk(folder, refused)):
        below = path.relative_to(folder).as_posix()
        if path.name.lower() in _LEFT_BEHIND and path.is_file() and not path.is_symlink():
            continue
        stray = _stray(path, below, f"{shown_as}{below}")
        if stray:
            problems.append(stray)
        elif _is_photo(path):
            photos.append(below)
        elif not path.name.startswith("."):
            data, fault = _bytes_of(path, f"{shown_as}{below}")
            problems.extend(fault)
            if data is not None:
                found.append(_Found(below, data))
    for error in refused:
        below = Path(error.filename).relative_to(folder).as_posix()
        reason = {"reason": error.strerror or "the system refuses"}
        problems.append(problem(Place(f"{shown_as}{below}"), "cannot_read", reason))
    return _assembled(found, tuple(photos), problems, shown_as)


def read_texts(texts: Mapping[str, bytes], shown_as: str = "") -> Reading:
    """Return the same from bytes by path, for records that are not in a folder."""
    found = [_Found(path, data) for path, data in sorted(texts.items())]
    return _assembled(found, (), [], shown_as)


def laid_over(reading: Reading, texts: Mapping[str, bytes], shown_as: str = "") -> Reading:
    """Return a reading with the bytes of some records in the place of theirs, or beside them."""
    records = {kind: dict(found) for kind, found in reading.records.items()}
    files = {shown_as + path for path in texts}
    problems = [one for one in reading.problems if one.place.file not in files]
    studio = reading.studio
    for path, data in texts.items():
        record, faults = read_record(path, data, shown_as)
        problems += faults
        if isinstance(record, StudioRecord):
            studio = record
        elif record is not None:
            records.setdefault(record.source.kind, {})[record.source.id] = record
    return Reading(studio, records, reading.photos, in_order(problems))


def _walk(folder: Path, refused: list[OSError]) -> Iterator[Path]:
    """Yield every file below `folder`, and every folder that is not to be entered."""
    for base, folders, files in os.walk(folder, onerror=refused.append):
        entered = []
        for name in sorted(folders):
            path = Path(base, name)
            if path.is_symlink() or name.startswith(".") or _is_too_deep(folder, path):
                yield path
            else:
                entered.append(name)
        folders[:] = entered
        yield from (Path(base, file) for file in files)


def _is_too_deep(folder: Path, path: Path) -> bool:
    """Return whether a folder looks like a record: a kind's folder holds files."""
    return len(path.relative_to(folder).parts) > 1 and path.suffix in _RECORD_ENDINGS


def _bytes_of(path: Path, shown: str) -> tuple[bytes | None, list[Problem]]:
    try:
        if path.stat().st_size > LARGEST_FILE:  # asked first: it may not fit into memory
            return None, [problem(Place(shown), "too_big", {"what": "file"})]
        return path.read_bytes(), []
    except OSError as error:
        reason = error.strerror or "the system refuses"
        return None, [problem(Place(shown), "cannot_read", {"reason": reason})]


def _stray(path: Path, below: str, shown: str) -> Problem | None:
    """Return the problem of what no kind of record would have, else None."""
    if path.is_symlink():
        return problem(Place(shown), "linked")
    if path.name.startswith("."):
        return problem(Place(shown), "hidden_record") if _hides_a_record(path, below) else None
    if not path.is_file():
        return problem(Place(shown), "stray_file")
    if below == STUDIO_FILE or _is_photo(path):
        return None
    parts = below.split("/")
    if len(parts) > 1 and parts[0] not in KINDS:
        meant = _FOLDERS_MEANT.get(parts[0].lower()) or near(parts[0].lower(), list(KINDS))
        return problem(Place(shown), "stray_folder", {"found": parts[0], "near": meant})
    is_record = len(parts) == 2 and path.suffix == ".md"  # noqa: PLR2004 -- a folder and a file
    return None if is_record else problem(Place(shown), "stray_file")


def _is_photo(path: Path) -> bool:
    return is_picture(path.name) and ".md." not in path.name.lower()


def _hides_a_record(path: Path, below: str) -> bool:
    """Return whether something hidden is, holds or once was a record."""
    if path.is_dir():
        inside_a_kind = below.split("/", maxsplit=1)[0] in KINDS
        named_like_one = path.name.lstrip(".") in KINDS
        return inside_a_kind or named_like_one or any(path.rglob("*.md"))
    return path.suffix.lower() in _RECORD_ENDINGS


def _assembled(
    found: list[_Found], photos: tuple[str, ...], problems: list[Problem], shown_as: str
) -> Reading:
    problems = [*problems, *_same_ids(found, shown_as)]
    studio: StudioRecord | None = None
    records: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
    for one in found:
        record, faults = read_record(one.path, one.data, shown_as)
        problems.extend(faults)
        if isinstance(record, StudioRecord):
            studio = record
        elif record is not None:
            records[record.source.kind][record.source.id] = record
    if studio is None and not any(one.path == STUDIO_FILE for one in found):
        problems.append(problem(Place(shown_as + STUDIO_FILE), "no_records"))
    return Reading(studio, records, photos, in_order(problems))


def _same_ids(found: list[_Found], shown_as: str) -> Iterator[Problem]:
    """Yield a problem for each file whose path another has too, once capitals are folded."""
    seen: dict[str, str] = {}
    for one in found:
        folded = one.path.casefold()
        if folded in seen:
            ident = one.path.rpartition("/")[2].removesuffix(".md")
            details = {"found": ident, "other": shown_as + seen[folded]}
            yield problem(Place(shown_as + one.path), "duplicate_id", details)
        seen.setdefault(folded, one.path)


@lru_cache(maxsize=8192)
def read_record(path: str, data: bytes, shown_as: str) -> tuple[Any, tuple[Problem, ...]]:
    """Return the record of one file, or None, and its problems.

    Cached by content, so that a server reads again only what was edited.
    """
    shown = shown_as + path
    folder, _, file_name = path.rpartition("/")
    ident = file_name.removesuffix(".md")
    if refused := tuple(_refused(folder, file_name, data, shown)):
        return None, refused
    front, problems = split(data, shown)
    if front is None:
        return None, tuple(problems)
    source = Source(folder, ident, shown, places_of(front.root), front.body)
    report = Report(shown, problems)
    kind = KINDS.get(folder, StudioRecord)
    report.problems.extend(_keys_below(kind, front, shown))
    report.problems.extend(knots(front.body, front.body_line, shown))
    record = read_shape(kind, front.root, report, "", source=source)
    faulty = isinstance(record, Bad) or bool(report.problems)
    return None if faulty else record, tuple(report.problems)


def _refused(folder: str, file_name: str, data: bytes, shown: str) -> Iterator[Problem]:
    """Yield why a file is not read at all: its name, its size, or a merge that nobody finished."""
    ident = file_name.removesuffix(".md")
    too_long = len(ident) > LONGEST_ID
    if too_long or not ID.fullmatch(ident) or not file_name.endswith(".md"):
        yield problem(Place(shown), "bad_id", {"found": file_name})
    elif ident == "index":
        yield problem(Place(shown), "reserved_id", {"found": ident})
    elif folder == "protocols" and ident == "default":
        yield problem(Place(shown), "protocol_reserved")
    elif (too_big := _too_big(data)) is not None:
        yield problem(Place(shown), "too_big", {"what": too_big})
    else:
        yield from _conflicts(data, shown)


def _too_big(data: bytes) -> str | None:
    """Return what of a file is beyond reason, or None."""
    if len(data) > LARGEST_FILE:
        return "file"
    return "line" if any(len(line) > LONGEST_LINE for line in data.split(b"\n")) else None


def _conflicts(data: bytes, shown: str) -> Iterator[Problem]:
    """Yield a problem for each mark of a merge, in the keys or below them."""
    for number, line in enumerate(data.split(b"\n"), 1):
        if _CONFLICT.match(line):
            yield problem(Place(shown, number), "merge_conflict", {"found": line[:7].decode()})


def _keys_below(kind: type, front: Front, shown: str) -> Iterator[Problem]:
    """Yield a problem for each line of the body that reads as a key of this kind of record.

    A line `---` in the wrong place would otherwise turn a key into prose, and nobody would know.
    """
    keys = keys_of(kind)
    for number, line in enumerate(front.body.split("\n"), front.body_line):
        key, colon, _ = line.partition(":")
        if colon and key in keys:
            yield problem(Place(shown, number), "key_below", {"found": key})
        elif _ENTRY_BELOW.match(line):
            yield problem(Place(shown, number), "entry_below", {"found": line.strip()})
