"""What a person sees in a terminal: its width, its colour, its paths, and what goes on."""

import io
import os
import pty
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from handbook_builder import terminal
from handbook_builder.cli import main
from handbook_builder.terminal import Tone, echo, echo_place, paint, wrapped
from tests.bench.calls import called, studio_of
from tests.records_in_text import BASE, proven

ROOT = Path(__file__).parents[2]
ESCAPE = "\x1b["


class Screen(io.StringIO):
    """A terminal that remembers what was written to it."""

    def isatty(self) -> bool:
        """Say that a person looks."""
        return True


@contextmanager
def a_screen(**variables: str) -> Iterator[Screen]:
    """Put a terminal of 40 columns in the place of both streams, within a call."""
    found = Screen()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "stdout", found)
        patch.setattr(sys, "stderr", found)
        patch.delenv("NO_COLOR", raising=False)
        for name, value in {"COLUMNS": "40", "TERM": "xterm", **variables}.items():
            patch.setenv(name, value)
        with main.make_context("handbook", ["check"], resilient_parsing=True):
            yield found


@pytest.mark.parametrize("columns", [50, 60, 80, 100, 140])
def test_help_fits_the_terminal_and_cuts_nothing(columns: int) -> None:
    """Every command has a line of its own at 80 columns; narrower, it goes on in the next line."""
    told = CliRunner().invoke(main, ["--help"], terminal_width=columns).output
    assert all(len(line) <= columns for line in told.splitlines())
    assert "..." not in told.partition("\nOptions:")[2]
    assert "\N{HORIZONTAL ELLIPSIS}" not in told
    listed = re.findall(r"^  ([a-z]+)  +\S", told, re.MULTILINE)
    assert sorted(listed) == sorted(main.commands)
    if columns >= 80:
        for name, command in main.commands.items():
            assert re.search(
                rf"^  {name} +{re.escape(command.short_help or '-')}$", told, re.MULTILINE
            )


@pytest.mark.parametrize("name", sorted(main.commands))
def test_the_help_of_each_command_fits(name: str) -> None:
    """At the width that most terminals begin with."""
    told = CliRunner().invoke(main, [name, "--help"], terminal_width=80).output
    written = [line for line in told.splitlines() if not line.startswith("  handbook ")]
    assert all(len(line) <= 80 for line in written), told


def test_lines_break_between_words() -> None:
    """What follows is set in under the first word; a path stays whole, however long."""
    assert wrapped("  - one two three four", 14) == "  - one two\n    three four"
    assert wrapped("a line that fits", 16) == "a line that fits"
    path = "records/burns/" + "x" * 30 + ".md:3:1:"
    assert wrapped(f"{path} mend it", 20) == f"{path}\n  mend it"
    red = paint("Failed", Tone.BAD)
    assert wrapped(f"  it {red} again", 12) == f"  it {red}\n  again"
    assert wrapped("two\N{NO-BREAK SPACE}words stay", 12) == "two\N{NO-BREAK SPACE}words\n  stay"


def test_colour_is_for_terminals_alone() -> None:
    """In a terminal the place stands out; in a pipe there is no code at all."""
    with a_screen() as screen:
        echo_place("records/studio.md:1:2: Mend it.", err=True)
    assert ESCAPE in screen.getvalue()
    assert click.unstyle(screen.getvalue()) == "records/studio.md:1:2: Mend it.\n"
    with a_screen() as screen, pytest.MonkeyPatch.context() as patch:
        piped = io.StringIO()
        patch.setattr(sys, "stdout", piped)
        echo(paint("Approved", Tone.GOOD) + " " + "word " * 30)
    assert piped.getvalue() == "Approved " + "word " * 30 + "\n"
    assert screen.getvalue() == ""


