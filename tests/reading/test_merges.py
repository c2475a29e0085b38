"""Marks of a merge that nobody finished: told with their line, wherever a studio's words are read.

The marks are those of `git merge` (its manual, "How conflicts are presented", from memory): seven
`<`, `=` and `>` at the beginning of a line, a label behind them; seven `|` in its style diff3.
"""

import json
import subprocess
from pathlib import Path

import pytest

from handbook_builder.bringing.mapping import read_mapping
from handbook_builder.problems import MESSAGES
from handbook_builder.reading.handover import read_handover
from handbook_builder.reading.merges import marks
from handbook_builder.workshop import studio_in
from tests.bench.calls import called, studio_of
from tests.handover.kit import small_sitting
from tests.records_in_text import BASE, proven

OURS, FORMER, MIDDLE, THEIRS = "<<<<<<< HEAD", "||||||| 1a2b3c4", "=======", ">>>>>>> helper"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (f"{OURS}\na\n{MIDDLE}\nb\n{THEIRS}\n", [1, 3, 5]),
        (f"{OURS}\na\n{FORMER}\nc\n{MIDDLE}\nb\n{THEIRS}\n", [1, 3, 5, 7]),
        (f"{OURS}\r\na\r\n{MIDDLE}\r\nb\r\n{THEIRS}\r\n", [1, 3, 5]),
        (f"{OURS}\ra\r{MIDDLE}\rb\r{THEIRS}\r", [1, 3, 5]),
        (f"\ufeff{OURS}\na\n", [1]),
        (f"a\n{THEIRS}", [2]),
        ("a\n<<<<<<<\n|||||||\n=======\n>>>>>>>\n=======\n", [2, 3, 4, 5]),
        (f"---\na: 1\n{MIDDLE}\n---\nHead\n{MIDDLE}\n", [3]),
        (f"Head\n{MIDDLE}\n\n{MIDDLE}\n\n|||||||\n", []),
        ("<<<<<<<<\n>>>>>>\n >>>>>>> a\n`<<<<<<< HEAD`\n======== \n<<<<<<<a\n", []),
        (f"{OURS}\na\n{THEIRS}\nHead\n{MIDDLE}\n", [1, 3]),
    ],
)
def test_which_lines_are_marks(text: str, found: list[int]) -> None:
    """A heading that is underlined, a row of a table and a quotation are none."""
    assert [number for number, _ in marks(text.encode())] == found


def test_where_only_keys_stand_a_line_of_seven_is_a_mark(tmp_path: Path) -> None:
    """No key begins so, and nothing is underlined there."""
    assert [number for number, _ in marks(b"a: 1\n=======\nb: 1\n", keys_only=True)] == [2]
    assert not list(marks(b"a: |\n  =======\nb: 1\n", keys_only=True))
    del tmp_path


def test_what_version_control_itself_writes(tmp_path: Path) -> None:
    """Two branches change one line of a record; what is left in the file stops everything."""

    def git(*words: str) -> int:
        who = ("-c", "user.name=a", "-c", "user.email=a@b.example", "-c", "commit.gpgsign=false")
        command = ["git", *who, "-C", str(tmp_path), *words]
        return subprocess.run(command, capture_output=True, check=False).returncode

    studio_of(tmp_path, dict(BASE))
    wax = tmp_path / "records/waxes/soy.md"
    first = wax.read_text("utf-8")
    git("init", "-q", "-b", "main")
    git("add", "-A")
    assert git("commit", "-qm", "one") == 0
    git("checkout", "-qb", "other")
    wax.write_text(first.replace("10 %", "9 %"), "utf-8")
    git("commit", "-qam", "two")
    git("checkout", "-q", "main")
    wax.write_text(first.replace("10 %", "8 %"), "utf-8")
    git("commit", "-qam", "three")
    assert git("-c", "merge.conflictStyle=diff3", "merge", "other") == 1
    studio, problems = studio_in(tmp_path / "records")
    assert studio is None
    assert [(one.code, one.place.line) for one in problems] == [
        ("merge_conflict", line) for line in (4, 6, 8, 10)
    ]


def test_a_file_that_was_handed_over(tmp_path: Path) -> None:
    """An inbox may be shared as the records are: the file stays, and says why."""
    lines = small_sitting(2).text().splitlines(keepends=True)
    text = "".join([*lines[:3], f"{OURS}\n", lines[3], f"{MIDDLE}\n", f"{THEIRS}\n", *lines[4:]])
    found, problems = read_handover(text.encode(), "inbox/a.txt")
    assert found is None
    assert [str(one) for one in problems] == [
        f"inbox/a.txt:{line}:1: " + MESSAGES["merge_conflict"].format(found=mark[:7])
        for line, mark in ((4, OURS), (6, MIDDLE), (7, THEIRS))
    ]
    studio = studio_of(tmp_path, proven())
    (studio / "inbox").mkdir()
    (studio / "inbox/a.txt").write_text(text, "utf-8")
    done = called(studio, "take", "--as-read")
    assert done.exit_code == 1
    assert "inbox/a.txt:4:1: found '<<<<<<<'" in done.output
    assert (studio / "inbox/a.txt").is_file()


def test_the_mapping_of_a_table() -> None:
    """It says how a table is read: half of two versions would read it as nobody meant."""
    found, problems = read_mapping(f"as: burns\n{MIDDLE}\nid: a\n".encode(), "a.csv.yml")
    assert found is None
    assert [str(one)[:30] for one in problems] == ["a.csv.yml:2:1: found '=======',"[:30]]


@pytest.mark.parametrize(
    "path", ["words.yml", "guides/guides/own.md", "views/home.html", "new/burns.md.j2"]
)
def test_what_a_studio_says_beside_its_records(path: str, tmp_path: Path) -> None:
    """Its words, guides and views are told with the records, by every command, and never run."""
    studio = studio_of(tmp_path, proven())
    file = studio / "site_templates" / path
    file.parent.mkdir(parents=True)
    file.write_text(f"a: 1\n{OURS}\nb: 1\n{MIDDLE}\nb: 2\n{THEIRS}\n", "utf-8")
    expected = [
        f"site_templates/{path}:{line}:1: " + MESSAGES["merge_conflict"].format(found=mark[:7])
        for line, mark in ((2, OURS), (4, MIDDLE), (6, THEIRS))
    ]
    done = called(studio, "check")
    assert done.exit_code == 1
    assert done.output.splitlines()[:3] == expected
    answer = json.loads(called(studio, "due", "--json").stdout)
    assert [one["code"] for one in answer["faults"]] == ["merge_conflict"] * 3


def test_the_settings(tmp_path: Path) -> None:
    """mkdocs.yml says which records are read: with a mark in it, no command goes on."""
    studio = studio_of(tmp_path, proven())
    (studio / "mkdocs.yml").write_text(f"site_name: a\n{MIDDLE}\nplugins: []\n", "utf-8")
    for words in (["check"], ["due"], ["build"]):
        done = called(studio, *words)
        assert done.exit_code == (1 if words == ["build"] else 2)
        assert "mkdocs.yml:2:1: found '=======', where two versions" in done.output
