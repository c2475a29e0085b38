"""Kills a command at each step that its writing takes with the system, one run a step.

Run as a script with the command's words: it forks for each step, so that no import is paid twice,
and prints what every run left behind.
"""

import json
import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import handbook_builder.files
from handbook_builder.cli import main
from handbook_builder.workshop import studio_in

AT_ONCE = 128  # bytes that one write takes, so that a record is written in several


class DeadlyOs:
    """The system as `bench.files` sees it, which kills the process at its step number `at`.

    `after` says whether the step is done before.
    """

    def __init__(self, at: int, *, after: bool) -> None:
        """Begin to count."""
        self.left, self.after = at, after

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 -- whatever the system has
        """Return the system's own, counted where it is a call."""
        found = getattr(os, name)
        return self._counted(found) if callable(found) else found

    def write(self, handle: int, data: memoryview) -> int:
        """Write a part only, as a system may."""
        return int(self._counted(os.write)(handle, data[:AT_ONCE]))

    def _counted(self, call: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*given: Any, **named: Any) -> Any:  # noqa: ANN401
            self.left -= 1
            if self.left == 0 and not self.after:
                os.kill(os.getpid(), signal.SIGKILL)
            answer = call(*given, **named)
            if self.left == 0:
                os.kill(os.getpid(), signal.SIGKILL)
            return answer

        return counted


def _run(words: list[str], at: int, *, after: bool) -> int:
    """Return how a run ended that is killed at a step: its signal, negative, or its status."""
    child = os.fork()
    if child == 0:
        sys.stdout = sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
        vars(handbook_builder.files)["os"] = DeadlyOs(at, after=after)
        try:
            main(words, standalone_mode=False)
        except SystemExit as end:
            os._exit(int(end.code or 0))
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _bytes(records: Path) -> dict[str, bytes]:
    return {
        path.relative_to(records).as_posix(): path.read_bytes()
        for path in sorted(records.rglob("*"))
        if path.is_file()
    }


def deaths(records: Path, words: list[str]) -> list[dict[str, Any]]:
    """Return what each run left: how it ended, which files changed, and the records' faults."""
    old, told = _bytes(records), []
    studio_in(records)  # whatever is loaded once is loaded before the first fork
    for after in (False, True):
        at, ended = 0, -1
        while ended < 0:
            at += 1
            ended = _run(words, at, after=after)
            now = _bytes(records)
            changed = {name: data.decode() for name, data in now.items() if old.get(name) != data}
            problems = [str(one) for one in studio_in(records)[1]]
            lost = sorted(old.keys() - now.keys())
            told.append(
                {"at": at, "ended": ended, "changed": changed, "lost": lost, "problems": problems}
                | {"after": after}
            )
            for name in changed:
                if not name.endswith(".part"):  # what a dead run left beside it stays, for the next
                    (records / name).unlink()
                    if name in old:
                        (records / name).write_bytes(old[name])
    return told


if __name__ == "__main__":
    print(json.dumps(deaths(Path(sys.argv[1]), sys.argv[2:])))  # noqa: T201
