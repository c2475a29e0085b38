"""One file at a time: it is the old one or the new one, whoever pulls the plug, and when.

A new text is written beside the file under a hidden name, forced to the disk, and put in the
file's place in one step. What a dead run left beside it is swept away by the next. The locks that
keep two runs apart are here too: on a folder for a while, or for as long as a run lives.
"""

import base64
import contextlib
import hashlib
import os
import secrets
import stat
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

try:
    import fcntl
except ImportError:  # Windows has no such locks.
    fcntl = None  # type: ignore[assignment]

_ENDING = ".part"  # of no record: a draft is a fault only of a test candle that is not there
_BINARY = getattr(os, "O_BINARY", 0)
_DAY_S: Final = 86_400.0
# Stands in a folder while several files below it are written as one: what a killed run was about.
HALF_WRITTEN: Final = ".half-written"


class ChangedMeanwhileError(Exception):
    """The file is no longer the one that the change was made for."""


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Let one run at a time read and replace files in `folder`, where the system has locks."""
    lock = _lock(folder, wait=True)
    try:
        yield
    finally:
        let_go(lock)


def hold(folder: Path) -> int | None:
    """Mark `folder` as in use for as long as this process lives; return what `let_go` takes.

    None where the system has no locks. BlockingIOError when it is in use already.
    """
    return _lock(folder, wait=False)


def is_held(folder: Path) -> bool:
    """Return whether `folder` is in use; without locks, one younger than a day is taken to be."""
    if fcntl is None:
        return time.time() - folder.stat().st_mtime < _DAY_S
    try:
        let_go(hold(folder))
    except OSError:
        return True
    return False


def let_go(lock: int | None) -> None:
    """Give a folder free again that `hold` marked."""
    if lock is not None:
        os.close(lock)  # which lets go of it


def _lock(folder: Path, *, wait: bool) -> int | None:
    if fcntl is None:
        return None
    lock = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BaseException:
        os.close(lock)
        raise
    return lock


def replace_file(path: Path, old: bytes, new: bytes) -> None:
    """Put `new` in the place of the file at `path`, which must still hold `old`.

    Permissions stay. Raises ChangedMeanwhileError, and changes nothing, when it holds anything
    else. Within `locked(path.parent)` no other run of ours can come between.
    """
    _sweep(path)
    draft = _written_draft(path, new, stat.S_IMODE(os.stat(path).st_mode))  # noqa: PTH116 -- each step by its name in the system
    try:
        if path.read_bytes() != old:
            raise ChangedMeanwhileError(path)
        os.replace(draft, path)  # noqa: PTH105 -- as above
    finally:
        _forget(draft)
    _settle(path.parent)


def create_file(path: Path, data: bytes) -> None:
    """Write a new file; FileExistsError, and nothing is changed, when there is one already."""
    _sweep(path)
    draft = _written_draft(path, data, None)
    try:
        _put_new(draft, path)
    finally:
        _forget(draft)
    _settle(path.parent)


def move_file(path: Path, target: Path) -> None:
    """Give a file another place; FileExistsError, and nothing is changed, when that is taken.

    Whoever pulls the plug, it is in one of the places or in both, and whole. What is in both is
    one file (`os.path.samefile`), where the system gives a file a second name.
    """
    try:
        os.link(path, target)
    except FileExistsError:
        raise
    except OSError:  # another disk, or a file system without second names
        create_file(target, path.read_bytes())
    try:
        os.unlink(path)  # noqa: PTH108 -- each step by its name in the system
    except OSError:
        _forget(target)
        raise
    for folder in (target.parent, path.parent):
        _settle(folder)


def write_together(new: Mapping[Path, bytes], changed: Mapping[Path, tuple[bytes, bytes]]) -> None:
    """Write new files, and put changed ones in their places, from their old bytes to their new.

    Where one of them fails, those before it are as they were.
    """
    made: list[Path] = []
    done: list[Path] = []
    try:
        for path, data in new.items():
            create_file(path, data)
            made.append(path)
        for path, (old, newer) in changed.items():
            replace_file(path, old, newer)
            done.append(path)
    except BaseException:
        for path in reversed(done):
            with contextlib.suppress(OSError, ChangedMeanwhileError):
                replace_file(path, changed[path][1], changed[path][0])
        for path in made:
            _forget(path)
        raise


def write_whole(
    folder: Path, new: Mapping[Path, bytes], changed: Mapping[Path, tuple[bytes, bytes]]
) -> None:
    """Write files below `folder` as `write_together` does, all or none even when killed.

    What is about to be written stands in `folder` until all of it is done: `heal` reads it. The
    caller holds `locked(folder)`.
    """
    journal = folder / HALF_WRITTEN
    lines = [f"new {_digest(data)} - {_below(path, folder)}" for path, data in new.items()]
    lines += [
        f"changed {_digest(newer)} {base64.b64encode(old).decode()} {_below(path, folder)}"
        for path, (old, newer) in changed.items()
    ]
    create_file(journal, "".join(f"{line}\n" for line in lines).encode())
    try:
        write_together(new, changed)
    except BaseException:
        heal(folder)
        raise
    _forget(journal)
    _settle(folder)


def heal(folder: Path) -> tuple[bool, Path | None] | None:
    """Take back what a killed run of `write_whole` left in `folder`, or let it stand when whole.

    Returns None where no run was killed; else whether all of it was written, and the first file
    that somebody changed since, which keeps the folder as it is.
    """
    journal = folder / HALF_WRITTEN
    _sweep(journal)
    if not journal.is_file():
        return None
    lines = [line.split(" ", 3) for line in journal.read_text("utf-8").splitlines()]
    files = [(kind == "new", digest, old, folder / name) for kind, digest, old, name in lines]
    states = [_state(path, digest, None if new else old) for new, digest, old, path in files]
    is_whole = all(one == "written" for one in states)
    strange = [path for (*_, path), one in zip(files, states, strict=True) if one == "strange"]
    if strange:
        return False, strange[0]
    for (new, _, old, path), one in zip(files, states, strict=True):
        _sweep(path)
        if not is_whole and one == "written":
            _take_back(path, None if new else base64.b64decode(old))
    _forget(journal)
    _settle(folder)
    return is_whole, None


def _state(path: Path, digest: str, old: str | None) -> str:
    """Return whether a file is as it was before, as it was to be written, or neither."""
    data = path.read_bytes() if path.is_file() else None
    if data is not None and _digest(data) == digest:
        return "written"
    before = None if old is None else base64.b64decode(old)
    return "before" if data == before else "strange"


def _take_back(path: Path, old: bytes | None) -> None:
    if old is None:
        _forget(path)
        _settle(path.parent)
    else:
        replace_file(path, path.read_bytes(), old)


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _below(path: Path, folder: Path) -> str:
    return path.relative_to(folder).as_posix()


def put_file(path: Path, data: bytes) -> None:
    """Write a file of ours, new or in the place of its former edition, in one step."""
    _sweep(path)
    draft = _written_draft(path, data, None)
    try:
        os.replace(draft, path)  # noqa: PTH105 -- as above
    finally:
        _forget(draft)
    _settle(path.parent)


def _written_draft(path: Path, data: bytes, mode: int | None) -> Path:
    """Return a hidden file beside `path` that holds `data`, all of it on the disk."""
    try:
        return _draft(path, data, mode)
    except OSError as error:  # a full disk does not say which file it had no room for
        raise OSError(error.errno, error.strerror, str(path)) from error


def _draft(path: Path, data: bytes, mode: int | None) -> Path:
    draft = path.with_name(f"{_prefix(path)}{secrets.token_hex(6)}{_ENDING}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o666)
    try:
        try:
            if mode is not None:
                os.chmod(draft, mode)  # noqa: PTH101 -- as above
            rest = memoryview(data)
            while rest:
                rest = rest[os.write(handle, rest) :]
            os.fsync(handle)
        finally:
            os.close(handle)
    except BaseException:
        _forget(draft)
        raise
    return draft


def _put_new(draft: Path, path: Path) -> None:
    """Give the draft its name, unless a file has it already."""
    try:
        os.link(draft, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without second names
        if path.exists():
            raise FileExistsError(path) from None
        os.replace(draft, path)  # noqa: PTH105 -- as above


def _prefix(path: Path) -> str:
    return f".{path.name}."


def _sweep(path: Path) -> None:
    """Remove what dead runs left beside `path`; without locks, a draft may be another's."""
    for one in path.parent.glob(f"{_prefix(path)}*{_ENDING}") if fcntl is not None else ():
        _forget(one)


def _forget(draft: Path) -> None:
    with contextlib.suppress(FileNotFoundError):
        os.unlink(draft)  # noqa: PTH108 -- as above


def _settle(folder: Path) -> None:
    """Force the folder's names to the disk, where a folder can be opened."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
