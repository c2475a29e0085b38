"""The finished site takes the place of the old one in a single step.

A site is written into a hidden draft folder beside its place, and exchanged with the old one at
the end. Whoever kills the process, at whatever moment, leaves one whole site behind: the old one
or the new one. A draft that a dead run left is swept away by the next run.
"""

import contextlib
import ctypes
import errno
import os
import secrets
import shutil
from dataclasses import dataclass
from pathlib import Path

from handbook_builder.files import hold, is_held, let_go, locked

MARK = ".handbook"
"""The file by which a site is known as ours, and may be replaced."""

_MARK_TEXT = "This folder is written by the handbook builder. A build replaces all of it.\n"
_AT_FDCWD = -100  # <fcntl.h>: paths are taken from the current folder
_RENAME_EXCHANGE = 2  # <linux/fs.h>
_CANNOT_EXCHANGE = {errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EXDEV, errno.EPERM}


class ForeignFolderError(Exception):
    """The place of the site holds files that no build wrote, and that a build would delete."""

    def __init__(self, site: Path) -> None:
        """Name the place, and say what to do."""
        super().__init__(
            f"{site} holds files that the handbook builder did not write (it has no {MARK} file). "
            "A build replaces the whole folder. Empty it, or choose another place for the site."
        )


@dataclass(frozen=True, slots=True)
class Draft:
    """A site in the making: `folder` is written to, `site` is the place it will take."""

    site: Path
    folder: Path
    lock: int | None

    def publish(self) -> None:
        """Put the draft in the place of the site; the old site is gone afterwards."""
        (self.folder / MARK).write_text(_MARK_TEXT, encoding="utf-8")
        with locked(self.site.parent):
            if self.site.exists():
                _carry_over(self.site, self.folder)
                _replace(self.site, self.folder)
            else:
                self.folder.rename(self.site)
        self.discard()

    def discard(self) -> None:
        """Remove what is left in the draft folder, and let go of it."""
        shutil.rmtree(self.folder, ignore_errors=True)
        with contextlib.suppress(OSError):
            let_go(self.lock)


def begin(site: Path) -> Draft:
    """Return an empty draft for the site at `site`, after clearing up behind dead runs.

    Raises ForeignFolderError when the place holds a folder that no build wrote.
    """
    site = site.resolve()  # A link stays a link: the folder behind it is replaced.
    site.parent.mkdir(parents=True, exist_ok=True)
    with locked(site.parent):
        _recover(site)
        _sweep(site)
        if _is_foreign(site):
            raise ForeignFolderError(site)
        folder = site.parent / f"{_draft_prefix(site)}{secrets.token_hex(6)}"
        folder.mkdir()
        return Draft(site, folder, hold(folder))


def _draft_prefix(site: Path) -> str:
    return f".{site.name}.draft-"


def _former(site: Path) -> Path:
    return site.with_name(f".{site.name}.former")


def _is_foreign(site: Path) -> bool:
    return site.exists() and not (site / MARK).is_file() and any(site.iterdir())


def _recover(site: Path) -> None:
    """Finish, or take back, an exchange by two renames that was cut short between them."""
    former = _former(site)
    if not former.exists():
        return
    if site.exists():
        shutil.rmtree(former, ignore_errors=True)
    else:
        former.rename(site)


def _sweep(site: Path) -> None:
    for folder in site.parent.iterdir():
        if folder.name.startswith(_draft_prefix(site)) and not is_held(folder):
            shutil.rmtree(folder, ignore_errors=True)


def _carry_over(site: Path, folder: Path) -> None:
    """Keep what a reader put into the site under a hidden name (`.git`, `.well-known`)."""
    for entry in site.iterdir():
        if not entry.name.startswith(".") or (folder / entry.name).exists():
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.copytree(entry, folder / entry.name, symlinks=True)
        else:
            shutil.copy2(entry, folder / entry.name, follow_symlinks=False)


def _replace(site: Path, folder: Path) -> None:
    shutil.copymode(site, folder)
    if not _exchange(site, folder):
        former = _former(site)
        site.rename(former)
        folder.rename(site)
        shutil.rmtree(former, ignore_errors=True)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; False where the system has no such step (renameat2(2))."""
    if os.name != "posix":  # Windows has no C library that is the whole process's
        return False
    renameat2 = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if renameat2 is None:
        return False
    names = os.fsencode(one), os.fsencode(other)
    if renameat2(_AT_FDCWD, names[0], _AT_FDCWD, names[1], _RENAME_EXCHANGE) == 0:
        return True
    fault = ctypes.get_errno()
    if fault in _CANNOT_EXCHANGE:
        return False
    raise OSError(fault, os.strerror(fault), str(one), None, str(other))
