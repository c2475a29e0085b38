"""Records at fault, told to programs: the same object from every command with --json."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Final

import pytest

from handbook_builder.cli import main
from handbook_builder.problems import Place, Problem
from handbook_builder.reports.faults import faults_report
from handbook_builder.reports.plain import plain
from tests.bench.calls import bytes_of, called
from tests.records_in_text import write
from tests.reports.studio import DAY, at_fault, studio

FIRST: Final = (
    "records/burns/fig-big-b.md:17:1: found the unknown key 'flamé'. Mend or remove it.\n"
)
SECOND: Final = (
    "records/burns/fig-big-b.md:18:1: found the unknown key 'brim'. Mend or remove it.\n"
)
CALLS: Final[Mapping[str, tuple[str, ...]]] = {
    "figures": (),
    "due": (),
    "why": (),
    "compare": ("fig", "fig-big"),
    "plan": (),
    "pour": ("fig",),
    "price": (),
    "trace": ("W-2",),
    "stock": (),
    "log": ("fig-big-b", "--burned", "4 h"),
}


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    """Return a studio with two keys that nobody knows in one record."""
    write(tmp_path / "records", at_fault(studio()))
    return tmp_path


def test_every_command_is_called() -> None:
    """All that have --json, but `check`, which the others are held against, `take` and `bring`.

    A table can be brought into records at fault: that may be what they lack. `take` goes on with
    the next file, and tells the faults with each (tests/handover).
    """
    told = {
        name
        for name, command in main.commands.items()
        if any(one.name == "as_json" for one in command.params)
    }
    assert told == CALLS.keys() | {"check", "take", "bring"}


@pytest.mark.parametrize("command", CALLS)
def test_a_program_gets_the_faults(command: str, faulty: Path) -> None:
    """What `check --json` prints, and status 1; a person still finds the lines on stderr."""
    before = bytes_of(faulty)
    checked = called(faulty, "check", "--as-of", DAY, "--json")
    found = called(faulty, command, *CALLS[command], "--as-of", DAY, "--json")
    assert (checked.exit_code, found.exit_code) == (1, 1)
    assert found.stdout == checked.stdout
    assert [one["line"] for one in json.loads(found.stdout)["faults"]] == [17, 18]
    assert found.stderr.startswith(FIRST + SECOND)
    assert bytes_of(faulty) == before


@pytest.mark.parametrize("command", CALLS)
def test_a_person_gets_lines_alone(command: str, faulty: Path) -> None:
    """Without --json nothing is printed to stdout."""
    found = called(faulty, command, *CALLS[command], "--as-of", DAY)
    assert (found.exit_code, found.stdout) == (1, "")
    assert found.stderr.startswith(FIRST + SECOND)


@pytest.mark.parametrize("command", [one for one in CALLS if one != "log"])
def test_a_folder_without_records_is_a_wrong_call(command: str, tmp_path: Path) -> None:
    """It is no fault of any record: one sentence, status 2, and the same for a program."""
    found = called(tmp_path, command, *CALLS[command], "--as-of", DAY, "--json")
    assert found.exit_code == 2
    assert [one["code"] for one in json.loads(found.stdout)["faults"]] == ["no_records"]
    assert found.stderr.startswith("records/:1:1: ")
    assert found.stderr.count("\n") == 1


@pytest.mark.parametrize("command", ["check", "take", "bring"])
def test_so_it_is_for_the_commands_that_go_on(command: str, tmp_path: Path) -> None:
    """Those whose faults are of another sort say the same of a folder without records."""
    (tmp_path / "table.csv").write_text("a,b\n1,2\n", "utf-8")
    more = (str(tmp_path / "table.csv"),) if command == "bring" else ()
    found = called(tmp_path, command, *more, "--json")
    assert found.exit_code == 2
    assert [one["code"] for one in json.loads(found.stdout)["faults"]] == ["no_records"]


def test_log_without_records_has_no_candle(tmp_path: Path) -> None:
    """It looks for the candle first, and that is a wrong call as well."""
    found = called(tmp_path, "log", *CALLS["log"], "--as-of", DAY, "--json")
    assert found.exit_code == 2
    (fault,) = json.loads(found.stdout)["faults"]
    assert (fault["code"], fault["file"], fault["line"]) == ("wrong_call", None, None)
    assert found.stderr == f"{fault['message']}\n"
    assert "fig-big-b" in found.stderr


WRONG: Final[Mapping[str, tuple[str, ...]]] = {
    "an option that no command has": ("due", "--nope"),
    "a command that is not there": ("dew",),
    "a word too many": ("figures", "all"),
    "a day that is none": ("check", "--as-of", "1 May"),
    "a product that nobody knows": ("why", "nope"),
    "a name that is no candle's": ("compare", "fig", "nope"),
    "a plan for two things": ("plan", "fig", "--change", "waxes/soy"),
    "a lot that nobody bought": ("trace", "W-9"),
    "an amount without a unit": ("stock", "waxes/soy", "--buy", "5"),
    "readings that are none": ("log", "fig-big-b", "--burned", "long"),
    "a table that is not there": ("bring", "nowhere.csv"),
    "a file that is not there": ("take", "nowhere.txt"),
}


@pytest.mark.parametrize("call", WRONG)
def test_a_wrong_call_is_told_to_the_program_that_made_it(call: str, tmp_path: Path) -> None:
    """Status 2, and on stdout the object that faults have: why, and no place. stderr as ever."""
    write(tmp_path / "records", studio())
    day = () if "--as-of" in WRONG[call] else ("--as-of", DAY)
    found = called(tmp_path, *WRONG[call], *day, "--json")
    told = json.loads(found.stdout)
    assert (found.exit_code, told["format"], told["warnings"]) == (2, 2, [])
    assert {one["code"] for one in told["faults"]} == {"wrong_call"}
    assert all(one["message"] in found.stderr for one in told["faults"])
    plainly = called(tmp_path, *WRONG[call], *day)
    assert (plainly.exit_code, plainly.stdout) == (2, "")


def test_a_warning_stands_apart() -> None:
    """It has the form of a fault, and is none."""
    fault = Problem(Place("records/studio.md", 3, 7), "unknown_key", "Mend it.")
    warning = Problem(Place("records/studio.md"), "may_not", "Look at it.")
    assert plain(faults_report([fault], [warning])) == {
        "format": 2,
        "faults": [
            {"file": "records/studio.md", "line": 3, "column": 7, "code": "unknown_key",
             "message": "Mend it."},
        ],
        "warnings": [
            {"file": "records/studio.md", "line": 1, "column": 1, "code": "may_not",
             "message": "Look at it."},
        ],
    }  # fmt: skip