@pytest.mark.parametrize("variables", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_colour_can_be_refused(variables: dict[str, str]) -> None:
    """By the variable that programs agree on (no-color.org), and by a terminal that has none."""
    with a_screen(**variables) as screen:
        echo(paint("Failed", Tone.BAD))
    assert screen.getvalue() == "Failed\n"


def test_an_empty_no_color_refuses_nothing() -> None:
    """It counts when it is not empty (no-color.org)."""
    with a_screen(NO_COLOR="") as screen:
        echo(paint("Failed", Tone.BAD))
    assert ESCAPE in screen.getvalue()


def test_no_color_is_an_option() -> None:
    """It holds for the whole call."""
    with a_screen() as screen:
        terminal.without_colour()
        echo(paint("Failed", Tone.BAD))
    assert screen.getvalue() == "Failed\n"
    with a_screen() as screen:
        main.main(["--no-color", "why", "--help"], prog_name="handbook", standalone_mode=False)
    assert ESCAPE not in screen.getvalue()


def test_what_goes_on_is_said_and_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    """A line that rewrites itself, without any code, gone before the next line and at the end."""
    monkeypatch.setattr(terminal, "_QUIET_S", 0.0)
    monkeypatch.setattr(terminal, "_BEAT_S", 0.001)
    with a_screen() as screen:
        terminal.progress("Reading")
        until(screen, "Reading")
        terminal.working("Page 3 of 9")
        until(screen, "Page 3 of 9")
        echo("Finished.")
        terminal.progress_over()
        seen = screen.getvalue()
        time.sleep(0.01)
        assert screen.getvalue() == seen
    assert ESCAPE not in seen
    assert shown(seen) == ["Finished.", ""]


def until(screen: Screen, text: str) -> None:
    """Wait until a text was written; a thread that never writes it fails the test."""
    for _ in range(2000):
        if text in screen.getvalue():
            return
        time.sleep(0.001)
    raise AssertionError(screen.getvalue())


def shown(written: str) -> list[str]:
    """Return what a terminal shows in the end: a return goes back, and later letters lie over."""
    lines = []
    for line in written.split("\n"):
        row: list[str] = []
        for part in line.split("\r"):
            row[: len(part)] = part
        lines.append("".join(row).rstrip(" "))
    return lines


@pytest.mark.parametrize("words", [("figures", "--json"), ("figures",)])
def test_nothing_goes_on_in_a_pipe_or_for_a_program(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stderr stays empty, however long it takes."""
    monkeypatch.setattr(terminal, "_QUIET_S", 0.0)
    studio = studio_of(tmp_path, {**BASE, **proven()})
    assert called(studio, *words, "--as-of", "2026-05-01").stderr == ""


def test_paths_lead_there_from_where_one_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From beside the studio, from within it, and from its records; and records elsewhere."""
    studio = studio_of(tmp_path / "my studio", {**BASE, "recipes/fig.md": "---\ntitel: Fig\n---\n"})
    (studio / "inbox").mkdir()
    for here, studio_word in ((tmp_path, "my studio"), (studio, "."), (studio / "records", "..")):
        monkeypatch.chdir(here)
        told = CliRunner().invoke(main, ["check", "--studio", studio_word]).stderr
        files = re.findall(r"^(.*?):[0-9]+:[0-9]+: ", told, re.MULTILINE)
        assert files
        assert all((here / one).is_file() for one in files), files
    (studio / "records").rename(studio / "data")
    (studio / "mkdocs.yml").write_text("plugins: [handbook: {records: data}]\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    told = CliRunner().invoke(main, ["check", "--studio", "my studio"]).stderr
    assert told.startswith("my studio/data/recipes/fig.md:")


def test_a_path_is_made_once_and_a_word_is_none(tmp_path: Path) -> None:
    """What has a folder before it is another path, and the word alone is a word."""
    with main.make_context("handbook", ["check"], resilient_parsing=True):
        terminal.seen_from_here(tmp_path, tmp_path / "records")
        there = os.path.relpath(tmp_path)
        for text, due in (
            ("records/burns/a.md:3", f"{there}/records/burns/a.md:3"),
            ("(records/studio.md)", f"({there}/records/studio.md)"),
            ("my-records/burns/a.md", "my-records/burns/a.md"),
            ("/x/records/burns/a.md", "/x/records/burns/a.md"),
            ("the records/the batches", "the records/the batches"),
        ):
            assert terminal._from_here(text) == due  # noqa: SLF001 -- what `echo` prints
            assert terminal._from_here(due) == due  # noqa: SLF001 -- as above


@pytest.mark.deep
def test_in_a_real_terminal(tmp_path: Path) -> None:
    """The verdict in colour within 60 columns; the same call into a pipe is plain."""
    studio = studio_of(tmp_path, proven())
    words = [sys.executable, "-m", "handbook_builder", "why", "fig", "--studio", str(studio),
             "--as-of", "2026-05-01"]  # fmt: skip
    env = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "60", "TERM": "xterm"}
    env.pop("NO_COLOR", None)
    leader, follower = pty.openpty()
    with subprocess.Popen(words, stdout=follower, stderr=follower, env=env) as run:
        os.close(follower)
        seen = b"".join(iter(lambda: _read(leader), b"")).decode()
    os.close(leader)
    piped = subprocess.run(words, env=env, capture_output=True, text=True, check=True)
    assert run.returncode == 0
    assert f"{ESCAPE}32m" in seen
    assert all(len(click.unstyle(line)) <= 60 for line in seen.replace("\r", "").split("\n"))
    assert ESCAPE not in piped.stdout
    assert re.sub(r"\s+", " ", click.unstyle(seen)) == re.sub(r"\s+", " ", piped.stdout)


def _read(leader: int) -> bytes:
    try:
        return os.read(leader, 4096)
    except OSError:  # the other end is closed
        return b""
