"""`due`."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.colours import coloured
from handbook_builder.cli.options import (
    account_or_exit,
    address_for,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.board import board_of
from handbook_builder.derived.inquiries import unanswered
from handbook_builder.files import put_file
from handbook_builder.pages.board.board import BoardGroup, BoardPage, board_content
from handbook_builder.pages.board.outlooks import Helping, OutlookRow
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.reports.board import report
from handbook_builder.terminal import echo


@click.command(short_help="Show the test board: what cures, rests, may be lit, is overdue.")
@studio_option
@as_of_option
@json_option
@click.option(
    "--ics",
    type=click.Path(dir_okay=False, writable=True, path_type=Path),
    default=None,
    metavar="FILE",
    help="Write the days as an iCalendar file, too; a former one is brought up to date, and in it "
    "what is due no more is cancelled.",
)
def due(studio: Path, as_of: date | None, ics: Path | None, *, as_json: bool) -> None:
    """Show the test board: what cures, what rests, what may be lit, what is overdue.

    Also the earliest day on which each product could be approved, and what a helper could do.
    """
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    desk, board = Desk(account, words), board_of(account)
    content = board_content(desk, board)
    if ics is not None:
        _write(ics, content, desk, address_for(studio, Edition.OWNER))
    if as_json:
        waiting = unanswered(account.studio, board.day)
        print_json(report(board, words.say, waiting))
    else:
        echo("\n".join(_told(desk, content)))


def _write(file: Path, content: BoardPage, desk: Desk, address: str) -> None:
    from handbook_builder.publish.calendar import (  # noqa: PLC0415 -- its library loads slowly
        Heading,
        NotOursError,
        calendar_of,
    )

    heading = Heading(desk.studio.info.name, content.calendar_name, address)
    try:
        former = file.read_bytes() if file.exists() else b""
        put_file(file, calendar_of(content.events, heading, desk.day, former))
    except NotOursError as fault:
        msg = f"{file} is no calendar of the test board. Name another file, or move it away."
        raise click.UsageError(msg) from fault
    except OSError as fault:
        msg = f"{file} cannot be written: {fault.strerror}"
        raise click.UsageError(msg) from fault


def _told(desk: Desk, content: BoardPage) -> Iterator[str]:
    said = desk.words.phrases["pages"]
    yield f"{said['titles']['board']}, {desk.day}"
    for group in content.groups:
        yield from _group(group)
    if content.overdue:
        yield f"  {content.overdue_note}"
    found = content.outlooks
    yield from _outlooks(found.title, found.lead, found.rows)
    yield from _outlooks(found.undated_title, found.undated_lead, found.undated)
    yield from _asked(content)
    yield from _helping(said["helpers"]["to_do"], content.helping)


def _group(group: BoardGroup) -> Iterator[str]:
    yield from ("", group.title)
    if not group.rows:
        yield f"  {group.empty}"
    elif group.lead:
        yield f"  {group.lead}"
    for row in group.rows:
        cells = zip(group.columns, row.cells, strict=True)
        mark = "" if row.word is None else f" ({coloured(row.word)})"
        yield f"  - {row.link.title}{mark}"
        yield "    " + "; ".join(f"{column}: {cell}" for column, cell in cells)
        yield from (f"    {mind}" for mind in row.minds)


def _outlooks(title: str, lead: str, rows: tuple[OutlookRow, ...]) -> Iterator[str]:
    if rows:
        yield from ("", title, f"  {lead}")
    for row in rows:
        yield f"  - {row.link.title} ({coloured(row.word)}): {row.earliest}"
        yield from (f"    {how}" for how in row.how)


def _asked(content: BoardPage) -> Iterator[str]:
    yield from ("", content.asked_title)
    if not content.asked:
        yield f"  {content.asked_none}"
    for row in content.asked:
        yield f"  - {row.item.title}: {row.what} ({row.on}; {row.waits})"


def _helping(to_do: str, found: Helping) -> Iterator[str]:
    yield from ("", found.title)
    yield f"  {found.burning}: {found.burners}. {to_do}: {found.burn}."
    yield f"  {found.pouring}: {found.pourers}. {to_do}: {'; '.join(found.pour)}."
