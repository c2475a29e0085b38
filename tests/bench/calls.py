"""Calls a command as a maker would, in a small studio of its own."""

import contextlib
from pathlib import Path
from typing import Any

import yaml
from click.testing import CliRunner, Result

from handbook_builder.cli import main
from tests.records_in_text import write

DAY = "2026-05-01"


def called(studio: Path, *words: str, typed: str | None = None) -> Result:
    """Return what the command said and how it ended; what is not an exit is raised.

    It is called from within the studio, where the paths that it prints are those of its messages.
    """
    with contextlib.chdir(studio):
        result = CliRunner().invoke(main, [*words, "--studio", str(studio)], input=typed)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def spaced(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def bytes_of(studio: Path) -> dict[str, bytes]:
    """Return every file below the studio by its path."""
    return {
        path.relative_to(studio).as_posix(): path.read_bytes()
        for path in studio.rglob("*")
        if path.is_file()
    }


def front_of(text: str) -> dict[str, Any]:
    """Return the front matter of a record, every value as it is written, a blank as nothing."""
    found: dict[str, Any] = yaml.load(text.split("---\n")[1], Loader=yaml.BaseLoader)  # noqa: S506 -- builds plain text only
    return found


def studio_of(folder: Path, files: dict[str, str]) -> Path:
    """Write a studio's records and return its folder."""
    write(folder / "records", files)
    return folder
