"""`log`."""

import sys
from collections.abc import Mapping
from contextlib import nullcontext
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import click

from handbook_builder.cli.amend import END
from handbook_builder.cli.amend import amend as amend_there
from handbook_builder.cli.completing import ids
from handbook_builder.cli.cycle_call import Call, as_options, call_of, readings, scale_options
from handbook_builder.cli.cycle_prompts import ask_for
from handbook_builder.cli.cycle_scale import FromScale, from_scale, tell_scale
from handbook_builder.cli.cycle_told import logged, tell_verdict
from handbook_builder.cli.cycle_words import faults, questions, unanswered
from handbook_builder.cli.options import (
    as_of_option,
    day_for,
    json_option,
    print_faults,
    print_json,
    records_of,
    studio_option,
)
from handbook_builder.cli.telling import WRONG_CALL, Telling, confirmed, telling_for
from handbook_builder.derived.at_bench import AtBench, at_bench
from handbook_builder.files import ChangedMeanwhileError, locked, replace_file
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.making import UNTRIED, Burn, End
from handbook_builder.reading.records import LARGEST_FILE, SHOWN_AS, read_folder
from handbook_builder.reading.shape import keys_of
from handbook_builder.reports.cycles import log_report
from handbook_builder.terminal import echo
from handbook_builder.workshop import words_for, words_text_for
from handbook_builder.writing.adding import CannotAddError
from handbook_builder.writing.cycle_draft import Draft, day_of
from handbook_builder.writing.values import Value, in_one_line


@click.command(
    no_args_is_help=True,
    short_help="Add a cycle to a test candle, and say at once how it did.",
)
@click.argument("burn", shell_complete=ids("burns"))
@studio_option
@as_of_option
@json_option
@readings
@click.option("--seen", multiple=True, help="A word of the guide; again for another.")
@click.option("--check", multiple=True, metavar="TIME=WIDTH", help='The pool: "1 h=41 mm".')
@click.option("--end", "how", type=click.Choice(["went_out", "stopped"]), help="How it ended.")
@click.option("--why", default=None, help="With --end stopped: why.")
@click.option("--left", default=None, help="With --end: the mass of wax left.")
@click.option(
    "--vessel-state", default=None, help="With --end: sound, cracked, leaking, broken, unseen."
)
@click.option("--tilt", default=None, help="With --end: steady, fell, untried.")
@click.option(
    "--tilt-new",
    type=click.Choice(["steady", "fell", UNTRIED]),
    help="How it stood on the 10 degree slope before its first light.",
)
@scale_options
@click.option(
    "--amend", default=None, metavar="CYCLE", help="A cycle on file by its number, or end."
)
@click.option("--as-read", is_flag=True, help="It was read so: write it unasked.")
def log(
    burn: str,
    studio: Path,
    as_of: date | None,
    amend: str | None,
    **given: Any,  # noqa: ANN401 -- as the options have it
) -> None:
    """Add a cycle to the test candle BURN, and say at once how it did.

    Without readings it asks for them one by one; a bare number then gets the unit asked for.
    With any of them but the day as options it asks nothing, and every value needs its unit; what
    is due and not given is written as unread. Only the new
    lines are added to the file; whoever pulls the plug, it is the old file or the new one.

    With --amend it changes or adds what was read in a cycle on file, or of the end, and nothing
    else of the file. The record keeps the day, and what it said before.

    \b
    handbook log cedar-fig-a
    handbook log cedar-fig-a --burned "4 h" --before "412.6 g" --after "391.0 g"
    handbook log cedar-fig-a --end went_out --left "5 g" --vessel-state sound --tilt steady
    handbook log cedar-fig-a --amend 3 --wall "52 degC"
    """  # noqa: D301 -- the mark is Click's
    told = telling_for(studio)
    path = records_of(studio) / "burns" / f"{burn}.md"
    if not path.is_file():
        known = [file.stem for file in sorted(path.parent.glob("*.md"))]
        told.wrong("no_burn", found=burn, near=near(burn, known))
    call = call_of(told, path, studio, day_for(studio, as_of), given)
    if amend is not None:
        _amend(call, amend)
    elif call.has_readings:
        with locked(path.parent):
            told, draft = _drafted(call)
            _write(told, call, _filled(told, call, draft))
    else:
        told, draft = _drafted(call)
        _ask(told, call, draft)


