"""`equip` and `schema`: what editors and git need in a studio."""

import re
import sys
from collections.abc import Iterator
from os.path import relpath
from pathlib import Path
from typing import Final

import click

from handbook_builder.cli.options import records_of, refuse, studio_option
from handbook_builder.files import create_file, put_file
from handbook_builder.problems import Place, problem
from handbook_builder.reading.records import KINDS, SHOWN_AS, STUDIO_FILE
from handbook_builder.reports.editors import editor_files, schema_files
from handbook_builder.reports.plain import as_json
from handbook_builder.shipped import templates_folder
from handbook_builder.terminal import echo
from handbook_builder.writing.inbox import INBOX
from handbook_builder.writing.new_records import SCHEMAS
from handbook_builder.writing.repository import Hooked, hook_into, is_ours

_PROGRAM: Final = re.compile(rb'^ *"command": .*$', re.MULTILINE)
# Laid into a studio that was begun before they were shipped.
_LAID: Final = (".editorconfig", ".gitattributes", ".gitignore", "README.md")
_HOOKED: Final = {
    Hooked.NONE: "No repository begins in this folder, so no commit is checked. To have one: git "
    "init, and handbook equip again",
    Hooked.KEPT: "Kept as it is: {hook}. To check the records too, let it call: handbook check",
    Hooked.ELSEWHERE: "Git takes its hooks from elsewhere: {hook}. To check the records before a "
    "commit, let that one call: handbook check",
    Hooked.WRITTEN: "Before each commit the records are checked: {hook}",
}


@click.command(short_help="Set up editors and git in a studio that is there.")
@studio_option
def equip(studio: Path) -> None:
    """Set up editors and git in a studio that is there: after a clone, a move or an update.

    Writes the schemas of the records anew, and settings for editors and the hook that checks before
    each commit where there are none; makes the folders that are missing, since git keeps no empty
    ones. What is there is never overwritten.
    """
    if not (records_of(studio) / STUDIO_FILE).is_file():
        refuse([problem(Place(SHOWN_AS), "no_records")])
    laid, kept = equipped(studio, records_of(studio))
    for path in laid:
        echo(f"Written: {path}")
    for path in kept:
        echo(f"Kept as it is: {path}")
    folders = folders_made(studio, records_of(studio))
    if folders:
        echo(f"Made, since git keeps no empty folders: {', '.join(folders)}")
    hooked, hook = hook_into(studio)
    echo(hook_told(hooked, hook))


@click.command(short_help="Write the JSON Schema of each kind of record.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def schema(folder: Path) -> None:
    """Write the JSON Schema of each kind of record into FOLDER, for an editor or a program.

    A studio has them in .schemas already: start and equip write them there.
    """
    count = write_schemas(folder)
    echo(f"Written: {count} schemas, in {folder}")


def equipped(studio: Path, records: Path) -> tuple[list[str], list[str]]:
    """Write what editors need; return what was written, and what is there and otherwise."""
    write_schemas(studio / SCHEMAS)
    laid, kept = [f"{SCHEMAS}/"], []
    for path, data in _due(relpath(records, studio)):
        target = studio / path
        if not target.exists():
            target.parent.mkdir(exist_ok=True)
            create_file(target, data)
            laid.append(path)
        elif is_ours(target, data, _PROGRAM):
            put_file(target, data)
        else:
            kept.append(path)
    return laid, kept


def folders_made(studio: Path, records: Path) -> tuple[str, ...]:
    """Make each folder of a kind that is missing, and the inbox; return the path of each made."""
    return tuple(_folders(studio, records))


def _folders(studio: Path, records: Path) -> Iterator[str]:
    for folder in (studio / INBOX, *(records / kind for kind in KINDS)):
        if not folder.exists():
            folder.mkdir()
            yield f"{_posix(relpath(folder, studio))}/"


def _due(records: str) -> Iterator[tuple[str, bytes]]:
    for path, value in editor_files(_posix(sys.executable), _posix(records)).items():
        yield path, f"{as_json(value)}\n".encode()
    for path in _LAID:
        yield path, (templates_folder() / "start" / path).read_bytes()


def _posix(path: str) -> str:
    return Path(path).as_posix()


def write_schemas(folder: Path) -> int:
    """Write every schema into a folder; return how many there are."""
    files = schema_files()
    folder.mkdir(parents=True, exist_ok=True)
    for name, value in files.items():
        put_file(folder / name, f"{as_json(value)}\n".encode())
    return len(files)


def hook_told(hooked: Hooked, hook: Path | None) -> str:
    """Return what became of the hook, in words."""
    return _HOOKED[hooked].format(hook=hook)
