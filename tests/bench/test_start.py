"""`handbook start` and `equip`: a studio that editors complete and that git keeps."""

import json
import os
import re
import shutil
import subprocess
import sys
from fnmatch import fnmatch
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from handbook_builder.cli import main
from handbook_builder.reading.records import KINDS
from tests.records_in_text import BASE, write

ROOT = Path(__file__).parents[2]
KNOWN = "[user]\n\tname = Wren\n\temail = wren@studio.example\n"
WRONG = BASE["waxes/soy.md"].replace("0.90 g/mL", "0.90")


def nobodys(monkeypatch: pytest.MonkeyPatch, folder: Path) -> Path:
    """Have git know nobody, and nothing of this machine's; return its settings."""
    for name in [one for one in os.environ if one.startswith(("GIT_", "EMAIL"))]:
        monkeypatch.delenv(name)
    settings = folder / "gitconfig"
    settings.write_text("")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(ROOT), *sys.path]))
    return settings


@pytest.fixture(autouse=True)
def git_of_nobody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the settings of a git that knows nobody."""
    return nobodys(monkeypatch, tmp_path)


def started(folder: Path, *words: str) -> Result:
    """Return what `start` said."""
    result = CliRunner().invoke(main, ["start", str(folder), *words])
    assert result.exception is None, result.output
    return result


def equipped(folder: Path) -> Result:
    """Return what `equip` said."""
    return CliRunner().invoke(main, ["equip", "--studio", str(folder)])


def git(folder: Path, *words: str) -> "subprocess.CompletedProcess[str]":
    """Return what git came to."""
    command = ["git", "-C", str(folder), *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def commits(folder: Path) -> list[str]:
    """Return the subjects of the commits, the newest first."""
    return git(folder, "log", "--format=%an: %s").stdout.splitlines()


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Return a new studio of somebody whom git knows, and what was said when it was begun."""
    folder = tmp_path_factory.mktemp("begun")
    with pytest.MonkeyPatch.context() as patch:
        nobodys(patch, folder).write_text(KNOWN)
        return folder / "studio", started(folder / "studio").output


@pytest.fixture
def kept(tmp_path: Path, git_of_nobody: Path, begun: tuple[Path, str]) -> Path:
    """Return that studio with a wax that is not committed yet."""
    git_of_nobody.write_text(KNOWN)
    studio = shutil.copytree(begun[0], tmp_path / "studio")
    write(studio / "records", {"waxes/soy.md": BASE["waxes/soy.md"]})
    return studio


def test_git_keeps_a_new_studio(begun: tuple[Path, str]) -> None:
    """Where git knows whose it is, its first state is committed, checked by the hook."""
    studio, said = begun
    assert commits(studio) == ["Wren: Begin the studio"]
    assert git(studio, "status", "--porcelain").stdout == ""
    assert "its first state committed" in said
    assert "private" in said.splitlines()[-1]
    hook = studio / ".git" / "hooks" / "pre-commit"
    assert os.access(hook, os.X_OK)
    assert str(hook) in said


def test_nothing_is_committed_in_nobodys_name(tmp_path: Path) -> None:
    """A name that git makes up of the machine's is none; the studio is there all the same."""
    studio = tmp_path / "studio"
    said = started(studio).output
    assert commits(studio) == []
    assert (studio / ".git").is_dir()
    assert "The first commit is yours" in said
    assert "user.name" in (studio / "README.md").read_text("utf-8")


def test_git_may_refuse_the_first_commit(tmp_path: Path, git_of_nobody: Path) -> None:
    """A hook of the maker's own that says no fails no studio, and is told."""
    own = tmp_path / "template" / "hooks" / "pre-commit"
    own.parent.mkdir(parents=True)
    own.write_text("#!/bin/sh\nexit 1\n")
    own.chmod(0o755)
    git_of_nobody.write_text(f"{KNOWN}[init]\n\ttemplateDir = {own.parents[1]}\n")
    said = started(tmp_path / "studio").output
    assert commits(tmp_path / "studio") == []
    assert "Git would make no first commit" in said