def _amend(call: Call, place: str) -> None:
    """Amend a cycle on file or the end: locked while nothing is asked."""
    is_asked = not (call.cycle or call.end or call.tilt_new or call.as_json)
    with nullcontext() if is_asked else locked(call.path.parent):
        amend_there(*_on_file(call), call, place)


def _on_file(call: Call) -> tuple[Telling, bytes, AtBench]:
    """Return the words of the studio and the burn as it is; a fault ends the run."""
    told = telling_for(call.studio)
    with call.path.open("rb") as opened:
        data = opened.read(LARGEST_FILE + 1)  # a larger one is refused as it is read below
    found = at_bench(read_folder(call.path.parent.parent, SHOWN_AS), call.path.stem)
    if isinstance(found, tuple):
        print_faults(found, as_json=call.as_json)
        told.warn("nothing_written")
        sys.exit(1)
    return Telling(words_for(found.studio, words_text_for(call.studio))), data, found


def _drafted(call: Call) -> tuple[Telling, Draft]:
    """Return the words of the studio and a draft of what is to be added to a burn."""
    told, data, found = _on_file(call)
    if found.burn.end is not None:
        _tell_ended(told, call, found.burn, found.burn.end)
        sys.exit(WRONG_CALL)
    if call.end and "how" not in call.end:
        told.wrong("end_first")
    return told, Draft(call.path, data, found, call.today)


def _tell_ended(told: Telling, call: Call, burn: Burn, end: End) -> None:
    """Say that the candle is at its end, and how what was left out is added."""
    place = burn.source.place("end")
    told.warn("ended", candle=burn.candle, recipe=burn.recipe, how=end.how, place=place)
    late = {key: value for key, value in call.end.items() if getattr(end, _field(key)) != value}
    if late:
        told.warn("amend_instead", burn=burn.source.id, what=END, given=as_options(late))
    on = call.cycle.get("on")
    late_readings = {key: value for key, value in call.cycle.items() if key != "on"}
    if late_readings:
        days = [cycle.on.day for cycle in burn.cycles]
        day = None if on is None else day_of(on)
        at = days.index(day) if day in days else len(days) - 1
        given = as_options(late_readings)
        told.warn("amend_instead", burn=burn.source.id, what=at + 1, given=given)
    if not late and not late_readings:
        told.warn("amend_either")


def _field(key: str) -> str:
    """Return the field of an end that holds a key."""
    return keys_of(End)[key].field


def _filled(told: Telling, call: Call, draft: Draft) -> Draft:
    """Return the draft with the values of the call, each read; a bad one is a wrong call."""
    cycle, found = _from_scale(told, call, draft, call.cycle)
    if cycle:
        cycle.setdefault("on", call.today.isoformat())
    wrong = [
        f"{key}: {fault}"
        for values, of_end in ((cycle, False), (call.end, True))
        for key, value in values.items()
        for fault in faults(told, key, value, of_end=of_end)
    ]
    for line in wrong:
        echo(line, err=True)
    if wrong:
        told.wrong("nothing_written")
    if not cycle and not draft.bench.burn.cycles:
        told.wrong("never_lit")
    tilt = call.tilt_new if draft.tilt_is_due else None
    filled = replace(
        draft.given(cycle=cycle, end=call.end), tilt_new=tilt, **_of_scale(call, found)
    )
    if filled.tilt_is_due and filled.cycle:
        told.wrong("tilt_due", candle=draft.bench.burn.candle)
    return filled.told_unread()


def _from_scale(
    told: Telling, call: Call, draft: Draft, cycle: Mapping[str, Value]
) -> tuple[dict[str, Value], FromScale | None]:
    """Return the readings with those of the scale's file, where one is named; typed ones win."""
    if call.scale.file is None:
        return dict(cycle), None
    bench = draft.bench
    found = from_scale(told, call.scale, bench.burn.scale_g, bench.studio.protocol.rest_h)
    tell_scale(told, found, as_json=call.as_json)
    noted = _noted(told, found, cycle.get("note"))
    return {**found.known, **cycle, **noted}, found


