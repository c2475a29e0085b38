"""Attachments: to the owner byte for byte, and to helpers only what is named and tells no secret.

The files are written by general-purpose libraries, or by hand as their formats say.
"""

import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from fpdf import FPDF
from odf.opendocument import OpenDocumentText
from odf.text import P, Span
from openpyxl import Workbook
from PIL import Image

from handbook_builder.publish.attached import told_by, unsearched
from tests.bench.calls import called, studio_of
from tests.publish.test_nothing_leaves import STUDIO, built, studio_in
from tests.records_in_text import BASE

BILL = "Quayside Candle Goods wants 61.30 for it"


def _pdf(file: Path, text: str = BILL, **meta: str) -> None:
    pdf = FPDF()
    pdf.set_title(meta.get("title", "a"))
    pdf.add_page()
    pdf.set_font("Helvetica", size=12)
    pdf.multi_cell(0, text=text)
    pdf.output(str(file))


def _odt(file: Path) -> None:
    document = OpenDocumentText()
    line = P(text="Quay")
    line.addElement(Span(text="side Candle Goods wants 61.30 for it"))
    document.text.addElement(line)
    document.save(str(file))


def _xlsx(file: Path) -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["From", "Quayside Candle Goods"])
    sheet.append(["a price", 61.3])
    book.save(file)


def _docx(file: Path) -> None:
    """Two runs of letters and a remark, as ECMA-376 has them (part 1, 17.3.2; from memory)."""
    run = "<w:r><w:t>{}</w:t></w:r>"
    body = run.format("Quay") + run.format("side Candle Goods wants 61.30 for it")
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr("word/document.xml", f"<w:document><w:p>{body}</w:p></w:document>")
        packed.writestr("word/comments.xml", "<w:comments><w:t>for Marlene</w:t></w:comments>")


def _rtf(file: Path) -> None:
    file.write_bytes(rb"{\rtf1\ansi{\b Quay}side Candle \'47oods wants 61.30 for it\par\u8364?}")


def _doc(file: Path) -> None:
    file.write_bytes(b"\xd0\xcf\x11\xe0\0\0" + BILL.encode("utf-16-le") + b"\0\0\1")


def _wide(file: Path) -> None:
    file.write_bytes(BILL.encode("utf-16"))


def _bytes(file: Path, data: bytes) -> None:
    file.write_bytes(data)


FORMATS: dict[str, Callable[[Path], None]] = {
    "sheet.pdf": _pdf,
    "sheet.odt": _odt,
    "sheet.xlsx": _xlsx,
    "sheet.docx": _docx,
    "sheet.rtf": _rtf,
    "sheet.doc": _doc,
    "wide.txt": _wide,
    "plain.txt": lambda file: _bytes(file, BILL.encode()),
    "rows.csv": lambda file: _bytes(file, b"Gew\xfcrz;Quayside Candle Goods;61,30"),
    "about.pdf": lambda file: _pdf(file, "Nothing.", title="from Quayside Candle Goods"),
}  # fmt: skip


@pytest.mark.parametrize("name", FORMATS)
def test_what_a_format_tells(name: str, tmp_path: Path) -> None:
    """A name that is cut by a change of its letters is whole again; so is one in its data."""
    FORMATS[name](tmp_path / name)
    told = " ".join(" ".join(one.split()) for one in told_by(tmp_path / name).texts)
    assert "Quayside Candle Goods" in told
    assert name == "about.pdf" or any(one in told for one in ("61.30", "61,30", "61.3"))


def _locked(file: Path) -> None:
    pdf = FPDF()
    pdf.set_encryption(owner_password="a", user_password="b")  # noqa: S106 -- of a test
    pdf.add_page()
    pdf.output(str(file))


def _empty(file: Path) -> None:
    pdf = FPDF()
    pdf.add_page()
    pdf.output(str(file))


@pytest.mark.parametrize(
    ("name", "make", "reason"),
    [
        ("a.pdf", lambda file: file.write_bytes(b"%PDF-1.7 and no more"), "it cannot be read"),
        ("a.pdf", _locked, "it is locked"),
        ("a.pdf", _empty, "a page of it has no letters, and may be a picture"),
        ("a.docx", lambda file: file.write_bytes(b"PK\x03\x04"), "it cannot be read"),
        ("a.doc", _doc, "only loose words of it can be read"),
    ],
)
def test_what_cannot_be_searched_is_told(
    name: str, make: Callable[[Path], object], reason: str, tmp_path: Path
) -> None:
    """It goes out because its record says so, and somebody is asked to look it through."""
    make(tmp_path / name)
    (found,) = unsearched(tmp_path, {f"attachments/x/{name}": name})
    assert (found.code, reason in found.message) == ("attachment_unsearched", True)


def test_the_check_names_what_nobody_searched(tmp_path: Path) -> None:
    """Among its warnings, whether anything is at fault or not; what can be read is not named."""
    oil = BASE["fragrances/fig-oil.md"].replace(
        "safety_sheet:", "for_helpers: [a.pdf, b.pdf]\nsafety_sheet:"
    )
    studio = studio_of(tmp_path, {**BASE, "fragrances/fig-oil.md": oil})
    folder = studio / "records/fragrances/fig-oil"
    folder.mkdir()
    _pdf(folder / "a.pdf", "Rinse.")
    (folder / "b.pdf").write_bytes(b"%PDF-1.7 and no more")
    done = called(studio, "check")
    assert done.exit_code == 0, done.output
    told = [line for line in done.output.splitlines() if "fragrances/fig-oil/" in line]
    assert len(told) == 1
    assert told[0].startswith("records/fragrances/fig-oil/b.pdf:1:1: warning: this goes to helpers")


