"""Kills `bring --write` at each step that its writing takes with the system, then calls it again.

Run as a script with a studio and a table: it prints, for each death, what stood in the records
after it, what the check said, and what the next call of `bring` made of it.
"""

import json
import sys
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from handbook_builder.cli import main
from handbook_builder.workshop import studio_in
from tests.bench.killed import _bytes, _run

NEVER = 10**9


def _state(records: Path, old: dict[str, bytes], new: dict[str, bytes]) -> str:
    """Return whether the records are as before, as they were to be, or anything else."""
    now = {name: data for name, data in _bytes(records).items() if not name.endswith(".part")}
    return "old" if now == old else "new" if now == new else "between"


def _put_back(records: Path, old: dict[str, bytes]) -> None:
    for name in _bytes(records).keys() - old.keys():
        (records / name).unlink()
    for name, data in old.items():
        (records / name).write_bytes(data)


def deaths(studio: Path, table: Path) -> list[dict[str, Any]]:
    """Return what each death left, and what the next call made of it."""
    records, words = studio / "records", ["bring", str(table), "--studio", str(studio)]
    old = _bytes(records)
    yaml.safe_load = cache(yaml.safe_load)  # the catalogue is long, and read by every run
    studio_in(records)
    main(words, standalone_mode=False)
    assert _run([*words, "--write"], NEVER, after=False) == 0
    new = _bytes(records)
    told: list[dict[str, Any]] = []
    at, ended = 0, -1
    while ended < 0:
        at += 1
        _put_back(records, old)
        ended = _run([*words, "--write"], at, after=False)
        left = _state(records, old, new)
        codes = sorted({one.code for one in studio_in(records)[1]})
        again = _run(words, NEVER, after=False)
        parts = [name for name in _bytes(records) if name.endswith(".part")]
        told.append({"at": at, "ended": ended, "left": left, "codes": codes, "again": again,
                     "healed": _state(records, old, new), "parts": parts})  # fmt: skip
    return told


if __name__ == "__main__":
    out, sys.stdout = sys.stdout, sys.stderr
    print(json.dumps(deaths(Path(sys.argv[1]), Path(sys.argv[2]))), file=out)
