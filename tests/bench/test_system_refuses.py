"""A full disk, a poor terminal, a port in use: one sentence, and nothing is lost."""

import json
import os
import shutil
import socket
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.publish.calendar import Heading, calendar_of
from tests.bench.calls import bytes_of, studio_of
from tests.records_in_text import BASE, burn, proven, whole_life

ROOT = Path(__file__).parents[2]
SOY = "soy=100.0 g, fig-oil=8.0 g"
DAY = ("--as-of", "2026-05-01")
CANDLE = "\N{CANDLE}"
needs_bash = pytest.mark.skipif(shutil.which("bash") is None, reason="the system has no bash")
CYCLE = ("--on", "2026-03-17", "--burned", "4 h", "--before", "374 g", "--after", "348 g")


def run(
    *words: str, room: str = "unlimited", **variables: str
) -> "subprocess.CompletedProcess[str]":
    """Run the program where no file may grow beyond `room` blocks, as on a disk that is full."""
    return subprocess.run(
        ["bash", "-c", f'ulimit -f {room}; exec "$@"', "-", sys.executable, "-m",
         "handbook_builder", *words],
        env={**os.environ, "PYTHONPATH": str(ROOT), **variables},
        capture_output=True, encoding="latin-1" if variables else "utf-8", check=False, timeout=120,
    )  # fmt: skip


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a studio in which candle A burns, with a title that few terminals can show."""
    recipe = BASE["recipes/fig.md"].replace("title: Fig", f"title: Fig {CANDLE}")
    lit = burn("A", cycles=whole_life()[:1], end="")
    files = {**proven(), "recipes/fig.md": recipe, "burns/fig-a.md": lit,
             "helpers/wren.md": "---\nmay: [burn]\n---\n"}  # fmt: skip
    return studio_of(tmp_path / "studio", files)


@needs_bash
@pytest.mark.parametrize(
    "words",
    [
        ("log", "fig-a", *CYCLE, *DAY),
        ("log", "fig-a", *CYCLE, *DAY, "--json"),
        ("new", "wax", "bee"),
        ("new", "burn", "fig", "--on", "2026-03-01", "--weighed", SOY),
        ("due", *DAY, "--ics", "{studio}/due.ics"),
        ("build", *DAY),
        ("sign", "wren", "hot-wax-and-flame", "--on", "2026-03-01"),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_a_full_disk_is_one_sentence(words: tuple[str, ...], studio: Path) -> None:
    """No trace; the records are as they were, and so is the calendar of before."""
    (studio / "due.ics").write_bytes(calendar_of((), Heading("Studio", "Board"), date(2026, 1, 1)))
    old = bytes_of(studio)
    done = run(*[one.format(studio=studio) for one in words], "--studio", str(studio), room="0")
    assert done.returncode in (1, 2), done.stderr
    assert "Traceback" not in done.stderr
    assert "File too large" in done.stderr
    assert bytes_of(studio) == old


def _can_mount() -> bool:
    """Return whether the system lets a test mount a folder of its own."""
    if shutil.which("unshare") is None:
        return False
    mounting = ["unshare", "-rm", "mount", "-t", "tmpfs", "none", "/mnt"]
    return subprocess.run(mounting, capture_output=True, check=False).returncode == 0


@pytest.mark.skipif(not _can_mount(), reason="the system lets no test mount a folder")
@pytest.mark.parametrize(
    "words",
    [
        ("log", "fig-a", *CYCLE, *DAY),
        ("new", "wax", "bee"),
        ("new", "burn", "fig", "--on", "2026-03-01", "--weighed", SOY),
        ("sign", "wren", "hot-wax-and-flame", "--on", "2026-03-01"),
        ("due", *DAY, "--ics", "{studio}/new.ics"),
        ("start", "{studio}/new"),
        ("build", *DAY),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_a_disk_that_can_only_be_read_is_one_sentence(words: tuple[str, ...], studio: Path) -> None:
    """A stick with its catch on: no trace, which file it was, and nothing is lost."""
    old = bytes_of(studio)
    call = [one.format(studio=studio) for one in words]
    where = [] if words[0] == "start" else ["--studio", str(studio)]
    sealed = 'mount --bind "$0" "$0" && mount -o remount,bind,ro "$0" && exec "$@"'
    done = subprocess.run(
        ["unshare", "-rm", "sh", "-c", sealed, str(studio), sys.executable, "-m",
         "handbook_builder", *call, *where],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True, encoding="utf-8", check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode in (1, 2), done.stderr
    assert "Traceback" not in done.stderr
    assert "Read-only file system" in done.stderr
    assert bytes_of(studio) == old


@needs_bash
def test_what_was_logged_is_said_again(studio: Path) -> None:
    """Nobody has to read the scale twice."""
    done = run("log", "fig-a", *CYCLE, *DAY, "--studio", str(studio), room="0")
    assert "fig-a.md could not be written (File too large), and is as it was." in done.stderr
    assert done.stderr.endswith(
        "- {on: 2026-03-17, burned: 4 h, before: 374 g, after: 348 g, "
        "unread: [pool, flame, wall, after_smoke]}\n"
    )


@needs_bash
def test_half_a_studio_is_cleared_away(tmp_path: Path) -> None:
    """So that the next try finds a free place, whether the folder was there or not."""
    (tmp_path / "there").mkdir()
    for name in ("new", "there"):
        done = run("start", str(tmp_path / name), room="0")
        assert (done.returncode, done.stderr.count("\n")) == (1, 1)
        assert "Traceback" not in done.stderr
        assert run("start", str(tmp_path / name)).returncode == 0


@needs_bash
@pytest.mark.parametrize("words", [("why", "fig"), ("due",), ("why",), ("check",)])
def test_a_terminal_of_few_characters(words: tuple[str, ...], studio: Path) -> None:
    """What it cannot show is told by number, and nothing ends in a trace."""
    done = run(*words, *DAY, "--studio", str(studio), PYTHONIOENCODING="latin-1")
    assert (done.returncode, done.stderr) == (0, "")
    assert CANDLE not in done.stdout
    if words[0] == "why":
        # U+1F56F less 0x10000 is 0xF56F, in two halves of ten bits 0x3D and 0x16F (RFC 2781).
        assert "Fig \\ud83d\\udd6f" in done.stdout


@needs_bash
def test_json_stays_json_in_any_terminal(studio: Path) -> None:
    """A program reads the same title back."""
    words = ("pour", "fig", "--json", "--count", "2", *DAY, "--studio", str(studio))
    done = run(*words, PYTHONIOENCODING="latin-1")
    assert json.loads(done.stdout)["title"] == f"Fig {CANDLE}"


@needs_bash
def test_a_port_in_use(studio: Path) -> None:
    """Which port, and what to do about it, in one sentence and no trace."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run("serve", "--studio", str(studio), "--port", str(port), *DAY)
    assert done.returncode == 1
    told = f"Port {port} is in use. End what uses it, or choose another with --port.\n"
    assert done.stderr == told
