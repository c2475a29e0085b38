"""Whoever pulls the plug, a record is the old one or the new one; and two at once lose nothing."""

import json
import os
import stat
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from handbook_builder import files
from handbook_builder.files import (
    ChangedMeanwhileError,
    create_file,
    hold,
    is_held,
    let_go,
    locked,
    replace_file,
)
from tests.bench import killed
from tests.records_in_text import burn, proven, write

CYCLE = ("--on", "2026-03-17", "--burned", "4 h", "--before", "374 g", "--after", "348 g")
UNREAD = "unread: [pool, flame, wall, after_smoke]"  # the due readings that CYCLE leaves out
DAY = ("--as-of", "2026-05-01")
needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="the system has no fork")


def _studio(folder: Path) -> Path:
    first = burn("A", cycles=["{on: 2026-03-16, burned: 4 h, before: 400 g, after: 374 g}"], end="")
    write(folder / "records", {**proven(), "burns/fig-a.md": first})
    return folder


def _deaths(folder: Path, *words: str) -> list[dict[str, Any]]:
    ran = subprocess.run(
        [sys.executable, killed.__file__, str(folder / "records"), *words, "--studio", str(folder)],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True,
        check=True,
    )
    told: list[dict[str, Any]] = json.loads(ran.stdout)
    return told


@needs_fork
def test_killing_log_at_every_step(tmp_path: Path) -> None:
    """SIGKILL before and after each call to the system, within the write too: old or new.

    Whatever is left beside the record is hidden, is no fault of the records, and is gone after
    the next whole run.
    """
    studio = _studio(tmp_path)
    file = studio / "records" / "burns" / "fig-a.md"
    old = file.read_text("utf-8")
    line = f"  - {{on: 2026-03-17, burned: 4 h, before: 374 g, after: 348 g, {UNREAD}}}\n"
    new = old.replace("374 g}\n", "374 g}\n" + line).replace("\nlit: 1\n", "\nlit: 2\n")
    assert new.count("\nlit: 2\n") == 1
    told = _deaths(studio, "log", "fig-a", *CYCLE, *DAY)
    whole = [one for one in told if one["ended"] == 0]
    dead = [one for one in told if one["ended"] == -9]
    assert len(whole) == 2
    assert len(dead) == len(told) - 2 >= 2 * 12
    for one in told:
        assert (one["lost"], one["problems"]) == ([], []), one["at"]
        record = one["changed"].pop("burns/fig-a.md", old)
        assert record in (old, new), one["at"]
        assert all(name.startswith("burns/.fig-a.md.") for name in one["changed"]), one["at"]
        one["is_new"] = record == new
    assert all(one["is_new"] and not one["changed"] for one in whole)
    # Some died with the old record, some with the new one, some with half a draft beside it.
    assert {one["is_new"] for one in dead} == {True, False}
    drafts = {len(text) for one in dead for text in one["changed"].values()}
    assert {0, len(new.encode())} < drafts
    for after in (False, True):
        series = [one["is_new"] for one in told if one["after"] == after]
        assert series == sorted(series)  # once it is the new one, it stays so


@needs_fork
def test_killing_new_at_every_step(tmp_path: Path) -> None:
    """A new record is there whole, or not at all."""
    studio = _studio(tmp_path)
    words = ("new", "wax", "bee", "--set", "kind=bee", "--set", "density=0.96 g/mL")
    told = _deaths(studio, *words, "--set", "max_load=5 %", "--set", "cure=7 days")
    whole = {one["changed"]["waxes/bee.md"] for one in told if one["ended"] == 0}
    assert len(whole) == 1
    assert len(told) > 2 * 10
    for one in told:
        assert (one["lost"], one["problems"]) == ([], []), one["at"]
        assert {one["changed"].get("waxes/bee.md", *whole)} == whole, one["at"]


def test_two_logs_at_once(tmp_path: Path) -> None:
    """Both are written, each once, one after the other."""
    studio = _studio(tmp_path)
    runs = [
        subprocess.Popen(
            [sys.executable, "-m", "handbook_builder", "log", "fig-a", "--studio", str(studio),
             *DAY, "--on", f"2026-03-{17 + number}", "--burned", "4 h", "--as-read"],
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
            stdout=subprocess.DEVNULL,
        )
        for number in (0, 0, 0, 0)
    ]  # fmt: skip
    assert [one.wait(timeout=60) for one in runs] == [0, 0, 0, 0]
    text = (studio / "records" / "burns" / "fig-a.md").read_text("utf-8")
    unread = "unread: [before, after, pool, flame, wall, after_smoke]"
    assert text.count(f"  - {{on: 2026-03-17, burned: 4 h, {unread}}}\n") == 4
    assert "\nlit: 5\n" in text  # one on file before, and each of the four counted


