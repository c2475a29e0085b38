"""What a shell offers while a command is typed: the names of what is on file, and no more.

Only names of files are looked at, so that it is quick and works with records at fault; whatever
goes wrong offers nothing.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import click
from click.shell_completion import CompletionItem

from handbook_builder.cli.options import records_of
from handbook_builder.pages.papers.which import Kind
from handbook_builder.reading.refs import ITEM_FOLDERS
from handbook_builder.workshop import guides_for
from handbook_builder.writing.new_records import KIND_NAMES

Completing = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]
# What a paper is of, where that is no product.
_PAPERS: Final[Mapping[str, tuple[str, ...]]] = {
    Kind.NOTICE: ("incidents",), Kind.BURN: ("burns", "recipes"), Kind.WALL: (),
}  # fmt: skip


def ids(*folders: str) -> Completing:
    """Return what offers the ids of the records in some folders."""
    return _offering(lambda ctx: _stems(ctx, folders))


def item_refs() -> Completing:
    """Return what offers items by folder and id, as commands take them."""
    return _offering(lambda ctx: _refs(ctx, ITEM_FOLDERS))


def traceable() -> Completing:
    """Return what offers what has a trace: batches by their ids, items by folder and id."""
    return _offering(lambda ctx: (*_stems(ctx, ("batches",)), *_refs(ctx, ITEM_FOLDERS)))


def kinds() -> Completing:
    """Return what offers the kinds of records."""
    return _offering(lambda _: KIND_NAMES)


def new_id() -> Completing:
    """Return what offers recipes for their next test candles; any other id is to be a new one."""
    return _offering(
        lambda ctx: _stems(ctx, ("recipes",)) if ctx.params.get("kind") == "burn" else ()
    )


def guides() -> Completing:
    """Return what offers the guides by their names."""
    return _offering(lambda ctx: guides_for(_studio(ctx)))


def of_paper() -> Completing:
    """Return what offers what a paper of the kind that was typed can be of."""
    return _offering(
        lambda ctx: _stems(ctx, _PAPERS.get(str(ctx.params.get("kind")), ("recipes",)))
    )


def _offering(found: Callable[[click.Context], Iterable[str]]) -> Completing:
    def offer(
        ctx: click.Context, parameter: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        del parameter
        try:
            names = sorted(dict.fromkeys(found(ctx)))
        except Exception:  # noqa: BLE001 -- a key that is pressed must not end in a trace
            return []
        return [CompletionItem(name) for name in names if name.startswith(incomplete)]

    return offer


def _studio(ctx: click.Context) -> Path:
    """Return the studio that was named so far, else the current folder; raises LookupError."""
    found: Any = ctx.params.get("studio", Path())
    if found is None:  # it was named, and is not there
        raise LookupError
    return Path(found)


def _stems(ctx: click.Context, folders: Iterable[str]) -> Iterator[str]:
    records = records_of(_studio(ctx))
    for folder in folders:
        yield from (path.stem for path in (records / folder).glob("*.md"))


def _refs(ctx: click.Context, folders: Iterable[str]) -> Iterator[str]:
    for folder in folders:
        yield from (f"{folder}/{stem}" for stem in _stems(ctx, (folder,)))
