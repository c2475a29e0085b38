"""What `bring` says, out of the catalogue of words, and the place of each cell it speaks of."""

import re
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final, NoReturn

from handbook_builder.bringing.checked import RecordFault
from handbook_builder.bringing.counted import Counted
from handbook_builder.bringing.due import Due
from handbook_builder.bringing.meanings import WHICH
from handbook_builder.bringing.rows import CellFault, Origin
from handbook_builder.bringing.written import Brought
from handbook_builder.cli.telling import WRONG_CALL, telling_for
from handbook_builder.problems import Place, Problem, in_order
from handbook_builder.reading.records import SHOWN_AS, Reading, laid_over, read_folder
from handbook_builder.tables.table import Table, TableFault, letters
from handbook_builder.terminal import echo, echo_place
from handbook_builder.workshop import studio_from

_WHICH: Final = re.compile(rf"'{WHICH}/(?P<ident>[^']*)'")
_INDENT: Final = "    "


@dataclass(frozen=True, slots=True)
class Told:
    """The catalogue's sentences about bringing, and the files that they speak of."""

    said: Mapping[str, Any]
    file: Path
    mapping: Path

    @classmethod
    def of(cls, studio: Path, file: Path, mapping: Path) -> "Told":
        """Return what is to be said about one table and its mapping."""
        return cls(telling_for(studio).words.phrases["bring"], file, mapping)

    def text(self, code: str, **details: object) -> str:
        """Return a sentence."""
        return str(self.said[code]).format_map(details)

    def say(self, code: str, **details: object) -> None:
        """Print a sentence."""
        echo(self.text(code, **details))

    def warn(self, code: str, **details: object) -> None:
        """Print a sentence to stderr."""
        echo(self.text(code, **details), err=True)

    def wrong(self, code: str, **details: object) -> NoReturn:
        """Print a sentence to stderr and end as a wrong call."""
        self.warn(code, **details)
        sys.exit(WRONG_CALL)

    def no_table(self, fault: TableFault) -> NoReturn:
        """End as a wrong call: the file is no table."""
        reason = str(self.said["no_tables"][fault.code]).format_map(fault.details)
        self.wrong("no_table", file=self.file, reason=reason)

    def faults(
        self, table: Table, cells: Iterable[CellFault], records: Iterable[RecordFault]
    ) -> tuple[Problem, ...]:
        """Return every fault by the file, row and column that it came from, in order."""
        found = [self._at(table, one.at, one.fault.code, self._of_cell(one)) for one in cells]
        found += [self._at(table, one.at, one.problem.code, self._of_record(one))
                  for one in records]  # fmt: skip
        return in_order(found)

    def _of_cell(self, one: CellFault) -> str:
        return str(self.said["faults_told"][one.fault.code]).format_map(one.fault.details)

    def _of_record(self, one: RecordFault) -> str:
        if one.problem.code == "exists":
            return str(self.said["faults_told"]["exists"]).format(file=one.record)
        which = _WHICH.search(one.problem.message)
        if which is not None:
            said = str(self.said["faults_told"]["which_folder"])
            return said.format(found=which[0].strip("'"), which=WHICH, ident=which["ident"])
        return self.text("of_record", message=one.problem.message, file=f"{SHOWN_AS}{one.record}")

    def _at(self, table: Table, at: Origin, code: str, message: str) -> Problem:
        if not at.row:
            text = self.text("at_mapping", key=at.header, message=message)
            return Problem(Place(self.mapping.as_posix(), 1, 1), code, text)
        sheet = f"{table.sheet}!" if table.sheet else ""
        cell = f"{sheet}{letters(at.column) or 'row '}{at.row}"
        header = f" '{at.header}'" if at.header else ""
        text = self.text("at_cell", cell=cell, header=header, message=message)
        return Problem(Place(self.file.as_posix(), at.row, at.column or 1), code, text)

    def record(self, one: Brought, *, written: bool) -> None:
        """Say that a record is written, or show what would be."""
        if written:
            self.say("written", file=SHOWN_AS + one.path)
            return
        self.say("would", file=SHOWN_AS + one.path, row=one.row)
        for line in one.text.rstrip("\n").split("\n"):
            echo(_INDENT + line)

    def left_out(self, table: Table, rows: Sequence[int]) -> None:
        """Name each row that the mapping leaves out, with all that stands in it."""
        for row in rows:
            if row <= len(table.rows) and not table.is_blank(row):
                self.say("left_row", row=row, text=table.said_in(row))

    def blanks(self, blanks: Sequence[RecordFault]) -> None:
        """Say what neither the table nor the mapping says."""
        if blanks:
            self.say("blanks")
        for one in blanks:
            echo(str(one.problem))

    def cell_faults(self, faults: Sequence[Problem]) -> None:
        """Print each fault, and how many there are."""
        for one in faults:
            echo_place(str(one), err=True)
        if faults:
            self.warn("faults", count=len(faults))

    def elsewhere(self, problems: Sequence[Problem]) -> None:
        """Print what would be wrong with records that are on file already."""
        if problems:
            self.warn("elsewhere")
        for one in problems:
            echo_place(str(one), err=True)

    def unsaid(self, due: Due) -> None:
        """Say what is due of test candles and stands in neither table nor mapping."""
        if due:
            keys = [*(f"cycles.{one}" for one in due.in_cycles), *due.once]
            self.warn("unsaid", keys=", ".join(keys))

    def short(self, found: Sequence[Counted]) -> None:
        """Say how a recipe comes to count the test candles that are brought."""
        counts = ", ".join(f"{one.recipe}: {one.then}" for one in found if one.then)
        if counts:
            self.warn("count_short", mapping=self.mapping, counts=counts)

    def dry(self, count: int, *, blank: bool) -> None:
        """Say that nothing was written, and how to write it."""
        noun = self.said["record" if count == 1 else "records"]
        self.say("dry_blank" if blank else "dry", count=count, noun=noun)

    def counted(self, file: str, before: int | None, after: int, *, written: bool) -> None:
        """Say which count of test candles is written into a recipe."""
        code = "counted_now" if written else "counted"
        self.say(code, file=file, before=before, after=after)

    def after(self, problems: Sequence[Problem]) -> None:
        """Say what the check says of the whole studio with the new records in it."""
        if problems:
            self.warn("after")
        for one in problems:
            echo_place(str(one), err=True)


def money_signs(reading: Reading) -> tuple[str, ...]:
    """Return how the studio's currency may be written beside a sum: its code and its sign."""
    if reading.studio is None:
        return ()
    from babel.numbers import get_currency_symbol  # noqa: PLC0415 -- slow to import

    code = reading.studio.currency
    return tuple(dict.fromkeys((code, get_currency_symbol(code, "en_US"))))


def studio_faults(
    records: Path,
    new: Mapping[str, bytes],
    known_by: date,
    studio: Path,
) -> tuple[Problem, ...]:
    """Return what is wrong with the whole studio once `new` files by path stand in `records`."""
    after = laid_over(read_folder(records, SHOWN_AS), new, SHOWN_AS)
    return studio_from(after, known_by, studio)[1]
