"""What lies in a folder of records beside the records: told, whatever it is, and never lost."""

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.beside import BESIDE
from handbook_builder.derived.beside import beside_notices
from handbook_builder.derived.notices import notices
from handbook_builder.notices import NOTICES
from handbook_builder.problems import MESSAGES
from handbook_builder.reading.beside import LARGEST_ATTACHMENT
from handbook_builder.reading.records import KINDS, Reading, read_folder
from handbook_builder.studio.studio import link
from handbook_builder.workshop import studio_from
from tests.bench.calls import called
from tests.records_in_text import BASE, burn, counted, proven, write

PDF = b"%PDF-1.7\n%%EOF\n"
PACKED = b"PK\x03\x04and so on"
# What desktops, editors and programs that keep folders alike call their own files: documented by
# each of them, common shapes; from memory.
LEFT = (
    ".DS_Store", "Thumbs.db", "ehthumbs.db", "desktop.ini", "Desktop.ini", ".directory",
    ".localized", "fig-a.md~", "fig-a.md.~1~", "#fig-a.md#", ".fig-a.md.swp", ".fig-a.md.swo",
    ".fig-a.md.un~", "~$fig-a.docx", "~$sheet.xlsx", "fig-a.md.bak", "fig-a.bak", "fig-a.md.orig",
    "FIG-A.MD.BAK", ".~lock.sheet.odt#", "fig-a.md.tmp", "fig-a.md.kate-swp.part",
    ".goutputstream-ABC123", ".nfs000000001", ".anything", "sheet.pdf.crdownload",
)  # fmt: skip
LEFT_FOLDERS = (
    "@eaDir", "#recycle", ".Trash-1000", ".trash", ".Trashes", ".stversions", ".stfolder",
    ".obsidian", "__MACOSX", ".vscode", "lost+found", "$RECYCLE.BIN",
)  # fmt: skip


def _studio(folder: Path, files: Mapping[str, bytes] | None = None) -> Path:
    write(folder, proven())
    for path, data in (files or {}).items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(data)
    return folder


def _read(folder: Path, files: Mapping[str, bytes]) -> Reading:
    return read_folder(_studio(folder, files), "records/")


def _faults(folder: Path, files: Mapping[str, bytes]) -> list[tuple[str, str]]:
    found = _read(folder, files).problems
    return [(one.place.file.removeprefix("records/"), one.code) for one in found]


