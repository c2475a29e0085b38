"""The mapping file: what each column of a table means, in the maker's hand.

Nothing of it is guessed when a table is read: a proposal is written once (`proposal.py`), and what
it could not tell stands there blank until somebody fills it in.
"""

from collections.abc import Mapping as Keyed
from types import MappingProxyType
from typing import Final

from handbook_builder.bringing.targets import target_of
from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.days import is_style
from handbook_builder.reading.fields import (
    Bad,
    Report,
    choice,
    count,
    ident,
    near,
    text,
    yes_no,
)
from handbook_builder.reading.lists import many, table
from handbook_builder.reading.merges import conflicts
from handbook_builder.reading.nodes import Map, Node, Scalar, compose
from handbook_builder.reading.records import KINDS
from handbook_builder.reading.shape import Source, optional, places_of, read_shape, required, shape
from handbook_builder.tables.csv_file import ENCODINGS

SKIP: Final = "skip"  # the column is left out
NAME: Final = "name"  # its cells are used in ids and in the keys of other columns alone
UNREAD: Final = "unread"  # a blank cell: nobody read it
# Rules, accidents and people are told one by one, and no rows of a table.
_ONE_BY_ONE: Final = frozenset({"protocols", "incidents", "helpers"})
KINDS_BROUGHT: Final = tuple(kind for kind in KINDS if kind not in _ONE_BY_ONE)


def _or_blank(node: Node, report: Report, key: str) -> str | Bad:
    """Read a text that may be left blank."""
    return "" if isinstance(node, Scalar) and not node.text.strip() else text(node, report, key)


def _delimiter(node: Node, report: Report, key: str) -> str | Bad:
    if isinstance(node, Scalar) and node.text in {";", ",", "\t", "tab"}:
        return "\t" if node.text == "tab" else node.text
    return choice(";", ",", "tab")(node, report, key)


def _style(node: Node, report: Report, key: str) -> str | Bad:
    found = text(node, report, key)
    if isinstance(found, Bad) or is_style(found):
        return found
    known = "YYYY-MM-DD, DD.MM.YYYY, DD/MM/YYYY, MM/DD/YYYY, D MMM YYYY and the like, YY for 20YY"
    return report.bad(node, "not_a_choice", found=found, key=key, known=known, near="")


@shape
class Column:
    """What one column means.

    `words` are what its cells say beside what records say; `blank` is what a blank cell means, and
    with `down` it means the same as the cell above.
    """

    key: str = required(text, "a key of the record, name or skip")
    unit: str | None = optional(text)
    decimal: str | None = optional(choice("point", "comma"))
    dates: str | None = optional(_style)
    words: Keyed[str, str] = optional(table(text, _or_blank), MappingProxyType({}))
    blank: str | None = optional(text)
    down: bool = optional(yes_no, default=False)


def _plain_column(key: str) -> Column:
    """Return a column that is told by its key alone."""
    return Column(
        key=key, unit=None, decimal=None, dates=None, words=MappingProxyType({}), blank=None,
        down=False,
    )  # fmt: skip


def _column(node: Node, report: Report, key: str) -> Column | Bad:
    """Read a column: a key alone, or keys of its own."""
    if isinstance(node, Scalar):
        found = text(node, report, key)
        return found if isinstance(found, Bad) else _plain_column(found)
    return read_shape(Column, node, report, key)


@shape
class Mapping:
    """How a table is read.

    `units` are of keys whose columns state none; `always` is what no column says and every record
    shall say.
    """

    source: Source
    as_: str = required(choice(*KINDS_BROUGHT), "what its rows are")
    id: str = required(text, "the id of each record, such as '{Recipe}-{Candle}'")
    sheet: str = optional(text, "")
    header: int = optional(count(1), 1)
    encoding: str = optional(choice(*ENCODINGS), "")
    delimiter: str = optional(_delimiter, "")
    decimal: str | None = optional(choice("point", "comma"))
    dates: str | None = optional(_style)
    units: Keyed[str, str] = optional(table(text, text), MappingProxyType({}))
    leave_out: tuple[int, ...] = optional(many(count(1)), ())
    columns: Keyed[str, Column] = required(table(text, _column, 1), "the columns by their headers")
    always: Keyed[str, str] = optional(table(text, _or_blank), MappingProxyType({}))
    whole: bool = optional(yes_no, default=False)
    test_candles: Keyed[str, int] = optional(table(ident, count(0)), MappingProxyType({}))


def read_mapping(data: bytes, file: str) -> tuple[Mapping | None, tuple[Problem, ...]]:
    """Return the mapping in the bytes of a file, or None, and all that is wrong with it."""
    try:
        written = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        return None, (
            problem(Place(file, line), "not_text", {"byte": f"0x{data[error.start]:02x}"}),
        )
    if unmerged := conflicts(data, file, keys_only=True):
        return None, unmerged
    root, problems = compose(written, file, 1)
    if not isinstance(root, Map):
        details = {"key": "the mapping", "found": "no keys"}
        return None, tuple(problems) or (problem(Place(file), "not_a_map", details),)
    source = Source("mapping", "", file, places_of(root), "")
    report = Report(file, problems)
    found = read_shape(Mapping, root, report, "", source=source)
    if isinstance(found, Bad):
        return None, tuple(report.problems)
    report.problems.extend(_strangers(found))
    return (None if report.problems else found), tuple(report.problems)


def _strangers(mapping: Mapping) -> list[Problem]:
    """Return a problem for each key that records of this kind do not have."""
    named = [(f"columns.{header}", one.key) for header, one in mapping.columns.items()]
    named += [(f"always.{key}", key) for key in mapping.always]
    named += [(f"units.{key}", key) for key in mapping.units]
    return [
        problem(mapping.source.place(path), "unknown_key",
                {"found": key, "under": f" of {mapping.as_}", "near": near(key, (SKIP, NAME))})
        for path, key in named
        if key not in {SKIP, NAME} and target_of(mapping.as_, key) is None
    ]  # fmt: skip
