"""What a studio's folder may hold: its own files, and no way out of it.

A studio may come from another hand. Its records, guides and templates are read from inside its
folder alone, and its templates are run in a sandbox that lets them show things, and do none.
"""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from handbook_builder.publish.refusals import Refusal, refusal


def leading_out(studio: Path, records: Path, docs: Path) -> tuple[Refusal, ...]:
    """Return each link among a studio's files that leads out of its folder."""
    inside = studio.resolve()
    roots = {records, studio / "site_templates"}
    if docs.is_relative_to(studio):  # or it is where mkdocs.yml, which is trusted, has put it
        roots.add(docs)
    found = {link for root in roots for link in _links(root) if not _stays(link, inside)}
    return tuple(refusal(one.relative_to(studio).as_posix(), "leads_out") for one in sorted(found))


def _links(root: Path) -> Iterator[Path]:
    if root.is_symlink():
        yield root
        return
    for folder, below, files in os.walk(root):
        yield from _linked(Path(folder), [*below, *files])


def _linked(folder: Path, names: Iterable[str]) -> Iterator[Path]:
    for name in names:
        if (folder / name).is_symlink():
            yield folder / name


def _stays(link: Path, inside: Path) -> bool:
    try:
        return link.resolve().is_relative_to(inside)
    except (OSError, RuntimeError):  # a link in a circle leads nowhere
        return True
