"""Whose hands did what, and which guide must be read again."""

import hashlib
import re
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from handbook_builder.cli import main
from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.hands import edition_of, must_read
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.words import Words
from handbook_builder.workshop import guides_for
from tests.pages.conftest import catalogue, shown
from tests.records_in_text import BASE, DAY, burn, linked, proven, write
from tests.told.rig import html, pages, plain, run

GUIDES = {
    "hot-wax-and-flame": "AAAAAA",
    "running-a-burn-test": "BBBBBB",
    "pouring-a-batch": "CCCCCC",
}
BATCH = """---
recipe: fig
on: 2026-04-20
made: 10
by: {by}
lots: {{}}
weighed: {{waxes/soy: 1000 g, fragrances/fig-oil: 80 g}}
---
"""


def helper(may: str = "burn, pour, sign", read: str = "") -> str:
    """Return the record of a helper."""
    return f"---\n{read}may: [{may}]\n---\n"


def told(files: dict[str, str], day: date = DAY) -> Account:
    """Return a studio whose guides have the editions above."""
    return account_of(linked(files), day, GUIDES)


def due(read: str, may: str = "burn", day: date = DAY) -> list[tuple[str, str, date | None]]:
    """Return what one helper must read: guide, why, and since when."""
    studio = linked({**BASE, "helpers/wren.md": helper(may, read)})
    return [(one.page, one.why.value, one.since) for one in must_read(studio, day, GUIDES)]


BOTH = (
    "read:\n  - {page: hot-wax-and-flame, on: 2026-01-01, edition: AAAAAA}\n"
    "  - {page: running-a-burn-test, on: 2026-01-02, edition: BBBBBB}\n"
)


def test_whoever_has_read_all_must_read_nothing() -> None:
    """In the editions in force, with or without the folder in the name, in capitals or not."""
    assert due(BOTH) == []
    assert due(BOTH.replace("AAAAAA", "aaaaaa").replace("{page: hot", "{page: guides/hot")) == []


def test_a_guide_written_anew_must_be_read_again() -> None:
    """Since the last reading, which was of another edition; one of this edition settles it."""
    old = BOTH.replace("AAAAAA", "999999")
    assert due(old) == [("hot-wax-and-flame", "changed", date(2026, 1, 1))]
    again = old + "  - {page: hot-wax-and-flame, on: 2026-02-01, edition: AAAAAA}\n"
    assert due(again) == []
    assert due(again, day=date(2026, 1, 31)) == [("hot-wax-and-flame", "changed", date(2026, 1, 1))]


def test_a_reading_without_its_edition_is_no_reading_of_this_one() -> None:
    """Nobody can see which text it was."""
    unsaid = BOTH.replace(", edition: BBBBBB", "")
    assert due(unsaid) == [("running-a-burn-test", "unsaid", date(2026, 1, 2))]


def test_what_goes_with_the_work_must_be_read() -> None:
    """Who may burn or pour and has read nothing, what that asks for; who may neither, nothing."""
    assert due("", "burn") == [
        ("hot-wax-and-flame", "never", None), ("running-a-burn-test", "never", None)
    ]  # fmt: skip
    assert due("", "pour") == [
        ("hot-wax-and-flame", "never", None), ("pouring-a-batch", "never", None)
    ]  # fmt: skip
    assert due("", "sign") == []


def test_the_list_is_on_the_helpers_page_and_on_today() -> None:
    """One list, with the line that settles it; in the floor edition too."""
    files = {**BASE, "helpers/wren.md": helper("burn", BOTH.replace("AAAAAA", "999999"))}
    for edition in Edition:
        found = pages_of(told(files), Words.load(catalogue()), edition)
        views = {page.path: plain(text) for page, text in zip(
            found, shown({page.path: page for page in found}).values(), strict=True)}  # fmt: skip
        for path in ("helpers/index", "index"):
            assert "read on 2026-01-01 in edition 999999; it is AAAAAA now" in views[path]
        assert "handbook sign wren hot-wax-and-flame" in views["helpers/index"]


def test_an_edition_is_of_the_text_and_not_of_the_machine() -> None:
    """Line ends, a byte-order mark and blanks at line ends make no other edition; a word does."""
    text = "# A guide\n\nKeep a lid at hand.\n"
    code = edition_of(text)
    assert re.fullmatch("[0-9A-F]{6}", code)
    assert code == hashlib.sha256(text.strip().encode()).hexdigest()[:6].upper()
    assert edition_of("\ufeff" + text.replace("\n", "\r\n")) == code
    assert edition_of(text.replace("hand.", "hand.  ") + "\n\n") == code
    assert edition_of(text.replace("lid", "lamp")) != code


def test_a_studios_own_guide_is_the_one_that_is_read(tmp_path: Path) -> None:
    """The studio's text comes before the shipped one, and a guide of its own is one as well."""
    shipped = guides_for(tmp_path)
    assert {"hot-wax-and-flame", "running-a-burn-test", "pouring-a-batch"} <= shipped.keys()
    assert "index" not in shipped
    own = tmp_path / "site_templates" / "guides" / "guides"
    own.mkdir(parents=True)
    (own / "hot-wax-and-flame.md").write_text("# Hot\n", "utf-8")
    (own / "our-shed.md").write_text("# Our shed\n", "utf-8")
    found = guides_for(tmp_path)
    assert found["hot-wax-and-flame"] == edition_of("# Hot\n")
    assert found.keys() - shipped.keys() == {"our-shed"}


