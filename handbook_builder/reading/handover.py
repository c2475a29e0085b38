"""What is handed over from the bench: one small file, read as a record is, every fault by place.

Nothing in it is believed for being there: a file may come cut, doubled or mended by hand. Its line
`sum` says whether it came whole.
"""

import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Final

from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.fields import (
    BAD,
    Bad,
    Reader,
    Report,
    When,
    choice,
    count,
    day,
    ident,
    item_name,
    mass_g,
    near,
    some_mass_g,
    text,
    when,
)
from handbook_builder.reading.front import Front, split
from handbook_builder.reading.kinds.making import UNTRIED, End
from handbook_builder.reading.kinds.readings import READINGS, Cycle
from handbook_builder.reading.lists import many, table
from handbook_builder.reading.nodes import Map, Node, Scalar, Sequence
from handbook_builder.reading.reasons import reason
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import (
    Source,
    nested,
    optional,
    places_of,
    read_shape,
    required,
    shape,
)

# A candle's whole life, with a note to each cycle, comes to a tenth of it.
LARGEST: Final = 200_000
VERSION: Final = 1
# What `log` takes by its options. What is unread it finds by itself.
CYCLE_KEYS: Final = ("on", "trimmed", *READINGS, "seen", "checks", "note")
END_KEYS: Final = ("how", "why", "left", "vessel", "tilt")
_FENCES: Final = re.compile(r"\A---[ \t]*\n(?P<keys>.*?)^---[ \t]*$", re.DOTALL | re.MULTILINE)
_SUM: Final = "sum:"

Written = str | tuple[str, ...] | Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Values:
    """Some keys with their values as they were written, in the order of the file."""

    written: Mapping[str, Written]


@dataclass(frozen=True, slots=True)
class HandedCycle(Values):
    """A cycle, as it was written and as it was read."""

    cycle: Cycle


@dataclass(frozen=True, slots=True)
class HandedEnd(Values):
    """An end, as it was written and as it was read."""

    end: End


def _digits(number: int, what: str) -> Reader[str]:
    """Return a reader of so many hexadecimal digits."""

    def read(node: Node, report: Report, key: str) -> str | Bad:
        found = text(node, report, key)
        if isinstance(found, Bad) or re.fullmatch(rf"[0-9a-f]{{{number}}}", found):
            return found
        expected = f"{what} of {number} digits from 0 to 9 and a to f"
        return report.bad(node, "out_of_range", found=found, expected=expected)

    return read


def _version(node: Node, report: Report, key: str) -> int | Bad:
    found = count(1)(node, report, key)
    if isinstance(found, Bad) or found == VERSION:
        return found
    expected = f"{VERSION}; what a newer program wrote, a newer one reads"
    return report.bad(node, "out_of_range", found=str(found), expected=expected)


def _file_name(node: Node, report: Report, key: str) -> str | Bad:
    """Read the name of a file that lies beside this one."""
    found = text(node, report, key)
    if isinstance(found, Bad) or not (set("/\\") & set(found) or found.startswith(".")):
        return found
    return report.bad(node, "out_of_range", found=found, expected="the name of a file beside it")


def _as_written(node: Node) -> Written:
    """Return a value as text, its list or its keys with values; it was read before."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return tuple(one.text for one in node.items if isinstance(one, Scalar))
    return {key.text: value.text for key, value in node.entries if isinstance(value, Scalar)}


def _values(node: Node, report: Report, key: str, known: tuple[str, ...]) -> dict[str, Written]:
    """Return what stands under `key`; a key that is never handed over is reported."""
    entries = node.entries if isinstance(node, Map) else ()
    for name, _ in entries:
        if name.text not in known:
            near_to, under = near(name.text, known), f" under '{key}'"
            report.bad(name, "unknown_key", found=name.text, under=under, near=near_to)
    return {name.text: _as_written(value) for name, value in entries if name.text in known}


def _cycle(node: Node, report: Report, key: str) -> HandedCycle | Bad:
    before = len(report.problems)
    values = _values(node, report, key, CYCLE_KEYS)
    if len(report.problems) > before:
        return BAD
    found = read_shape(Cycle, node, report, key)
    return found if isinstance(found, Bad) else HandedCycle(values, found)


def _end(node: Node, report: Report, key: str) -> HandedEnd | Bad:
    before = len(report.problems)
    values = _values(node, report, key, END_KEYS)
    if len(report.problems) > before:
        return BAD
    found = read_shape(End, node, report, key)
    return found if isinstance(found, Bad) else HandedEnd(values, found)


@shape
class HandedPhoto:
    """A picture that lies beside the file, and what is seen on it, where somebody said so."""

    file: str = required(_file_name, "the name of the picture")
    sha256: str = required(_digits(64, "the SHA-256"), "the SHA-256 of the picture")
    alt: str | None = optional(text)


@shape
class Handed:
    """What each file says of itself. `sum_` is None where it does not say whether it is whole."""

    source: Source
    handover: int = required(_version, "the version, 1")
    kind: str = required(choice("cycles", "batch", "incident"), "cycles, batch or incident")
    session: str = required(_digits(16, "the session"), "the session")
    written: When = required(when, "when it was written")
    edition: str = required(choice("owner", "floor"), "owner or floor")
    sum_: str | None = optional(_digits(8, "the sum"))


@shape
class HandedCycles(Handed):
    """Every cycle of a candle since the state `record` of its record, and perhaps its end."""

    burn: str = required(ident, "the id of a test candle")
    candle: str = required(text, "the letter of the candle")
    code: str = required(text, "the code of the candle")
    record: str = required(_digits(64, "the state of the record"), "the state of the record")
    tilt: str | None = optional(choice("steady", "fell", UNTRIED))
    as_read: tuple[int, ...] = optional(many(count(1)), ())
    photos: Mapping[int, HandedPhoto] = optional(
        table(count(1), nested(HandedPhoto)), MappingProxyType({})
    )
    cycles: tuple[HandedCycle, ...] = optional(many(_cycle), ())
    end: HandedEnd | None = optional(_end)


@shape
class HandedBatch(Handed):
    """What was poured, as a batch's record has it."""

    recipe: str = required(ident, "the id of a recipe")
    code: str = required(text, "the code of the candle")
    on: date = required(day, "the day of pouring")
    made: int = required(count(1), "how many were made")
    by: str = required(text, "who poured it")
    lots: Mapping[Ref, str] = required(table(item_name, text), "items with their lots")
    weighed_g: Mapping[Ref, float] = optional(table(item_name, mass_g), MappingProxyType({}))
    net_g: tuple[float, ...] = optional(many(some_mass_g), ())
    note: str | None = optional(text)


