"""What a record of any kind may have beside its kind's keys: keys of one's own, attachments.

A key that begins with `x-` is the maker's own: it is kept and shown, and nothing is reckoned with
it. An attachment (a safety sheet, a bill, a letter) lies in the folder called like its record.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePosixPath
from types import MappingProxyType
from typing import Final, TypeAlias

from handbook_builder.problems import Place, Problem, plain, problem
from handbook_builder.reading.fields import Bad, Report, text
from handbook_builder.reading.forms import Words, takes
from handbook_builder.reading.lists import many
from handbook_builder.reading.nodes import Map, Node, Scalar, Sequence
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.reading.shape import AFTER_A_COMMA, OWN_KEY

Value: TypeAlias = "str | tuple[Value, ...] | Mapping[str, Value]"
"""A value of a key of one's own: text, a list or keys with values, in each other."""

FOR_HELPERS: Final = "for_helpers"
# Kinds of records that a page of the floor edition tells of by itself.
SHOWN_TO_HELPERS: Final = frozenset(
    {*ITEM_FOLDERS, "recipes", "burns", "batches", "incidents", "helpers", "protocols"}
)
_MEANT_OWN: Final = re.compile(r"[xX][-_. ]+(?P<rest>[\w .-]*)")

# Endings of attachments, by the word that a page has for them.
ENDINGS: Final[Mapping[str, str]] = {
    ".pdf": "pdf", ".txt": "text", ".rtf": "text", ".odt": "text", ".doc": "text",
    ".docx": "text", ".csv": "table", ".tsv": "table", ".ods": "table", ".xls": "table",
    ".xlsx": "table",
}  # fmt: skip
# What a browser runs, or takes for a page of its own.
ACTIVE: Final = frozenset(
    {".htm", ".html", ".js", ".mht", ".mhtml", ".mjs", ".shtml", ".svg", ".svgz", ".swf", ".wasm",
     ".xht", ".xhtml", ".xml", ".xsl", ".xslt"}
)  # fmt: skip
LARGEST_ATTACHMENT: Final = 25_000_000  # bytes; a scan of some dozen pages has fewer
_BEGINS: Final[Mapping[str, bytes]] = {
    ".pdf": b"%PDF-", ".rtf": b"{\\rtf", ".odt": b"PK\x03\x04", ".ods": b"PK\x03\x04",
    ".docx": b"PK\x03\x04", ".xlsx": b"PK\x03\x04", ".doc": b"\xd0\xcf\x11\xe0",
    ".xls": b"\xd0\xcf\x11\xe0",
}  # fmt: skip
_HEAD: Final = 1024  # bytes; readers of PDF look for its beginning in as many
# How a text begins that a browser takes for a page when nobody tells it what it is: the list of
# the WHATWG's standard "MIME Sniffing", section 7.1, from memory, and drawings.
_PAGE: Final = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*<(?:!--|\?xml|(?:!doctype|html|head|script|iframe|h1|div|font|table|a"
    rb"|style|title|b|body|br|p|svg)[\s>/])",
    re.IGNORECASE,
)
_RECORD: Final = re.compile(rb"(?:\xef\xbb\xbf)?\s*---[ \t]*\r?\n\s*[a-z_]+[ \t]*:")
_DAY: Final = re.compile(r"(?<!\d)\d{4}-\d{2}-\d{2}(?!\d)")


@dataclass(frozen=True, slots=True, order=True)
class Attachment:
    """A file beside a record: whose, its file below the records, and its size in bytes."""

    record: Ref
    file: str
    size_bytes: int

    @property
    def name(self) -> str:
        """Return the name of the file."""
        return self.file.rpartition("/")[2]

    @property
    def kind(self) -> str:
        """Return what it is: `pdf`, `text` or `table`."""
        return ENDINGS[ending_of(self.name)]

    @property
    def on(self) -> date | None:
        """Return the day in its name, or None without one."""
        return day_in(self.name)

    @property
    def is_too_large(self) -> bool:
        """Return whether it is larger than what a handbook takes in."""
        return self.size_bytes > LARGEST_ATTACHMENT


Attachments: TypeAlias = Mapping[Ref, tuple[Attachment, ...]]
"""The attachments of records, by whose they are."""


def by_record(attached: Iterable[Attachment]) -> Attachments:
    """Return attachments by the record that they lie beside, in the order of their names."""
    found: dict[Ref, tuple[Attachment, ...]] = {}
    for one in sorted(attached):
        found[one.record] = (*found.get(one.record, ()), one)
    return MappingProxyType(found)


def day_in(name: str) -> date | None:
    """Return the day in a file's name, as in `safety-sheet-2026-02-26.pdf`, or None without one."""
    found = _DAY.search(name)
    try:
        return date.fromisoformat(found[0]) if found else None
    except ValueError:
        return None


def ending_of(name: str) -> str:
    """Return the ending of a file's name, with its point, in small letters."""
    return PurePosixPath(name).suffix.lower()


def begins_like_a_record(head: bytes) -> bool:
    """Return whether the first bytes of a file are those of a record, or of a page with keys."""
    return _RECORD.match(head) is not None


def attachment_at(path: Path, below: str, shown: str) -> Attachment | Problem:
    """Return the attachment at `path`, which lies `below` the records, or what is wrong with it."""
    folder, ident, name = below.split("/")
    if plain(name) != name:  # no address could be made of it
        return problem(Place(shown), "beside_odd_name")
    with path.open("rb") as file:
        head = file.read(_HEAD)
    ending = ending_of(name)
    if ending not in _BEGINS and begins_like_a_record(head):
        return problem(Place(shown), "beside_record")
    begins = _BEGINS.get(ending, b"")
    is_of_its_kind = begins in head if ending == ".pdf" else head.startswith(begins)
    # A browser that is not told what a file is takes one that begins so for a page, and runs it.
    if not is_of_its_kind or _PAGE.match(head):
        return problem(Place(shown), "beside_other_kind", {"ending": ending})
    return Attachment(Ref.to(folder, ident), below, path.stat().st_size)


def parted(
    root: Map, kind: str, known: Mapping[str, object], report: Report
) -> tuple[Map, Mapping[str, Value], tuple[str, ...]]:
    """Return a record's keys of its kind, its keys of its own, and its attachments for helpers.

    `known` are the keys of its `kind`; what looks like a key of one's own and is none is reported.
    """
    kept: list[tuple[Scalar, Node]] = []
    own: dict[str, Value] = {}
    attached: tuple[str, ...] | Bad = ()
    for key, node in root.entries:
        if OWN_KEY.fullmatch(key.text):
            own[key.text] = _value(node, report, key.text)
        elif key.text == FOR_HELPERS:
            attached = _for_helpers(key, node, kind, report)
        elif key.text not in known and (meant := _MEANT_OWN.fullmatch(key.text)):
            near = "-".join(re.findall(r"\w+", meant["rest"])) or "note"
            report.bad(key, "unknown_key", found=key.text, under="", near=f"x-{near}")
        else:
            kept.append((key, node))
    rest = Map(tuple(kept), root.line, root.column)
    return rest, MappingProxyType(own), () if isinstance(attached, Bad) else attached


def _for_helpers(key: Scalar, node: Node, kind: str, report: Report) -> tuple[str, ...] | Bad:
    if kind not in SHOWN_TO_HELPERS:
        return report.bad(key, "beside_here")
    return NAMES(node, report, FOR_HELPERS)


@takes(Words())
def _name(node: Node, report: Report, key: str) -> str | Bad:
    found = text(node, report, key)
    if isinstance(found, Bad) or (ending_of(found) in ENDINGS and not set("/\\") & set(found)):
        return found
    return report.bad(node, "beside_name", found=found)


NAMES: Final = many(_name, 1)


def _value(node: Node, report: Report, key: str) -> Value:
    """Return what a key of one's own holds, as text in lists and maps; report odd letters."""
    if isinstance(node, Sequence):
        return tuple(_value(one, report, key) for one in node.items)
    if isinstance(node, Map):
        return MappingProxyType(dict(_entries(node, report, key)))
    odd = next((one for one in node.text if not one.isprintable() and one not in "\n\t"), None)
    if odd is not None:
        report.bad(node, "odd_character", key=key, odd=f"U+{ord(odd):04X}")
    return node.text


def _entries(node: Map, report: Report, key: str) -> Iterator[tuple[str, Value]]:
    for name, held in node.entries:
        is_blank = isinstance(held, Scalar) and held.plain and not held.text
        if is_blank and AFTER_A_COMMA.match(name.text):
            report.bad(name, "comma_in_braces", found=name.text)
        _value(name, report, key)
        yield name.text, _value(held, report, key)
