"""Runs of a tool over a made-up studio, and what they leave on the disk."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

RUN = Path(__file__).with_name("run.py")


def run_tool(
    *words: object, kill_at: str = "", cwd: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """Run `run.py` in a process of its own; return what it printed and its status."""
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    if kill_at:
        env["KILL_AT"] = kill_at
    command = [sys.executable, RUN, *map(str, words)]
    return subprocess.run(
        command, capture_output=True, text=True, timeout=120, env=env, cwd=cwd, check=False
    )


def prints(folder: Path) -> dict[str, str]:
    """Return a digest of every file under `folder`, by its path."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def leftovers(site: Path) -> list[str]:
    """Return what stands beside the site under a hidden name of its own."""
    return [path.name for path in site.parent.iterdir() if path.name.startswith(f".{site.name}.")]
