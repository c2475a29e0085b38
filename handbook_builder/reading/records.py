"""From a folder to records: every file is read, or a problem says why not."""

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from handbook_builder.problems import Place, Problem, in_order, problem
from handbook_builder.reading.fields import ID, Bad, Report, near
from handbook_builder.reading.front import split
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
from handbook_builder.reading.kinds.trade import Batch, Incident, Purchase
from handbook_builder.reading.shape import Source, places_of, read_shape

STUDIO_FILE: Final = "studio.md"
KINDS: Final[Mapping[str, type]] = {
    "protocols": ProtocolRecord,
    "suppliers": Supplier,
    "purchases": Purchase,
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
PHOTO_ENDINGS: Final = (".jpg", ".jpeg", ".png", ".webp")
_RECORD_ENDINGS: Final = (".md", ".markdown")


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
    found: list[_Found] = []
    photos: list[str] = []
    problems: list[Problem] = []
    for path in sorted(_walk(folder)):
        below = path.relative_to(folder).as_posix()
        stray = _stray(path, below, f"{shown_as}{below}")
        if stray:
            problems.append(stray)
        elif path.suffix.lower() in PHOTO_ENDINGS:
            photos.append(below)
        elif not path.name.startswith("."):
            data, fault = _bytes_of(path, f"{shown_as}{below}")
            problems.extend(fault)
            if data is not None:
                found.append(_Found(below, data))
    return _assembled(found, tuple(photos), problems, shown_as)


def read_texts(texts: Mapping[str, bytes], shown_as: str = "") -> Reading:
    """Return the same from bytes by path, for records that are not in a folder."""
    found = [_Found(path, data) for path, data in sorted(texts.items())]
    return _assembled(found, (), [], shown_as)


def _walk(folder: Path) -> Iterator[Path]:
    for base, folders, files in os.walk(folder):
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        for one in files:
            yield Path(base, one)


def _bytes_of(path: Path, shown: str) -> tuple[bytes | None, list[Problem]]:
    try:
        return path.read_bytes(), []
    except OSError as error:
        reason = error.strerror or "the system refuses"
        return None, [problem(Place(shown), "cannot_read", {"reason": reason})]


def _stray(path: Path, below: str, shown: str) -> Problem | None:
    """Return the problem of a file that no kind of record would have, else None."""
    is_record = path.suffix.lower() in _RECORD_ENDINGS
    if path.name.startswith("."):
        return problem(Place(shown), "hidden_record") if is_record else None
    if path.is_symlink():
        return problem(Place(shown), "linked")
    if path.suffix.lower() in PHOTO_ENDINGS:
        return None
    parts = below.split("/")
    if below == STUDIO_FILE:
        return None
    if len(parts) > 1 and parts[0] not in KINDS:
        near_kind = near(parts[0].lower(), list(KINDS))
        return problem(Place(shown), "stray_folder", {"found": parts[0], "near": near_kind})
    return None if len(parts) == 2 and path.suffix == ".md" else problem(Place(shown), "stray_file")  # noqa: PLR2004


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
    if not ID.fullmatch(ident) or not file_name.endswith(".md"):
        return None, (problem(Place(shown), "bad_id", {"found": file_name}),)
    if folder == "protocols" and ident == "default":
        return None, (problem(Place(shown), "protocol_reserved"),)
    front, problems = split(data, shown)
    if front is None:
        return None, tuple(problems)
    source = Source(folder, ident, shown, places_of(front.root), front.body)
    report = Report(shown, problems)
    kind = KINDS.get(folder, StudioRecord)
    record = read_shape(kind, front.root, report, "", source=source)
    faulty = isinstance(record, Bad) or bool(report.problems)
    return None if faulty else record, tuple(report.problems)
