"""The marks that version control leaves where two versions of a file do not agree."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from handbook_builder.problems import Place, Problem, problem

# Nobody begins a line so; the mark of a former version alone might be a row of a table.
_CERTAIN: Final = re.compile(r"(?:<{7}|>{7})(?: |$)|\|{7} ")
_MIDDLE: Final = re.compile(r"={7}(?: |$)|\|{7}$")
_ENDINGS: Final = frozenset({".css", ".html", ".js", ".md", ".j2", ".txt", ".yaml", ".yml"})
_SIGNS: Final = (b"<<<<<<<", b">>>>>>>", b"=======", b"|||||||")


def marks(data: bytes, *, keys_only: bool = False) -> Iterator[tuple[int, str]]:
    """Yield the line and the sign of each mark of a merge in a file.

    A line of seven `=` underlines a heading of notes: it is a mark only between two others, or
    where keys stand, as in all of a file that is `keys_only`, since no key begins so.
    """
    if not any(sign in data for sign in _SIGNS):
        return
    lines = re.split(r"\r\n|\r|\n", data.removeprefix(b"\xef\xbb\xbf").decode("latin-1"))
    keys_end = len(lines) if keys_only else _end_of_keys(lines)
    is_open = False
    for number, line in enumerate(lines, 1):
        certain = _CERTAIN.match(line)
        if certain or (_MIDDLE.match(line) and (is_open or number <= keys_end)):
            yield number, line[:7]
        if certain:
            is_open = not line.startswith(">")


def _end_of_keys(lines: list[str]) -> int:
    """Return the line in which the keys of a record end; 0 where the text has none."""
    if lines[0].rstrip(" \t") != "---":
        return 0
    fences = (number for number, line in enumerate(lines[1:], 2) if line.rstrip(" \t") == "---")
    return next(fences, len(lines))


def conflicts(data: bytes, shown: str, *, keys_only: bool = False) -> tuple[Problem, ...]:
    """Return a problem for each mark of a merge that nobody finished; `shown` names the file."""
    return tuple(
        problem(Place(shown, number), "merge_conflict", {"found": mark})
        for number, mark in marks(data, keys_only=keys_only)
    )


def conflicts_of_studio(folder: Path) -> tuple[Problem, ...]:
    """Return the same of what a studio says beside its records: its words, guides and views.

    Its mkdocs.yml is looked through wherever it is read.
    """
    own = folder / "site_templates"
    files = sorted(own.rglob("*")) if own.is_dir() else ()
    return tuple(
        one
        for file in files
        if file.suffix.lower() in _ENDINGS and file.is_file() and not file.is_symlink()
        for one in conflicts(
            file.read_bytes(),
            file.relative_to(folder).as_posix(),
            keys_only=file.suffix.lower() in {".yml", ".yaml"},
        )
    )
