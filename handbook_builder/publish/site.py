"""Building and serving the handbook of one studio, from its folder."""

import contextlib
import tempfile
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import ConfigurationError, MkDocsException

from handbook_builder.publish.config_file import config_file
from handbook_builder.publish.faults_shown import FaultsShown
from handbook_builder.publish.plugin import HandbookPlugin, watched
from handbook_builder.publish.serving import free, guarded, tidy_end
from handbook_builder.reading.merges import conflicts
from handbook_builder.terminal import echo, from_here, progress_over

if TYPE_CHECKING:
    from mkdocs.livereload import LiveReloadServer

    from handbook_builder.publish.swap import Draft
    from handbook_builder.workshop import Handbook

LOOPBACK = "127.0.0.1"
_SHIPPED_CONFIG = Path(__file__).with_name("studio.yml")


EDITIONS = ("owner", "floor")


def build_site(
    studio: Path, as_of: date | None = None, site: Path | None = None, edition: str | None = None
) -> int:
    """Build the handbook of `studio` and swap it in; return the exit status (0 fine, 1 not).

    `as_of`, `site` and `edition` come before what the studio's mkdocs.yml says. What is at fault
    is printed to stderr, and then the former site stands as it was.
    """
    return _build(_config(studio.resolve(), as_of, site, one) for one in (edition,))


def build_editions(
    studio: Path, as_of: date | None = None, site: Path | None = None, only: str | None = None
) -> int:
    """Build both editions, or `only` one; return the exit status (0 fine, 1 not).

    The owner's goes to `site`, or where mkdocs.yml says, and the floor edition beside it, so that
    its folder can be handed out alone; `only` one goes to a given `site` itself. The editions are
    swapped in when all are finished: with a fault in any of them, both former sites stand.
    """

    def configs() -> Iterator[MkDocsConfig]:
        for edition in (only,) if only else EDITIONS:
            config = _config(studio.resolve(), as_of, site, edition)
            if edition == "floor" and not (only and site):
                config.site_dir = str(floor_beside(Path(config.site_dir)))
            yield config

    return _build(configs())


def floor_beside(site: Path) -> Path:
    """Return where the floor edition goes when the owner's goes to `site`."""
    return site.with_name(f"{site.name}-floor")


def _build(configs: Iterable[MkDocsConfig]) -> int:
    """Build several sites of one studio, read once, and swap them in together at the end."""
    finished: list[tuple[Draft, date]] = []
    told: Handbook | None = None
    plugin: HandbookPlugin | None = None
    try:
        for config in configs:
            plugin = _plugin(config)  # MkDocs may give the same one for every edition
            plugin.holds, plugin.told = True, told
            build(config)
            told = plugin.handbook
            if plugin.draft is not None:
                finished.append((plugin.draft, plugin.as_of))
                plugin.draft = None
    except MkDocsException as fault:
        echo(fault.format_message(), err=True)
        return 1
    else:
        for draft, as_of in reversed(finished):  # a stale floor edition would be the worse one
            draft.publish()
            echo(f"Finished, as of {as_of}: {from_here(draft.site / 'index.html')}")
        return 0
    finally:
        for draft, _ in finished:
            draft.discard()
        if plugin is not None:
            plugin.discard()
            plugin.holds, plugin.told = False, None


@contextlib.contextmanager
def made_aside(
    studio: Path, as_of: date | None, edition: str
) -> "Iterator[tuple[Handbook, Path] | None]":
    """Make one edition where nobody sees it: what its pages were told from, and their folder.

    The pages are finished, cleaned and searched; their folder is gone behind the block. None is
    made while anything is at fault, which is told on stderr.
    """
    with tempfile.TemporaryDirectory(prefix="handbook-") as folder:
        config = _config(studio.resolve(), as_of, Path(folder, "site"), edition)
        plugin = _plugin(config)
        plugin.holds, plugin.told = True, None
        try:
            _build_or_tell(config)
            draft = plugin.draft
            yield None if draft is None else (plugin.handbook, draft.folder)
        finally:
            plugin.discard()
            plugin.holds = False


def _build_or_tell(config: MkDocsConfig) -> None:
    """Build a site; what is at fault is told on stderr, and leaves no draft."""
    try:
        build(config)
    except MkDocsException as fault:
        echo(fault.format_message(), err=True)


def serve_site(
    studio: Path, as_of: date | None = None, port: int = 8000, edition: str | None = None
) -> int:
    """Serve the handbook on this machine alone, and build it again at every change.

    Returns the exit status: 1 when the first build fails. Ends at an interrupt.
    """
    if not free(LOOPBACK, port):
        echo(f"Port {port} is in use. End what uses it, or choose another with --port.",
                   err=True)  # fmt: skip
        return 1
    with tidy_end(), tempfile.TemporaryDirectory(prefix="handbook-") as folder:
        return _served_from(studio.resolve(), as_of, port, edition, Path(folder, "site"))
    return 0


def _served_from(
    studio: Path, as_of: date | None, port: int, edition: str | None, site: Path
) -> int:
    """Build into `site` and serve it until a signal ends it; return 1 when the build fails."""
    from mkdocs.livereload import LiveReloadServer as Server  # noqa: PLC0415 -- only to serve

    def rebuild() -> None:
        build(_config(studio, as_of, site, edition), serve_url=f"http://{LOOPBACK}:{port}/")

    if build_site(studio, as_of, site, edition) != 0:
        return 1
    faults = FaultsShown(studio)
    server = Server(faults.watching(rebuild), LOOPBACK, port, str(site))
    faults.on_pages_of(server)
    server.set_app(guarded(server.get_app() or server.serve_request, LOOPBACK, port))
    records = studio / _plugin(_config(studio, as_of, site)).config.records
    for path in watched(studio, records):
        server.watch(str(path))
    _serve(server)
    return 0


def _serve(server: "LiveReloadServer") -> None:
    progress_over()
    echo(f"Serving on {server.url} (end with Ctrl+C)")
    try:
        server.serve()  # type: ignore[no-untyped-call]
    except KeyboardInterrupt:
        echo("Ended.")
    finally:
        server.shutdown()


def _config(
    studio: Path, as_of: date | None, site: Path | None, edition: str | None = None
) -> MkDocsConfig:
    """Return MkDocs' configuration: the studio's own, or the shipped one for a bare folder."""
    own = config_file(studio)
    places = {} if site is None else {"site_dir": str(site.resolve())}
    if own is not None:
        config = _loaded(own, places)
    else:
        default = {"docs_dir": str(studio / "records"), "site_dir": str(studio / "site")}
        config = _loaded(_SHIPPED_CONFIG, default | places)
        config.config_file_path = str(studio / "mkdocs.yml")  # where relative paths start from
    if as_of is not None:
        _plugin(config).config.as_of = as_of
    if edition is not None:
        _plugin(config).config.in_edition(edition)
    return config


def _loaded(path: Path, places: dict[str, str]) -> MkDocsConfig:
    if unmerged := conflicts(path.read_bytes(), str(path), keys_only=True):
        raise ConfigurationError("\n".join(map(str, unmerged)))
    try:
        return load_config(str(path), **places)
    except ValueError as fault:  # an impossible date is more than the YAML reader can bear
        message = f"{path}: {fault}"
        raise ConfigurationError(message) from fault


def _plugin(config: MkDocsConfig) -> HandbookPlugin:
    plugin = config.plugins.get("handbook")
    if not isinstance(plugin, HandbookPlugin):
        message = f"{config.config_file_path}: expected `handbook` under `plugins`."
        raise ConfigurationError(message)
    return plugin
