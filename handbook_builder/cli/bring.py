"""`bring`: a maker's own table into records, by a mapping that the maker has looked at."""

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import click
import yaml

from handbook_builder.bringing.checked import Checked, RecordFault, checked
from handbook_builder.bringing.counted import still_short
from handbook_builder.bringing.due import due_unsaid
from handbook_builder.bringing.mapping import KINDS_BROUGHT, SKIP, read_mapping
from handbook_builder.bringing.mapping import Mapping as Stated
from handbook_builder.bringing.proposal import proposal
from handbook_builder.bringing.rows import CellFault, drafts_of, headers_of
from handbook_builder.bringing.written import Brought, brought
from handbook_builder.cli.bring_told import Told, money_signs, studio_faults
from handbook_builder.cli.options import (
    day_for,
    json_option,
    print_faults,
    print_json,
    records_of,
    refuse,
    studio_option,
)
from handbook_builder.files import (
    HALF_WRITTEN,
    ChangedMeanwhileError,
    create_file,
    heal,
    locked,
    write_whole,
)
from handbook_builder.problems import Place, Problem, problem
from handbook_builder.publish.templates import file_text
from handbook_builder.reading.records import (
    SHOWN_AS,
    STUDIO_FILE,
    Reading,
    read_folder,
    read_record,
)
from handbook_builder.reports.bring import bring_report
from handbook_builder.tables.reader import read_table
from handbook_builder.tables.table import Table, TableFault
from handbook_builder.workshop import last_known_day
from handbook_builder.writing.adding import CannotAddError, with_new_value, with_value


@dataclass(frozen=True, slots=True)
class Call:
    """What was asked for."""

    file: Path
    kind: str | None
    by: Path
    write: bool
    as_json: bool


@click.command(short_help="Bring a table that you keep into records.")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--as", "kind", type=click.Choice(KINDS_BROUGHT), default=None, metavar="KIND",
              help=f"What the rows are: {', '.join(KINDS_BROUGHT)}. The mapping says it from then "
              "on.")  # fmt: skip
@click.option("--by", type=click.Path(dir_okay=False, path_type=Path), default=None,
              metavar="MAPPING", help="The mapping. [default: FILE.yml, beside it]")  # fmt: skip
@click.option("--write", is_flag=True, help="Write the records. [default: only say what it would]")
@studio_option
@json_option
def bring(  # noqa: PLR0913 -- one parameter an option
    *, file: Path, kind: str | None, by: Path | None, write: bool, studio: Path, as_json: bool
) -> None:
    """Bring a table that you keep (FILE: .csv, .xlsx or .ods) into records.

    At first it writes a mapping beside the table: which column is for which key, and how days and
    numbers are written. Look at it and mend it. Then the call lists each record that it would
    write, and each cell at fault by its row and column. With --write it writes them all, or none.
    No record is ever overwritten, and nothing is written that stands in neither table nor mapping.

    \b
    handbook bring tests.csv --as burns
    handbook bring tests.csv --write
    """  # noqa: D301 -- the mark is Click's
    mapping = by or file.with_name(f"{file.name}.yml")
    told = Told.of(studio, file, mapping)
    records = records_of(studio)
    if not (records / STUDIO_FILE).is_file():
        refuse([problem(Place(SHOWN_AS), "no_records")], as_json=as_json)
    if (
        records.resolve() in mapping.resolve().parents
        or records.resolve() in file.resolve().parents
    ):
        told.wrong("in_records", file=file)
    with locked(records):
        _healed(told, records)
        _brought(told, studio, Call(file, kind, mapping, write, as_json))


def _healed(told: Told, records: Path) -> None:
    """Take back what a killed run left half written, before anything is read."""
    found = heal(records)
    if found is None:
        return
    is_whole, strange = found
    if strange is not None:
        told.wrong("not_healed", file=strange, journal=records / HALF_WRITTEN)
    told.warn("healed_whole" if is_whole else "healed")


