"""The new records that a batch and an incident become which were handed over."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.neutral import batches_called, lots_called
from handbook_builder.problems import Problem, problem
from handbook_builder.reading.handover import (
    HandedBatch,
    HandedFile,
    HandedIncident,
    Written,
)
from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.reading.shape import Source
from handbook_builder.studio.studio import Studio
from handbook_builder.writing.values import Value, written

_FLOOR: Final = "floor"
# A word and a space: no key, no mark of Markdown.
_PROSE: Final = re.compile(r"\w+,? ")


@dataclass(frozen=True, slots=True)
class NewRecord:
    """The text of a record to be, its keys by their values as they are written."""

    keys: Mapping[str, Value]
    body: str

    def text(self) -> str:
        """Return the whole record."""
        lines = [line for key, value in self.keys.items() for line in _lines(key, value)]
        body = f"{self.body}\n" if self.body else ""
        return "".join(f"{line}\n" for line in ("---", *lines, "---")) + body


def _lines(key: str, value: Value) -> Iterator[str]:
    """Yield the lines of a key; what is by item stands below it, a line each."""
    if not isinstance(value, Mapping):
        yield f"{key}: {written(value)}"
        return
    yield f"{key}:"
    yield from (f"  {written(name)}: {written(one)}" for name, one in value.items())


def _value(of: Written) -> Value:
    return of if isinstance(of, str | Mapping) else list(of)


def batch_record(studio: Studio, file: HandedFile, handed: HandedBatch) -> NewRecord | Problem:
    """Return the record of a batch, its lots by the names that bills have."""
    lots: dict[str, str] = {}
    for item, lot in handed.lots.items():
        found = _lot(studio, handed.source, f"lots.{item}", item, lot, handed.edition)
        if isinstance(found, Problem):
            return found
        lots[item] = found
    order = ("recipe", "on", "made", "by", "code", "lots", "weighed", "net")
    keys = {key: _value(file.written[key]) for key in order if file.written.get(key)}
    return NewRecord({**keys, "lots": lots}, _quoted(handed.note or ""))


def _quoted(note: str) -> str:
    """Return a note as a text below the keys; what could be read as a key there is a quotation."""
    return note if not note or _PROSE.match(note) else f"> {note}"


def same_batch(one: Batch, other: Batch) -> bool:
    """Return whether two records tell of one pouring: its recipe, its day and all that was read."""
    keys = ("recipe", "on", "made", "by", "code", "lots", "weighed_g", "net_g")
    return all(getattr(one, key) == getattr(other, key) for key in keys)


def incident_record(
    studio: Studio, handed: HandedIncident, number: int, told_by: str
) -> NewRecord | Problem:
    """Return the record of an incident, about what is on file under its own name.

    `told_by` says in words whose word it is, or nothing.
    """
    about = _about(studio, handed)
    if isinstance(about, Problem):
        return about
    lot = handed.lot
    if lot is not None and about.is_item:
        found = _lot(studio, handed.source, "lot", about, lot, handed.edition)
        if isinstance(found, Problem):
            return found
        lot = found
    keys = {"number": str(number), "on": handed.on.isoformat(), "about": str(about)}
    more = {} if lot is None else {"lot": lot}
    return NewRecord({**keys, **more, "what": handed.what}, told_by)


def same_incident(one: Incident, other: Incident) -> bool:
    """Return whether two records tell of one thing that went wrong."""
    keys = ("on", "about", "lot", "what")
    return all(getattr(one, key) == getattr(other, key) for key in keys)


def _about(studio: Studio, handed: HandedIncident) -> Ref | Problem:
    """Return what an incident is about; a batch has a neutral name in the floor edition."""
    about = handed.about
    if handed.edition != _FLOOR or about.folder != "batches":
        return about
    known = batches_called(studio, about.id)
    if len(known) > 1:
        details = {"found": about, "known": ", ".join(known)}
        return problem(handed.source.place("about"), "handover_which", details)
    return Ref.to("batches", known[0]) if known else about


def _lot(  # noqa: PLR0913, PLR0917 -- one a part of where it stands
    studio: Studio, source: Source, path: str, item: Ref, lot: str, edition: str
) -> str | Problem:
    """Return a lot by the name that bills have; one that nobody knows stays, and is refused."""
    if edition != _FLOOR:
        return lot
    known = lots_called(studio, item, lot)
    if len(known) > 1:
        return problem(
            source.place(path), "handover_which", {"found": lot, "known": ", ".join(known)}
        )
    return known[0] if known else lot
