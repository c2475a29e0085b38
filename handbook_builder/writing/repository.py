"""The git repository that keeps a studio: begun where there is none, never fails a studio.

Git itself is asked for everything but one thing: whether a folder lies inside a repository is seen
by its `.git`, since git refuses to answer about one that belongs to somebody else.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Final

from handbook_builder.files import put_file
from handbook_builder.shipped import templates_folder

_HOOK: Final = "pre-commit"
_PROGRAM: Final = re.compile(rb"^python=.*$", re.MULTILINE)
# Git asks nobody anything here; a signature that needs a hand is waited for no longer than this.
_PATIENCE_S: Final = 60
_CONFIGURED: Final = ("-c", "user.useConfigOnly=true")
# What a hook of git's that calls the handbook is told of its own repository, not of a new one.
_OF_ANOTHER: Final = frozenset({
    "GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_COMMON_DIR",
    "GIT_OBJECT_DIRECTORY",
})  # fmt: skip
_FIRST: Final = "Begin the studio"


class Kept(Enum):
    """What became of the repository of a new studio."""

    NO_GIT = "no_git"  # there is no git on this machine
    INSIDE = "inside"  # the folder lies inside another repository
    REFUSED = "refused"  # git would not
    THERE = "there"  # it had one
    BEGUN = "begun"  # with nothing in it: git does not know whose commit it would be
    UNCOMMITTED = "uncommitted"  # with nothing in it: git would not
    COMMITTED = "committed"


class Hooked(Enum):
    """What became of the hook that checks before a commit."""

    NONE = "none"  # no repository of the studio's own, or no git
    KEPT = "kept"  # another hook is there
    ELSEWHERE = "elsewhere"  # git takes hooks from a place outside of the repository
    WRITTEN = "written"


@dataclass(frozen=True, slots=True)
class _Git:
    """Git, in a folder."""

    program: str
    folder: Path

    def __call__(self, *words: str) -> "subprocess.CompletedProcess[str] | None":
        """Return what a call came to, or None where it could not be made or did not end."""
        try:
            return subprocess.run(  # noqa: S603 -- git as it is on the path, and words of ours
                [self.program, "-C", str(self.folder), *words],
                env={key: one for key, one in os.environ.items() if key not in _OF_ANOTHER},
                stdin=subprocess.DEVNULL, capture_output=True, encoding="utf-8",
                errors="replace", check=False, timeout=_PATIENCE_S,
            )  # fmt: skip
        except (OSError, subprocess.TimeoutExpired):
            return None

    def does(self, *words: str) -> bool:
        """Return whether a call came to a good end."""
        done = self(*words)
        return done is not None and done.returncode == 0

    def answer(self, *words: str) -> str | None:
        """Return the one line that a call says, or None where it failed."""
        done = self(*words)
        return done.stdout.strip() if done is not None and done.returncode == 0 else None


def _git_in(folder: Path) -> _Git | None:
    program = shutil.which("git")
    return None if program is None else _Git(program, folder)


def repository_around(folder: Path) -> Path | None:
    """Return the folder of the repository that `folder` is in or at the top of, or None."""
    here = folder.resolve()
    return next((one for one in (here, *here.parents) if (one / ".git").exists()), None)


def begin(folder: Path) -> Kept:
    """Begin a repository for a new studio, where none is there or around it."""
    git, around = _git_in(folder), repository_around(folder)
    if around is not None:
        return Kept.THERE if around == folder.resolve() else Kept.INSIDE
    if git is None:
        return Kept.NO_GIT
    return Kept.BEGUN if git.does("init", "--quiet") else Kept.REFUSED


def commit_first(folder: Path) -> Kept:
    """Commit the first state of a new studio, in the name of who is known to git.

    A name that git makes up of the machine's is none.
    """
    git = _git_in(folder)
    known = ("GIT_AUTHOR_IDENT", "GIT_COMMITTER_IDENT")
    if git is None or not all(git.does(*_CONFIGURED, "var", one) for one in known):
        return Kept.BEGUN
    is_done = git.does("add", "--all") and git.does("commit", "--quiet", "-m", _FIRST)
    return Kept.COMMITTED if is_done else Kept.UNCOMMITTED


def hook_into(folder: Path) -> tuple[Hooked, Path | None]:
    """Have git check the records before each commit; return what became of it, and the hook.

    A hook that is there is left alone. Only a repository whose top is the studio gets one.
    """
    git = _git_in(folder)
    own = folder.resolve()
    said = None if git is None or repository_around(folder) != own else _hooks(git)
    if said is None:
        return Hooked.NONE, None
    hook = (own / said / _HOOK).resolve()
    if not hook.is_relative_to(own):  # of all repositories of this person
        return Hooked.ELSEWHERE, hook
    text = _hook_text()
    if (hook.exists() or hook.is_symlink()) and not is_ours(hook, text, _PROGRAM):
        return Hooked.KEPT, hook
    hook.parent.mkdir(exist_ok=True)
    put_file(hook, text)
    hook.chmod(0o755)
    return Hooked.WRITTEN, hook


def _hooks(git: _Git) -> str | None:
    return git.answer("rev-parse", "--git-path", "hooks")


def _hook_text() -> bytes:
    """Return the hook, with the program that runs now in it."""
    shipped = (templates_folder() / "hooks" / _HOOK).read_text("utf-8")
    return shipped.replace("@PYTHON@", shlex.quote(Path(sys.executable).as_posix())).encode()


def is_ours(path: Path, text: bytes, program: "re.Pattern[bytes]") -> bool:
    """Return whether a file is what we would write now, but for the line that names the program.

    Such a file was written before the program moved, and nobody has put anything into it.
    """
    try:
        there = path.read_bytes()
    except OSError:
        return False
    return not path.is_symlink() and program.sub(b"", there) == program.sub(b"", text)
