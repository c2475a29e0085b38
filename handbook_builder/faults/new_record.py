"""What is at fault in a record that is not on file yet, by those that are."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from itertools import chain
from types import MappingProxyType
from typing import Any, Final

from handbook_builder.faults.future import untold_yet
from handbook_builder.faults.poured import alike_lots, miscopied, untraceable
from handbook_builder.problems import Problem, in_order
from handbook_builder.reading.records import Reading, read_record
from handbook_builder.reading.unfinished import unfinished
from handbook_builder.studio.links import faults_of, faults_of_one
from handbook_builder.studio.studio import link

# What one value alone can be told of. Whatever leans on two may yet come right with a blank.
_OF_ONE_VALUE: Final = frozenset({
    "claims_supplier", "dangling", "in_the_future", "lot_of_no_item", "lots_alike", "not_a_code",
    "unknown_helper", "unknown_item", "unknown_lot",
})  # fmt: skip


def at_odds(
    reading: Reading, path: str, data: bytes, shown_as: str, known_by: date
) -> tuple[Problem, ...]:
    """Return what the check would say of a new record, its blanks apart.

    That is what it names that is not on file, and what is dated after `known_by`. Whether a batch
    was approved is not asked: it was poured, and its record must stay.
    """
    record, blanks = read_record(path, data, shown_as)
    whole = record is not None
    record = record if whole else unfinished(path, data, shown_as)
    if record is None or reading.studio is None:
        return ()
    found = chain(_of_links(reading, record, whole=whole), _of_studio(reading, record, known_by))
    blank = {one.place for one in blanks}
    return in_order(
        one
        for one in found
        if one.place.file == shown_as + path
        and one.place not in blank
        and (whole or one.code in _OF_ONE_VALUE)
    )


def together_at_odds(
    reading: Reading, records: Iterable[Any], known_by: date
) -> tuple[Problem, ...]:
    """Return what the check would say of whole new records of one kind, and of any because of them.

    As `at_odds`, but all at once: what they make of each other, such as a bill twice, is told too.
    """
    found = tuple(records)
    if not found or reading.studio is None:
        return ()
    kind = found[0].source.kind
    of_kind = {**reading.records.get(kind, {}), **{one.source.id: one for one in found}}
    with_them = replace(reading, records={**reading.records, kind: of_kind})
    problems = list(chain(faults_of(with_them), _added(reading, kind, found, known_by)))
    known = {*faults_of(reading), *_added(reading, kind, (), known_by)}
    return in_order(one for one in problems if one not in known)


def _of_links(reading: Reading, record: Any, *, whole: bool) -> Iterator[Problem]:  # noqa: ANN401 -- of any kind
    kind = record.source.kind
    if not whole:
        return faults_of_one(reading, kind, record)
    of_kind = {**reading.records.get(kind, {}), record.source.id: record}
    return faults_of(replace(reading, records={**reading.records, kind: of_kind}))


def _of_studio(reading: Reading, record: Any, known_by: date) -> Iterator[Problem]:  # noqa: ANN401 -- of any kind
    """Yield what only a studio without fault can tell: lots, codes and days."""
    files = {record.source.file}
    found = _added(reading, record.source.kind, (record,), known_by)
    yield from (one for one in found if one.place.file in files)


def _added(
    reading: Reading, kind: str, records: tuple[Any, ...], known_by: date
) -> Iterator[Problem]:
    """Yield what a studio without fault says of records that are added to it."""
    studio = link(reading)[0]
    if studio is None or not hasattr(studio, kind):
        return
    of_kind = MappingProxyType({**getattr(studio, kind), **{one.source.id: one for one in records}})
    changed: dict[str, Any] = {kind: of_kind}
    with_it = replace(studio, **changed)
    yield from untold_yet(with_it, known_by)
    yield from chain(untraceable(with_it), miscopied(with_it), alike_lots(with_it))
