"""What the check would say of records that are brought, told by the cells that they came from."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from handbook_builder.bringing.rows import Origin
from handbook_builder.bringing.written import Brought, origin_of
from handbook_builder.faults.new_record import at_odds, together_at_odds
from handbook_builder.problems import Place, Problem
from handbook_builder.reading.records import SHOWN_AS, Reading, read_record


@dataclass(frozen=True, slots=True)
class RecordFault:
    """A fault of a record that would be written, and the cell that it came from."""

    at: Origin
    record: str
    problem: Problem


@dataclass(frozen=True, slots=True)
class Checked:
    """The records with what is wrong in them, and what in them is left blank.

    `elsewhere` are faults that records already on file would have because of them.
    """

    faults: tuple[RecordFault, ...]
    blanks: tuple[RecordFault, ...]
    elsewhere: tuple[Problem, ...]


def checked(
    reading: Reading, records: Sequence[Brought], taken: Collection[str], known_by: date
) -> Checked:
    """Return what is wrong with new records by those on file; `taken` names are never written."""
    by_file = {SHOWN_AS + one.path: one for one in records}
    whole, faults, blanks = [], [], []
    for one in records:
        record, problems = read_record(one.path, one.text.encode(), SHOWN_AS)
        wrong = [fault for fault in problems if fault.code != "empty_value"]
        blanks += [_at(one, fault) for fault in problems if fault.code == "empty_value"]
        if record is not None:
            whole.append(record)
        elif not wrong:
            data = one.text.encode()
            wrong = list(at_odds(reading, one.path, data, SHOWN_AS, known_by))
        faults += [_at(one, fault) for fault in wrong]
    faults += list(_taken(records, taken))
    free: list[Any] = [one for one in whole if _name(one.source.file) not in taken]
    found = together_at_odds(reading, free, known_by)
    faults += [_at(by_file[one.place.file], one) for one in found if one.place.file in by_file]
    elsewhere = tuple(one for one in found if one.place.file not in by_file)
    return Checked(tuple(faults), tuple(blanks), elsewhere)


def _at(record: Brought, fault: Problem) -> RecordFault:
    line, column = fault.place.line, fault.place.column
    at = origin_of(record, line, column, holder=fault.code == "missing_key")
    return RecordFault(at, record.path, fault)


def _name(file: str) -> str:
    return file.rpartition("/")[2].casefold()


def _taken(records: Sequence[Brought], taken: Collection[str]) -> Iterator[RecordFault]:
    """Yield a fault for each record whose file is there already: none is ever overwritten."""
    for one in records:
        if _name(one.path) in taken:
            place = Place(SHOWN_AS + one.path)
            yield RecordFault(Origin(one.row), one.path, Problem(place, "exists", ""))
