"""Where files lie, what else lies there, and what a system that refuses leaves behind."""

import json
import os
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from handbook_builder import files
from handbook_builder.cli import take_cycles, take_one
from handbook_builder.writing import inbox
from tests.bench.calls import bytes_of, called, studio_of
from tests.handover.kit import hand_in, small, small_sitting, taken, whole_record
from tests.records_in_text import BASE

SAT = small_sitting(2)
FILE = "records/burns/fig-a.md"
NONE = "Taken: 0. On file already: 0. Left, each with its reason: 0.\n"


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a small studio in which candle A has burned two of its four cycles."""
    return studio_of(tmp_path / "studio", small(2))


def test_no_inbox_yet(studio: Path) -> None:
    """Nothing waits, and none is made."""
    answer = taken(studio)
    assert (answer.exit_code, answer.output) == (0, NONE)
    assert not (studio / "inbox").exists()


def test_a_file_from_elsewhere_is_moved_too(studio: Path, tmp_path: Path) -> None:
    """By its path: it is kept with the others, and is gone from where it was."""
    path = tmp_path / "downloads" / "a.text"
    path.parent.mkdir()
    path.write_text(SAT.text())
    answer = called(studio, "take", str(path), "--as-of", "2026-05-01", "--as-read")
    assert (answer.exit_code, answer.output.splitlines()[-2]) == (0, "Kept as inbox/taken/a.text.")
    assert (studio / FILE).read_text() == whole_record()
    assert list(path.parent.iterdir()) == []


def test_a_folder_from_elsewhere(studio: Path, tmp_path: Path) -> None:
    """A folder that is synchronised: its files are taken, all else is left and listed."""
    shared = tmp_path / "shared"
    (shared / "deeper.txt").mkdir(parents=True)
    (shared / "a.TXT").write_text(SAT.text())
    (shared / "pool.jpg").write_bytes(b"picture")
    (shared / ".hidden").write_text("nobody's")
    answer = called(studio, "take", str(shared), "--as-of", "2026-05-01", "--as-read")
    assert answer.exit_code == 0
    left = "left where it is; it is no file that is handed over."
    assert answer.stdout.splitlines()[-3:-1] == [
        f"{shared}/deeper.txt: {left}", f"{shared}/pool.jpg: {left}"
    ]  # fmt: skip
    assert sorted(one.name for one in shared.iterdir()) == [".hidden", "deeper.txt", "pool.jpg"]


def test_what_is_taken_already_is_not_moved_again(studio: Path) -> None:
    """Asked for by its path in the folder of what was taken, it stays there under its name."""
    hand_in(studio, SAT.text())
    taken(studio, "--as-read")
    kept = studio / "inbox/taken/a.txt"
    answer = called(studio, "take", str(kept), "--as-of", "2026-05-01")
    assert "On file already: 1." in answer.stdout
    assert [one.name for one in kept.parent.iterdir()] == ["a.txt"]


def test_a_path_that_is_none(studio: Path) -> None:
    """A wrong call, as for every command."""
    assert called(studio, "take", str(studio / "b.txt")).exit_code == 2


def test_no_studio(tmp_path: Path) -> None:
    """The wrong folder is told at once."""
    answer = called(tmp_path, "take")
    assert (answer.exit_code, "found none. Run the command in your" in answer.stderr) == (2, True)


def test_links_pipes_and_odd_names(studio: Path) -> None:
    """What is no plain file is not opened; a name of any letters is taken, and splits no line."""
    outside = studio / "secret"
    outside.write_text(SAT.text())
    (studio / "inbox").mkdir()
    (studio / "inbox/linked.txt").symlink_to(outside)
    (studio / "inbox/dead.txt").symlink_to(studio / "nowhere")
    os.mkfifo(studio / "inbox/pipe.txt")
    odd = "-a\n\x1b[31m\u202e*?'\".txt"
    hand_in(studio, SAT.text(), odd)
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 0
    assert [one.partition(":")[0] for one in answer.stdout.splitlines() if "left where" in one] == [
        "inbox/dead.txt", "inbox/linked.txt", "inbox/pipe.txt"
    ]  # fmt: skip
    shown = "inbox/taken/-a\\u000a\\u001b[31m\\u202e*?'\".txt"
    assert f"Kept as {shown}.\n" in answer.stdout
    assert (studio / "inbox/taken" / odd).is_file()
    assert outside.read_text() == SAT.text()


def test_a_link_by_its_path(studio: Path) -> None:
    """Named in the call, it is left with a reason: moved, it would leave the file it stands for."""
    (studio / "link.txt").symlink_to(hand_in(studio, SAT.text()))
    answer = called(studio, "take", str(studio / "link.txt"), "--as-of", "2026-05-01")
    assert (answer.exit_code, answer.stderr) == (
        1, "link.txt:1:1: this is no file, or only a link to one. Put the file itself here.\n"
    )  # fmt: skip


def test_a_name_that_is_taken(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Other bytes under its name stay what they are; it gets a number, while there are any."""
    for name in ("a.txt", "a-2.txt"):
        (studio / "inbox/taken").mkdir(parents=True, exist_ok=True)
        (studio / "inbox/taken" / name).write_text("another")
    hand_in(studio, SAT.text())
    monkeypatch.setattr(inbox, "_MOST_ALIKE", 2)
    answer = taken(studio, "--as-read")
    assert (answer.exit_code, answer.stderr) == (
        1,
        (
            "inbox/a.txt:1:1: it is in the records, but as many files called a.txt as can be told "
            "apart are kept in inbox/taken already. Move it away by hand.\n"
        ),
    )
    assert (studio / FILE).read_text() == whole_record()
    monkeypatch.setattr(inbox, "_MOST_ALIKE", 3)
    assert taken(studio).exit_code == 0
    kept = {one.name: one.read_text() for one in (studio / "inbox/taken").iterdir()}
    assert kept == {"a.txt": "another", "a-2.txt": "another", "a-3.txt": SAT.text()}


