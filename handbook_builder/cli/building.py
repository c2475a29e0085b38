"""`build` and `serve`."""

import sys
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.options import as_of_option, studio_option


@click.command(short_help="Build the handbook; with a record at fault, publish nothing.")
@studio_option
@as_of_option
@click.option(
    "--edition",
    type=click.Choice(["owner", "floor"]),
    default=None,
    help="Build this edition alone. [default: both]",
)
@click.option(
    "--site",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Where the finished site goes; of both editions, the owner's, with the floor edition "
    "beside it. [default: site/ and site-floor/ in the studio's folder]",
)
def build(studio: Path, as_of: date | None, edition: str | None, site: Path | None) -> None:
    """Build the handbook; with a record at fault, publish nothing and say where.

    Two editions are built: the owner's, and one for the floor, which holds no price, cost or
    margin, and names no supplier and no recipient.
    """
    from handbook_builder.publish.site import build_editions  # noqa: PLC0415 -- MkDocs loads slowly

    sys.exit(build_editions(studio, as_of, site, edition))


@click.command(short_help="Show the handbook on this machine, and build at every change.")
@studio_option
@as_of_option
@click.option("--port", type=click.IntRange(1, 65535), default=8000, show_default=True)
@click.option("--edition", type=click.Choice(["owner", "floor"]), default="owner",
              show_default=True)  # fmt: skip
def serve(studio: Path, as_of: date | None, port: int, edition: str) -> None:
    """Show the handbook on this machine only, and build it anew at every change."""
    from handbook_builder.publish.site import serve_site  # noqa: PLC0415 -- MkDocs loads slowly

    sys.exit(serve_site(studio, as_of, port, edition))
