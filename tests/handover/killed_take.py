"""Kills `take` at each step that it takes with the system, then runs it again, whole.

Run as a script with the folder of a studio in which a file waits: it forks for each step, and
prints what the dead run and the next one left.
"""

import json
import os
import shutil
import sys
from pathlib import Path
from typing import Any, Final

import handbook_builder.files
from handbook_builder.cli import main
from handbook_builder.workshop import studio_in
from tests.bench.killed import DeadlyOs

WORDS: Final = ("take", "--as-read", "--as-of", "2026-05-01", "--studio")


def _ended(studio: Path, at: int | None, *, after: bool) -> int:
    """Return how a run ended: its status, or the negative signal that killed it at a step."""
    child = os.fork()
    if child == 0:
        sys.stdout = sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
        if at is not None:
            vars(handbook_builder.files)["os"] = DeadlyOs(at, after=after)
        try:
            main([*WORDS, str(studio)], standalone_mode=False)
        except SystemExit as end:
            os._exit(int(end.code or 0))
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _texts(studio: Path, pattern: str) -> dict[str, str]:
    return {
        path.relative_to(studio).as_posix(): path.read_text("utf-8")
        for path in sorted(studio.glob(pattern))
        if path.is_file() and not path.name.startswith(".")
    }


def _left(studio: Path) -> dict[str, Any]:
    return {
        "records": _texts(studio, "records/**/*.md"),
        "pictures": _texts(studio, "records/burns/*/*"),
        "inbox": _texts(studio, "inbox/**/*"),
    }


def deaths(studio: Path) -> list[dict[str, Any]]:
    """Return what each run left, and what the next whole one made of it."""
    told: list[dict[str, Any]] = []
    studio_in(studio / "records")  # whatever is loaded once is loaded before the first fork
    for after in (False, True):
        at, ended = 0, -1
        while ended < 0:
            at += 1
            copy = studio.with_name("copy")
            shutil.copytree(studio, copy)
            ended = _ended(copy, at, after=after)
            one = {"at": (at, after), "ended": ended, "between": _left(copy)}
            status = _ended(copy, None, after=after)
            problems = [str(fault) for fault in studio_in(copy / "records")[1]]
            told.append({**one, "after": {**_left(copy), "status": status, "problems": problems}})
            shutil.rmtree(copy)
    return told


if __name__ == "__main__":
    print(json.dumps(deaths(Path(sys.argv[1]))))  # noqa: T201
