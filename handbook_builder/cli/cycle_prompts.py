"""Asks for a cycle reading by reading, and says at once what each one means."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from handbook_builder.cli.asking import interview, prompted
from handbook_builder.cli.cycle_words import faults, questions
from handbook_builder.cli.telling import Telling, confirmed
from handbook_builder.reading.kinds.making import UNTRIED
from handbook_builder.reading.kinds.readings import READINGS
from handbook_builder.terminal import echo
from handbook_builder.writing.amendment import Amendment
from handbook_builder.writing.cycle_draft import ASKED, Draft, checks_of, day_of, listed, with_unit
from handbook_builder.writing.values import Value

_LEFT_OUT: Final = "-"
_NOT_ENDED: Final = "no"
_ENDINGS: Final = ("went_out", "stopped")
TILTS: Final = ("steady", "fell", UNTRIED)

Subject = Draft | Amendment


@dataclass(frozen=True, slots=True)
class Prompts:
    """What asks for readings: the words, what is offered, and what was typed so far.

    `known` is offered from a scale, or is what stands on file. What was typed is offered again
    when somebody goes back.
    """

    told: Telling
    known: Mapping[str, str]
    typed: dict[str, str] = field(default_factory=dict)


def ask_for(
    told: Telling, draft: Draft, known: Mapping[str, str], finish: Callable[[Draft], None]
) -> None:
    """Ask for every reading of a new cycle, and finish with the draft that holds them."""
    burn = draft.bench.burn
    number = draft.number + (0 if draft.cycle else 1)
    told.say("intro", candle=burn.candle, recipe=burn.recipe, number=number)
    prompts = Prompts(told, known)
    first: list[Callable[[Draft], Draft]] = [_step(prompts, "on", draft.today.isoformat())]
    if draft.tilt_is_due:
        first.append(lambda one: _asked_tilt(prompts, one))
    first.append(lambda one: _asked_end(prompts, one))

    def steps(one: Draft) -> Sequence[Callable[[Draft], Draft]]:
        ending = one.end.get("how")
        last = [_step(prompts, key, of_end=True) for key in end_keys(ending)]
        return [*first, *(_step(prompts, key) for key in ASKED), *last]

    interview(draft, steps, finish)


def end_keys(how: object) -> tuple[str, ...]:
    """Return what is asked of an end, by how it came; nothing where there is none."""
    if not how:
        return ()
    return ("left", "vessel", "tilt", *(("why",) if how == "stopped" else ()))


def _step(
    prompts: Prompts, key: str, otherwise: str | None = None, *, of_end: bool = False
) -> Callable[[Any], Any]:
    """Return the step that asks for one value."""

    def step(one: Subject) -> Subject:
        offered = prompts.typed.get(key) or prompts.known.get(key) or otherwise
        if offered is None and isinstance(one, Draft):
            offered = _offered(one, key)
        return asked(prompts, one, key, offered, of_end=of_end)

    return step


def _offered(draft: Draft, key: str) -> str | None:
    """Return the weight before as the last one after, less what was cut from the wick."""
    last = draft.bench.burn.cycles[-1] if draft.bench.burn.cycles else None
    if key != "before" or last is None or last.after_g is None:
        return None
    trimmed = draft.burn().cycles[-1].trimmed_g or 0.0
    return f"{last.after_g - trimmed:.10g} g"


def _asked_tilt(prompts: Prompts, draft: Any) -> Any:  # noqa: ANN401 -- a Subject, the same out
    """Return the draft with how the candle stood before its first light, while that is unsaid."""
    told, offered = prompts.told, prompts.typed.get("tilt_new", "")
    found = prompted(told, told.text("asked.tilt_new"), offered, TILTS)
    prompts.typed["tilt_new"] = found
    return replace(draft, tilt_new=found)


def _asked_end(prompts: Prompts, draft: Draft) -> Draft:
    told, offered = prompts.told, prompts.typed.get("how", _NOT_ENDED)
    choices = (_NOT_ENDED, *_ENDINGS)
    how = prompted(told, told.text("asked.how"), offered, choices, shown=False)
    prompts.typed["how"] = how
    return draft if how == _NOT_ENDED else draft.given(end={"how": how})


def asked(
    prompts: Prompts, one: Subject, key: str, offered: str | None, *, of_end: bool = False
) -> Subject:
    """Return the draft with one more value, once it can be read and is meant as it stands.

    What an end says is due: it is left out only once that is confirmed. In an amendment nothing
    is left out: what is on file stays.
    """
    told, unit = prompts.told, one.units.get(key)
    while True:
        typed = prompted(told, _question(told, key, unit), offered or "")
        if key != "on" and typed in ("", _LEFT_OUT):
            if isinstance(one, Amendment) or not of_end or _left_out(told, key):
                prompts.typed[key] = typed
                return one
            continue
        value = _value(key, typed, unit)
        wrong = faults(told, key, value, of_end=of_end) if value is not None else []
        if value is None:
            wrong = [told.text("not_a_check", found=typed)]
        for slip in wrong:
            echo(f"  {slip}")
        if wrong or value is None:
            continue
        new = one.with_one(key, value, of_end=of_end)
        if _kept(told, one, new, value if key == "on" else None):
            prompts.typed[key] = typed
            return new


def _question(told: Telling, key: str, unit: str | None) -> str:
    """Return what asks for a value: of a reading it stands with all else that is said of it."""
    if key == "how":
        return told.text("amend.how")
    if key in READINGS:
        return told.words.reading(key, "asked").format(unit=unit)
    return told.text(f"asked.{key}", unit=unit)


def _left_out(told: Telling, key: str) -> bool:
    """Say what it means that an end lacks one of its keys; whether it stays so."""
    echo(f"  {told.text('questions.end_lacks', keys=key)}")
    return confirmed(told, f"  {told.text('leave_out')}", default=False)


def _value(key: str, typed: str, unit: str | None) -> Value | None:
    if key == "seen":
        return listed(typed)
    if key == "checks":
        found = checks_of(typed, unit)
        return None if isinstance(found, str) else found
    return with_unit(typed, unit)


def _kept(told: Telling, old: Subject, new: Subject, on: Value | None) -> bool:
    """Say what one more value means; whether it stays, where it speaks against the candle."""
    for one in _watched(told, new):
        if one not in _watched(told, old):
            echo(f"  {one}")
    day = None if on is None else day_of(on)
    if day is not None and day > new.today:  # nobody has read what is still to come
        echo(f"  {told.text('future', on=day, today=new.today)}")
        return False
    asked_before = questions(told, old)
    news = [question for question in questions(told, new) if question not in asked_before]
    for one in news:
        echo(f"  {one}")
    return not news or confirmed(told, f"  {told.text('keep')}", default=False)


def _watched(told: Telling, one: Subject) -> tuple[str, ...]:
    judged = one.judged
    return () if judged is None else tuple(told.words.say(watch) for watch in judged.watches)


def ask_to_amend(
    told: Telling,
    amendment: Amendment,
    known: Mapping[str, str],
    finish: Callable[[Amendment], None],
) -> None:
    """Ask for every value of a cycle on file or of an end, each as it stands, and finish."""
    burn, number = amendment.bench.burn, amendment.number
    if number is None:
        told.say("amend.intro_end", candle=burn.candle, recipe=burn.recipe)
    else:
        told.say("amend.intro", candle=burn.candle, recipe=burn.recipe, number=number)
    prompts = Prompts(told, known)

    first: list[Callable[[Amendment], Amendment]] = []
    if amendment.tilt_is_due:
        first.append(lambda one: _asked_tilt(prompts, one))

    def steps(one: Amendment) -> Sequence[Callable[[Amendment], Amendment]]:
        if number is not None:
            return [*first, *(_step(prompts, key) for key in ("on", *ASKED))]
        how = one.values.get("how", one.on_file["how"])
        return [*first, *(_step(prompts, key, of_end=True) for key in ("how", *end_keys(how)))]

    interview(amendment, steps, finish)
