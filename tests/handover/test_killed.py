"""Killed before and after each step with the system, `take` takes a file once or not at all."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from handbook_builder.workshop import studio_in
from tests.bench.calls import studio_of
from tests.handover import killed_take
from tests.handover.kit import hand_in, small, small_sitting, taken, whole_record
from tests.handover.test_new_records import BATCH, FILES, INCIDENT, text_of
from tests.handover.test_photos import FOLDER, POOL, SAID, WICK, with_photos
from tests.records_in_text import BASE

SAT = small_sitting(2)
needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="the system has no fork")
KINDS = {
    "cycles": (small(2), SAT.text()),
    "pictures": (small(2), with_photos(SAT).text()),
    "batch": (FILES, text_of("batch", BATCH)),
    "incident": (FILES, text_of("incident", INCIDENT)),
}


def _deaths(folder: Path) -> list[dict[str, Any]]:
    ran = subprocess.run(
        [sys.executable, killed_take.__file__, str(folder)],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True,
        check=True,
    )
    told: list[dict[str, Any]] = json.loads(ran.stdout)
    return told


def _records(folder: Path) -> dict[str, str]:
    """Return the records below a folder; drafts that a dead run left are hidden, and no records."""
    return {
        path.relative_to(folder).as_posix(): path.read_text()
        for path in sorted((folder / "records").rglob("*.md"))
        if path.is_file()
    }


@needs_fork
@pytest.mark.parametrize("kind", KINDS)
def test_killing_take_at_every_step(kind: str, tmp_path: Path) -> None:
    """Whatever it died at, the next run leaves the records as a whole run does, and the file kept.

    In between a record is the old one or the new one, and the file is in the inbox, among those
    taken, or under both names.
    """
    files, text = KINDS[kind]
    studio = studio_of(tmp_path / "studio", dict(files))
    hand_in(studio, text)
    pictures = SAID.values() if kind == "pictures" else ()
    for name, data, _ in pictures:
        hand_in(studio, data, name)
    old = _records(studio)
    whole = tmp_path / "whole"
    shutil.copytree(studio, whole)
    assert taken(whole, "--as-read").exit_code == 0
    new = _records(whole)
    assert old != new
    on_file = {f"{FOLDER}/3.jpg": POOL.decode(), f"{FOLDER}/4.heic": WICK.decode()}
    on_file = on_file if kind == "pictures" else {}
    told = _deaths(studio)
    dead = [one for one in told if one["ended"] == -9]
    assert len(told) - len(dead) == 2
    assert len(dead) >= 2 * 20
    for one in told:
        between, after = one["between"], one["after"]
        for path, data in between["records"].items():
            assert data in (old.get(path), new.get(path)), one["at"]
        texts = [data for name, data in between["inbox"].items() if name.endswith(".txt")]
        assert texts, one["at"]
        assert all(data == text for data in texts), one["at"]
        # A picture lies where it was handed over, in the folder of its record, or in both.
        lying = {*between["inbox"].values(), *between["pictures"].values()}
        assert {data.decode() for _, data, _ in pictures} <= lying, one["at"]
        assert after["status"] == 0, one["at"]
        assert after["records"] == new, one["at"]
        assert after["problems"] == [], one["at"]
        assert after["inbox"] == {"inbox/taken/a.txt": text}, one["at"]
        assert after["pictures"] == on_file, one["at"]
    # Some died before anything was written, some between the record and the move, some after it.
    seen = {(one["between"]["records"] == new, "inbox/a.txt" in one["between"]["inbox"])
            for one in dead}  # fmt: skip
    assert seen == {(False, True), (True, True), (True, False)}


@needs_fork
def test_nothing_is_left_beside_the_records(tmp_path: Path) -> None:
    """Drafts of a dead run are swept away by the next that writes the same file."""
    studio = studio_of(tmp_path, small(2))
    draft = studio / "records/burns/.fig-a.md.0123.part"
    draft.write_text("half")
    hand_in(studio, SAT.text())
    assert taken(studio, "--as-read").exit_code == 0
    assert not draft.exists()
    assert (studio / "records/burns/fig-a.md").read_text() == whole_record()
    assert studio_in(studio / "records")[1] == ()
    assert "wicks/cotton-8.md" in BASE
