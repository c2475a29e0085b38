"""`log --amend`: what was read of a cycle on file, or of the end, and was not written so."""

import sys
from collections.abc import Mapping
from typing import NoReturn

from handbook_builder.cli.cycle_call import Call
from handbook_builder.cli.cycle_prompts import ask_to_amend
from handbook_builder.cli.cycle_told import amended, tell_amended
from handbook_builder.cli.cycle_words import faults, questions
from handbook_builder.cli.options import print_json
from handbook_builder.cli.telling import Telling, confirmed
from handbook_builder.derived.at_bench import AtBench
from handbook_builder.files import ChangedMeanwhileError, locked, replace_file
from handbook_builder.reports.cycles import log_report
from handbook_builder.terminal import echo
from handbook_builder.writing.adding import CannotAddError
from handbook_builder.writing.amending import former_of
from handbook_builder.writing.amendment import Amendment
from handbook_builder.writing.cycle_draft import day_of
from handbook_builder.writing.values import Value, in_one_line

END = "end"


def amend(told: Telling, data: bytes, bench: AtBench, call: Call, place: str) -> None:
    """Amend what the call gives, or ask for it; `place` is a number or `end`."""
    amendment = Amendment(
        call.path, data, bench, call.today, _number(told, bench, place), tilt_new=call.tilt_new
    )
    _refuse_misplaced(told, call, amendment)
    if call.cycle or call.end or call.tilt_new or call.as_json:
        _amend_unasked(told, call, amendment.given(_read(told, call, amendment)))
    else:
        known = {key: _offered(amendment.on_file, key) for key in amendment.on_file}
        ask_to_amend(told, amendment, known, lambda one: _finish(told, one))


def _number(told: Telling, bench: AtBench, place: str) -> int | None:
    """Return the number of the cycle that is meant, or None for the end; another is wrong."""
    burn = bench.burn
    if place == END:
        if burn.end is None:
            told.wrong("amend.no_end", candle=burn.candle, recipe=burn.recipe)
        return None
    if not place.isascii() or not place.isdigit():
        told.wrong("amend.not_a_place", found=place)
    if not 1 <= int(place) <= len(burn.cycles):
        told.wrong("amend.no_cycle", number=int(place), count=len(burn.cycles))
    return int(place)


def _refuse_misplaced(told: Telling, call: Call, amendment: Amendment) -> None:
    """End as a wrong call where an option does not go with what is amended."""
    if call.cycle if amendment.number is None else call.end:
        told.wrong("amend.not_of_end")
    if call.scale.file is not None:
        told.wrong("amend.no_scale")
    made = amendment.bench.burn.made
    if call.tilt_new is not None and made.tilt is not None:
        place = amendment.bench.burn.source.place("made.tilt")
        told.wrong("amend.tilt_on_file", found=made.tilt, place=place)


def _read(told: Telling, call: Call, amendment: Amendment) -> dict[str, Value]:
    """Return the values of the call, each read; words seen and checks join those on file."""
    of_end = amendment.number is None
    values: dict[str, Value] = dict(call.end if of_end else call.cycle)
    wrong = [
        f"{key}: {fault}"
        for key, value in values.items()
        for fault in faults(told, key, value, of_end=of_end)
    ]
    for line in wrong:
        echo(line, err=True)
    if wrong:
        told.wrong("nothing_written")
    on_file = amendment.on_file
    if isinstance(values.get("seen"), list):
        values["seen"] = list(dict.fromkeys([*on_file.get("seen", []), *values["seen"]]))
    if isinstance(values.get("checks"), dict):
        values["checks"] = {**on_file.get("checks", {}), **dict(values["checks"])}  # type: ignore[arg-type] # as asked
    return values


def _offered(on_file: Mapping[str, object], key: str) -> str:
    """Return what is on file as it is typed."""
    held = on_file[key]
    if isinstance(held, dict):
        return ", ".join(f"{time}={width}" for time, width in held.items())
    return former_of(on_file, key)


def _amend_unasked(told: Telling, call: Call, amendment: Amendment) -> None:
    new = _changed_bytes(told, amendment)
    on = amendment.values.get("on")
    day = None if on is None else day_of(on)
    if day is not None and day > call.today:
        told.wrong("future", on=day, today=call.today)
    asked = () if call.as_read else questions(told, amendment)
    if amendment.tilt_new == "fell" and not call.as_read:
        asked = (*asked, told.text("questions.fell_new"))
    for line in asked:
        echo(line, err=True)
    if asked:
        told.wrong("slips")
    if call.as_json:
        _replaced(told, amendment, new)
        print_json(log_report(amended(amendment), told.words.say))
        return
    if _is_as_on_file(told, amendment, new):
        return
    tell_amended(told, amendment)
    _replaced(told, amendment, new)
    _told_written(told, amendment)


def _is_as_on_file(told: Telling, amendment: Amendment, new: bytes) -> bool:
    """Return whether nothing changes, and say so then."""
    if new == amendment.data:
        told.say("amend.nothing")
    return new == amendment.data


def _finish(told: Telling, amendment: Amendment) -> None:
    """Show what was asked for, and write it once it is confirmed; raises BackError."""
    new = _changed_bytes(told, amendment)
    if _is_as_on_file(told, amendment, new):
        return
    tell_amended(told, amendment)
    if not confirmed(told, told.text("confirm", file=amendment.file), default=True, goes_back=True):
        told.say("nothing_written")
        return
    with locked(amendment.path.parent):
        _replaced(told, amendment, new)
    _told_written(told, amendment)


def _changed_bytes(told: Telling, amendment: Amendment) -> bytes:
    try:
        return amendment.new_bytes()
    except CannotAddError:
        _say_again(told, amendment, "cannot_add")


def _replaced(told: Telling, amendment: Amendment, new: bytes) -> None:
    """Put the file in its place; where that fails, say again what was to be changed."""
    try:
        replace_file(amendment.path, amendment.data, new)
    except ChangedMeanwhileError:
        _say_again(told, amendment, "changed")
    except OSError as error:
        _say_again(told, amendment, "not_written", file=amendment.file, reason=error.strerror)


def _say_again(told: Telling, amendment: Amendment, code: str, **details: object) -> NoReturn:
    told.warn(code, **details)
    echo(f"{amendment.place}: {in_one_line(amendment.values)}", err=True)
    sys.exit(1)


def _told_written(told: Telling, amendment: Amendment) -> None:
    told.say("written", file=amendment.burn().source.place(amendment.place))
    if amendment.bench.elsewhere:
        told.warn("elsewhere", count=len(amendment.bench.elsewhere))
