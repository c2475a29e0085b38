"""What is printed for a person: in the width of the terminal, in colour, paths as seen from here.

Into a pipe or a file it is plain text, a line as long as it comes; JSON is printed elsewhere.
"""

import contextlib
import os
import re
import shutil
import sys
import threading
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

import click

_LEAST_WIDTH: Final = 40  # below it a line of a word each would help nobody
_QUIET_S: Final = 2.0
_BEAT_S: Final = 0.5
_BESIDE: Final = ("inbox", "scale-logs")
_META: Final = "handbook_builder.terminal"
# A path with its line, as editors take it; and what a line begins with before its words.
_PLACE: Final = re.compile(r"^(\S[^:\n]*:[0-9]+:[0-9]+:)( warning:)?(?= )")
_HANGS: Final = re.compile(r" *(?:(?:[-*!]|\[ \]|[0-9]+\.) )?")


class Tone(StrEnum):
    """What a colour says; it never says anything that the words do not."""

    GOOD = "green"
    BAD = "red"
    OPEN = "yellow"
    PLACE = "bright_black"


def paint(text: str, tone: Tone | None) -> str:
    """Return a text in the colour of its tone; `echo` takes it out where none is wanted."""
    return text if tone is None else click.style(text, fg=tone.value, bold=tone is not Tone.PLACE)


def echo(text: str = "", *, err: bool = False) -> None:
    """Print lines for a person; what goes to stderr is remembered for `said_of_errors`."""
    line = _running()
    if line is not None:
        line.clear()
    told = _from_here(str(text))
    if err:
        _meta().setdefault("errors", []).append(click.unstyle(told))
    stream = sys.stderr if err else sys.stdout
    if is_terminal(stream):
        width = max(_LEAST_WIDTH, shutil.get_terminal_size().columns)
        told = "\n".join(wrapped(line, width) for line in told.split("\n"))
    click.echo(told, err=err, color=None if wants_colour() else False)


def echo_place(text: str, *, err: bool = False) -> None:
    """Print what begins with `file:line:column:`, the place set apart from the words by colour."""
    text = _from_here(text)  # before its colour stands in front of it
    found = _PLACE.match(text)
    if found is not None:
        mark = paint(found[2], Tone.OPEN) if found[2] else ""
        text = f"{paint(found[1], Tone.BAD if err else Tone.OPEN)}{mark}{text[found.end() :]}"
    echo(text, err=err)


def said_of_errors() -> list[str]:
    """Return what this run printed to stderr for a person, a line each, as it was printed."""
    return [line for text in _meta().get("errors", ()) for line in str(text).split("\n")]


def is_terminal(stream: object) -> bool:
    """Return whether a stream shows what is written to it to a person."""
    isatty = getattr(stream, "isatty", None)
    try:
        return bool(isatty is not None and isatty())
    except ValueError:  # it is closed
        return False


def wants_colour() -> bool:
    """Return whether colour is wanted: not with NO_COLOR, --no-color or a terminal without any."""
    refused = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return not (refused or _meta().get("no_color"))


def without_colour() -> None:
    """Print without colour from now on."""
    _meta()["no_color"] = True


def seen_from_here(studio: Path, records: Path | None = None) -> None:
    """Print the paths of a studio as an editor finds them from the current folder, from now on.

    Messages name them as from the studio's own folder: `records/`, `inbox/`, `scale-logs/`.
    """
    places = {name: studio / name for name in _BESIDE}
    if records is not None:
        places["records"] = records
    paths = _meta().setdefault("paths", {})
    for name, folder in places.items():
        pattern = re.compile(rf"(?<![\w./\\-]){name}/(?=[\w.-]+[/.]|$|[\s.,:;)'])")
        there = from_here(folder)
        paths[pattern] = "" if there == "." else f"{there}/"


def from_here(path: Path) -> str:
    """Return a path as an editor finds it from the current folder."""
    try:
        return Path(os.path.relpath(path)).as_posix()
    except ValueError:  # another drive
        return path.absolute().as_posix()


def _from_here(text: str) -> str:
    for pattern, leads_to in _meta().get("paths", {}).items():
        text = pattern.sub(lambda _, to=leads_to: to, text)
    return text


def wrapped(line: str, width: int) -> str:
    """Return a line broken between its words, what follows set in under its first word.

    A word that is longer than the width, a path above all, stays whole.
    """
    if len(click.unstyle(line)) <= width:
        return line
    begin = _HANGS.match(click.unstyle(line))
    hang = " " * (len(begin[0]) if begin and begin[0] else 2)
    rows, row = [], ""
    for part in re.findall(r" *[^ ]+", line):
        if row and len(click.unstyle(row + part)) > width:
            rows.append(row)
            row = hang + part.lstrip(" ")
        else:
            row += part
    return "\n".join([*rows, row])


class _Progress(threading.Thread):
    """A line on stderr that says what goes on, from two seconds on, and is gone with the next."""

    def __init__(self, what: str) -> None:
        """Begin to count."""
        super().__init__(daemon=True)
        self.what = what
        self._over = threading.Event()
        self._lock = threading.Lock()
        self._shown = 0

    def run(self) -> None:
        """Write what goes on, anew at every beat."""
        waited = _QUIET_S
        if self._over.wait(_QUIET_S):
            return
        while not self._over.is_set():
            with self._lock:
                self._write(f"{self.what} … {waited:.0f} s")
            self._over.wait(_BEAT_S)
            waited += _BEAT_S

    def clear(self) -> None:
        """Take the line away until the next beat."""
        with self._lock:
            if self._shown:
                self._write("")

    def end(self) -> None:
        """Take the line away for good."""
        self._over.set()
        self.clear()

    def _write(self, text: str) -> None:
        room = max(_LEAST_WIDTH, shutil.get_terminal_size().columns) - 1
        text = text[:room]
        with contextlib.suppress(OSError, ValueError):
            # Blanks, so that a terminal which knows no codes shows none.
            back = f"\r{text}" if len(text) < self._shown else ""
            sys.stderr.write(f"\r{text.ljust(self._shown)}{back}")
            sys.stderr.flush()
        self._shown = len(text)


def progress(what: str) -> None:
    """Say on a terminal what goes on from now on, once it takes longer than two seconds.

    `working` says what goes on now; before a question is asked, and at the end, it is over.
    """
    if is_terminal(sys.stderr) and _running() is None:
        line = _Progress(what)
        _meta()["progress"] = line
        line.start()


def working(what: str) -> None:
    """Say what goes on now, where a progress is shown."""
    line = _running()
    if line is not None:
        line.what = what


def progress_over() -> None:
    """Take the line of a progress away."""
    line = _running()
    if line is not None:
        _meta()["progress"] = None
        line.end()


def _running() -> _Progress | None:
    found = _meta().get("progress")
    return found if isinstance(found, _Progress) else None


def _meta() -> dict[str, Any]:
    """Return what is known of this call of a command; without one, nothing is remembered."""
    context = click.get_current_context(silent=True)
    found: dict[str, Any] = {} if context is None else context.meta.setdefault(_META, {})
    return found
