"""`start`."""

import shutil
import sys
from pathlib import Path
from typing import Final

import click

from handbook_builder.cli.equip import equipped, folders_made, hook_told
from handbook_builder.shipped import templates_folder
from handbook_builder.terminal import echo
from handbook_builder.writing.repository import (
    Kept,
    begin,
    commit_first,
    hook_into,
    repository_around,
)

_GIT: Final = ".git"
_KEPT: Final = {
    Kept.NO_GIT: "There is no git on this machine: of the records only the last state is kept. "
    "Install it, then call in the folder: git init, and handbook equip",
    Kept.INSIDE: "The folder lies inside the repository {around}, which keeps it. No other was "
    "begun, and nothing was committed.",
    Kept.REFUSED: "Git would begin no repository here: of the records only the last state is kept. "
    "See what it says: git init {folder}",
    Kept.THERE: "The repository that was here keeps the studio. Nothing was committed.",
    Kept.BEGUN: "Git keeps it: a repository was begun. The first commit is yours, once git knows "
    "your name: README.md says how.",
    Kept.UNCOMMITTED: "Git keeps it: a repository was begun. Git would make no first commit; see "
    "what it says: git commit",
    Kept.COMMITTED: "Git keeps it: a repository was begun, and its first state committed.",
}
_BACK_UP: Final = (
    "README.md says how to back it up and share it. Let only a private repository have it: names "
    "and money are in it."
)


@click.command(short_help="Begin a studio of one's own in a new folder.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--no-git", is_flag=True, help="Begin no git repository, and install no hook.")
def start(folder: Path, *, no_git: bool) -> None:
    """Begin a studio of one's own in FOLDER: empty, commented, ready to check and build.

    Editors find the schemas of the records in it, and git keeps it.
    """
    if folder.exists() and any(one.name != _GIT for one in folder.iterdir()):
        echo(f"{folder} is not empty. Name a new or an empty folder.", err=True)
        sys.exit(2)
    made = folder if not folder.exists() else None
    try:
        shutil.copytree(templates_folder() / "start", folder, dirs_exist_ok=True)
        folders_made(folder, folder / "records")
        equipped(folder, folder / "records")
    except OSError:
        _undone(folder, made)
        raise
    echo(f"Your studio is in {folder}. Begin with {folder / 'records' / 'studio.md'}.")
    if not no_git:
        _kept(folder)


def _kept(folder: Path) -> None:
    """Begin a repository, and say what became of it."""
    kept = begin(folder)
    hooked, hook = hook_into(folder)
    if kept is Kept.BEGUN:
        kept = commit_first(folder)
    echo(_KEPT[kept].format(around=repository_around(folder), folder=folder))
    if hook is not None:
        echo(hook_told(hooked, hook))
    echo(_BACK_UP)


def _undone(folder: Path, made: Path | None) -> None:
    """Remove half a studio, or the next try would find a folder that is not empty."""
    for one in [made] if made else folder.iterdir():
        if one.name == _GIT:
            continue  # whoever began it has it still
        if one.is_dir():
            shutil.rmtree(one, ignore_errors=True)
        else:
            one.unlink(missing_ok=True)
