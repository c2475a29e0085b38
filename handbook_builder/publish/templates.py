"""Where the templates are: a studio's own before the shipped ones, file by file."""

import sysconfig
from collections.abc import Iterable
from pathlib import Path

from handbook_builder.shipped import templates_folder as shipped

__all__ = [
    "are_installed",
    "file_text",
    "files_in",
    "is_own_page",
    "is_shipped_guide",
    "layers",
    "shipped",
]


def layers(studio: Path, name: str = "") -> list[Path]:
    """Return the folders to look in for `name` (views, theme, guides), the studio's own first."""
    own = (studio / "site_templates").resolve()
    folders = [own, shipped()] if own != shipped() else [own]
    return [folder / name for folder in folders if (folder / name).is_dir()]


def files_in(folders: list[Path]) -> dict[str, Path]:
    """Return every file under the folders by its path within, the first folder's own first.

    Hidden files are left out.
    """
    found: dict[str, Path] = {}
    for folder in folders:
        for file in sorted(folder.rglob("*")):
            within = file.relative_to(folder)
            if file.is_file() and not any(part.startswith(".") for part in within.parts):
                found.setdefault(within.as_posix(), file)
    return found


def is_shipped_guide(uri: str, path: str | None) -> bool:
    """Return whether the file at `path` is the guide `uri` as it is shipped, to the byte."""
    original = shipped() / "guides" / uri
    if path is None or not original.is_file():
        return False
    return Path(path).read_bytes() == original.read_bytes()


def is_own_page(uri: str) -> bool:
    """Return whether a page is the studio's own, and none that it lays over a shipped guide."""
    return not (shipped() / "guides" / uri).is_file()


def are_installed(folders: Iterable[Path]) -> bool:
    """Return whether every folder came with this program or another that is installed.

    Only such templates are run as they are; whatever else there is may be of another hand.
    """
    known = (shipped().resolve(), Path(sysconfig.get_path("purelib")).resolve())
    return all(any(map(folder.resolve().is_relative_to, known)) for folder in folders)


def file_text(studio: Path, name: str) -> str | None:
    """Return the text of one template file, the studio's own first, or None where there is none."""
    for folder in (studio / "site_templates", shipped()):
        if (folder / name).is_file():
            return (folder / name).read_text(encoding="utf-8")
    return None
