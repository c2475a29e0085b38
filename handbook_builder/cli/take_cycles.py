"""Cycles that were handed over: asked about as `log` asks, and added to a record in one step."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from handbook_builder.cli.cycle_words import questions, unanswered
from handbook_builder.cli.take_call import Outcome, StaysError, TakeCall, refuse_to_come, stays
from handbook_builder.cli.telling import Telling
from handbook_builder.derived.at_bench import AtBench, at_bench
from handbook_builder.derived.handover import codes_of
from handbook_builder.files import replace_file
from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.fields import near
from handbook_builder.reading.handover import HandedCycles
from handbook_builder.reading.records import (
    LARGEST_FILE,
    SHOWN_AS,
    Reading,
    laid_over,
    read_folder,
)
from handbook_builder.verdicts.code import plain
from handbook_builder.workshop import faults_added, last_known_day
from handbook_builder.writing.adding import CannotAddError
from handbook_builder.writing.cycle_draft import Draft
from handbook_builder.writing.taken_cycles import Step, Taking, taking
from handbook_builder.writing.taken_photos import (
    Photos,
    photos_with,
    put_on_file,
    take_away,
    with_photos,
)


def take_cycles(call: TakeCall, handed: HandedCycles, file: Path, shown: str) -> Outcome:
    """Add to the record of a candle what a file holds beyond it; raises StaysError.

    A picture that does not lie beside it holds up no reading: the file waits for it, and is known
    the next time.
    """
    reading = read_folder(call.records, SHOWN_AS)
    path = _record_of(call, handed, reading)
    with path.open("rb") as opened:
        data = opened.read(LARGEST_FILE + 1)
    bench = _bench(handed, reading)
    _refuse_another(call, handed, bench)
    found = taking(handed, Draft(path, data, bench, call.today))
    if isinstance(found, Problem):
        raise StaysError([found])
    info = bench.studio.info
    told = Telling(replace(call.told.words, units=info.units, currency=info.currency))
    _refuse_unsure(call, handed, told, found)
    pictures = path.with_suffix("")
    photos = photos_with(handed, found.since, file.parent, pictures)
    new = _with_photos(handed, bench, found, photos)
    if new != data:
        _refuse_faulty(call, handed, reading, path, new)
    put_on_file(photos, pictures)
    if new != data:
        replace_file(path, data, new)
    take_away(photos)
    return Outcome(
        shown,
        "taken" if new != data or photos.are_new else "known",
        photos.problems,
        kind=handed.kind,
        record=bench.burn.source.file,
        steps=found.steps,
        elsewhere=len(bench.elsewhere),
        told=told,
    )


def _with_photos(handed: HandedCycles, bench: AtBench, found: Taking, photos: Photos) -> bytes:
    try:
        return with_photos(found.data, bench.burn, photos)
    except CannotAddError:
        file = bench.burn.source.file
        raise stays(handed.source, "photos", "handover_place", file=file) from None


def _record_of(call: TakeCall, handed: HandedCycles, reading: Reading) -> Path:
    path = call.records / "burns" / f"{handed.burn}.md"
    if not path.is_file():
        meant = near(handed.burn, sorted(reading.records.get("burns", {})))
        raise stays(
            handed.source, "burn", "dangling", found=handed.burn, folder="burns", near=meant
        )
    return path


def _bench(handed: HandedCycles, reading: Reading) -> AtBench:
    found = at_bench(reading, handed.burn)
    if isinstance(found, tuple):
        fault = problem(handed.source.place("burn"), "handover_faults", {"count": len(found)})
        raise StaysError([fault, *found])
    return found


def _refuse_another(call: TakeCall, handed: HandedCycles, bench: AtBench) -> None:
    """Refuse what was read of another candle, or is still to come."""
    moments = [("written", handed.written)]
    moments += [(f"cycles[{at}].on", one.cycle.on) for at, one in enumerate(handed.cycles)]
    refuse_to_come(call, handed.source, moments)
    if bench.elsewhere:
        return  # what the candle is made of may not be on file; its state still says which it is
    days = (handed.written.day, call.today)
    codes = codes_of(bench.studio, bench.burn, days)
    if plain(handed.code) not in map(plain, codes):
        of, due = bench.burn.source.file, " or ".join(codes)
        raise stays(handed.source, "code", "handover_code", found=handed.code, of=of, due=due)


def _refuse_unsure(call: TakeCall, handed: HandedCycles, told: Telling, found: Taking) -> None:
    """Refuse a file with every question that nobody has answered, in the words of `log`."""
    asked = [one for step in found.steps for one in _asked(call, handed, told, step)]
    if asked:
        raise StaysError(asked)


def _asked(call: TakeCall, handed: HandedCycles, told: Telling, step: Step) -> Iterator[Problem]:
    if call.as_read or step.number in handed.as_read:
        return
    here = handed.source.place(f"cycles[{step.number - 1}]" if step.draft.cycle else "end")
    for question in (*questions(told, step.draft), *unanswered(told, step.draft)):
        yield problem(here, "handover_question", {"question": question})


def _refuse_faulty(
    call: TakeCall, handed: HandedCycles, reading: Reading, path: Path, new: bytes
) -> None:
    """Refuse what the check would find at fault in the record, each where the file says it."""
    after = laid_over(reading, {f"burns/{path.name}": new}, SHOWN_AS)
    file = f"{SHOWN_AS}burns/{path.name}"
    faults = faults_added(reading, after, last_known_day(call.today))
    own = [
        replace(one, place=_near(handed, after, one)) for one in faults if one.place.file == file
    ]
    if own:
        raise StaysError(own)


def _near(handed: HandedCycles, after: Reading, fault: Problem) -> Place:
    """Return where the file says what a fault of the record is about."""
    burn = after.records["burns"].get(handed.burn)
    if burn is None:
        return handed.source.place()
    added = len(burn.cycles) - len(handed.cycles)
    at = (fault.place.line, fault.place.column)
    path = next((path for path, place in burn.source.places.items() if place == at), "")
    first, _, rest = path.partition("]")
    number = first.removeprefix("cycles[")
    if first != number and number.isdecimal():
        return handed.source.place(f"cycles[{max(int(number) - added, 0)}]{rest}")
    return handed.source.place(path)
