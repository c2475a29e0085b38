"""What is said of a cycle in the making: faults of its values, and what is asked about it."""

from handbook_builder.cli.telling import Telling
from handbook_builder.derived.slips import Slip, by_the_table, questions_of, slips
from handbook_builder.writing.amendment import Amendment
from handbook_builder.writing.cycle_draft import Draft, problems_of
from handbook_builder.writing.values import Value, is_text


def faults(told: Telling, key: str, value: Value, *, of_end: bool = False) -> list[str]:
    """Return what a record would be told of one value, in the handbook's words."""
    if not is_text(value):
        return [told.text("not_text", key=key)]
    return [fault.message for fault in problems_of(key, value, of_end=of_end)]


def questions(told: Telling, draft: Draft | Amendment) -> tuple[str, ...]:
    """Return what is asked about a cycle, however it came, before it is written.

    What the table asks and the verdict does not would be a slip of ours; it is asked all the same.
    """
    if isinstance(draft, Amendment):
        return _of_amendment(told, draft)
    if not draft.cycle:
        return ()
    burn = draft.burn()
    own = [_said(told, slip) for slip in slips(draft.bench, burn, draft.stamped)]
    by_rule = (*questions_of(draft.verdict()), *by_the_table(draft.bench, burn))
    return tuple(dict.fromkeys((*own, *(told.words.say(question) for question in by_rule))))


def _of_amendment(told: Telling, amendment: Amendment) -> tuple[str, ...]:
    """Return what is asked about an amendment: what it brings, and what it would take away."""
    slips = [_said(told, slip) for slip in amendment.slips()]
    reasons = [told.words.say(reason) for reason in amendment.new_reasons()]
    changes = changed(told, amendment)
    away = [
        told.text("amend.takes_away", failure=told.words.say(failure), changes=changes)
        for failure in amendment.taken_away()
    ]
    out = [told.text("amend.takes_out", key=key, gone=gone) for key, gone in amendment.taken_out()]
    return (*slips, *reasons, *away, *out)


def changed(told: Telling, amendment: Amendment) -> str:
    """Return each change of an amendment, with what stood there and what shall stand there."""
    return ", ".join(
        told.text("amend.adds", key=one.key, now=one.now)
        if one.was is None
        else told.text("amend.changes", key=one.key, was=one.was, now=one.now)
        for one in amendment.changes()
    )


def unanswered(told: Telling, draft: Draft) -> tuple[str, ...]:
    """Return what the prompts would have asked about the tilt and the end, and a call left out."""
    found = [told.text("questions.fell_new")] if draft.tilt_new == "fell" else []
    due = ("left", "vessel", "tilt", *(("why",) if draft.end.get("how") == "stopped" else ()))
    lacking = [key for key in due if key not in draft.end] if draft.end else []
    if lacking:
        found.append(told.text("questions.end_lacks", keys=", ".join(lacking)))
    return tuple(found)


def _said(told: Telling, slip: Slip) -> str:
    """Return the question about a slip; what follows a name's first word is its unit."""
    shown = {
        name: told.words.quantity(value, name.partition("_")[2])
        if isinstance(value, float)
        else value
        for name, value in slip.details.items()
    }
    return told.text(f"questions.{slip.code}", **shown)
