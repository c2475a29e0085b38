"""Two things that MkDocs and Jinja2 do again at every build, and need not."""

import contextlib
import hashlib
import os
from importlib.metadata import version
from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader
from jinja2.sandbox import SandboxedEnvironment
from mkdocs.theme import Theme
from platformdirs import user_cache_path

from handbook_builder import __version__
from handbook_builder.publish.templates import are_installed

MOST_KEPT: Final = 600  # files: about what four studios leave


def keep_newest(folder: Path, most: int) -> None:
    """Let no more than `most` files stay in `folder`, or half of them once there were more.

    Each studio, each edition of the program and of Jinja2 leaves files of its own, and none of
    them is ever asked for again once it is gone. A file that another run removes first is no fault.
    """
    written: list[tuple[float, Path]] = []
    for one in folder.iterdir():
        with contextlib.suppress(OSError):
            written.append((one.stat().st_mtime, one))
    if len(written) <= most:
        return
    for _, one in sorted(written)[: len(written) - most // 2]:
        with contextlib.suppress(OSError):
            one.unlink()


def keep_compiled(env: Environment) -> None:
    """Let `env` keep its compiled templates between builds, in the cache folder of the user.

    They are code that will be run: never in the studio's folder, which may come from another hand.
    Without a folder that can be written to, each build compiles anew.
    """
    folder = user_cache_path("handbook-builder") / "templates"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError:
        return
    if os.access(folder, os.W_OK):
        keep_newest(folder, MOST_KEPT)
        env.bytecode_cache = FileSystemBytecodeCache(str(folder), f"{_print(env)}-%s.cache")


def skip_hidden_templates(theme: Theme) -> None:
    """Keep MkDocs from listing the base theme's icons: 14,000 files, and no site copies them.

    The theme is run in a sandbox where a studio's folder holds templates of it.
    """
    whole = theme.get_env
    kind = Environment if are_installed(map(Path, theme.dirs)) else _ThemeBox

    def get_env() -> Environment:
        env = whole()
        boxed = kind(
            loader=_VisibleFiles(theme.dirs), auto_reload=False, extensions=list(env.extensions)
        )
        boxed.filters.update(env.filters)
        boxed.tests.update(env.tests)
        boxed.globals.update(env.globals)
        return boxed

    theme.get_env = get_env  # type: ignore[method-assign]


class _ThemeBox(SandboxedEnvironment):
    """Lets a theme call macros, filters and what plain values can do, and no part of a tool."""

    def is_safe_callable(self, obj: object) -> bool:
        """Return whether a theme may call `obj`: MkDocs' own objects read and write files."""
        owner = getattr(obj, "__self__", None)
        is_of_a_tool = type(owner if owner is not None else obj).__module__.partition(".")[0] in (
            "mkdocs", "properdocs", "handbook_builder",
        )  # fmt: skip
        return not is_of_a_tool and super().is_safe_callable(obj)


class _VisibleFiles(FileSystemLoader):
    """Loads hidden files by name, and lists none."""

    def list_templates(self) -> list[str]:
        """Return the names of all templates that are not hidden."""
        names = set()
        for top in map(Path, self.searchpath):
            for folder, below, files in os.walk(top):
                below[:] = [name for name in below if not name.startswith(".")]
                within = Path(folder).relative_to(top)
                names |= {(within / name).as_posix() for name in files}
        return sorted(names)


def _print(env: Environment) -> str:
    """Return a digest of all that decides, besides its text, what a template compiles to.

    What was compiled outside of a sandbox would run outside of it.
    """
    parts = [
        type(env).__name__,
        __version__,
        version("jinja2"),
        env.autoescape,
        env.trim_blocks,
        env.lstrip_blocks,
    ]
    return hashlib.sha256(repr([*parts, sorted(env.extensions)]).encode()).hexdigest()[:16]
