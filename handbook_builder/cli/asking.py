"""Questions one after the other, each of which can be gone back to."""

from collections.abc import Callable, Sequence
from typing import TypeVar

import click

from handbook_builder.cli.telling import BackError, Telling
from handbook_builder.terminal import progress_over

S = TypeVar("S")


def prompted(
    told: Telling,
    question: str,
    offered: str = "",
    choices: Sequence[str] = (),
    *,
    shown: bool = True,
) -> str:
    """Return what was typed, one of `choices` where there are any; raises BackError.

    `shown` says that the choices are told behind the question.
    """

    def read(typed: str) -> str:
        word = typed.strip()
        if word.lower() == told.text("back_word"):
            raise BackError
        if choices and word not in choices:
            raise click.BadParameter(told.text("one_of", known=", ".join(choices)))
        return word

    known = f" ({', '.join(choices)})" if choices and shown else ""
    progress_over()
    return str(
        click.prompt(
            f"{question}{known}", default=offered, show_default=bool(offered), value_proc=read
        )
    )


def interview(
    start: S, steps: Callable[[S], Sequence[Callable[[S], S]]], finish: Callable[[S], None]
) -> None:
    """Ask the steps of what is asked for, one after the other, and then `finish` it.

    `steps` may depend on what was answered. A BackError takes back the answer before, at the end
    too; at the first question there is none, and it is asked again.
    """
    answered = [start]
    while True:
        due = steps(answered[-1])
        try:
            if len(answered) > len(due):
                finish(answered[-1])
                return
            answered.append(due[len(answered) - 1](answered[-1]))
        except BackError:
            if len(answered) > 1:
                answered.pop()
