"""`build` and `serve`."""

import sys
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.options import as_of_option, studio_option


@click.command()
@studio_option
@as_of_option
@click.option(
    "--site",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Where the finished site goes. [default: site/ in the studio's folder]",
)
def build(studio: Path, as_of: date | None, site: Path | None) -> None:
    """Build the handbook; with a record at fault, publish nothing and say where."""
    from handbook_builder.publish.site import build_site  # noqa: PLC0415 -- MkDocs loads slowly

    sys.exit(build_site(studio, as_of, site))


@click.command()
@studio_option
@as_of_option
@click.option("--port", type=click.IntRange(1, 65535), default=8000, show_default=True)
def serve(studio: Path, as_of: date | None, port: int) -> None:
    """Show the handbook on this machine only, and build it anew at every change."""
    from handbook_builder.publish.site import serve_site  # noqa: PLC0415 -- MkDocs loads slowly

    sys.exit(serve_site(studio, as_of, port))
