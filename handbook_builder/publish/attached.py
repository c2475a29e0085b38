"""What attachments for helpers hold, as far as it can be read: they go out as they are.

Nothing is taken out of one, so the floor edition is searched for names and sums in it, and is
not published with a find. What cannot be searched is told, for a person to look through.
"""

import html
import logging
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from handbook_builder.notices import notice
from handbook_builder.problems import Place, Problem
from handbook_builder.reading.beside import ending_of
from handbook_builder.reading.records import SHOWN_AS

if TYPE_CHECKING:
    from pypdf import PageObject

_MOST_PAGES: Final = 300
_MOST_BYTES: Final = 60_000_000  # of what is packed in one file, once it is unpacked
_MARKS: Final[Mapping[bytes, str]] = {
    b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16", b"\xef\xbb\xbf": "utf-8-sig",
}  # fmt: skip
_TAG: Final = re.compile(r"<[^<>]*>")
_ENDS_A_LINE: Final = re.compile(r"</(?:\w+:)?(?:p|h|si|c|row|table-cell|table-row)\s*>")
_IN_QUOTES: Final = re.compile(r"\"([^\"]*)\"|'([^']*)'")
_RTF_LETTER: Final = re.compile(r"\\'([0-9a-fA-F]{2})|\\u(-?[0-9]{1,5})\s?\??")
_RTF_LINE: Final = re.compile(r"\\(?:par|line|cell|row|tab)\b ?")
_RTF_WORD: Final = re.compile(r"\\[a-zA-Z]+-?[0-9]* ?|\\[^a-zA-Z]|[{}\r\n]")
_LETTERS: Final = re.compile(rb"[\x20-\x7e\xa0-\xff]{3,}")
_WIDE_LETTERS: Final = re.compile(rb"(?:[\x20-\x7e\xa0-\xff]\x00){3,}")


@dataclass(frozen=True, slots=True)
class Told:
    """What an attachment tells: its texts, and why some of it is not among them (empty: all is)."""

    texts: tuple[str, ...]
    unread: str = ""


def told_by(file: Path) -> Told:
    """Return what an attachment tells, by the ending of its name."""
    read = _READERS.get(ending_of(file.name), _plain)
    try:
        return read(file)
    except Exception:  # noqa: BLE001 -- whatever somebody's file does to a reader of files
        return Told((), "it cannot be read")


def unsearched(records: Path, attachments: Mapping[str, str]) -> Iterator[Problem]:
    """Yield a notice for each attachment for helpers that cannot be searched as a whole."""
    for file in sorted(attachments.values()):
        if why := told_by(records / file).unread:
            yield notice(Place(SHOWN_AS + file), "attachment_unsearched", {"reason": why})


def _plain(file: Path) -> Told:
    data = file.read_bytes()
    for mark, encoding in _MARKS.items():
        if data.startswith(mark):
            return Told((data.decode(encoding, "replace"),))
    try:
        return Told((data.decode("utf-8"),))
    except UnicodeDecodeError:
        return Told((data.decode("windows-1252", "replace"),))


def _rtf(file: Path) -> Told:
    def letter(found: re.Match[str]) -> str:
        if found[1]:
            return bytes([int(found[1], 16)]).decode("windows-1252", "replace")
        return chr(int(found[2]) % 0x10000)

    text = _RTF_LINE.sub("\n", file.read_bytes().decode("latin-1"))
    return Told((_RTF_WORD.sub("", _RTF_LETTER.sub(letter, text)),))


def _old_office(file: Path) -> Told:
    """Return every run of letters in a file of an old office program, of one byte and of two."""
    data = file.read_bytes()
    narrow = (one.decode("windows-1252", "replace") for one in _LETTERS.findall(data))
    wide = (one.decode("utf-16-le") for one in _WIDE_LETTERS.findall(data))
    return Told(("\n".join(narrow), "\n".join(wide)), "only loose words of it can be read")


def _packed(file: Path) -> Told:
    """Return the texts of the parts of an office file; pictures in it hold none."""
    texts: list[str] = []
    with zipfile.ZipFile(file) as packed:
        if sum(one.file_size for one in packed.infolist()) > _MOST_BYTES:
            return Told((), "too much is packed in it")
        for one in packed.infolist():
            if one.filename.lower().endswith((".xml", ".rels", ".rdf")):
                texts += _of_markup(packed.read(one).decode("utf-8", "replace"))
        others = [one.filename for one in packed.infolist() if _is_embedded(one.filename)]
    return Told(tuple(texts), "other files are packed in it" if others else "")


def _is_embedded(name: str) -> bool:
    return "embeddings/" in name.lower() or name.lower().startswith("object ")


def _of_markup(markup: str) -> Iterator[str]:
    """Yield what markup tells: each piece by itself, the pieces of a line together, its attributes.

    A word may be cut by a change of its letters, and two numbers stand in cells side by side.
    """
    yield html.unescape(_TAG.sub("\n", markup))
    yield html.unescape(_TAG.sub("", _ENDS_A_LINE.sub("\n", markup)))
    quoted = (one or other for tag in _TAG.findall(markup)
              for one, other in _IN_QUOTES.findall(tag))  # fmt: skip
    yield html.unescape("\n".join(quoted))


def _pdf(file: Path) -> Told:
    from pypdf import PdfReader  # noqa: PLC0415 -- for such files alone

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # what is odd in a file is no news here
    reader = PdfReader(file)
    if reader.is_encrypted and not reader.decrypt(""):
        return Told((), "it is locked")
    if len(reader.pages) > _MOST_PAGES:
        return Told((), f"it has more than {_MOST_PAGES} pages")
    pages = [one.extract_text() for one in reader.pages]
    notes = [text for one in reader.pages for text in _annotations(one)]
    about = [str(one) for one in (reader.metadata or {}).values()]
    texts = (*pages, *notes, "\n".join(about), _metadata(reader.trailer["/Root"]))
    if any(not text.strip() for text in pages):
        return Told(texts, "a page of it has no letters, and may be a picture")
    return Told(texts, "other files are packed in it" if list(reader.attachments) else "")


def _annotations(page: "PageObject") -> Iterator[str]:
    """Yield what notes and links on a page say."""
    for one in page.get("/Annots") or ():
        note: Any = one.get_object()
        action: Any = note.get("/A", {})
        yield from (str(text) for text in (note.get("/Contents"), action.get("/URI")) if text)


def _metadata(root: Any) -> str:  # noqa: ANN401 -- a dictionary of pypdf
    held = root.get("/Metadata")
    return "" if held is None else held.get_object().get_data().decode("utf-8", "replace")


_READERS: Final[Mapping[str, Callable[[Path], Told]]] = {
    ".pdf": _pdf, ".rtf": _rtf, ".doc": _old_office, ".xls": _old_office, ".odt": _packed,
    ".ods": _packed, ".docx": _packed, ".xlsx": _packed,
}  # fmt: skip