def _told(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    studio, problems = link(_read(folder, files))
    assert studio is not None, problems
    return [str(one) for one in notices(studio, date(2026, 5, 1), {})]


def test_each_leftover_is_passed_over_and_listed(tmp_path: Path) -> None:
    """It stops nothing, and stands in the list of what was passed over, by its own name."""
    names = [name for name in LEFT if name != "FIG-A.MD.BAK"]
    told = _told(tmp_path, {f"burns/{name}": _held(name) for name in names})
    assert sorted(told) == sorted(
        f"records/burns/{name}:1:1: " + NOTICES["left_behind"] for name in names
    )


def _held(name: str) -> bytes:
    """Return what a leftover holds: of a record that is there the same, else nothing of one."""
    return b"---\nrecipe: fig\n---\n" if "fig-a" in name.lower() and "$" not in name else b"x"


def test_what_a_foreign_disk_splits_off_is_known_by_what_it_holds(tmp_path: Path) -> None:
    """A file "._" ends like its record; one that begins otherwise may be the record itself."""
    double = b"\x00\x05\x16\x07\x00\x02\x00\x00"
    assert _told(tmp_path / "a", {"burns/._fig-a.md": double}) == [
        "records/burns/._fig-a.md:1:1: " + NOTICES["left_behind"]
    ]
    hidden = {"burns/._fig-d.md": b"---\nrecipe: fig\n---\n"}
    assert _faults(tmp_path / "b", hidden) == [("burns/._fig-d.md", "hidden_record")]


def test_a_folder_of_leftovers_says_how_many_records_are_in_it(tmp_path: Path) -> None:
    """A record that was thrown into a trash folder is missing, and the list says where to look."""
    files = {f"{name}/deep/a.txt": b"x" for name in LEFT_FOLDERS}
    files |= {f"burns/{name}/b.jpg": b"x" for name in LEFT_FOLDERS}
    files |= {".trash/burns/fig-d.md": b"---\n---\n", ".trash/burns/fig-e.MD": b"---\n---\n"}
    told = _told(tmp_path, files)
    assert len(told) == 2 * len(LEFT_FOLDERS)
    with_records = NOTICES["left_behind_records"].format(count=2)
    assert [one for one in told if one.startswith("records/.trash:")] == [
        f"records/.trash:1:1: {with_records}"
    ]
    reading = read_folder(tmp_path, "records/")
    assert not any(name in path for path in reading.photos for name in LEFT_FOLDERS)


@pytest.mark.parametrize("name", ["fig-d.md~", "fig-d.md.bak", "fig-d.bak", "#fig-d.md#",
                                  "fig-d.md.orig", "fig-d.md.tmp", "fig-d.md.~2~",
                                  "fig-d.md.part", "fig-d.md.crdownload", ".fig-d.md.swp",
                                  "fig-d.part", "fig-d.md.kate-swp.part", ".fig-d.md.kate-swp",
                                  ".fig-d.md.0123456789ab.part", "fig-a.bak", "fig-a.md~",
                                  "fig-a.md.part", ".fig-a.md.0123456789ab.part"])  # fmt: skip
def test_a_backup_without_its_record_stops_everything(name: str, tmp_path: Path) -> None:
    """What is left of a record that is gone may be the failure that nobody else wrote down."""
    failed = burn("D", end="{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady}")
    assert _faults(tmp_path, {f"burns/{name}": failed.encode()}) == [
        (f"burns/{name}", "beside_backup")
    ]


def test_a_draft_of_what_is_no_candle_is_listed(tmp_path: Path) -> None:
    """The next run about it sweeps it away, and must not be stopped by it."""
    name = "waxes/.bee.md.0123456789ab.part"
    told = _told(tmp_path, {name: b"---\nkind: bee\n---\n"})
    assert told == [f"records/{name}:1:1: {NOTICES['left_behind']}"]


@pytest.mark.parametrize("ident", ["fig-a", "fig-d"])
def test_the_folder_of_a_record_is_not_the_record(ident: str, tmp_path: Path) -> None:
    """Its pictures may lie there, and its backup is still of another candle, or of none."""
    files = {f"burns/{ident}.bak": burn("D").encode(), "burns/fig-a/1.jpg": b"x",
             f"burns/{ident}/2.jpg": b"x"}  # fmt: skip
    assert (f"burns/{ident}.bak", "beside_backup") in _faults(tmp_path, files)


@pytest.mark.parametrize("name", [".gitmodules", ".gitkeep", ".git", "burns/.gitignore",
                                  ".anything", "burns/.DS_Store",
                                  "burns/sheet.pdf.crdownload"])  # fmt: skip
def test_what_begins_like_a_record_stops_everything(name: str, tmp_path: Path) -> None:
    """Under a name that everybody passes over it would be missed by nobody."""
    failed = burn("D", end="{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady}")
    assert _faults(tmp_path, {name: failed.encode()}) == [(name, "beside_record")]
    assert _faults(tmp_path, {name: b"[section]\n"}) == []


@pytest.mark.parametrize("name", ["burns/.git/fig-d.md", "burns/.git", ".git/fig-d.md",
                                  ".git/logs/fig-d.md"])  # fmt: skip
def test_a_repository_that_holds_a_record_is_told(name: str, tmp_path: Path) -> None:
    """So is one within the folder of a kind, where none belongs."""
    packed = {".git/objects/aa.md": b"x"} if name != "burns/.git" else {}
    told = _told(tmp_path, {name: b"gitdir: x\n", **packed})
    code = NOTICES["left_behind_records"].format(count=1)
    place = name.partition("/fig")[0].removesuffix("/logs")
    said = NOTICES["left_behind"] if name == "burns/.git" else code
    assert told == [f"records/{place}:1:1: {said}"]


def test_a_backup_of_no_record_stops_nothing(tmp_path: Path) -> None:
    """A backup of a paper, or one that lies at the top, is none of a record."""
    files = {"burns/fig-a/bill.pdf.bak": b"x", "mkdocs.yml.bak": b"x"}
    assert len(_told(tmp_path, files)) == 2
    lost = {"burns/old/fig-d.md~": b"x", "elsewhere/fig-d.md.bak": b"x"}
    assert [code for _, code in _faults(tmp_path / "b", lost)] == ["beside_backup"] * 2


@pytest.mark.parametrize("name", ["fig-d.md.txt", "fig-d.markdown", "fig-d.yaml", "fig-d",
                                  "fig-d.md.rej", "fig-d.md (copy)", ".fig-d.md", "fig-d.MD",
                                  "fig-d.text", "~$fig-d.md", ".fuse_hidden1.md",
                                  ".hidden/fig-d.md"])  # fmt: skip
def test_what_may_be_a_record_still_stops_everything(name: str, tmp_path: Path) -> None:
    """A shape that nobody knows is passed over by no rule."""
    assert _faults(tmp_path, {f"burns/{name}": b"---\nrecipe: fig\n---\n"})


def test_what_version_control_keeps_is_not_listed(tmp_path: Path) -> None:
    """It was put there on purpose, in every folder; so was a draft of this program's own."""
    names = (".gitkeep", ".gitignore", ".gitattributes", ".fig-a.md.0123456789ab.part",
             ".fig-d.md.0123456789ab.part")  # fmt: skip
    assert _told(tmp_path, {f"burns/{name}": b"" for name in names} | {".git/HEAD": b""}) == []


def test_a_lock_of_an_editor_is_passed_over_and_a_link_is_not(tmp_path: Path) -> None:
    """A lock is a link that leads nowhere; any other may lead out of the studio."""
    folder = _studio(tmp_path)
    (folder / "burns" / ".#fig-a.md").symlink_to("me@here.123:456")
    assert read_folder(folder, "records/").problems == ()
    (folder / "burns" / ".#fig-b.md").symlink_to(folder / "burns" / "fig-b.md")
    assert [one.code for one in read_folder(folder, "records/").problems] == ["linked"]


def test_attachments_lie_in_the_folder_of_their_record(tmp_path: Path) -> None:
    """Each with its kind, its size and the day in its name, whatever its capitals."""
    files = {
        "fragrances/fig-oil/safety-sheet-2026-02-26.pdf": PDF,
        "fragrances/fig-oil/Letter of 2026-02-30.ODT": PACKED,
        "fragrances/fig-oil/prices.csv": b"a;b\n1;2\n",
        "burns/fig-a/scale.txt": "Wägung".encode("windows-1252"),
        "burns/fig-a/pool.jpg": b"a picture",
    }
    reading = _read(tmp_path, files)
    assert reading.problems == ()
    assert reading.photos == ("burns/fig-a/pool.jpg",)
    assert reading.attachments is not None
    assert {
        ref: [(one.name, one.kind, one.on, one.size_bytes) for one in found]
        for ref, found in reading.attachments.items()
    } == {
        "burns/fig-a": [("scale.txt", "text", None, 6)],
        "fragrances/fig-oil": [
            ("Letter of 2026-02-30.ODT", "text", None, len(PACKED)),
            ("prices.csv", "table", None, 8),
            ("safety-sheet-2026-02-26.pdf", "pdf", date(2026, 2, 26), len(PDF)),
        ],
    }


@pytest.mark.parametrize(
    ("path", "data", "code"),
    [
        ("fragrances/fig-oil/page.html", b"x", "beside_active"),
        ("fragrances/fig-oil/drawing.svg", b"x", "beside_active"),
        ("fragrances/fig-oil/run.JS", b"x", "beside_active"),
        ("fragrances/data.xml", b"x", "beside_active"),
        ("fragrances/fig-oil/sheet.txt", b"\n <!DOCTYPE html><script>", "beside_other_kind"),
        ("fragrances/fig-oil/sheet.csv", b"\xef\xbb\xbf<script>1</script>", "beside_other_kind"),
        ("fragrances/fig-oil/sheet.txt", b"\r\n\t<B>bold", "beside_other_kind"),
        ("fragrances/fig-oil/sheet.pdf", b"<html>Please log in", "beside_other_kind"),
        ("fragrances/fig-oil/sheet.pdf", b"<p><script>1</script>%PDF-1.7", "beside_other_kind"),
        ("fragrances/fig-oil/sheet.pdf", b"", "beside_other_kind"),
        ("fragrances/fig-oil/sheet.docx", PDF, "beside_other_kind"),
        ("burns/fig-a/fig-d.txt", b"---\nrecipe: fig\ncandle: D\n", "beside_record"),
        ("burns/fig-a/fig-d.csv", b"\xef\xbb\xbf---\r\nrecipe: fig\r\n", "beside_record"),
        ("fragrances/gone/sheet.pdf", PDF, "beside_nothing"),
        ("fragrances/sheet.pdf", PDF, "stray_file"),
        ("sheet.pdf", PDF, "stray_file"),
        ("fragrances/fig-oil/old/sheet.pdf", PDF, "stray_file"),
        ("fragrances/fig-oil/sheet.zip", PACKED, "stray_file"),
        ("fragrances/fig-oil/sheet.docm", PACKED, "stray_file"),
        ("fragrances/fig-oil/sheet", b"x", "stray_file"),
        ("papers/fig-oil/sheet.pdf", PDF, "stray_folder"),
    ],
)
def test_what_no_attachment_can_be(path: str, data: bytes, code: str, tmp_path: Path) -> None:
    """A page that runs, a file that is not what it is called, and what may be a record."""
    assert _faults(tmp_path, {path: data}) == [(path, code)]


def test_the_message_about_a_lost_attachment_names_the_record(tmp_path: Path) -> None:
    """The record may be gone, or only renamed: the nearest is named."""
    found = _read(tmp_path, {"fragrances/fig-oill/sheet.pdf": PDF}).problems
    near = BESIDE["beside_nothing"].format(
        folder="fragrances/fig-oill", near=" (did you mean 'fragrances/fig-oil'?)"
    )
    assert [one.message for one in found] == [near]
    assert MESSAGES["beside_nothing"] == BESIDE["beside_nothing"]


def test_a_faulty_record_keeps_its_attachments(tmp_path: Path) -> None:
    """Its own fault is told once, and not that it is missing."""
    files = {"fragrances/fig-oil.md": b"---\nwrong: 1\n---\n", "fragrances/fig-oil/a.pdf": PDF}
    assert {code for _, code in _faults(tmp_path, files)} == {"unknown_key", "missing_key"}


def test_too_large_an_attachment_is_told_and_kept_out(tmp_path: Path) -> None:
    """It is no fault: no reading hangs on it."""
    folder = _studio(tmp_path, {"fragrances/fig-oil/scan.pdf": PDF})
    with (folder / "fragrances/fig-oil/scan.pdf").open("ab") as file:
        file.truncate(LARGEST_ATTACHMENT + 1)
    studio, _ = link(read_folder(folder, "records/"))
    assert studio is not None
    assert [str(one) for one in beside_notices(studio)] == [
        "records/fragrances/fig-oil/scan.pdf:1:1: "
        + NOTICES["attachment_large"].format(size=25, limit=25)
    ]


def test_what_helpers_need_must_be_there(tmp_path: Path) -> None:
    """By the file's own name, in the folder of the record that says so."""
    oil = BASE["fragrances/fig-oil.md"].replace(
        "safety_sheet:", "for_helpers: [sheet.pdf, shet.pdf]\nsafety_sheet:"
    )
    files = {"fragrances/fig-oil.md": oil.encode(), "fragrances/fig-oil/sheet.pdf": PDF}
    _, problems = link(_read(tmp_path, files))
    message = BESIDE["beside_missing"].format(
        found="shet.pdf", folder="fragrances/fig-oil", near=" (did you mean 'sheet.pdf'?)"
    )
    assert [str(one) for one in problems] == [f"records/fragrances/fig-oil.md:5:26: {message}"]


def test_a_key_that_only_lost_its_name_is_told(tmp_path: Path) -> None:
    """Somebody who puts an x- before `end` takes a failure out of the reckoning: it is listed."""
    wax = BASE["waxes/soy.md"].replace("cure:", "x-melt-point: 48 degC\nx-shelf: 3\ncure:")
    told = _told(tmp_path, {"waxes/soy.md": wax.encode()})
    said = NOTICES["own_key_meant"].format(found="x-melt-point", key="melt_point")
    assert told == [f"records/waxes/soy.md:5:1: {said}"]


@pytest.mark.parametrize(
    ("key", "meant"),
    [("x-end", "end"), ("x-cycles-9", "cycles"), ("x-cycles9", "cycles"), ("x-cycle", "")],
)
def test_a_key_of_the_kind_in_disguise_is_told_beside_it(
    key: str, meant: str, tmp_path: Path
) -> None:
    """Also where the record has the key itself, and with a number behind it."""
    held = proven()["burns/fig-a.md"].replace("---\n", f"---\n{key}: it cracked\n", 1)
    told = _told(tmp_path, {"burns/fig-a.md": held.encode()})
    said = NOTICES["own_key_meant"].format(found=key, key=meant)
    assert told == ([f"records/burns/fig-a.md:2:1: {said}"] if meant else [])


@pytest.mark.parametrize("name", ["a\nb.pdf", "a\udcff.pdf", "a\u202egpj.pdf"])
def test_a_name_that_no_address_can_be_made_of(name: str, tmp_path: Path) -> None:
    """A line break, half a letter, a sign that turns the line around."""
    assert [code for _, code in _faults(tmp_path, {f"waxes/soy/{name}": PDF})] == [
        "beside_odd_name"
    ]


@pytest.mark.parametrize("name", [*LEFT, "fig-d.md~", "fig-d.md.bak", "fig-d.md.part",
                                  ".trash/fig-d.md", "@eaDir/fig-d.md"])  # fmt: skip
def test_a_failure_that_was_saved_as_a_leftover_approves_nothing(name: str, tmp_path: Path) -> None:
    """Three candles passed and the fourth cracked: wherever its record went, it is missed and told.

    The recipe counts four, and with the fault the list of what was passed over names the file.
    """
    files = {path: text.encode() for path, text in counted(_with_a_failure()).items()}
    assert studio_from(read_folder(_studio(tmp_path / "whole", files), "records/"))[0] is not None
    gone = {path: data for path, data in files.items() if path != "burns/fig-d.md"}
    folder = _studio(tmp_path / "a/records", {**gone, f"burns/{name}": files["burns/fig-d.md"]})
    said = called(folder.parent, "check").output
    answer = json.loads(called(folder.parent, "check", "--json").stdout)
    assert all(f"{one['file']}:1:1: warning:" in said for one in answer["warnings"])
    assert answer["faults"]
    top = f"records/burns/{name.partition('/')[0]}"
    assert top in {one["file"] for one in (*answer["warnings"], *answer["faults"])}


def _with_a_failure() -> dict[str, str]:
    made = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: 4}"
    return {**proven(), "burns/fig-d.md": burn("D", end=made)}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_record_of_any_kind_may_have_attachments(kind: str, tmp_path: Path) -> None:
    """Where its record is not there, that is what is told, of every kind."""
    assert _faults(tmp_path, {f"{kind}/gone/a.pdf": PDF}) == [
        (f"{kind}/gone/a.pdf", "beside_nothing")
    ]
