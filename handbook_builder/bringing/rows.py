"""Rows of a table as the values of records, each with the cell that it came from."""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from handbook_builder.bringing.mapping import NAME, SKIP, UNREAD, Column
from handbook_builder.bringing.mapping import Mapping as Stated
from handbook_builder.bringing.targets import Form, Target, target_of, without_number
from handbook_builder.bringing.values import Fault, Rules, Value, value_of, word_for
from handbook_builder.tables.table import Table, letters

_HELD: Final = re.compile(r"\{([^{}]+)\}")
_NONE: Final = "none"
# What a record need not say of each of its items: a blank there leaves nothing out of the candle.
_MAY_LACK: Final = ("lots", "spec", "packaging")


@dataclass(frozen=True, slots=True, order=True)
class Origin:
    """The cell that a value came from; row 0 is the mapping, `header` then one of its keys."""

    row: int
    column: int = 0
    header: str = ""


@dataclass(frozen=True, slots=True)
class CellFault:
    """Why a cell, a row or a line of the mapping makes no record."""

    at: Origin
    fault: Fault


@dataclass(frozen=True, slots=True)
class Leaf:
    """One value as a record writes it, and where it came from; an empty text is left blank."""

    value: Value
    origin: Origin


Path = tuple[str, ...]


@dataclass(slots=True)
class Draft:
    """A record in the making: its values by path, entries of lists by their number from 1."""

    id: str
    row: int
    leaves: dict[Path, Leaf] = field(default_factory=dict)
    entries: int = 0  # rows that were entries of a list


@dataclass(slots=True)
class Drafts:
    """What came of the rows: records by id, and every fault."""

    records: dict[str, Draft] = field(default_factory=dict)
    faults: list[CellFault] = field(default_factory=list)


def headers_of(table: Table, row: int) -> tuple[str, ...]:
    """Return what each column is called: its header, or `column D` where it has none of its own."""
    found = [" ".join(table.cell(row, at).text.split()) for at in range(1, table.width + 1)]
    return tuple(
        name if name and found.count(name) == 1 else f"column {letters(at)}"
        for at, name in enumerate(found, 1)
    )


def drafts_of(table: Table, stated: Stated, money: tuple[str, ...] = ()) -> Drafts:
    """Return the records that a table's rows come to by its mapping."""
    return _Maker(table, stated, money).made()


