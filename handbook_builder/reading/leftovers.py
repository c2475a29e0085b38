"""What desktops, editors and programs that keep folders alike leave among the records.

It is passed over, and told: a record that was saved under such a name must not vanish in silence.
What is left of a record that is not there any more is a fault, and so is a second version of one.
"""

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from handbook_builder.reading.beside import ENDINGS, begins_like_a_record, ending_of
from handbook_builder.reading.pictures import is_picture

RECORD_ENDINGS: Final = (".md", ".markdown")

# What version control keeps in any folder, put there on purpose: neither read nor told.
_ON_PURPOSE: Final = frozenset(
    {".git", ".gitkeep", ".gitignore", ".gitattributes", ".gitmodules", ".mailmap"}
)
# A draft of this program's own, which the next run about its record sweeps away (`files.py`).
_DRAFT: Final = re.compile(r"\..+\.[0-9a-f]{12}\.part")
_FOLDERS: Final = re.compile(
    r"@eadir|#recycle|#snapshot|__macosx|lost\+found|\$recycle\.bin|system volume information"
    r"|\.trash.*|\.stversions|\.stfolder|\.sync|\.snapshots?|\.spotlight-.*|\.fseventsd"
    r"|\.temporaryitems|\.documentrevisions-.*|\.obsidian|\.vscode|\.idea|\.hg|\.svn",
    re.IGNORECASE,
)
_FILES: Final = re.compile(
    r"\.ds_store|thumbs\.db|ehthumbs\.db|desktop\.ini|\.directory|\.localized|\.apdisk|icon\r"
    r"|~\$.+|\.~lock\..+#|\..+\.sw[a-p]|\..+\.kate-swp|\.goutputstream-.+|\.nfs[0-9a-f]+"
    r"|\.fuse_hidden.+|.+\.crdownload|.+\.part",
    re.IGNORECASE,
)
# What a program that was stopped leaves of a file that it was writing, by that file's name.
_UNFINISHED: Final = (
    re.compile(r"\.(?P<of>.+)\.[0-9a-f]{12}\.part"),
    re.compile(r"\.(?P<of>.+)\.(?:sw[a-p]|kate-swp)", re.IGNORECASE),
    re.compile(r"(?P<of>.+?)(?:\.kate-swp)?\.(?:part|crdownload)", re.IGNORECASE),
)
# Backups, each with the name of what it was made of.
_BACKUPS: Final = (
    re.compile(r"#(?P<of>.+)#"),
    re.compile(r"\.(?P<of>.+)\.un~"),
    re.compile(r"(?P<of>.+?)\.?~[0-9]*~?"),
    re.compile(r"(?P<of>.+)\.(?:bak|backup|old|orig|tmp|save)[0-9]*", re.IGNORECASE),
)
# What tells a test candle from any other.
_WHOSE: Final = re.compile(rb"^(recipe|candle)[ \t]*:[ \t]*(\S.*?)[ \t]*\r?$", re.MULTILINE)
_HEAD: Final = 1024  # bytes
_MOST: Final = 500_000  # bytes, as many as a record may have
_DOUBLE: Final = b"\x00\x05\x16\x07"  # how the second half of a file begins on foreign disks
_ID: Final = r"(?P<of>[a-z0-9]+(?:-[a-z0-9]+)*)"
# What is put behind a name, or before it, where there are two versions of a file.
_VERSIONS: Final = (
    re.compile(rf"{_ID}(?:[ _.-]*\(.*\)|[ _]-[ _]copy.*|[ _.]copy.*)", re.IGNORECASE),
    re.compile(rf"{_ID}(?:\.sync-conflict-.*|[ _.-]+conflict.*)", re.IGNORECASE),
    re.compile(rf"{_ID}[._](?:local|remote|base|backup|mine|theirs|ours)[._0-9]*", re.IGNORECASE),
    re.compile(rf"(?:copy(?: \([0-9]+\))?|conflict) of {_ID}", re.IGNORECASE),
)
# The same where the other file is there; else it is a name that somebody spelled in their own way.
_NUMBERED: Final = re.compile(rf"{_ID}[ .]+[0-9]{{1,3}}", re.IGNORECASE)


@dataclass(frozen=True, slots=True, order=True)
class PassedOver:
    """Something that is no record, by its path; `records` of the files in it end like one."""

    path: str
    records: int = 0


