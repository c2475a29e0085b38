"""From a folder to records: every file is read, or a problem says why not."""

import re
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from handbook_builder.files import HALF_WRITTEN
from handbook_builder.problems import Place, Problem, in_order, problem
from handbook_builder.reading.beside import FOR_HELPERS, Attachments, by_record, parted
from handbook_builder.reading.fields import ID, Bad, Report, near
from handbook_builder.reading.folder import LARGEST_FILE, STUDIO_FILE, Lying, lying_in
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
from handbook_builder.reading.leftovers import PassedOver, version_of
from handbook_builder.reading.merges import conflicts
from handbook_builder.reading.notes import knots
from handbook_builder.reading.shape import OWN_KEY, Source, keys_of, places_of, read_shape

__all__ = [
    "KINDS", "LARGEST_FILE", "LONGEST_ID", "LONGEST_LINE", "SHOWN_AS", "STUDIO_FILE", "Reading",
    "laid_over", "read_folder", "read_record", "read_texts",
]  # fmt: skip

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
LONGEST_LINE: Final = 5_000
# The last entries of a list that slipped below the keys: "  - {kind: makers_word".
_ENTRY_BELOW: Final = re.compile(r"\s*-\s*\{\s*\w+\s*:")


@dataclass(frozen=True, slots=True)
class Reading:
    """All records that could be read, by kind and id, and every problem met on the way.

    `attachments` lie beside records, by whose they are: None where no folder was looked into.
    `passed_over` is neither.
    """

    studio: StudioRecord | None
    records: Mapping[str, Mapping[str, Any]]
    photos: tuple[str, ...]
    problems: tuple[Problem, ...]
    attachments: Attachments | None = None
    passed_over: tuple[PassedOver, ...] = ()


def read_folder(folder: Path, shown_as: str = "") -> Reading:
    """Return everything under `folder`; `shown_as` is put before each path in messages."""
    if not (folder / STUDIO_FILE).is_file():
        return Reading(None, {}, (), (problem(Place(shown_as or str(folder)), "no_records"),))
    if (folder / HALF_WRITTEN).exists():
        place = Place(f"{shown_as}{HALF_WRITTEN}")
        return Reading(None, {}, (), (problem(place, "half_written"),))
    lying = lying_in(folder, KINDS, shown_as)
    reading = _assembled(lying.records, lying.problems, shown_as)
    return replace(
        reading,
        photos=lying.photos,
        attachments=by_record(lying.attachments),
        passed_over=lying.passed_over,
        problems=in_order((*reading.problems, *_of_nothing(lying, shown_as))),
    )


def _of_nothing(lying: Lying, shown_as: str) -> Iterator[Problem]:
    """Yield a problem for each attachment that lies in the folder of a record that is not there."""
    paths = [path.removesuffix(".md") for path in lying.records]
    for one in lying.attachments:
        if one.record not in paths:
            details = {"folder": one.record, "near": near(one.record, paths)}
            yield problem(Place(shown_as + one.file), "beside_nothing", details)


def read_texts(texts: Mapping[str, bytes], shown_as: str = "") -> Reading:
    """Return the same from bytes by path, for records that are not in a folder."""
    return _assembled(texts, (), shown_as)


def laid_over(reading: Reading, texts: Mapping[str, bytes], shown_as: str = "") -> Reading:
    """Return a reading with the bytes of some records in the place of theirs, or beside them."""
    records = {kind: dict(found) for kind, found in reading.records.items()}
    files = {shown_as + path for path in texts}
    problems = [
        one for one in reading.problems if one.place.file not in files and not _has_come(one, files)
    ]
    studio = reading.studio
    for path, data in texts.items():
        record, faults = read_record(path, data, shown_as)
        problems += faults
        if isinstance(record, StudioRecord):
            studio = record
        elif record is not None:
            records.setdefault(record.source.kind, {})[record.source.id] = record
    return replace(reading, studio=studio, records=records, problems=in_order(problems))


def _has_come(fault: Problem, files: Container[str]) -> bool:
    """Return whether the record is among `files` that an attachment lay beside in vain."""
    return fault.code == "beside_nothing" and f"{fault.place.file.rpartition('/')[0]}.md" in files


def _assembled(found: Mapping[str, bytes], known: Iterable[Problem], shown_as: str) -> Reading:
    """Return the records of the files found, by path, with the problems `known` before."""
    problems = [*known, *_same_ids(found, shown_as)]
    studio: StudioRecord | None = None
    records: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
    for path, data in sorted(found.items()):
        if version := _version(path, found, shown_as):
            problems.append(version)
            continue
        record, faults = read_record(path, data, shown_as)
        problems.extend(faults)
        if isinstance(record, StudioRecord):
            studio = record
        elif record is not None:
            records[record.source.kind][record.source.id] = record
    if studio is None and STUDIO_FILE not in found:
        problems.append(problem(Place(shown_as + STUDIO_FILE), "no_records"))
    return Reading(studio, records, (), in_order(problems))


def _version(path: str, found: Container[str], shown_as: str) -> Problem | None:
    """Return the problem of a file that is a copy of a record by its name, or None."""
    folder, _, name = path.rpartition("/")
    ident = name.removesuffix(".md")
    of = None if ID.fullmatch(ident) else version_of(ident)
    if of is None or (of.is_sure is False and f"{folder}/{of.id}.md" not in found):
        return None
    return problem(Place(shown_as + path), "beside_copy", {"other": f"{folder}/{of.id}.md"})


def _same_ids(found: Iterable[str], shown_as: str) -> Iterator[Problem]:
    """Yield a problem for each file whose path another has too, once capitals are folded."""
    seen: dict[str, str] = {}
    for path in sorted(found):
        folded = path.casefold()
        if folded in seen:
            ident = path.rpartition("/")[2].removesuffix(".md")
            details = {"found": ident, "other": shown_as + seen[folded]}
            yield problem(Place(shown_as + path), "duplicate_id", details)
        seen.setdefault(folded, path)


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
    report = Report(shown, problems)
    kind = KINDS.get(folder, StudioRecord)
    report.problems.extend(_keys_below(kind, front, shown))
    report.problems.extend(knots(front.body, front.body_line, shown))
    root, own, attached = parted(front.root, folder, keys_of(kind), report)
    source = Source(folder, ident, shown, places_of(front.root), front.body, own, attached)
    record = read_shape(kind, root, report, "", also=(FOR_HELPERS,), source=source)
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
        yield from conflicts(data, shown)


def _too_big(data: bytes) -> str | None:
    """Return what of a file is beyond reason, or None."""
    if len(data) > LARGEST_FILE:
        return "file"
    return "line" if any(len(line) > LONGEST_LINE for line in data.split(b"\n")) else None


def _keys_below(kind: type, front: Front, shown: str) -> Iterator[Problem]:
    """Yield a problem for each line of the body that reads as a key of this kind of record.

    A line `---` in the wrong place would otherwise turn a key into prose, and nobody would know.
    """
    keys = keys_of(kind)
    for number, line in enumerate(front.body.split("\n"), front.body_line):
        key, colon, _ = line.partition(":")
        if colon and (key in keys or key == FOR_HELPERS or OWN_KEY.fullmatch(key)):
            yield problem(Place(shown, number), "key_below", {"found": key})
        elif _ENTRY_BELOW.match(line):
            yield problem(Place(shown, number), "entry_below", {"found": line.strip()})
