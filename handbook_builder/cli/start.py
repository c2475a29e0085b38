"""`start`."""

import shutil
import sys
from pathlib import Path

import click

from handbook_builder.reading.records import KINDS
from handbook_builder.shipped import templates_folder
from handbook_builder.terminal import echo


@click.command(short_help="Begin a studio of one's own in a new folder.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def start(folder: Path) -> None:
    """Begin a studio of one's own in FOLDER: empty, commented, ready to check and build."""
    if folder.exists() and any(folder.iterdir()):
        echo(f"{folder} is not empty. Name a new or an empty folder.", err=True)
        sys.exit(2)
    made = folder if not folder.exists() else None
    try:
        shutil.copytree(templates_folder() / "start", folder, dirs_exist_ok=True)
        for kind in KINDS:
            (folder / "records" / kind).mkdir(exist_ok=True)
    except OSError:
        _undone(folder, made)
        raise
    echo(f"Your studio is in {folder}. Begin with {folder / 'records' / 'studio.md'}.")


def _undone(folder: Path, made: Path | None) -> None:
    """Remove half a studio, or the next try would find a folder that is not empty."""
    for one in [made] if made else folder.iterdir():
        if one.is_dir():
            shutil.rmtree(one, ignore_errors=True)
        else:
            one.unlink(missing_ok=True)
