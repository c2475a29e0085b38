"""What a shell offers: Click's own protocol, through the variables that the shells set."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from handbook_builder.cli import main
from tests.bench.calls import studio_of
from tests.records_in_text import BASE, burn, proven

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a studio with a candle, a batch, an incident and a helper, and a record at fault."""
    files = {
        **BASE, **proven(), "helpers/wren.md": "---\nmay: [burn]\n---\n",
        "batches/fig-1.md": "---\n", "incidents/incident-1.md": "no record at all",
        "burns/fig-a.md": burn("A"),
    }  # fmt: skip
    return studio_of(tmp_path_factory.mktemp("completing"), files)


def offered(words: str, shell: str = "bash") -> list[str]:
    """Return what a shell would offer for the last of the words, as typed so far."""
    given = ["handbook", *words.split(" ")]
    at = given[-1] if shell == "fish" else str(len(given) - 1)
    env = {"_HANDBOOK_COMPLETE": f"{shell}_complete", "COMP_WORDS": " ".join(given),
           "COMP_CWORD": at}  # fmt: skip
    done = CliRunner().invoke(main, [], env=env, prog_name="handbook")
    assert done.exit_code == 0, done.output
    lines = [line for line in done.stdout.splitlines() if line]
    if shell == "zsh":  # a sort, a word and what is said of it, a line each
        return lines[1::3]
    return [line.partition(",")[2].partition("\t")[0] for line in lines]


@pytest.mark.parametrize(
    ("words", "due"),
    [
        ("log fig-", ["fig-a", "fig-b", "fig-c"]),
        ("why fi", ["fig"]),
        ("price fi", ["fig"]),
        ("pour fi", ["fig"]),
        ("label fi", ["fig"]),
        ("sticker fi", ["fig"]),
        ("plan tum", ["tumbler"]),
        ("plan tumbler --wax so", ["soy"]),
        ("plan tumbler --wax soy --oil fi", ["fig-oil"]),
        ("plan --change wicks/", ["wicks/cotton-8"]),
        ("compare fig-a fig", ["fig", "fig-a", "fig-b", "fig-c"]),
        ("label fig --batch f", ["fig-1"]),
        ("trace fig-", ["fig-1"]),
        ("trace waxes/", ["waxes/soy"]),
        ("stock vessels/t", ["vessels/tumbler"]),
        ("ask vessels/t", ["vessels/tumbler"]),
        ("new bu", ["burn"]),
        ("new burn f", ["fig"]),
        ("new wax f", []),
        ("sign w", ["wren"]),
        ("sign wren hot", ["hot-wax-and-flame"]),
        ("paper notice i", ["incident-1"]),
        ("paper burn-sheet fig-a", ["fig-a"]),
        ("paper care f", ["fig"]),
        ("paper wall f", []),
        ("du", ["due"]),
        ("log fig-a --end w", ["went_out"]),
        ("log fig-a --scale-d", ["--scale-dates", "--scale-decimal"]),
    ],
)
def test_what_is_on_file_is_offered(
    words: str, due: list[str], studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By its id, in the studio where one stands, though a record is at fault."""
    monkeypatch.chdir(studio)
    assert offered(words) == due


def test_the_studio_that_was_named_is_looked_at(studio: Path) -> None:
    """An option before the word counts, and a folder that is not there offers nothing."""
    assert offered(f"why --studio {studio} f") == ["fig"]
    assert offered("why --studio /nowhere/at/all f") == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_is_answered(shell: str, studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each asks in its own way, and each gets the script that asks."""
    monkeypatch.chdir(studio)
    assert offered("log fig-", shell) == ["fig-a", "fig-b", "fig-c"]
    env = {"_HANDBOOK_COMPLETE": f"{shell}_source"}
    script = CliRunner().invoke(main, [], env=env, prog_name="handbook").stdout
    assert f"_HANDBOOK_COMPLETE={shell}_complete" in script


def test_a_broken_studio_offers_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither a trace nor a word on any stream: a key was pressed, no more."""
    (tmp_path / "mkdocs.yml").write_text("plugins: [handbook: {records: [", "utf-8")
    monkeypatch.chdir(tmp_path)
    assert offered("why f") == []
    assert offered("sign w") == []


@pytest.mark.deep
@pytest.mark.skipif(shutil.which("bash") is None, reason="the system has no bash")
def test_a_real_shell_completes(studio: Path, tmp_path: Path) -> None:
    """The line of the README, then a word and the key: the shell has the answer."""
    program = tmp_path / "handbook"
    begin = "from handbook_builder.cli import main; main(prog_name='handbook')"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -c "{begin}" "$@"\n', "utf-8")
    program.chmod(0o755)
    lines = (
        'eval "$(_HANDBOOK_COMPLETE=bash_source handbook)"; COMP_WORDS=(handbook log fig-); '
        'COMP_CWORD=2; _handbook_completion handbook; echo "${COMPREPLY[@]}"'
    )
    env = {**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(["bash", "-c", lines], cwd=studio, env=env, capture_output=True,
                          text=True, check=True)  # fmt: skip
    assert done.stdout.split() == ["fig-a", "fig-b", "fig-c"]