class _Maker:
    def __init__(self, table: Table, stated: Stated, money: tuple[str, ...]) -> None:
        self.table, self.stated, self.money = table, stated, money
        self.headers = headers_of(table, stated.header)
        self.at = {name: at for at, name in enumerate(self.headers, 1)}
        self.used = {name: one for name, one in stated.columns.items() if name in self.at}
        self.found = Drafts()
        self.above: dict[str, int] = {}
        targets = (target_of(stated.as_, one.key) for one in self.used.values())
        self.by_row = any(one.is_row for one in targets if one is not None)

    def made(self) -> Drafts:
        self._refuse_absent()
        first = self.stated.header + 1
        for row in range(first, len(self.table.rows) + 1):
            if row not in self.stated.leave_out and not self.table.is_blank(row):
                self._row(row)
        for draft in self.found.records.values():
            self._always(draft)
        return self.found

    def _bad(self, row: int, header: str, code: str, **details: object) -> None:
        at = Origin(row, self.at.get(header, 0), header)
        self.found.faults.append(CellFault(at, Fault(code, details)))

    def _refuse_absent(self) -> None:
        """Refuse a mapping of columns that are not there, as of another table."""
        named = {f"columns.{one}": one for one in self.stated.columns}
        for key in (self.stated.id, *(one.key for one in self.stated.columns.values())):
            named.update({f"columns.{one}": one for one in _HELD.findall(key)})
        for header in named.values():
            if header not in self.at:
                known = ", ".join(self.headers)
                self._bad(0, header, "no_column", found=header, known=known)

    def _row(self, row: int) -> None:
        ident = self._id(row)
        if ident is None:
            return
        draft = self.found.records.get(ident)
        if draft is None:
            draft = self.found.records[ident] = Draft(ident, row)
        elif not self.by_row:
            self._bad(row, "", "id_twice", found=ident, first=draft.row)
            return
        draft.entries += 1
        for header, column in self.used.items():
            self._cell(draft, row, header, column)

    def _id(self, row: int) -> str | None:
        parts = {name: self._text(row, name) for name in _HELD.findall(self.stated.id)}
        lacking = next((name for name, one in parts.items() if not one), None)
        if lacking is not None:
            self._bad(row, lacking, "no_id", id=self.stated.id)
            return None
        return slug(_HELD.sub(lambda hit: str(parts[hit[1]]), self.stated.id)) or None

    def _source_row(self, row: int, header: str) -> int:
        """Return the row whose cell speaks: the last above with anything in it, if so said."""
        column = self.used.get(header)
        blank = self.table.cell(row, self.at.get(header, 0) or self.table.width + 1).is_blank
        if column is None or not column.down:
            return row
        if blank:
            return self.above.get(header, row)
        self.above[header] = row
        return row

    def _rules(self, row: int, column: Column) -> Rules:
        """Return what is stated for a column; a unit may stand in a column of its own."""
        unit = column.unit or self.stated.units.get(without_number(column.key))
        if unit and (held := _HELD.fullmatch(unit)):
            unit = self._text(row, held[1]) or None
        return Rules(
            unit,
            column.decimal or self.stated.decimal,
            column.dates or self.stated.dates,
            column.words,
            self.money,
        )

    def _text(self, row: int, header: str) -> str:
        """Return what a cell says where it is used by its name: as the record has it, if it can."""
        column = self.used.get(header)
        if column is None or header not in self.at:
            return ""
        cell = self.table.cell(self._source_row(row, header), self.at[header])
        target = target_of(self.stated.as_, column.key)
        if target is not None and target.form in {Form.DAY, Form.MOMENT}:
            found = value_of(cell, target, self._rules(row, column))
            return found if isinstance(found, str) else ""
        meant = word_for(cell.text, column.words)
        text = " ".join(cell.text.split()) if meant is None else meant
        return text or (column.blank or "" if column.blank != UNREAD else "")

    def _cell(self, draft: Draft, row: int, header: str, column: Column) -> None:
        target = target_of(self.stated.as_, column.key)
        if column.key in {SKIP, NAME} or target is None:
            return
        source = self._source_row(row, header)
        found = value_of(self.table.cell(source, self.at[header]), target, self._rules(row, column))
        if isinstance(found, Fault):
            self._bad(source, header, found.code, **found.details)
            return
        origin = Origin(source, self.at[header], header)
        if not found and column.blank == UNREAD:
            self._unread(draft, target, origin)
        elif not found and column.blank is not None:
            found = column.blank
        self._put(draft, row, target, Leaf(found, origin))

    def _unread(self, draft: Draft, target: Target, origin: Origin) -> None:
        path = _numbered(target, draft.entries)
        listed = (*path[:-1], "unread")
        kept = draft.leaves.get(listed)
        words = [*(kept.value if kept else ()), path[-1]]
        draft.leaves[listed] = Leaf(list(words), kept.origin if kept else origin)

    def _put(self, draft: Draft, row: int, target: Target, leaf: Leaf) -> None:
        """Set a value at its path, the names in it filled in from the row."""
        path: list[str] = []
        for part in _numbered(target, draft.entries):
            names = {name: self._text(row, name) for name in _HELD.findall(part)}
            if any(one == _NONE for one in names.values()):
                self._none(draft, (*path,), leaf)
                return
            if names and not all(names.values()):
                if leaf.value:
                    lacking = next(name for name, one in names.items() if not one)
                    self._bad(row, lacking, "nameless", found=str(leaf.value))
                return
            path.append(_filled(part, names))
        named = any("{" in part for part in target.parts)
        if leaf.value or (named and target.parts[0] not in _MAY_LACK):
            self._set(draft, tuple(path), leaf)

    def _none(self, draft: Draft, path: Path, leaf: Leaf) -> None:
        """Note that there is none, of an oil for example; then nothing may be said of it."""
        if leaf.value:
            at = leaf.origin
            self._bad(at.row, at.header, "none_with_value", found=str(leaf.value))
        elif path[0] not in _MAY_LACK:
            self._set(draft, path, Leaf(_NONE, leaf.origin))

    def _set(self, draft: Draft, path: Path, leaf: Leaf) -> None:
        kept = draft.leaves.get(path) or _above_or_below(draft, path)
        if kept is None or not kept.value:
            draft.leaves[path] = leaf
        elif leaf.value and kept.value != leaf.value:
            at = leaf.origin
            self._bad(at.row, at.header, "differs", found=str(leaf.value),
                      other=str(kept.value), first=kept.origin.row)  # fmt: skip

    def _always(self, draft: Draft) -> None:
        """Set what the mapping says of every record, where no cell said anything."""
        for key, value in self.stated.always.items():
            target = target_of(self.stated.as_, key)
            if target is None:
                continue
            said = [one.strip() for one in value.split(",")] if target.many and value else value
            leaf = Leaf(said, Origin(0, 0, f"always.{key}"))
            for path in _paths(draft, target):
                taken = path in draft.leaves or _above_or_below(draft, path) is not None
                if not taken:
                    draft.leaves[path] = leaf
                elif path[-1] == "unread" and isinstance(said, list):
                    kept = draft.leaves[path]
                    words = dict.fromkeys([*kept.value, *said])
                    draft.leaves[path] = Leaf(list(words), kept.origin)


def _filled(part: str, names: Mapping[str, str]) -> str:
    """Return a key with the names of items in the place of their columns."""
    return _HELD.sub(lambda hit: names[hit[1]], part)


def _above_or_below(draft: Draft, path: Path) -> Leaf | None:
    """Return what was said of a whole where a part is told now, or the other way round."""
    for one, leaf in draft.leaves.items():
        shorter = min(len(one), len(path))
        if one != path and one[:shorter] == path[:shorter]:
            return leaf
    return None


def _paths(draft: Draft, target: Target) -> Iterator[Path]:
    """Yield where a value of every record belongs: once, or once in each entry of a list."""
    if "row" not in target.parts:
        yield target.parts
        return
    at = target.parts.index("row")
    head = target.parts[:at]
    numbers = dict.fromkeys(
        one[at] for one in draft.leaves if one[:at] == head and len(one) > at + 1
    )
    for number in numbers:
        yield (*head, number, *target.parts[at + 1 :])


def _numbered(target: Target, entry: int) -> Path:
    """Return the parts of a path, the entry of this row by its number."""
    return tuple(str(entry) if part == "row" else part for part in target.parts)


def slug(text: str) -> str:
    """Return a text as an id: lower-case letters of the keyboard, digits, single hyphens."""
    folded = unicodedata.normalize("NFKD", text.replace("ß", "ss"))
    kept = "".join(one for one in folded if not unicodedata.combining(one)).lower()
    return re.sub(r"[^a-z0-9]+", "-", kept).strip("-")
