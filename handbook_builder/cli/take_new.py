"""Batches and incidents that were handed over: each becomes a record that the check takes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from handbook_builder.cli.take_call import Outcome, StaysError, TakeCall, refuse_to_come, stays
from handbook_builder.derived.notices import notices
from handbook_builder.derived.worked_out import batch_code
from handbook_builder.files import replace_file, write_together
from handbook_builder.problems import Problem, problem
from handbook_builder.reading.fields import When, near
from handbook_builder.reading.handover import (
    Handed,
    HandedBatch,
    HandedFile,
    HandedIncident,
    read_handover,
)
from handbook_builder.reading.kinds.trade import Incident
from handbook_builder.reading.records import (
    SHOWN_AS,
    STUDIO_FILE,
    Reading,
    laid_over,
    read_folder,
    read_record,
)
from handbook_builder.reading.shape import Source
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.code import plain
from handbook_builder.workshop import last_known_day, studio_from
from handbook_builder.writing.adding import CannotAddError, with_new_value, with_value
from handbook_builder.writing.inbox import bytes_of
from handbook_builder.writing.taken_records import (
    NewRecord,
    batch_record,
    incident_record,
    same_batch,
    same_incident,
)

_MOST_A_DAY = 99


def take_batch(call: TakeCall, file: HandedFile, handed: HandedBatch, shown: str) -> Outcome:
    """Write the record of a batch, unless it is on file; raises StaysError."""
    refuse_to_come(call, handed.source, _days(handed, handed.on))
    reading = read_folder(call.records, SHOWN_AS)
    studio = _studio(call, handed, reading)
    record = batch_record(studio, file, handed)
    if isinstance(record, Problem):
        raise StaysError([record])
    path = _free(call.records, f"batches/{handed.recipe}-{handed.on.isoformat()}", handed)
    batch = _read(path, record, handed.source)
    alike = [one.source.file for one in studio.batches.values() if same_batch(one, batch)]
    if alike and _is_told(call, studio, record, handed, alike):
        return Outcome(shown, "known", kind=handed.kind, record=alike[0])
    _refuse_again(call, handed)
    _refuse_code(handed, studio)
    after = _refuse_faulty(call, handed, reading, {path: record.text().encode()}, path)
    write_together({call.records / path: record.text().encode()}, {})
    return Outcome(
        shown,
        "taken",
        kind=handed.kind,
        record=SHOWN_AS + path,
        warnings=_warned(studio, after, call.today),
    )


def _warned(before: Studio, after: Studio, day: date) -> tuple[Problem, ...]:
    """Return what the check warns of since a record was written, in it or in another."""
    known = frozenset(notices(before, day, {}))
    return tuple(one for one in notices(after, day, {}) if one not in known)


def _is_told(
    call: TakeCall, studio: Studio, record: NewRecord, handed: HandedBatch, alike: Sequence[str]
) -> bool:
    """Return whether one of the batches that read as this one is this one.

    Two pots of one day may weigh the same. Each file that was taken is one of the records; while
    one is left, it is this file's: a run before this one died, or somebody wrote it by hand.
    """
    same = {
        one.session
        for _, file, one in _batches_taken(call)
        if getattr(batch_record(studio, file, one), "keys", None) == record.keys
    }
    if handed.session in same or len(same) < len(alike):
        return True
    if not call.as_read:
        raise stays(handed.source, "session", "handover_alike", file=alike[0])
    return False


def _batches_taken(call: TakeCall) -> Iterator[tuple[str, HandedFile, HandedBatch]]:
    """Yield each batch that was taken, by the name of its file."""
    for path in sorted((call.inbox / "taken").glob("*.txt")):
        told, _ = read_handover(bytes_of(path) or b"", path.name)
        if told is not None and isinstance(told.handed, HandedBatch):
            yield path.name, told, told.handed


def _refuse_again(call: TakeCall, handed: HandedBatch) -> None:
    """Refuse what a sitting says anew of a pour that it told already: a batch is counted once."""
    if call.as_read:
        return
    for name, _, one in _batches_taken(call):
        if (one.session, one.recipe, one.on) == (handed.session, handed.recipe, handed.on):
            raise stays(handed.source, "session", "handover_again", file=f"taken/{name}")


def _days(handed: Handed, on: Any) -> Iterable[tuple[str, When]]:  # noqa: ANN401 -- a day
    return (("written", handed.written), ("on", When(on)))


def _studio(call: TakeCall, handed: Handed, reading: Reading) -> Studio:
    """Return the studio, which must be without fault: what a name means is told by all of it."""
    studio, problems = studio_from(reading, last_known_day(call.today), call.studio)
    if studio is None:
        count = {"count": len(problems)}
        fault = problem(handed.source.place(), "handover_faults", count)
        raise StaysError([fault, *problems])
    return studio


def _refuse_code(handed: HandedBatch, studio: Studio) -> None:
    if handed.recipe not in studio.recipes:
        meant = near(handed.recipe, sorted(studio.recipes))
        raise stays(
            handed.source, "recipe", "dangling", found=handed.recipe, folder="recipes", near=meant
        )
    due = batch_code(studio, handed.recipe, handed.on)
    if due is not None and plain(due) != plain(handed.code):
        raise stays(
            handed.source, "code", "handover_code", found=handed.code,
            of=f"{SHOWN_AS}recipes/{handed.recipe}.md", due=due,
        )  # fmt: skip


def _free(records: Path, stem: str, handed: Handed) -> str:
    """Return the path of a record that no file has, in capitals or not."""
    folder = (records / stem).parent
    taken = {one.name.casefold() for one in folder.iterdir()} if folder.is_dir() else set()
    for number in range(1, _MOST_A_DAY + 1):
        path = f"{stem}.md" if number == 1 else f"{stem}-{number}.md"
        if path.rpartition("/")[2].casefold() not in taken:
            return path
    raise stays(handed.source, "", "handover_number", file=f"{SHOWN_AS}{stem}.md", most=_MOST_A_DAY)


def _read(path: str, record: NewRecord, source: Source) -> Any:  # noqa: ANN401 -- of any kind
    """Return the record as it would be read; what is at fault in it stays in the file."""
    found, faults = read_record(path, record.text().encode(), SHOWN_AS)
    if found is None:
        raise StaysError(replace(one, place=source.place()) for one in faults)
    return found


def _refuse_faulty(
    call: TakeCall, handed: Handed, reading: Reading, texts: dict[str, bytes], path: str
) -> Studio:
    """Return the studio with the new record; refuse what the check would find at fault with it."""
    after = laid_over(reading, texts, SHOWN_AS)
    studio, faults = studio_from(after, last_known_day(call.today), call.studio)
    if studio is None:
        folder, _, name = path.partition("/")
        source = after.records[folder][name.removesuffix(".md")].source
        raise StaysError(_moved(one, source, handed.source) for one in faults)
    return studio


def _moved(fault: Problem, record: Source, handed: Source) -> Problem:
    """Return a fault of the new record where the file says it, and any other as it is."""
    if fault.place.file != record.file:
        return fault
    at = (fault.place.line, fault.place.column)
    path = next((path for path, place in record.places.items() if place == at), "")
    return replace(fault, place=handed.place(path))


@dataclass(frozen=True, slots=True)
class _Counting:
    """How studio.md counts the incidents: its bytes, and whether one on file is not counted yet."""

    data: bytes
    stated: int | None
    is_behind: bool

    def bytes(self, number: int, handed: Handed) -> bytes:
        """Return its bytes with another count; raises StaysError where the place is uncertain."""
        add = with_new_value if self.stated is None else with_value
        try:
            return add(self.data, "incidents", str(number))
        except CannotAddError:
            file = SHOWN_AS + STUDIO_FILE
            raise stays(handed.source, "", "handover_place", file=file) from None


def take_incident(call: TakeCall, handed: HandedIncident, shown: str) -> Outcome:
    """Write the record of an incident and count it, unless it is on file; raises StaysError."""
    refuse_to_come(call, handed.source, _days(handed, handed.on))
    reading = read_folder(call.records, SHOWN_AS)
    counting, reading = _counting(call, handed, reading)
    studio = _studio(call, handed, reading)
    number = len(studio.incidents) + 1
    told = call.told
    told_by = told.text("take.told_by", by=handed.by) if handed.by else ""
    record = incident_record(studio, handed, number, told_by)
    if isinstance(record, Problem):
        raise StaysError([record])
    path = _free(call.records, f"incidents/incident-{number}", handed)
    incident = _read(path, record, handed.source)
    same = [
        one
        for one in studio.incidents.values()
        if same_incident(one, incident) and not _is_over(one, handed)
    ]
    if same:
        _count_on(call, handed, counting, same)
        return Outcome(shown, "known", kind=handed.kind, record=same[0].source.file)
    if counting.is_behind:
        raise _miscounted(handed, counting, len(studio.incidents))
    texts = {path: record.text().encode(), STUDIO_FILE: counting.bytes(number, handed)}
    after = _refuse_faulty(call, handed, reading, texts, path)
    changed = {call.records / STUDIO_FILE: (counting.data, texts[STUDIO_FILE])}
    write_together({call.records / path: texts[path]}, changed)
    return Outcome(
        shown,
        "taken",
        kind=handed.kind,
        record=SHOWN_AS + path,
        warnings=_warned(studio, after, call.today),
    )


def _is_over(known: Incident, handed: HandedIncident) -> bool:
    """Return whether an incident was closed when a file was written: then it happened again."""
    return known.closed is not None and known.closed.on <= handed.written.day


def _counting(call: TakeCall, handed: Handed, reading: Reading) -> tuple[_Counting, Reading]:
    """Return how incidents are counted, and the records as if the newest one were counted.

    A run that died after it wrote an incident left it uncounted; the next one counts it.
    """
    data = (call.records / STUDIO_FILE).read_bytes()
    stated = None if reading.studio is None else reading.studio.incidents
    found = len(reading.records.get("incidents", {}))
    counting = _Counting(data, stated, is_behind=found > 0 and (stated or 0) == found - 1)
    if not counting.is_behind:
        return counting, reading
    texts = {STUDIO_FILE: counting.bytes(found, handed)}
    return counting, laid_over(reading, texts, SHOWN_AS)


def _count_on(
    call: TakeCall, handed: Handed, counting: _Counting, same: Sequence[Incident]
) -> None:
    """Count an incident that a run before this one wrote and did not come to count."""
    newest = (counting.stated or 0) + 1
    if counting.is_behind and any(one.number == newest for one in same):
        new = counting.bytes(newest, handed)
        replace_file(call.records / STUDIO_FILE, counting.data, new)


def _miscounted(handed: Handed, counting: _Counting, found: int) -> StaysError:
    stated = counting.stated or 0
    return stays(handed.source, "", "handover_count", stated=stated, found=found)
