"""Asks for a cycle reading by reading, and says at once what each one means."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

import click

from handbook_builder.cli.cycle_words import faults, questions
from handbook_builder.cli.telling import Telling, confirmed
from handbook_builder.reading.kinds.making import UNTRIED
from handbook_builder.reading.kinds.readings import READINGS
from handbook_builder.writing.cycle_draft import ASKED, Draft, checks_of, day_of, listed, with_unit
from handbook_builder.writing.values import Value

_LEFT_OUT: Final = "-"
_NOT_ENDED: Final = "no"


def asked_for(told: Telling, draft: Draft, known: Mapping[str, str]) -> Draft:
    """Return the draft with every reading that was typed; `known` are offered, from a scale."""
    burn = draft.bench.burn
    number = draft.number + (0 if draft.cycle else 1)
    told.say("intro", candle=burn.candle, recipe=burn.recipe, number=number)
    draft = _asked(told, draft, "on", known.get("on", draft.today.isoformat()))
    draft = _asked_tilt(told, draft)
    draft = _asked_end(told, draft)
    for key in ASKED:
        draft = _asked(told, draft, key, known.get(key) or _offered(draft, key))
    for key in _end_keys(draft):
        draft = _asked(told, draft, key, None, of_end=True)
    return draft


def _end_keys(draft: Draft) -> tuple[str, ...]:
    if not draft.end:
        return ()
    return ("left", "vessel", "tilt", *(("why",) if draft.end["how"] == "stopped" else ()))


def _offered(draft: Draft, key: str) -> str | None:
    """Return the weight before as the last one after, less what was cut from the wick."""
    last = draft.bench.burn.cycles[-1] if draft.bench.burn.cycles else None
    if key != "before" or last is None or last.after_g is None:
        return None
    trimmed = draft.burn().cycles[-1].trimmed_g or 0.0
    return f"{last.after_g - trimmed:.10g} g"


def _asked_tilt(told: Telling, draft: Draft) -> Draft:
    """Return the draft with how the candle stood before its first light, while that is unsaid."""
    if not draft.tilt_is_due:
        return draft
    known = click.Choice(["steady", "fell", UNTRIED])
    return replace(draft, tilt_new=click.prompt(told.text("asked.tilt_new"), type=known))


def _asked_end(told: Telling, draft: Draft) -> Draft:
    how = click.prompt(
        told.text("asked.how"),
        type=click.Choice([_NOT_ENDED, "went_out", "stopped"]),
        default=_NOT_ENDED,
        show_choices=False,
    )
    return draft if how == _NOT_ENDED else draft.given(end={"how": how})


def _asked(
    told: Telling, draft: Draft, key: str, offered: str | None, *, of_end: bool = False
) -> Draft:
    """Return the draft with one more value, once it can be read and is meant as it stands.

    What an end says is due: it is left out only once that is confirmed.
    """
    unit = draft.units.get(key)
    while True:
        typed = click.prompt(
            _question(told, key, unit), default=offered or "", show_default=bool(offered)
        ).strip()
        if key != "on" and typed in ("", _LEFT_OUT):
            if not of_end or _left_out(told, key):
                return draft
            continue
        value = _value(key, typed, unit)
        wrong = faults(told, key, value, of_end=of_end) if value is not None else []
        if value is None:
            wrong = [told.text("not_a_check", found=typed)]
        for slip in wrong:
            click.echo(f"  {slip}")
        if wrong or value is None:
            continue
        new = draft.given(end={key: str(value)}) if of_end else draft.given(cycle={key: value})
        if _kept(told, draft, new, key):
            return new


def _question(told: Telling, key: str, unit: str | None) -> str:
    """Return what asks for a value: of a reading it stands with all else that is said of it."""
    if key in READINGS:
        return told.words.reading(key, "asked").format(unit=unit)
    return told.text(f"asked.{key}", unit=unit)


def _left_out(told: Telling, key: str) -> bool:
    """Say what it means that an end lacks one of its keys; whether it stays so."""
    click.echo(f"  {told.text('questions.end_lacks', keys=key)}")
    return confirmed(told, f"  {told.text('leave_out')}", default=False)


def _value(key: str, typed: str, unit: str | None) -> Value | None:
    if key == "seen":
        return listed(typed)
    if key == "checks":
        found = checks_of(typed, unit)
        return None if isinstance(found, str) else found
    return with_unit(typed, unit)


def _kept(told: Telling, old: Draft, new: Draft, key: str) -> bool:
    """Say what one more value means; whether it stays, where it speaks against the candle."""
    for one in _watched(told, new):
        if one not in _watched(told, old):
            click.echo(f"  {one}")
    on = day_of(new.cycle["on"])
    if key == "on" and on is not None and on > new.today:  # nobody has read what is still to come
        click.echo(f"  {told.text('future', on=on, today=new.today)}")
        return False
    asked_before = questions(told, old)
    news = [question for question in questions(told, new) if question not in asked_before]
    for one in news:
        click.echo(f"  {one}")
    return not news or confirmed(told, f"  {told.text('keep')}", default=False)


def _watched(told: Telling, draft: Draft) -> tuple[str, ...]:
    watches = draft.verdict().cycles[-1].watches if draft.cycle else ()
    return tuple(told.words.say(watch) for watch in watches)