def test_an_inbox_that_nobody_may_write_to(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The readings are in the record, the file stays, and says why; taken again it adds none."""
    unlink = os.unlink

    def refuse(path: Path) -> None:
        if Path(path).parent.name == "inbox":
            raise PermissionError(13, "Permission denied", str(path))
        unlink(path)

    monkeypatch.setattr(files.os, "unlink", refuse)
    path = hand_in(studio, SAT.text())
    expected = (
        f"inbox/a.txt:1:1: it is in the records, but could not be moved to inbox/taken ({path}: "
        "Permission denied). Move it by hand; taken again it adds nothing.\n"
    )
    for said in ("Taken: 1. On file already: 0.", "Taken: 0. On file already: 1."):
        answer = taken(studio, "--as-read")
        assert (answer.exit_code, answer.stderr, said in answer.stdout) == (1, expected, True)
        assert (studio / FILE).read_text() == whole_record()
        assert list((studio / "inbox/taken").iterdir()) == []
        assert path.read_text() == SAT.text()


def test_another_disk(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no second name can be given it is copied whole, then taken away."""

    def none(_one: object, _other: object) -> None:
        raise OSError(18, "Invalid cross-device link")

    monkeypatch.setattr(files.os, "link", none)
    hand_in(studio, SAT.text())
    assert taken(studio, "--as-read").exit_code == 0
    assert [one.name for one in (studio / "inbox").rglob("*")] == ["taken", "a.txt"]
    assert (studio / "inbox/taken/a.txt").read_text() == SAT.text()


def test_a_record_that_cannot_be_written(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk: nothing is written, and the file stays for the next time."""

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    hand_in(studio, SAT.text())
    before = bytes_of(studio)
    with monkeypatch.context() as patch:
        patch.setattr(files.os, "fsync", full)
        answer = taken(studio, "--as-read")
    assert answer.exit_code == 1
    assert answer.stderr == (
        f"inbox/a.txt:1:1: the system refuses: {studio}/records/burns/fig-a.md: No space left on "
        "device. Nothing of this file was written.\n"
    )
    assert bytes_of(studio) == before
    assert taken(studio, "--as-read").exit_code == 0


def test_one_file_that_cannot_be_read_holds_up_no_other(
    studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each is taken by itself."""
    whole = Path.open

    def refuse(self: Path, *given: str, **named: str) -> object:
        if self.name == "b.txt":
            raise PermissionError(13, "Permission denied", str(self))
        return whole(self, *given, **named)  # type: ignore[call-overload]  # as it was called

    hand_in(studio, SAT.text())
    path = hand_in(studio, SAT.text(), "b.txt")
    monkeypatch.setattr(Path, "open", refuse)
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 1
    assert answer.stderr == (
        f"inbox/b.txt:1:1: the system refuses: {path}: Permission denied. Nothing of this file was "
        "written.\n"
    )
    assert "Taken: 1. On file already: 0. Left, each with its reason: 1." in answer.stdout


def test_a_record_that_an_editor_saved_meanwhile(
    studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it saved stays, and the file is left for the next time."""

    def saved(path: Path, old: bytes, new: bytes) -> None:
        path.write_bytes(old + b"\nA note.\n")
        files.replace_file(path, old, new)

    monkeypatch.setattr(take_cycles, "replace_file", saved)
    hand_in(studio, SAT.text())
    answer = taken(studio, "--as-read")
    assert (answer.exit_code, answer.stderr) == (
        1, "inbox/a.txt:1:1: it, or the record that it is for, changed meanwhile. Take it again.\n"
    )  # fmt: skip
    assert (studio / FILE).read_text().endswith("\nA note.\n")
    monkeypatch.undo()
    assert taken(studio, "--as-read").exit_code == 0


def test_what_another_run_took(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between the look into the folder and the lock: it is told, and is no failure."""
    path = hand_in(studio, SAT.text())
    found = [path.read_bytes(), None]
    monkeypatch.setattr(take_one, "bytes_of", lambda _path: found.pop(0))
    answer = taken(studio, "--as-read")
    assert (answer.exit_code, answer.stdout) == (
        0, f"inbox/a.txt: it is gone. Another run has taken it, or it was moved meanwhile.\n{NONE}"
    )  # fmt: skip
    told = [b"---\nkind: cycles\n---\n", SAT.text().encode()]
    monkeypatch.setattr(take_one, "bytes_of", lambda _path: told.pop())
    answer = taken(studio, "--as-read")
    assert "it, or the record that it is for, changed meanwhile. Take it again." in answer.stderr


def test_the_clock_of_a_telephone_may_be_ahead(studio: Path) -> None:
    """By some minutes, of this machine's clock; by half an hour it is wrong."""
    now = datetime.now()  # noqa: DTZ005 -- the local time, as a telephone writes it
    for minutes, status in ((3, 0), (30, 1)):
        moment = f"{now + timedelta(minutes=minutes):%Y-%m-%d %H:%M}"
        hand_in(studio, small_sitting(2, written=moment).text())
        answer = called(studio, "take", "--as-read", "--json")
        faults = [fault["code"] for one in json.loads(answer.stdout)["files"]
                  for fault in one["faults"]]  # fmt: skip
        assert faults == ([] if status == 0 else ["handover_time"])


def test_a_later_day_may_be_asked_about(studio: Path) -> None:
    """As for `log`: all that is known by then."""
    hand_in(studio, SAT.text())
    assert called(studio, "take", "--as-of", "2026-03-01").exit_code == 1
    assert called(studio, "take", "--as-of", "2026-03-18", "--as-read").exit_code == 1
    assert called(studio, "take", "--as-of", "2026-04-30", "--as-read").exit_code == 0


def test_two_runs_at_once(studio: Path) -> None:
    """Each file is taken once, by one of them."""
    names = [f"{letter}.txt" for letter in "abcdef"]
    for name in names:
        hand_in(studio, SAT.text(), name)
    runs = [
        subprocess.Popen(
            [sys.executable, "-m", "handbook_builder", "take", "--studio", str(studio),
             "--as-read", "--as-of", "2026-05-01", "--json"],
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
            stdout=subprocess.PIPE, text=True,
        )
        for _ in range(3)
    ]  # fmt: skip
    told = [json.loads(one.communicate(timeout=120)[0])["files"] for one in runs]
    assert [one.returncode for one in runs] == [0, 0, 0]
    results = sorted(file["result"] for one in told for file in one if file["result"] != "gone")
    assert results == ["known"] * 5 + ["taken"]
    assert (studio / FILE).read_text() == whole_record()
    assert sorted(one.name for one in (studio / "inbox/taken").iterdir()) == names


def test_what_waits_is_told_by_the_check(studio: Path) -> None:
    """No fault, and seen each day: a file that nobody takes is a reading that nobody sees."""
    hand_in(studio, SAT.text())
    (studio / "inbox/pool.jpg").write_bytes(b"picture")
    answer = called(studio, "check", "--as-of", "2026-05-01")
    assert answer.exit_code == 0
    assert "inbox/a.txt:1:1: warning: it waits to be taken: run 'handbook take'.\n" in answer.stdout
    assert "pool.jpg" not in answer.stdout
    told = json.loads(called(studio, "check", "--json").stdout)["warnings"]
    assert [one["code"] for one in told if one["file"].startswith("inbox/")] == [
        "waits_to_be_taken"
    ]


def test_the_records_know_nothing_of_it(tmp_path: Path) -> None:
    """An inbox lies beside the records, and is no record."""
    studio = studio_of(tmp_path, dict(BASE))
    hand_in(studio, SAT.text())
    assert called(studio, "check").exit_code == 0