def test_a_file_that_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    """An editor does not know of our lock; what it saved is compared and kept."""
    path = tmp_path / "fig-a.md"
    path.write_bytes(b"saved by an editor")
    with locked(tmp_path), pytest.raises(ChangedMeanwhileError):
        replace_file(path, b"as it was read", b"as it would be")
    assert {one.name: one.read_bytes() for one in tmp_path.iterdir()} == {
        "fig-a.md": b"saved by an editor"
    }


def test_permissions_stay(tmp_path: Path) -> None:
    """Who may read and write a record is not for us to change."""
    path = tmp_path / "fig-a.md"
    path.write_bytes(b"old")
    path.chmod(0o640)
    replace_file(path, b"old", b"new")
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_full_disk_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A write that fails leaves the old file and no draft."""
    path = tmp_path / "fig-a.md"
    path.write_bytes(b"old")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        replace_file(path, b"old", b"new")
    assert [one.name for one in tmp_path.iterdir()] == ["fig-a.md"]
    assert path.read_bytes() == b"old"


@pytest.mark.parametrize("has_links", [True, False], ids=["links", "no links"])
def test_a_new_file_never_overwrites(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, has_links: bool
) -> None:
    """Not even where the file system gives no file a second name."""

    def none(_one: object, _other: object) -> None:
        raise OSError(1, "not here")

    if not has_links:
        monkeypatch.setattr(os, "link", none)
    path = tmp_path / "fig-a.md"
    create_file(path, b"first")
    with pytest.raises(FileExistsError):
        create_file(path, b"second")
    assert {one.name: one.read_bytes() for one in tmp_path.iterdir()} == {"fig-a.md": b"first"}


def test_what_a_dead_run_left_is_swept_away(tmp_path: Path) -> None:
    """Only drafts of this very file go."""
    write(tmp_path, {"burns/.fig-a.md.0123.part": "half", "burns/.fig-ab.md.0123.part": "other"})
    path = tmp_path / "burns" / "fig-a.md"
    create_file(path, b"whole")
    assert sorted(one.name for one in path.parent.iterdir()) == [".fig-ab.md.0123.part", "fig-a.md"]


def test_without_locks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A system without locks still compares before it replaces."""
    monkeypatch.setattr(files, "fcntl", None)
    write(tmp_path, {"fig-a.md": "old", ".fig-a.md.0123.part": "another's"})
    with locked(tmp_path):
        replace_file(tmp_path / "fig-a.md", b"old", b"new")
    assert (tmp_path / "fig-a.md").read_bytes() == b"new"
    assert (tmp_path / ".fig-a.md.0123.part").read_bytes() == b"another's"


def _free_handle(folder: Path) -> int:
    """Return the number that the next file would be opened under: the least that is free."""
    handle = os.open(folder, os.O_RDONLY)
    os.close(handle)
    return handle


def test_a_folder_is_held_until_it_is_let_go_of(tmp_path: Path) -> None:
    """Whoever asks changes nothing by asking, and nobody else can hold it meanwhile."""
    if files.fcntl is None:
        pytest.skip("the system has no locks")
    assert not is_held(tmp_path)
    lock = hold(tmp_path)
    free = _free_handle(tmp_path)
    assert is_held(tmp_path)
    with pytest.raises(BlockingIOError):
        hold(tmp_path)
    assert _free_handle(tmp_path) == free  # a lock that was refused leaves nothing open
    let_go(lock)
    assert not is_held(tmp_path)


def test_a_folder_is_held_as_long_as_its_process_lives(tmp_path: Path) -> None:
    """A process that was killed holds nothing: what it left can be swept away."""
    if files.fcntl is None:
        pytest.skip("the system has no locks")
    holding = (
        "import sys, pathlib, handbook_builder.files as f; f.hold(pathlib.Path(sys.argv[1])); "
    )
    with subprocess.Popen(
        [sys.executable, "-c", f"{holding}print('held', flush=True); input()", tmp_path],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        assert is_held(tmp_path)
        other.kill()
        other.wait()
    assert not is_held(tmp_path)


@pytest.mark.parametrize(("hours", "held"), [(23, True), (25, False)])
def test_without_locks_a_young_folder_is_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hours: int, *, held: bool
) -> None:
    """Nobody can ask, so a day is waited for."""
    monkeypatch.setattr(files, "fcntl", None)
    lock = hold(tmp_path)
    let_go(lock)
    assert lock is None
    then = time.time() - hours * 3600
    os.utime(tmp_path, (then, then))
    assert is_held(tmp_path) is held