def _brought(told: Told, studio: Path, call: Call) -> None:
    reading = read_folder(records_of(studio), SHOWN_AS)
    if not call.by.is_file():
        _propose(told, studio, call, reading)
        if call.write:
            told.wrong("look_first")
    stated, problems = read_mapping(call.by.read_bytes(), call.by.as_posix())
    if stated is None:
        print_faults(problems, as_json=call.as_json)
        sys.exit(1)
    if call.kind is not None and call.kind != stated.as_:
        told.wrong("other_kind", mapping=call.by, stated=stated.as_, asked=call.kind)
    table = _table(told, call, stated.sheet, stated.encoding, stated.delimiter)
    _bring(told, studio, call, reading, stated, table)


def _propose(told: Told, studio: Path, call: Call, reading: Reading) -> None:
    """Write the first proposal of a mapping."""
    if call.kind is None:
        told.wrong("as_what", known=", ".join(KINDS_BROUGHT))
    table = _table(told, call, "", "", "")
    for code, details in table.told:
        told.warn(code, file=call.file, **details)
    said = {
        "proposal": told.said["proposal"],
        "headers": yaml.safe_load(file_text(studio, "headers.yml") or ""),
    }
    text = proposal(table, call.kind, reading, said, call.file.name).text
    create_file(call.by, text.encode())
    told.warn("proposed", mapping=call.by, file=call.file)


def _table(told: Told, call: Call, sheet: str, encoding: str, delimiter: str) -> Table:
    found = read_table(call.file.name, call.file.read_bytes(), sheet, encoding, delimiter)
    if isinstance(found, TableFault):
        told.no_table(found)
    return found


@dataclass(frozen=True, slots=True)
class _Found:
    """What a table comes to: records, recipes to be changed, and all that is in the way."""

    records: list[Brought]
    changes: Mapping[Path, tuple[bytes, bytes]]
    check: Checked
    faults: tuple[Problem, ...]
    unmapped: list[str]
    known_by: date
    stated: Stated

    @property
    def is_good(self) -> bool:
        """Return whether it may be written."""
        return bool(self.records) and not self.faults and not self.check.elsewhere


def _bring(  # noqa: PLR0913, PLR0917 -- one a part of what is known
    told: Told, studio: Path, call: Call, reading: Reading, stated: Stated, table: Table
) -> None:
    found = _found(told, studio, reading, stated, table)
    after: tuple[Problem, ...] = ()
    if found.is_good and not found.check.blanks:
        after = studio_faults(
            records_of(studio), _new(found, records_of(studio)), found.known_by, studio
        )
    if found.is_good and call.write:
        _write(told, records_of(studio), stated.as_, found)
    if call.as_json:
        written = found.is_good and call.write
        parts = (found.records, found.faults, found.check, found.unmapped)
        print_json(bring_report(*parts, after, written=written))
    else:
        told.left_out(table, stated.leave_out)
        _say(told, call, reading, found)
        told.after(after)
    if not found.is_good:
        sys.exit(1)


def _found(told: Told, studio: Path, reading: Reading, stated: Stated, table: Table) -> _Found:
    drafts = drafts_of(table, stated, money_signs(reading))
    records = [brought(stated.as_, one, whole=stated.whole) for one in drafts.records.values()]
    known_by = last_known_day(day_for(studio, None))
    check = checked(reading, records, _taken(records_of(studio) / stated.as_), known_by)
    return _Found(
        records,
        _counted(told, records_of(studio), reading, stated),
        check,
        told.faults(table, drafts.faults, _first_hand(drafts.faults, check.faults)),
        _unmapped(table, stated),
        known_by,
        stated,
    )


def _first_hand(cells: Sequence[CellFault], records: Sequence[RecordFault]) -> list[RecordFault]:
    """Return the faults of records without keys that are missing for a cell at fault."""
    rows = {one.at.row for one in cells}
    return [one for one in records if one.problem.code != "missing_key" or one.at.row not in rows]


