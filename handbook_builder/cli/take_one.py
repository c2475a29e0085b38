"""One file that was handed over: read, held to the records, written, and moved.

All of it happens under the lock of the folder that is written to, so that two runs at once take a
file once. The record is replaced first and the file moved after it: what dies between is found by
the next run to be known already.
"""

import os
from dataclasses import replace
from pathlib import Path
from typing import Final

from handbook_builder.cli.group import what_failed
from handbook_builder.cli.take_call import Outcome, StaysError, TakeCall, stays
from handbook_builder.cli.take_cycles import take_cycles
from handbook_builder.cli.take_new import take_batch, take_incident
from handbook_builder.files import ChangedMeanwhileError, locked
from handbook_builder.problems import Place, problem
from handbook_builder.reading.handover import (
    HandedBatch,
    HandedCycles,
    HandedFile,
    HandedIncident,
    read_handover,
)
from handbook_builder.reading.records import STUDIO_FILE
from handbook_builder.writing.inbox import NoNameLeftError, bytes_of, is_file, moved_to_taken

_FOLDERS: Final = {"cycles": "burns", "batch": "batches", "incident": "incidents"}


def take_one(call: TakeCall, path: Path, shown: str) -> Outcome:
    """Take one file, or say why it stays; what the system refuses is a reason as any other."""
    try:
        if not os.path.lexists(path):
            return Outcome(shown, "gone")
        data = _bytes(path, shown)
        handed = _read(data, shown, call).handed
        folder = call.records / _FOLDERS[handed.kind]
        if (call.records / STUDIO_FILE).is_file():
            folder.mkdir(exist_ok=True)
        with locked(folder if folder.is_dir() else call.studio):
            return _taken(call, path, shown, data)
    except StaysError as stayed:
        return Outcome(shown, "stayed", stayed.problems)
    except ChangedMeanwhileError:
        return _stayed(shown, "handover_meanwhile")
    except OSError as error:
        return _stayed(shown, "handover_system", reason=what_failed(error))


def _stayed(shown: str, code: str, **details: object) -> Outcome:
    return Outcome(shown, "stayed", (problem(Place(shown), code, details),))


def _bytes(path: Path, shown: str) -> bytes:
    """Return what a file holds; what is no plain file is not opened."""
    data = bytes_of(path) if is_file(path) else None
    if data is None:
        raise StaysError([problem(Place(shown), "handover_no_file")])
    return data


def _read(data: bytes, shown: str, call: TakeCall) -> HandedFile:
    """Return what a file says; without a word of somebody it must be known to be whole."""
    found, problems = read_handover(data, shown)
    if found is None:
        raise StaysError(problems)
    if found.handed.sum_ is None and not call.as_read:
        raise stays(found.handed.source, "", "handover_unsummed")
    return found


def _taken(call: TakeCall, path: Path, shown: str, data: bytes) -> Outcome:
    """Write what the file holds, and move it; within the lock it may be gone, or another one."""
    now = bytes_of(path)
    if now is None:
        return Outcome(shown, "gone")
    if now != data:
        raise ChangedMeanwhileError(path)
    file = _read(now, shown, call)
    outcome = _written(call, file, path, shown)
    return outcome if outcome.problems else _moved(call, path, outcome)


def _written(call: TakeCall, file: HandedFile, path: Path, shown: str) -> Outcome:
    handed = file.handed
    if isinstance(handed, HandedCycles):
        return take_cycles(call, handed, path, shown)
    if isinstance(handed, HandedBatch):
        return take_batch(call, file, handed, shown)
    if isinstance(handed, HandedIncident):
        return take_incident(call, handed, shown)
    raise TypeError(handed)  # ours: a kind that nobody takes


def _moved(call: TakeCall, path: Path, outcome: Outcome) -> Outcome:
    """Return the outcome with the place that the file was moved to; it is written all the same."""
    try:
        target = moved_to_taken(path, call.inbox)
    except NoNameLeftError:
        fault = problem(Place(outcome.file), "handover_name", {"file": path.name})
        return replace(outcome, problems=(fault,))
    except OSError as error:
        details = {"reason": what_failed(error)}
        fault = problem(Place(outcome.file), "handover_unmoved", details)
        return replace(outcome, problems=(fault,))
    return replace(outcome, moved=target.relative_to(call.inbox.parent).as_posix())