@shape
class HandedIncident(Handed):
    """Something that went wrong, as an incident's record has it."""

    about: Ref = required(item_name, "what it is about, such as recipes/cedar-fig")
    lot: str | None = optional(text)
    on: date = required(day, "the day")
    by: str | None = optional(text)
    what: str = required(reason, "what happened")


_KINDS: Final[Mapping[str, type[Handed]]] = {
    "cycles": HandedCycles,
    "batch": HandedBatch,
    "incident": HandedIncident,
}


@dataclass(frozen=True, slots=True)
class HandedFile:
    """A file that could be read: what it says, and each of its values as it was written."""

    handed: Handed
    written: Mapping[str, Written]


def sum_of(data: bytes) -> str:
    """Return the CRC-32 (IEEE 802.3) of the lines between the two fences, its own line apart.

    Eight hexadecimal digits, of the UTF-8 bytes of each line ended by a line feed.
    """
    plain = data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    found = _FENCES.match(plain)
    lines = found["keys"].split("\n")[:-1] if found else []
    summed = "".join(f"{line}\n" for line in lines if not line.startswith(_SUM))
    return f"{zlib.crc32(summed.encode()):08x}"


def read_handover(data: bytes, shown: str) -> tuple[HandedFile | None, tuple[Problem, ...]]:
    """Return what a file hands over, or None, and every problem that it has.

    `shown` is what messages call it. It is read as far as it is known to be whole: of a damaged
    one nothing but the damage is told.
    """
    if len(data) > LARGEST:
        return None, (problem(Place(shown), "too_big", {"what": "file"}),)
    front, problems = split(data, shown)
    if front is None or problems:
        return None, tuple(problems)
    if fault := _not_whole(front, data, shown):
        return None, (fault,)
    report = Report(shown)
    found = _read(front, report)
    if isinstance(found, HandedCycles):
        _within(found, report)
    if isinstance(found, Bad) or report.problems:
        return None, tuple(report.problems)
    return HandedFile(found, {key.text: _as_written(one) for key, one in front.root.entries}), ()


def _read(front: Front, report: Report) -> Handed | Bad:
    """Return what the file says by the shape of its kind; without one, by what all files say."""
    named = {key.text: value for key, value in front.root.entries}.get("kind")
    kind = _KINDS.get(named.text if isinstance(named, Scalar) else "", HandedCycles)
    source = Source("inbox", "", report.file, places_of(front.root), front.body)
    return read_shape(kind, front.root, report, "", source=source)


def _not_whole(front: Front, data: bytes, shown: str) -> Problem | None:
    """Return what shows that a file is none that is handed over, or not as it was written."""
    keys = {key.text: (key, value) for key, value in front.root.entries}
    if "handover" not in keys:
        return problem(Place(shown), "handover_none")
    if front.body:
        return problem(Place(shown, front.body_line), "handover_after")
    _, stated = keys.get("sum", (None, None))
    due = sum_of(data)
    if isinstance(stated, Scalar) and stated.text != due:
        details = {"stated": stated.text[:40], "due": due}
        return problem(Place(shown, stated.line, stated.column), "handover_damaged", details)
    return None


def _within(handed: HandedCycles, report: Report) -> None:
    """Note what speaks of a cycle that the file does not hold, and a file that holds none."""
    place = handed.source.place
    if not handed.cycles and handed.end is None:
        report.problems.append(problem(place(), "handover_empty"))
    most = max(len(handed.cycles), 1)
    named = [(f"as_read[{at}]", number) for at, number in enumerate(handed.as_read)]
    named += [(f"photos.{number}", number) for number in handed.photos]
    for path, number in named:
        if number > most:
            details = {"found": str(number), "expected": f"a number of a cycle here, up to {most}"}
            report.problems.append(problem(place(path), "out_of_range", details))
