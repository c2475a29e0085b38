"""What a file of cycles adds to the record of its candle: nothing, or each as `log` would."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final, TypeVar

from handbook_builder.derived.handover import cycles_at
from handbook_builder.problems import Problem, problem
from handbook_builder.reading.fields import Report
from handbook_builder.reading.handover import HandedCycles, Written
from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reading.nodes import Map, compose
from handbook_builder.reading.records import SHOWN_AS, read_record
from handbook_builder.reading.shape import keys_of
from handbook_builder.writing.adding import CannotAddError
from handbook_builder.writing.cycle_draft import Draft
from handbook_builder.writing.values import Value

C = TypeVar("C", Cycle, End)
_WORDS: Final = ("note", "why")
_NOT_HANDED: Final = frozenset({"unread", "cycles", "amended", "former"})
# `former` keeps a list and a map as one text.
_AROUND: Final[Mapping[str, str]] = {"seen": "[{}]", "checks": "{{{}}}"}


@dataclass(frozen=True, slots=True)
class Step:
    """One call of `log`: its draft, and the number in the file of the cycle that it speaks of."""

    draft: Draft
    number: int


@dataclass(frozen=True, slots=True)
class Taking:
    """What is added, step by step, and the bytes of the record then; nothing when all is known.

    `since` is how many cycles the record had when the page was made.
    """

    steps: tuple[Step, ...]
    data: bytes
    since: int


def taking(handed: HandedCycles, draft: Draft) -> Taking | Problem:
    """Return what a file adds to the record that `draft` begins with, or why it adds nothing.

    Without a memory of its own: the state that the file names is looked for in the record as it is
    and as it was, and what was added since must be the beginning of what the file holds.
    """
    burn = draft.bench.burn
    if handed.candle != burn.candle:
        details = {"found": handed.candle, "burn": _file(burn), "candle": burn.candle}
        return problem(handed.source.place("candle"), "handover_candle", details)
    since = cycles_at(burn, handed.record)
    added = () if since is None else burn.cycles[since:]
    if since is None or not _continues(handed, burn, added):
        return problem(handed.source.place("record"), "handover_changed", {"burn": _file(burn)})
    if fault := _tilt_fault(handed, burn):
        return fault
    if _is_known(handed, burn, added):
        return _tilt_unsaid(handed, burn) or Taking((), draft.data, since)
    if burn.end is not None:
        at_end = {"burn": _file(burn), "place": burn.source.place("end")}
        return problem(handed.source.place("cycles"), "handover_at_end", at_end)
    return _stepped(handed, draft, since, len(added))


def _file(burn: Burn) -> str:
    return burn.source.file


def _continues(handed: HandedCycles, burn: Burn, added: tuple[Cycle, ...]) -> bool:
    """Return whether what was added to a record since is what the file holds, as far as it goes."""
    here = tuple(one.cycle for one in handed.cycles)
    if not all(_same_cycle(one, other) for one, other in zip(here, added, strict=False)):
        return False
    # An end is told by the file or is later than all of it; nothing can have come after the file's.
    if handed.end is None:
        return True
    return len(added) <= len(here) and (burn.end is None or _same_end(handed.end.end, burn.end))


def _is_known(handed: HandedCycles, burn: Burn, added: tuple[Cycle, ...]) -> bool:
    """Return whether the record holds all of the file already."""
    return len(handed.cycles) <= len(added) and (handed.end is None or burn.end is not None)


def _same_cycle(handed: Cycle, known: Cycle) -> bool:
    """Return whether a cycle on file is the one handed over, what nobody wrote or mended apart."""
    return _but_mended(handed, known) == replace(known, unread=(), amended=(), former={})


def _same_end(handed: End, known: End) -> bool:
    return _but_mended(handed, known) == replace(known, cycles=None, amended=(), former={})


def _but_mended(handed: C, known: C) -> C:
    """Return what was handed over with all that was mended on file since as it stands there now.

    That is what it says under `former`, what was added, and the words that it does not keep.
    """
    mended: dict[str, Any] = {name: getattr(known, name) for name in _mended(handed, known)}
    return replace(handed, **mended)


def _mended(handed: Cycle | End, known: Cycle | End) -> set[str]:
    """Return the fields of a cycle or an end on file that may have been mended since."""
    if not known.amended:
        return set()
    kind: type = type(known)
    keys = keys_of(kind)
    words = {keys[key].field for key in _WORDS if key in keys}
    former = {keys[key].field for key in known.former if _is_former(handed, known, key)}
    added = {one.field for one in keys.values() if getattr(handed, one.field) in (None, (), {})}
    return (words | former | added) - _NOT_HANDED


def _is_former(handed: Cycle | End, known: Cycle | End, key: str) -> bool:
    """Return whether what was handed over of a key is what stood there before it was mended.

    Any other value was never on file: it may be what failed.
    """
    kind: type = type(known)
    one = keys_of(kind)[key]
    around = _AROUND.get(key, "{}")
    for written in known.former[key]:
        root, _ = compose(f"{key}: {around.format(written)}", "", 1)
        node = root.entries[0][1] if isinstance(root, Map) else None
        if node is not None and one.read(node, Report(""), key) == getattr(handed, one.field):
            return True
    return False


def _tilt_fault(handed: HandedCycles, burn: Burn) -> Problem | None:
    known = burn.made.tilt
    if handed.tilt is None or known is None or handed.tilt == known:
        return None
    details = {"found": handed.tilt, "burn": _file(burn), "known": known}
    return problem(handed.source.place("tilt"), "handover_tilt", details)


def _tilt_unsaid(handed: HandedCycles, burn: Burn) -> Problem | None:
    """Return that a record which holds all else of a file lacks how the candle stood on a slope."""
    if handed.tilt is None or burn.made.tilt is not None:
        return None
    details = {"found": handed.tilt, "burn": _file(burn)}
    return problem(handed.source.place("tilt"), "handover_tilt_unsaid", details)


def _stepped(handed: HandedCycles, draft: Draft, since: int, known: int) -> Taking | Problem:
    """Return the steps that add what is not known yet, each as a call of `log` would add it."""
    steps: list[Step] = []
    for number in range(known, max(len(handed.cycles), known + 1)):
        step = _step(handed, draft, number)
        if isinstance(step, Problem):
            return step
        steps.append(step)
        draft = _after(step.draft)
    return Taking(tuple(steps), draft.data, since)


def _step(handed: HandedCycles, draft: Draft, number: int) -> Step | Problem:
    """Return the draft of one cycle, with the end where it is the last, or of the end alone."""
    is_last = number >= len(handed.cycles) - 1
    cycle = _said(handed.cycles[number].written) if number < len(handed.cycles) else {}
    end = handed.end.written if handed.end is not None and is_last else {}
    filled = draft.given(cycle=cycle, end={key: str(value) for key, value in end.items()})
    if draft.bench.burn.made.tilt is None:  # also where no rule asks for it: it may have fallen
        filled = replace(filled, tilt_new=handed.tilt)
    if fault := _unlike_log(handed, filled):
        return fault
    place = handed.source.place(f"cycles[{number}]" if cycle else "end")
    try:
        _, faults = read_record(f"burns/{draft.path.name}", filled.bytes(), SHOWN_AS)
        for fault in faults:  # a value was read before, but not how much the record may hold
            return replace(fault, place=place)
        whole = filled.told_unread()
        whole.bytes()
    except CannotAddError:
        return problem(place, "handover_place", {"file": draft.file})
    return Step(whole, min(number + 1, max(len(handed.cycles), 1)))


def _said(written: Mapping[str, Written]) -> dict[str, Value]:
    """Return the values without an empty list, which says nothing."""
    return {key: value for key, value in written.items() if value}


def _unlike_log(handed: HandedCycles, filled: Draft) -> Problem | None:
    """Return what `log` would refuse whoever answers for it."""
    burn = filled.bench.burn
    if not filled.cycle and not burn.cycles:
        return problem(handed.source.place("end"), "handover_unlit", {"burn": _file(burn)})
    if filled.cycle and filled.tilt_is_due:
        return problem(handed.source.place(), "handover_tilt_due", {"candle": burn.candle})
    return None


def _after(draft: Draft) -> Draft:
    """Return an empty draft of the record as it stands once `draft` is written."""
    burn, bench = draft.burn(), draft.bench
    burns = MappingProxyType({**bench.studio.burns, burn.source.id: burn})
    studio = replace(bench.studio, burns=burns)
    then = replace(bench, studio=studio, burn=burn)
    return Draft(draft.path, draft.bytes(), then, draft.today)
