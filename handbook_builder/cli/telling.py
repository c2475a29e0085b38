"""What `new` and `log` say, out of the catalogue of words."""

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NoReturn

import click

from handbook_builder.problems import Problem
from handbook_builder.terminal import echo, progress_over
from handbook_builder.words import Words
from handbook_builder.workshop import words_text_for

WRONG_CALL = 2
_ANSWERS: Final = {"y": True, "yes": True, "n": False, "no": False}


@dataclass(frozen=True, slots=True)
class Telling:
    """The catalogue, and where its sentences go."""

    words: Words

    def text(self, code: str, /, **details: object) -> str:
        """Return a sentence; `code` may name one within a group: `scale.gap`."""
        found = self.words.phrases["new_and_log"]
        for part in code.split("."):
            found = found[part]
        if details.get("near"):
            details["near"] = self.text("near_word", word=details["near"])
        return str(found).format_map(details)

    def say(self, code: str, /, **details: object) -> None:
        """Print a sentence."""
        echo(self.text(code, **details))

    def warn(self, code: str, /, **details: object) -> None:
        """Print a sentence to stderr."""
        echo(self.text(code, **details), err=True)

    def wrong(self, code: str, /, **details: object) -> NoReturn:
        """Print a sentence to stderr and end as a wrong call."""
        self.warn(code, **details)
        sys.exit(WRONG_CALL)

    def blanks(self, blanks: Iterable[Problem]) -> None:
        """Name what a new record still lacks."""
        lines = [str(blank) for blank in blanks]
        self.say("left_blank" if lines else "nothing_blank")
        for line in lines:
            echo(line)


class BackError(Exception):
    """The answer was to go back to the question before."""


def confirmed(told: Telling, question: str, *, default: bool, goes_back: bool = False) -> bool:
    """Return the answer to a question that is answered by y or n, and say so to any other.

    Raises BackError at the word for that, where the question `goes_back`.
    """

    def read(typed: str) -> bool:
        word = typed.strip().lower()
        if goes_back and word == told.text("back_word"):
            raise BackError
        if word not in _ANSWERS:
            raise click.BadParameter(told.text("y_or_n"))
        return _ANSWERS[word]

    suffix = "y" if default else "n"
    progress_over()
    return bool(click.prompt(f"{question} (y/n)", default=suffix, value_proc=read))


def telling_for(studio: Path) -> Telling:
    """Return the catalogue for the studio in a folder, its units yet unknown."""
    return Telling(Words.load(words_text_for(studio)))
