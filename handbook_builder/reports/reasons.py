"""A reason as other programs get it: its code, its sentence, and the line that it speaks of."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from handbook_builder.problems import Place
from handbook_builder.verdicts.reason import Reason

Say = Callable[[Reason], str]


@dataclass(frozen=True, slots=True)
class Told:
    """One reason in words; `where` is the line of the record that it speaks of."""

    code: str
    what: str
    where: Place | str


def told(reasons: Iterable[Reason], say: Say) -> list[Told]:
    """Return reasons by code and in words, each with its line."""
    return [Told(reason.code, say(reason), reason.place) for reason in reasons]


def said(reasons: Iterable[Reason], say: Say) -> list[str]:
    """Return reasons in words alone."""
    return [say(reason) for reason in reasons]