def _of_scale(call: Call, found: FromScale | None) -> dict[str, Any]:
    """Return what a draft keeps of a scale's file: when it begins, and the file itself."""
    return {} if found is None else {"stamped": found.begun, "scale_log": (call.studio, found.data)}


def _noted(told: Telling, found: FromScale, note: Value | None) -> dict[str, str]:
    """Return the note with what else the scale saw, since no other key could tell it."""
    seen = [told.text("scale.note", what="; ".join(found.told))] if found.told else []
    parts = [*([note] if isinstance(note, str) else []), *seen]
    return {"note": " ".join(parts)} if parts else {}


def _ask(told: Telling, call: Call, draft: Draft) -> None:
    """Ask for a cycle, and write it once it is confirmed."""
    values, found = _from_scale(told, call, draft, {})
    known = {key: str(value) for key, value in {**values, **call.cycle}.items()}
    tilt = call.tilt_new if draft.tilt_is_due else None
    draft = replace(draft, tilt_new=tilt, **_of_scale(call, found))
    ask_for(told, draft, known, lambda one: _write_asked(told, one.told_unread()))


def _added(told: Telling, draft: Draft) -> bytes:
    """Return the file's new bytes; where the place is not certain, nothing is written."""
    try:
        return draft.bytes()
    except CannotAddError:
        told.warn("cannot_add")
        _say_again(draft)
        sys.exit(1)


def _write(told: Telling, call: Call, draft: Draft) -> None:
    """Judge the draft and put the file in its place."""
    new = _added(told, draft)
    _refuse_slips(told, call, draft)
    if call.as_json:
        _replaced(told, draft, new)
        print_json(log_report(logged(draft), told.words.say))
        return
    tell_verdict(told, draft)
    _replaced(told, draft, new)
    _told_written(told, draft)


def _refuse_slips(told: Telling, call: Call, draft: Draft) -> None:
    """End as a wrong call with what the prompts would have asked, unless it was read so."""
    on = day_of(draft.cycle["on"]) if draft.cycle else None
    if on is not None and on > call.today:
        told.wrong("future", on=on, today=call.today)  # nobody has read what is still to come
    found = () if call.as_read else (*questions(told, draft), *unanswered(told, draft))
    for line in found:
        echo(line, err=True)
    if found:
        told.wrong("slips")


def _write_asked(told: Telling, draft: Draft) -> None:
    """Show what was asked for, and write it once it is confirmed; raises BackError."""
    new = _added(told, draft)
    tell_verdict(told, draft)
    echo(f"  {in_one_line(draft.cycle)}")
    if draft.end:
        echo(f"  end: {in_one_line(draft.end)}")
    if not confirmed(told, told.text("confirm", file=draft.file), default=True, goes_back=True):
        told.say("nothing_written")
        return
    with locked(draft.path.parent):
        _replaced(told, draft, new)
    _told_written(told, draft)


def _replaced(told: Telling, draft: Draft, new: bytes) -> None:
    """Put the file in its place; where that fails, say again what was to be added."""
    try:
        if draft.copy is not None:
            draft.copy.keep()
        replace_file(draft.path, draft.data, new)
    except ChangedMeanwhileError:
        told.warn("changed")
    except OSError as error:
        told.warn("not_written", file=draft.file, reason=error.strerror)
    else:
        return
    _say_again(draft)
    sys.exit(1)


def _say_again(draft: Draft) -> None:
    if draft.cycle:
        echo(f"- {in_one_line(draft.cycle)}", err=True)
    if draft.end:
        echo(f"end: {in_one_line(draft.end)}", err=True)


def _told_written(told: Telling, draft: Draft) -> None:
    place = draft.burn().source.place(f"cycles[{draft.number - 1}]")
    told.say("written", file=place)
    if draft.copy is not None:
        told.say("scale.kept", file=draft.copy.shown)
    if draft.bench.elsewhere:
        told.warn("elsewhere", count=len(draft.bench.elsewhere))