def test_a_machine_without_git(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The studio is whole, and the last lines say what it lacks."""
    monkeypatch.setenv("PATH", str(tmp_path))
    said = started(tmp_path / "studio").output
    assert "There is no git on this machine" in said
    assert (tmp_path / "studio" / "records" / "studio.md").is_file()
    assert not (tmp_path / "studio" / ".git").exists()


def test_without_git_where_that_is_asked(tmp_path: Path) -> None:
    """`--no-git` leaves it out, and says nothing of it."""
    said = started(tmp_path / "studio", "--no-git").output
    assert not (tmp_path / "studio" / ".git").exists()
    assert len(said.splitlines()) == 1


def test_no_repository_is_begun_within_another(tmp_path: Path, git_of_nobody: Path) -> None:
    """Whose it is, is told, and it gets neither a commit nor a hook."""
    git_of_nobody.write_text(KNOWN)
    git(tmp_path, "init", "-q")
    said = started(tmp_path / "deep" / "studio").output
    assert f"lies inside the repository {tmp_path}" in said
    assert not (tmp_path / "deep" / "studio" / ".git").exists()
    assert not (tmp_path / ".git" / "hooks" / "pre-commit").exists()
    assert commits(tmp_path) == []
    assert "No repository begins in this folder" in equipped(tmp_path / "deep" / "studio").output


def test_a_repository_that_is_there_is_kept(tmp_path: Path, git_of_nobody: Path) -> None:
    """Who called `git init` first has an empty folder all the same."""
    git_of_nobody.write_text(KNOWN)
    studio = tmp_path / "studio"
    studio.mkdir()
    git(studio, "init", "-q")
    assert "The repository that was here keeps the studio" in started(studio).output
    assert commits(studio) == []
    assert (studio / ".git" / "hooks" / "pre-commit").is_file()


def test_a_hook_that_is_there_is_left_alone(tmp_path: Path, git_of_nobody: Path) -> None:
    """One of a template of git's, one of the maker's, and those that stand elsewhere."""
    own = tmp_path / "template" / "hooks" / "pre-commit"
    own.parent.mkdir(parents=True)
    own.write_text("#!/bin/sh\nexit 0\n")
    git_of_nobody.write_text(f"[init]\n\ttemplateDir = {own.parents[1]}\n")
    studio = tmp_path / "studio"
    assert "Kept as it is" in started(studio).output
    hook = studio / ".git" / "hooks" / "pre-commit"
    assert hook.read_text() == own.read_text()
    hook.unlink()
    git_of_nobody.write_text(f"[core]\n\thooksPath = {own.parent}\n")
    assert "takes its hooks from elsewhere" in equipped(studio).output
    assert own.read_text() == "#!/bin/sh\nexit 0\n"
    assert not hook.exists()


@pytest.mark.deep  # each commit runs a check of its own
def test_no_commit_of_records_at_fault(kept: Path) -> None:
    """The fault is told by its place, and git makes none; mended, or unchecked, it does."""
    wax = kept / "records" / "waxes" / "soy.md"
    wax.write_text(WRONG)
    git(kept, "add", "-A")
    refused = git(kept, "commit", "-m", "soy")
    assert refused.returncode == 1
    assert "records/waxes/soy.md:3:10: found '0.90' without a unit" in refused.stderr
    assert "git commit --no-verify" in refused.stderr
    assert len(commits(kept)) == 1
    assert git(kept, "commit", "--no-verify", "-m", "soy").returncode == 0
    wax.write_text(BASE["waxes/soy.md"])
    assert git(kept, "commit", "-am", "soy mended").returncode == 0
    assert len(commits(kept)) == 3


@pytest.mark.deep  # as above
def test_what_is_committed_is_checked_and_not_what_stands_in_the_folder(kept: Path) -> None:
    """A record mended in the folder alone is refused, and one spoilt there alone is not."""
    wax = kept / "records" / "waxes" / "soy.md"
    wax.write_text(WRONG)
    git(kept, "add", "-A")
    wax.write_text(BASE["waxes/soy.md"])
    refused = git(kept, "commit", "-m", "soy")
    assert refused.returncode == 1
    assert "records/waxes/soy.md:3:10: " in refused.stderr
    git(kept, "add", "-A")
    wax.write_text(WRONG)
    assert git(kept, "commit", "-m", "soy").returncode == 0
    assert git(kept, "show", "HEAD:records/waxes/soy.md").stdout == BASE["waxes/soy.md"]


def test_a_hook_without_its_program_says_so(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another machine, a folder that is gone: the command on the path is taken, or nothing is."""
    hook = kept / ".git" / "hooks" / "pre-commit"
    hook.write_text(
        re.sub("^python=.*$", "python=/gone/python", hook.read_text(), flags=re.MULTILINE)
    )
    tools = kept.parent / "tools"
    tools.mkdir()
    for name in ("git", "sh", "mktemp", "rm"):
        (tools / name).symlink_to(str(shutil.which(name)))
    monkeypatch.setenv("PATH", str(tools))
    git(kept, "add", "-A")
    refused = git(kept, "commit", "-m", "soy")
    assert refused.returncode == 1
    assert "The records were not checked: there is no /gone/python" in refused.stderr
    (tools / "handbook").write_text('#!/bin/sh\necho "called: $1" >&2\n')
    (tools / "handbook").chmod(0o755)
    assert "called: check" in git(kept, "commit", "-m", "soy").stderr
    assert len(commits(kept)) == 2
    tasks = kept / ".vscode" / "tasks.json"
    tasks.write_text(tasks.read_text().replace(Path(sys.executable).as_posix(), "/gone/python"))
    assert "Kept" not in equipped(kept).output  # both are ours but for a program that has moved
    assert "/gone/python" not in hook.read_text() + tasks.read_text()
    assert os.access(hook, os.X_OK)


def test_what_can_be_made_again_is_not_kept_and_what_was_handed_over_is(kept: Path) -> None:
    """The inbox holds readings that stand nowhere else."""
    paths = ("site/index.html", "site-floor/index.html", ".vscode/tasks.json", "records/.DS_Store",
             "inbox/fig-a.yml", "inbox/taken/fig-a.yml", "records/burns/fig-a/1.jpg",
             ".schemas/waxes.json", ".vscode/settings.json", "records/.half-written")  # fmt: skip
    ignored = [one for one in paths if git(kept, "check-ignore", one).returncode == 0]
    assert ignored == list(paths[:4])


def test_a_clone_is_a_studio(kept: Path) -> None:
    """Git keeps no empty folders and no hook: the records check, and `equip` sets up the rest."""
    clone = kept.parent / "clone"
    assert git(kept, "clone", "-q", str(kept), str(clone)).returncode == 0
    done = CliRunner().invoke(main, ["check", "--studio", str(clone)])
    assert done.exit_code == 0, done.output
    said = equipped(clone).output.splitlines()
    made = said.pop(2)
    assert made.startswith("Made, since git keeps no empty folders: ")
    folders = (clone / "inbox", *(clone / "records" / kind for kind in KINDS))
    assert all(one.is_dir() and f"{one.name}/" in made for one in folders)
    assert said == [
        "Written: .schemas/",
        "Written: .vscode/tasks.json",
        f"Before each commit the records are checked: {clone}/.git/hooks/pre-commit",
    ]
    assert "Made" not in equipped(clone).output
    assert git(clone, "status", "--porcelain").stdout == ""
    made = CliRunner().invoke(main, ["new", "wax", "bee", "--studio", str(clone)])
    assert made.exit_code == 0, made.output


def test_a_studio_that_was_there_before(tmp_path: Path) -> None:
    """`equip` lays what is not there, and overwrites nothing but the schemas."""
    studio = tmp_path / "old"
    write(studio / "records", BASE)
    (studio / ".vscode").mkdir()
    (studio / ".vscode" / "settings.json").write_text("{}")
    (studio / ".schemas").mkdir()
    (studio / ".schemas" / "waxes.json").write_text("{}")
    said = equipped(studio).output
    assert "Kept as it is: .vscode/settings.json" in said
    assert "Written: .vscode/tasks.json" in said
    assert (studio / ".vscode" / "settings.json").read_text() == "{}"
    assert len((studio / ".schemas" / "waxes.json").read_text()) > 1000
    assert (studio / ".gitattributes").is_file()
    assert CliRunner().invoke(main, ["check", "--studio", str(studio)]).exit_code == 0
    (tmp_path / "empty").mkdir()
    nowhere = equipped(tmp_path / "empty")
    assert nowhere.exit_code == 2
    assert list((tmp_path / "empty").iterdir()) == []


def read(path: Path) -> Any:  # noqa: ANN401 -- whatever JSON holds
    """Return what a file of JSON holds."""
    return json.loads(path.read_text("utf-8"))


def test_each_record_finds_its_schema(tmp_path: Path) -> None:
    """By the settings of an editor, and by a line of its own in each new record."""
    studio = tmp_path / "studio"
    started(studio, "--no-git")
    settings = read(studio / ".vscode" / "settings.json")
    globs = {
        glob: read(studio / schema)["title"] for schema, glob in settings["yaml.schemas"].items()
    }
    assert len(globs) == len(KINDS) + 1
    for record in (ROOT / "records").rglob("*.md"):
        path = record.relative_to(ROOT).as_posix()
        assert sum(fnmatch(path, glob) for glob in globs) == 1, path
    assert globs["records/waxes/*.md"] == "wax"
    assert globs["records/studio.md"] == "studio"
    assert CliRunner().invoke(main, ["new", "wax", "bee", "--studio", str(studio)]).exit_code == 0
    for path in ("records/studio.md", "records/waxes/bee.md"):
        first, second, *_ = (studio / path).read_text("utf-8").splitlines()
        named = second.removeprefix("# yaml-language-server: $schema=")
        assert first == "---"
        found = (studio / path).parent.joinpath(named).resolve()
        assert read(found)["title"] == globs.get(path, "wax")
    done = CliRunner().invoke(main, ["schema", str(tmp_path / "elsewhere")])
    assert done.output == f"Written: {len(globs)} schemas, in {tmp_path / 'elsewhere'}\n"


@pytest.mark.deep  # it runs the task twice
def test_the_task_of_an_editor_finds_what_check_says(tmp_path: Path) -> None:
    """It runs, and its pattern takes apart a fault, a warning, and no other line."""
    studio = tmp_path / "studio"
    started(studio, "--no-git")
    files = {**BASE, "recipes/fig.md": BASE["recipes/fig.md"] + "![Jar](jarr.png)\n"}
    write(studio / "records", {one: text for one, text in files.items() if one != "studio.md"})
    (task, _) = read(studio / ".vscode" / "tasks.json")["tasks"]
    pattern = task["problemMatcher"]["pattern"]

    def run() -> list[tuple[str | Any, ...]]:
        done = subprocess.run(
            [task["command"], *task["args"]],
            cwd=studio,
            capture_output=True,
            text=True,
            check=False,
        )
        found = (
            re.match(pattern["regexp"], one) for one in (done.stdout + done.stderr).splitlines()
        )
        names = ("file", "line", "column", "severity")
        return [tuple(one[pattern[name]] for name in names) for one in found if one]

    assert run() == [("records/recipes/fig.md", "2", "1", "warning")]
    write(studio / "records", {"waxes/soy.md": WRONG})
    assert run() == [("records/waxes/soy.md", "3", "10", None)]
