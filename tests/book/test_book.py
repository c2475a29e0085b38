"""The book of the demo, read back by another library: contents, heads, index, approvals."""

import io
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from handbook_builder.cli import main
from handbook_builder.publish.book.leaf import PAPERS
from handbook_builder.publish.book.made import book_of
from tests.papers.rig import APPROVED, ROOT, account
from tests.records_in_text import proven, write

ENTRY = re.compile(r"^(.+) (\d+)$")
INDEXED = re.compile(r"^(\S+) (.+?): (\d[\d, ]*)$")


class Book:
    """A book in pages of lines; the first line is its heading, the last its head."""

    def __init__(self, pdf: bytes) -> None:
        """Read a PDF."""
        self.reader = PdfReader(io.BytesIO(pdf))
        texts = [
            page.extract_text().replace("\N{NO-BREAK SPACE}", " ") for page in self.reader.pages
        ]
        self.pages = [[line.strip() for line in text.split("\n") if line.strip()] for text in texts]

    @property
    def contents(self) -> list[tuple[str, int]]:
        """Return the lines of the contents: a name and a page."""
        pages = [page for page in self.pages if page[0] == "Contents"]
        found = [ENTRY.match(line) for page in pages for line in page[1:] if "Page " not in line]
        return [(one[1], int(one[2])) for one in found if one]

    def words_on(self, number: int) -> str:
        """Return the words of a page, counted from 1."""
        return " ".join(self.pages[number - 1])


@pytest.fixture(scope="module")
def book() -> Book:
    """Return the owner's book of the demo."""
    made = book_of(ROOT, None, "owner", PAPERS["a4"])
    assert made is not None
    assert (made.lacking, made.pages) == ("", len(Book(made.pdf).pages))
    return Book(made.pdf)


@pytest.mark.deep
def test_the_numbers_of_the_contents_are_those_of_the_headings(book: Book) -> None:
    """Each line names the page whose first line is that heading; each section has one."""
    parts = {
        "What holds on the day", "Guides", "Sheets: approved", "Vessels", "Materials",
        "Sheets: must not be poured for other people", "What was poured from what",
    }  # fmt: skip
    assert len(book.contents) > 80
    after = dict(zip(book.contents, book.contents[1:], strict=False))
    for name, page in book.contents:
        if name in parts:
            called, where = after[name, page]
            assert where == page, (name, called)  # a part begins with its first section
        else:
            assert book.words_on(page).startswith(name), name
    titles = {name for name, _ in book.contents}
    assert {one.title for one in account().studio.recipes.values()} <= titles
    assert {"Hot wax and flame", "Glossary", "Limits in force", "Amber tumbler"} <= titles
    marks = {one.title for one in book.reader.outline if not isinstance(one, list)}
    assert parts <= marks


@pytest.mark.deep
def test_each_page_names_its_section_its_day_and_its_number(book: Book) -> None:
    """A loose page 2 is not anybody's; void after the studio's `stale_after`, three days."""
    starts = {page: name for name, page in book.contents}  # the section after its part
    name = ""
    for number, lines in enumerate(book.pages, 1):
        text = " ".join(lines)
        assert f"Page {number} of {len(book.pages)}" in text
        assert "As of 2026-05-01, void after 2026-05-04" in text
        name = starts.get(number, name)
        if name:
            assert lines[-1].startswith(name[:60]), (number, name)


@pytest.mark.deep
def test_each_entry_of_the_index_stands_on_its_pages(book: Book) -> None:
    """Every code of a product and every lot that was bought is in it."""
    first = dict(book.contents)["Index of codes and lots"]
    lines = [line for page in book.pages[first - 1 :] for line in page]
    found = [one for line in lines if (one := INDEXED.match(line))]
    for term, _, pages in (one.groups() for one in found):
        for page in pages.split(", "):
            assert term in book.words_on(int(page)), (term, page)
    bought = {line.lot for one in account().studio.purchases.values() for line in one.lines}
    codes = {one.code for one in account().products.values()}
    assert {one[1] for one in found} >= codes | bought - {None}


@pytest.mark.deep
def test_approved_is_what_is_approved_and_nothing_else(book: Book) -> None:
    """Each approved product has one sheet with its verdict first; no other page is headed so."""
    recipes, where = account().studio.recipes, dict(book.contents)
    for ident, recipe in recipes.items():
        page = book.pages[where[recipe.title] - 1]
        verdict = page[2]  # after the title and what it is
        assert verdict.startswith("Approved") == (ident in APPROVED), (ident, page[:4])
        assert ("\N{MIDDLE DOT} Approved \N{MIDDLE DOT}" in page[-1]) == (ident in APPROVED)
    headed = [page[-1] for page in book.pages if "\N{MIDDLE DOT} Approved" in page[-1]]
    assert len(headed) == len(APPROVED)


@pytest.mark.deep
def test_the_floor_edition_has_no_names_and_no_money(tmp_path: Path) -> None:
    """A price and a supplier in a note: in the owner's book, and not in the other."""
    files = proven()
    note = "Jar house sent it for 37.50 EUR.\n"
    files["waxes/soy.md"] += note
    write(tmp_path / "records", files)
    texts = {}
    for edition in ("owner", "floor"):
        call = ["book", str(tmp_path / "b.pdf"), "--edition", edition, "--paper", "letter"]
        call += ["--studio", str(tmp_path), "--as-of", "2026-05-01"]
        done = CliRunner().invoke(main, call)
        assert done.exit_code == 0, done.output
        found = Book((tmp_path / "b.pdf").read_bytes())
        texts[edition] = " ".join(word for page in found.pages for word in page)
        assert found.reader.pages[0].mediabox.width == pytest.approx(612, abs=1)
    for secret in ("37.50", "Jar house"):
        assert secret in texts["owner"]
        assert secret.casefold() not in texts["floor"].casefold()
    assert "floor edition. As of 2026-05-01" in texts["floor"]


def test_with_a_record_at_fault_no_book_is_written(tmp_path: Path) -> None:
    """It says where, as a build does."""
    write(tmp_path / "records", {**proven(), "waxes/soy.md": "---\nkind: soy\nload: 3\n---\n"})
    call = ["book", str(tmp_path / "b.pdf"), "--studio", str(tmp_path)]
    done = CliRunner().invoke(main, call)
    assert done.exit_code == 1
    assert "records/waxes/soy.md:3" in done.output
    assert not (tmp_path / "b.pdf").exists()


@pytest.mark.deep
def test_a_name_in_the_words_of_the_book_stops_the_floors(tmp_path: Path) -> None:
    """No page of the site has them, so that nothing else would find it."""
    write(tmp_path / "records", proven())
    own = (ROOT / "site_templates" / "words.yml").read_text("utf-8")
    own = own.replace("how_title: How to read it", "how_title: As Jar House reads it")
    (tmp_path / "site_templates").mkdir()
    (tmp_path / "site_templates" / "words.yml").write_text(own, "utf-8")
    call = ["book", str(tmp_path / "b.pdf"), "--edition", "floor", "--studio", str(tmp_path)]
    done = CliRunner().invoke(main, [*call, "--as-of", "2026-05-01"])
    assert done.exit_code == 1
    assert "Jar House" in done.output
    assert not (tmp_path / "b.pdf").exists()