def test_too_much_in_a_small_file_is_not_unpacked(tmp_path: Path) -> None:
    """Sixty million bytes of nothing are a few thousand, packed."""
    with zipfile.ZipFile(tmp_path / "a.docx", "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("word/document.xml", b" " * 60_000_001)
    assert told_by(tmp_path / "a.docx").unread == "too much is packed in it"


def _with_attachments(folder: Path, named: str, files: dict[str, bytes]) -> Path:
    oil = STUDIO["fragrances/fig-oil.md"].replace(
        "safety_sheet:", f"for_helpers: [{named}]\nx-paid: Marlene, 61.30\nsafety_sheet:"
    )
    oil += "[The sheet](fig-oil/safety%20sheet%20%231.txt) and [what it was](fig-oil/bill.txt).\n"
    batch = STUDIO["batches/one.md"].replace("recipe:", "for_helpers: [how.txt]\nrecipe:")
    studio = studio_in(folder, {"fragrances/fig-oil.md": oil, "batches/one.md": batch})
    for path, data in files.items():
        (studio / "records" / path).parent.mkdir(exist_ok=True)
        (studio / "records" / path).write_bytes(data)
    return studio


PLAIN = b"4. First aid\r\nRinse.\xff"
SECRET = b"Quayside Candle Goods, 61.30 EUR, for Marlene Oskar"
FILES = {
    "fragrances/fig-oil/safety sheet #1.txt": PLAIN,
    "fragrances/fig-oil/bill.txt": SECRET,
    "batches/one/how.txt": b"Slowly.",
    "batches/one/to whom.txt": SECRET,
    "purchases/bill/bill.txt": SECRET,
    "suppliers/tilda/terms.txt": SECRET,
    "helpers/ilse/letter.txt": SECRET,
    "recipes/fig/idea.txt": SECRET,
    "burns/fig-a/seen.txt": SECRET,
}


@pytest.mark.deep
def test_who_gets_what(tmp_path: Path) -> None:
    """The owner all of it, byte for byte; helpers what is named, under a name that tells nobody."""
    studio = _with_attachments(tmp_path, '"safety sheet #1.txt"', FILES)
    Image.new("RGB", (8, 6), "ivory").save(studio / "records/purchases/bill/paper.jpg")
    command = [sys.executable, "-m", "handbook_builder", "build", "--studio", str(studio)]
    done = subprocess.run(command, env=dict(os.environ, NO_MKDOCS_2_WARNING="1"), check=False,
                          capture_output=True, text=True)  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    owner, floor = (
        {
            one.relative_to(studio / site / "attachments").as_posix(): one.read_bytes()
            for one in (studio / site / "attachments").rglob("*")
            if one.is_file()
        }
        for site in ("site", "site-floor")
    )
    assert owner == FILES
    assert floor == {
        "fragrances/fig-oil/safety sheet #1.txt": PLAIN,
        "batches/fig-2026-04-20/how.txt": b"Slowly.",
    }
    page = (studio / "site/fragrances/fig-oil.html").read_text("utf-8")
    assert 'href="../attachments/fragrances/fig-oil/safety%20sheet%20%231.txt"' in page
    assert "x-paid" in page
    assert page.count('href="../attachments/fragrances/fig-oil/') == 4  # in the notes too
    supplier = (studio / "site/suppliers/quayside-candle-goods.html").read_text("utf-8")
    assert 'href="../photos/purchases/bill/paper.jpg"' in supplier
    assert not list((studio / "site-floor").rglob("paper.jpg"))
    floor_page = (studio / "site-floor/fragrances/fig-oil.html").read_text("utf-8")
    assert floor_page.count('href="../attachments/fragrances/fig-oil/') == 2
    assert "what it was" in floor_page
    for file in (studio / "site-floor").rglob("*"):
        told = file.read_bytes() if file.is_file() else b""
        assert not any(
            word in told for word in (b"bill.txt", b"x-paid", b"to whom.txt", b"letter.txt")
        )
    links = (studio / "site-floor/batches/fig-2026-04-20.html").read_text("utf-8")
    assert 'href="../attachments/batches/fig-2026-04-20/how.txt"' in links
    for record, page_of in (
        ("purchases/bill", "suppliers/quayside-candle-goods"),
        ("purchases/bill", "lots/waxes-soy--w-1"),
        ("suppliers/tilda", "suppliers/tilda"),
        ("helpers/ilse", "helpers/ilse"),
        ("recipes/fig", "products/fig"),
        ("burns/fig-a", "tests/fig-a"),
        ("batches/one", "batches/one"),
    ):
        assert f'href="../attachments/{record}/' in (studio / f"site/{page_of}.html").read_text()


@pytest.mark.deep
def test_an_attachment_that_tells_a_secret_stops_the_floor_edition(tmp_path: Path) -> None:
    """In whatever format: each is named as it lies among the records, and nothing is published."""
    for name, make in FORMATS.items():
        (tmp_path / "made").mkdir(exist_ok=True)
        make(tmp_path / "made" / name)
    files = {
        f"fragrances/fig-oil/{name}": (tmp_path / "made" / name).read_bytes() for name in FORMATS
    }
    files |= {"batches/one/how.txt": b"Slowly."}
    studio = _with_attachments(tmp_path / "studio", ", ".join(FORMATS), files)
    done = built(studio)
    assert done.status == 1
    assert not done.site.exists()
    told = [line.partition(": ")[0] for line in done.said.splitlines() if "would tell" in line]
    assert {Path(one).resolve() for one in told} == {
        studio / "records" / "fragrances" / "fig-oil" / name for name in FORMATS
    }
    assert "which goes to helpers as it is" in done.said