@pytest.mark.parametrize(
    ("what", "path", "record"),
    [
        ("pour", "batches/april", {"batches/april.md": BATCH.format(by="wren")}),
        ("burn", "tests/fig-a", {"burns/fig-a.md": burn("A", more="by: wren\n")}),
        (
            "sign",
            "tests/fig-a",
            {"burns/fig-a.md": burn("A", more="void: {why: it fell, by: wren, on: 2026-04-01}\n")},
        ),
    ],
)
def test_work_by_somebody_who_may_not_is_told(
    what: str, path: str, record: dict[str, str], tmp_path: Path
) -> None:
    """On the page of the work, on Today and by `check`, naming who and what; else by none."""
    others = ", ".join({"burn", "pour", "sign"} - {what})
    files = {**proven(), **record, "helpers/wren.md": helper(others)}
    sentence = f"wren did this, and by the helper&#39;s record may not {what}."
    views = html(files)
    assert sentence in views[path]
    assert sentence in views["index"]
    warned = run(tmp_path, files, "check")
    assert (
        f"warning: wren is named here, whose record does not say 'may: [{what}]'" in warned.output
    )
    assert warned.exit_code == 0
    allowed = html({**files, "helpers/wren.md": helper()})
    assert "did this" not in allowed[path]
    assert "did this" not in allowed["index"]


def test_what_is_not_known_yet_is_not_told() -> None:
    """A batch of tomorrow was poured by nobody yet."""
    files = {
        **proven(),
        "batches/april.md": BATCH.format(by="wren"),
        "helpers/wren.md": helper("burn"),
    }
    assert pages(files, date(2026, 4, 19))["index"].content.minded.may_not == ()
    assert len(pages(files)["index"].content.minded.may_not) == 1


def test_a_page_that_is_no_guide_is_a_warning(tmp_path: Path) -> None:
    """With the nearest name, and no fault."""
    read = "read:\n  - {page: hot-wax-and-flames, on: 2026-01-01}\n"
    found = run(tmp_path, {**BASE, "helpers/wren.md": helper("burn", read)}, "check")
    assert found.exit_code == 0
    assert (
        "records/helpers/wren.md:3:6: warning: found the page 'hot-wax-and-flames'" in found.output
    )
    assert "(did you mean 'hot-wax-and-flame'?)" in found.output


def signed(folder: Path, *call: str) -> Result:
    """Run `sign` in the studio of a folder."""
    return CliRunner().invoke(main, ["sign", *call, "--studio", str(folder)])


@pytest.mark.parametrize(
    "record",
    [
        "---\nmay: [burn]   # as agreed\n---\nNew since February.\n",
        "---\nread:\n  - {page: start-here, on: 2026-01-01, edition: AB12CD}\nmay: [burn]\n---\n",
        "---\nread: [{page: start-here, on: 2026-01-01}]\n---\n",
        "---\r\nread:\r\n  - page: start-here\r\n    on: 2026-01-01\r\n---\r\nNotes.\r\n",
    ],
)
def test_signing_adds_the_line_and_nothing_else(record: str, tmp_path: Path) -> None:
    """In the style of the record; after it the guide is read, and the rest stands to the byte."""
    write(tmp_path / "records", BASE)
    path = tmp_path / "records" / "helpers" / "wren.md"
    path.parent.mkdir()
    path.write_bytes(record.encode())
    result = signed(tmp_path, "wren", "hot-wax-and-flame", "--on", "2026-03-01")
    assert result.exit_code == 0, result.output
    edition = guides_for(tmp_path)["hot-wax-and-flame"]
    new = path.read_bytes().decode()
    lost = [
        line for line in record.splitlines() if line not in new and not line.startswith("read: [")
    ]
    assert lost == []
    assert new.endswith(record.partition("---")[2].partition("---")[2])
    for piece in ("hot-wax-and-flame", "2026-03-01", edition):
        assert new.count(piece) == 1
    again = signed(tmp_path, "wren", "guides/hot-wax-and-flame.md")
    assert (again.exit_code, path.read_bytes().decode()) == (0, new)
    assert "already" in again.output


def test_signing_what_is_not_there_is_a_wrong_call(tmp_path: Path) -> None:
    """With the nearest name, and nothing is written."""
    folder = write(tmp_path / "records", {**BASE, "helpers/wren.md": helper()})
    before = (folder / "helpers" / "wren.md").read_bytes()
    for call, hint in (
        (("wren", "hot-wax-and-flams"), "did you mean 'hot-wax-and-flame'?"),
        (("wrenn", "hot-wax-and-flame"), "did you mean 'wren'?"),
        (("wren", "hot-wax-and-flame", "--on", "2999-01-01"), "2999-01-01 lies after"),
    ):
        result = signed(tmp_path, *call)
        assert result.exit_code == 2
        assert hint in result.output
    assert (folder / "helpers" / "wren.md").read_bytes() == before


def test_signing_a_record_at_fault_names_the_fault(tmp_path: Path) -> None:
    """And leaves it as it is."""
    text = "---\nmay: [dance]\n---\n"
    folder = write(tmp_path / "records", {**BASE, "helpers/wren.md": text})
    result = signed(tmp_path, "wren", "hot-wax-and-flame")
    assert result.exit_code == 1
    assert "records/helpers/wren.md:2:" in result.output
    assert (folder / "helpers" / "wren.md").read_text("utf-8") == text