def _new(found: _Found, root: Path) -> dict[str, bytes]:
    """Return every file that is written, by its path below the records."""
    changed = {path.relative_to(root).as_posix(): new for path, (_, new) in found.changes.items()}
    return {**{one.path: one.text.encode() for one in found.records}, **changed}


def _say(told: Told, call: Call, reading: Reading, found: _Found) -> None:
    written = found.is_good and call.write
    if found.unmapped:
        told.say("unmapped", headers=", ".join(found.unmapped))
    for one in found.records:
        told.record(one, written=written)
    for path, (_, new) in found.changes.items():
        _say_count(told, reading, path, new, written=written)
    told.blanks(found.check.blanks)
    told.cell_faults(found.faults)
    told.elsewhere(found.check.elsewhere)
    if found.stated.as_ == "burns" and found.is_good:
        told.unsaid(due_unsaid(reading, *_said_by(found.stated)))
        told.short(still_short(found.records, found.stated.test_candles, reading))
    if not found.records:
        told.warn("nothing")
    elif found.is_good and not call.write:
        told.dry(len(found.records), blank=bool(found.check.blanks))


def _said_by(stated: Stated) -> tuple[set[str], list[str]]:
    """Return the keys that a mapping says anything of, and the readings that nobody took."""
    columns = {one.key for one in stated.columns.values()}
    always = {key for key, value in stated.always.items() if value}
    unread = stated.always.get("cycles.unread", "").split(",")
    return columns | always, [one.strip() for one in unread if one.strip()]


def _say_count(told: Told, reading: Reading, path: Path, new: bytes, *, written: bool) -> None:
    name = f"recipes/{path.name}"
    after, _ = read_record(name, new, SHOWN_AS)
    before = reading.records["recipes"][path.stem].test_candles
    told.counted(f"{SHOWN_AS}{name}", before, after.test_candles, written=written)


def _unmapped(table: Table, stated: Stated) -> list[str]:
    """Return the headers of columns that are left out and hold anything."""
    return [
        header
        for at, header in enumerate(headers_of(table, stated.header), 1)
        if (header not in stated.columns or stated.columns[header].key == SKIP)
        and any(
            not table.cell(row, at).is_blank for row in range(stated.header, len(table.rows) + 1)
        )
    ]


def _taken(folder: Path) -> set[str]:
    return {one.name.casefold() for one in folder.iterdir()} if folder.is_dir() else set()


def _counted(
    told: Told, records: Path, reading: Reading, stated: Stated
) -> dict[Path, tuple[bytes, bytes]]:
    """Return the recipes whose test candles the mapping counts: their bytes, and the new ones."""
    changes = {}
    for ident, count in stated.test_candles.items():
        path = records / "recipes" / f"{ident}.md"
        recipe = reading.records.get("recipes", {}).get(ident)
        if recipe is None or not path.is_file():
            told.wrong("no_recipe", found=ident)
        if recipe.test_candles == count:
            continue
        if recipe.test_candles is not None and count < recipe.test_candles:
            told.wrong("count_lowered", file=f"{SHOWN_AS}recipes/{ident}.md", value=count,
                       stated=recipe.test_candles)  # fmt: skip
        old = path.read_bytes()
        add = with_new_value if recipe.test_candles is None else with_value
        try:
            changes[path] = (old, add(old, "test_candles", str(count)))
        except CannotAddError:
            told.wrong("cannot_count", file=f"{SHOWN_AS}recipes/{ident}.md", value=count)
    return changes


def _write(told: Told, root: Path, kind: str, found: _Found) -> None:
    (root / kind).mkdir(exist_ok=True)
    new = {root / one.path: one.text.encode() for one in found.records}
    try:
        with locked(root / kind):
            write_whole(root, new, found.changes)
    except (ChangedMeanwhileError, FileExistsError) as error:
        told.wrong("changed", file=error.args[0] if error.args else root / kind)
