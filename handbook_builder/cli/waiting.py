"""What was handed over and not taken yet: what speaks against a candle may be among it."""

import sys
from collections.abc import Iterator
from pathlib import Path

from handbook_builder.notices import notice
from handbook_builder.problems import Place, Problem
from handbook_builder.terminal import echo, echo_place
from handbook_builder.writing.inbox import INBOX, waiting_in


def waiting(studio: Path) -> Iterator[Problem]:
    """Yield a notice for each file that was handed over and not taken yet."""
    inbox = studio / INBOX
    for path in waiting_in(inbox).files if inbox.is_dir() else ():
        yield notice(Place(f"{INBOX}/{path.name}"), "waits_to_be_taken", {})


def refuse_while_waiting(studio: Path) -> None:
    """End as a refused call while anything waits that may speak against what would go out."""
    found = tuple(waiting(studio))
    for problem in found:
        echo_place(str(problem), err=True)
    if found:
        echo(
            "What waits may speak against this candle, so nothing was written. "
            "Take it first: handbook take.",
            err=True,
        )
        sys.exit(2)