def is_on_purpose(path: Path, *, at_the_top: bool) -> bool:
    """Return whether a hidden file or folder was put there by hand or by this program.

    None that may hold a record is: a repository belongs `at_the_top`, and what begins like a
    record, or is left of one that is not there, is told whatever it is called.
    """
    if path.is_symlink():
        return False
    if path.name == ".git":
        return at_the_top and not holds_a_record(path) and not any(_records_in(path))
    if path.name not in _ON_PURPOSE and not _DRAFT.fullmatch(path.name):
        return False
    if _DRAFT.fullmatch(path.name) and path.is_file() and not path.stat().st_size:
        return True  # stopped before there was anything in it
    return is_alone(path, in_a_kind=not at_the_top) is None and not holds_a_record(path)


def is_draft(name: str) -> bool:
    """Return whether a name is that of a draft of this program's own."""
    return bool(_DRAFT.fullmatch(name))


def is_left_folder(name: str) -> bool:
    """Return whether a folder is one that a desktop, a disk or an editor keeps for itself."""
    return bool(_FOLDERS.fullmatch(name))


def left_behind(path: Path, below: str) -> PassedOver | None:
    """Return what is passed over at `path`, or None for what may be a record or something else."""
    if path.is_symlink():
        is_lock = path.name.startswith(".#") and not path.exists()
        return PassedOver(below) if is_lock else None
    if path.is_dir():
        is_left = is_left_folder(path.name) or path.name == ".git"
        held = sum(1 for _ in _records_in(path)) if is_left else None
        return None if held is None else PassedOver(below, held)
    if not path.is_file():
        return None
    if path.name in _ON_PURPOSE or _is_left(path) or backup_of(path.name):
        return PassedOver(below)
    return None


def _records_in(folder: Path) -> Iterator[Path]:
    for base, folders, files in os.walk(folder):
        if folder.name == ".git":  # what a repository keeps packed is many, and bears no names
            folders[:] = [one for one in folders if one != "objects"]
        yield from (one for name in (*folders, *files)
                    if (one := Path(base, name)).suffix.lower() in RECORD_ENDINGS)  # fmt: skip


def _is_left(path: Path) -> bool:
    if path.name.startswith("._"):
        with path.open("rb") as file:
            return file.read(len(_DOUBLE)) == _DOUBLE
    # Whatever it is called, what ends like a record may be one.
    return path.suffix.lower() not in RECORD_ENDINGS and bool(_FILES.fullmatch(path.name))


def backup_of(name: str) -> str | None:
    """Return the name of the file that `name` is a backup of, by its shape, or None."""
    found = next((match for one in _BACKUPS if (match := one.fullmatch(name))), None)
    return None if found is None else found["of"]


def is_alone(path: Path, *, in_a_kind: bool) -> str | None:
    """Return the name of the record that a file is left of and that is gone, or None.

    A backup right in the folder of a kind is taken for one of a record, whatever it is called; what
    is unfinished may be a paper or a picture there. One that speaks of another candle than the
    record of its name is left of that candle's.
    """
    of = _unfinished_of(path.name)
    is_paper = of is not None and (ending_of(of) in ENDINGS or is_picture(of))
    of = of or backup_of(path.name)
    if of is None or not (of.lower().endswith(RECORD_ENDINGS) or (in_a_kind and not is_paper)):
        return None
    there = next(
        (one for end in ("", ".md") if (one := path.with_name(f"{of}{end}")).is_file()), None
    )
    return of if there is None or _is_of_another(path, there) else None


def holds_a_record(path: Path) -> bool:
    """Return whether a file begins like a record and is left of none that is there."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        head = file.read(_HEAD)
    of = _unfinished_of(path.name) or backup_of(path.name)
    names = () if of is None else (of, f"{of}.md")
    return begins_like_a_record(head) and not any(path.with_name(one).is_file() for one in names)


def _unfinished_of(name: str) -> str | None:
    found = next((match for one in _UNFINISHED if (match := one.fullmatch(name))), None)
    return None if found is None else found["of"]


def _is_of_another(path: Path, record: Path) -> bool:
    """Return whether two files name a recipe or a candle, and not the same."""
    one, other = (dict(_WHOSE.findall(_begun(file))) for file in (path, record))
    return any(one[key] != other[key] for key in one.keys() & other.keys())


def _begun(path: Path) -> bytes:
    if not path.is_file():
        return b""
    with path.open("rb") as file:
        return file.read(_MOST)


@dataclass(frozen=True, slots=True)
class Version:
    """The id of the record that a file is another version of; not `is_sure` by a number alone."""

    id: str
    is_sure: bool


def version_of(ident: str) -> Version | None:
    """Return what a file is another version of, by its name without its ending, or None."""
    found = next((match for one in _VERSIONS if (match := one.fullmatch(ident))), None)
    sure = found is not None
    found = found or _NUMBERED.fullmatch(ident)
    return None if found is None else Version(found["of"].lower(), sure)
