"""`handbook paper`: one file, whichever is asked for, and a reason where there is none."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from handbook_builder.cli import main
from handbook_builder.publish.papers import shipped_style
from tests.papers.rig import ROOT, words_in
from tests.papers.squares import drawn_in, held
from tests.papers.test_notice import BATCH, INCIDENT
from tests.records_in_text import burn, proven, write

OUTWARD = re.compile(r'(?:src|href|srcset|poster|action)="(?!#|data:)|url\(|@import', re.IGNORECASE)
REFUSED = {
    "black-tea": "is held",
    "cedar-fig-big-wick": "is failed",
    "lemon-verbena-tumbler": "is in test",
    "driftwood-cedar": "is untested",
    "lavender-tin": "is suspended",
    "first-winter": "is retired",
}


def run(*words: object) -> Result:
    """Run a command of the demo."""
    return CliRunner().invoke(main, [*map(str, words), "--studio", str(ROOT)])


def run_in(folder: Path, files: dict[str, str], *words: object) -> Result:
    """Run a command in a small studio on disk."""
    write(folder / "records", files)
    fixed = ["--studio", str(folder), "--as-of", "2026-05-01"]
    return CliRunner().invoke(main, [*map(str, words), *fixed])


@pytest.mark.parametrize(
    ("kind", "of", "said"),
    [
        ("care", "cedar-fig", "Trim the wick to 6 mm"),
        ("sheet", "X45L-ANGS-QFQX", "Product sheet"),
        ("proof", "Lavender, small tin", "NOT APPROVED"),
        ("notice", "4", "Product safety recall"),
        ("notice", "incident-3", "Product safety recall"),
        ("batch-sheet", "cedar-fig", "Batch sheet"),
        ("batch-sheet", "pine-bowl", "FAILED. TEST POUR"),
        ("burn-sheet", "lemon-verbena-tumbler-b", "Candle B"),
        ("burn-sheet", "recipes/lemon-verbena-tumbler", "C has ended"),
    ],
)
def test_it_writes_one_file_that_opens_alone(tmp_path: Path, kind: str, of: str, said: str) -> None:
    """By id, title, code or number; it says which file, and the file needs no other."""
    file = tmp_path / "paper.html"
    done = run("paper", kind, of, "--out", file)
    assert (done.exit_code, done.output) == (0, f"Written: {file}\n")
    text = file.read_text("utf-8")
    assert said in words_in(text)
    assert not OUTWARD.search(text)
    assert "<script" not in text
    assert text.count("<style>") == text.count("</style>") == 1


@pytest.mark.parametrize("edition", ["owner", "floor"])
def test_a_square_code_leads_to_the_edition_that_it_is_in(tmp_path: Path, edition: str) -> None:
    """The demo says where each is served; the wall chart needs no name, and bears no code."""
    place = {"owner": "https://bench.example/handbook", "floor": "https://bench.example/floor"}
    out = tmp_path / "o.html"
    for words, page in ((("batch-sheet", "cedar-fig"), "pour/cedar-fig"),
                        (("burn-sheet", "lemon-verbena-tumbler-a"),
                         "bench/lemon-verbena-tumbler-a")):  # fmt: skip
        assert run("paper", *words, "--edition", edition, "--out", out).exit_code == 0
        text = out.read_text("utf-8")
        assert [held(code) for code in drawn_in(text)] == [f"{place[edition]}/{page}.html"]
        assert "Opens its page." in words_in(text)
    assert run("paper", "wall", "--edition", edition, "--out", out).exit_code == 0
    assert drawn_in(out.read_text("utf-8")) == []


def test_an_address_that_is_none_is_a_wrong_call(tmp_path: Path) -> None:
    """Before anything is written."""
    entry = "site_name: A\nplugins:\n  - handbook:\n      address: handbook.example\n"
    (tmp_path / "mkdocs.yml").write_text(entry, "utf-8")
    done = run_in(tmp_path, proven(), "paper", "wall", "--out", tmp_path / "o.html")
    assert done.exit_code == 2
    assert "mkdocs.yml: address: Expected an address such as https://" in done.output
    assert not (tmp_path / "o.html").exists()


def test_without_a_name_it_is_called_by_what_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In the folder where the command was called."""
    monkeypatch.chdir(tmp_path)
    done = run("paper", "care", "unscented-tin")
    assert done.output == "Written: unscented-tin-care.html\n"
    assert (tmp_path / "unscented-tin-care.html").is_file()


@pytest.mark.parametrize("kind", ["care", "sheet"])
@pytest.mark.parametrize("edition", ["owner", "floor"])
@pytest.mark.parametrize("ident", REFUSED)
def test_what_is_not_approved_gets_none(
    tmp_path: Path, ident: str, edition: str, kind: str
) -> None:
    """Of any status: status 2, the reason, and no file."""
    file = tmp_path / "paper.html"
    done = run("paper", kind, ident, "--edition", edition, "--out", file)
    assert done.exit_code == 2
    assert REFUSED[ident] in done.output
    assert "Only an approved product" in done.output
    assert "\n  - " in done.output
    assert not file.exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("proof", "driftwood-cedar"), "No test candle of Cedar and fig, driftwood bowl"),
        (("notice", "2"), "was closed on 2025-12-17, so there is nothing to post"),
        (("notice", "9"), "No incident is called '9'."),
        (("notice", "4", "--edition", "floor"), "stands in the owner's edition alone"),
        (("care", "cedar-figs"), "Did you mean cedar-fig"),
        (("label", "cedar-fig"), "Invalid value for '{care|sheet|proof|batch-sheet|notice|"),
        (("burn-sheet", "cedar-fig-a"), "No test candle of cedar-fig-a is to be burned on"),
        (("burn-sheet", "cedar-fig"), "No test candle of cedar-fig is to be burned on"),
        (("burn-sheet", "cedar-figs-a"), "Did you mean cedar-fig"),
        (("batch-sheet", "driftwood-cedar"), "must not be poured as it stands"),
        (("batch-sheet",), "batch-sheet of what? See 'handbook paper --help'."),
    ],
)
def test_a_wrong_call_says_why(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    """Exit status 2, and nothing is written."""
    file = tmp_path / "paper.html"
    done = run("paper", *words, "--out", file)
    assert done.exit_code == 2
    assert said in done.output
    assert not file.exists()


def test_a_place_that_cannot_be_written_is_a_wrong_call(tmp_path: Path) -> None:
    """A folder that is not there."""
    done = run("paper", "care", "cedar-fig", "--out", tmp_path / "no" / "paper.html")
    assert done.exit_code == 2
    assert "cannot be written" in done.output


def test_faults_in_the_records_are_told_as_elsewhere(tmp_path: Path) -> None:
    """With a record at fault nothing is approved, and nothing is written."""
    files = {**proven(), "waxes/soy.md": "---\nkind: soy\n---\n"}
    done = run_in(tmp_path, files, "paper", "care", "fig", "--out", tmp_path / "o.html")
    assert done.exit_code == 1
    assert "records/waxes/soy.md:2:1: the key 'density' is missing" in done.output
    assert not (tmp_path / "o.html").exists()


def test_the_day_decides(tmp_path: Path) -> None:
    """Before its last test candle had ended it was not approved, and had no card."""
    out = tmp_path / "o.html"
    done = run("paper", "care", "cedar-fig", "--as-of", "2025-10-10", "--out", out)
    assert (done.exit_code, out.exists()) == (2, False)
    assert run("paper", "care", "cedar-fig", "--as-of", "2025-10-20", "--out", out).exit_code == 0


@pytest.mark.parametrize(
    ("kind", "of"), [("care", "lavender-tin"), ("sheet", "lavender-tin"), ("pouring", "")]
)
def test_what_was_approved_once_goes_out_no_more(tmp_path: Path, kind: str, of: str) -> None:
    """The demo's tin was approved on that day, and is suspended since."""
    out = tmp_path / "o.html"
    done = run("paper", kind, *([of] if of else []), "--as-of", "2026-04-01", "--out", out)
    assert (done.exit_code, out.exists()) == (2, False)
    assert (
        run("paper", "proof", "lavender-tin", "--as-of", "2026-04-01", "--out", out).exit_code == 0
    )


def with_photo(folder: Path) -> dict[str, str]:
    """Return a studio with a picture, from a telephone, in the note of a test candle."""
    photo = folder / "records" / "burns" / "pool.jpg"
    photo.parent.mkdir(parents=True)
    known = Image.Exif()
    known[0x010F] = "Telephone of Marlene Oskar"  # the maker's name in Exif
    Image.new("RGB", (2000, 1000), "ivory").save(photo, exif=known)
    files = proven()
    files["burns/fig-a.md"] = burn("A") + "The pool: ![from above](pool.jpg) and ![gone](no.jpg)\n"
    return files


def test_pictures_are_in_the_paper_without_what_else_they_know(tmp_path: Path) -> None:
    """Made anew and small, as points alone."""
    import base64  # noqa: PLC0415 -- to look into the one picture
    import io  # noqa: PLC0415 -- as above

    out = tmp_path / "o.html"
    done = run_in(tmp_path, with_photo(tmp_path), "paper", "proof", "fig", "--out", out)
    assert done.exit_code == 0, done.output
    text = out.read_text("utf-8")
    found = [base64.b64decode(data)
             for data in re.findall(r'src="data:image/jpeg;base64,([^"]+)"', text)]  # fmt: skip
    pictures = [Image.open(io.BytesIO(data)) for data in found]
    assert {picture.size for picture in pictures} == {(360, 180), (900, 450)}
    assert all(dict(picture.getexif()) == {} for picture in pictures)
    assert not any(b"Oskar" in data for data in found)
    assert not OUTWARD.search(text)
    assert 'alt="from above"' in text


def test_a_picture_that_is_none_leaves_a_gap_and_no_request(tmp_path: Path) -> None:
    """The build stops at it and says so; the paper alone is whole without it."""
    files = with_photo(tmp_path)
    (tmp_path / "records" / "burns" / "pool.jpg").write_bytes(b"no picture")
    out = tmp_path / "o.html"
    assert run_in(tmp_path, files, "paper", "proof", "fig", "--out", out).exit_code == 0
    assert 'src="data:,"' in out.read_text("utf-8")


def named() -> dict[str, str]:
    """Return a studio whose notes name a supplier, a buyer and a price."""
    files = {**proven(), "batches/b.md": BATCH.replace("ilse", "wren")}
    files["suppliers/quayside-candle-goods.md"] = "---\nkind: general\n---\n"
    files["purchases/bill.md"] = (
        "---\nsupplier: quayside-candle-goods\non: 2026-01-02\nlines:\n"
        "  - {item: waxes/soy, quantity: 10 kg, price: 61.30, lot: W-1}\n---\n"
    )
    files["burns/fig-a.md"] = burn("A") + (
        "Wax from Quayside Candle Goods, 61.30 EUR. Ida Example wants two.\n"
    )
    return files


def test_the_floor_proof_is_cleaned_as_the_pages_are(tmp_path: Path) -> None:
    """The owner's holds what the note says; the floor's neither name nor sum."""
    told = {}
    for edition in ("owner", "floor"):
        out = tmp_path / f"{edition}.html"
        done = run_in(
            tmp_path, named(), "paper", "proof", "fig", "--edition", edition, "--out", out
        )
        assert done.exit_code == 0, done.output
        told[edition] = words_in(out.read_text("utf-8"))
    assert "Wax from Quayside Candle Goods, 61.30 EUR. Ida Example wants two." in told["owner"]
    for secret in ("Quayside", "61.30", "Ida Example"):
        assert secret not in told["floor"]


def test_a_floor_paper_that_still_tells_is_not_written(tmp_path: Path) -> None:
    """A studio's own style sheet that names a supplier stops it, as it stops the edition."""
    sheet = tmp_path / "site_templates" / "theme" / "assets" / "paper.css"
    sheet.parent.mkdir(parents=True)
    sheet.write_text('.x::after { content: "Quayside Candle Goods"; }\n', "utf-8")
    out = tmp_path / "o.html"
    words = ("paper", "proof", "fig", "--out", out)
    done = run_in(tmp_path, named(), *words, "--edition", "floor")
    assert done.exit_code == 1
    assert "the floor edition would tell" in done.output
    assert not out.exists()
    assert run_in(tmp_path, named(), *words).exit_code == 0


def test_the_shipped_style_sheet_is_no_leak(tmp_path: Path) -> None:
    """A recipient who is called like one of its letters' shapes keeps no paper back."""
    assert "Georgia" in shipped_style()
    files = named()
    files["batches/b.md"] = files["batches/b.md"].replace("Ida Example", "Georgia Palatino")
    out = tmp_path / "o.html"
    done = run_in(tmp_path, files, "paper", "proof", "fig", "--edition", "floor", "--out", out)
    assert done.exit_code == 0, done.output
    assert "Georgia" in out.read_text("utf-8")  # in the style sheet alone
    assert "Georgia" not in words_in(out.read_text("utf-8").replace(shipped_style(), ""))


def test_a_word_that_is_no_secret_may_stand(tmp_path: Path) -> None:
    """As mkdocs.yml lists it under `ordinary_words`."""
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: x\nplugins:\n  - handbook:\n      as_of: 2026-05-01\n"
        "      ordinary_words: [quayside]\n",
        "utf-8",
    )
    files = named()
    files["burns/fig-a.md"] = burn("A") + "We burned it at the quayside.\n"
    out = tmp_path / "o.html"
    done = run_in(tmp_path, files, "paper", "proof", "fig", "--edition", "floor", "--out", out)
    assert done.exit_code == 0, done.output
    assert "We burned it at the quayside." in words_in(out.read_text("utf-8"))


def test_a_sheet_of_styles_cannot_close_its_element(tmp_path: Path) -> None:
    """Whoever wrote it: markup in it stays style, and runs nothing."""
    sheet = tmp_path / "site_templates" / "theme" / "assets" / "paper.css"
    sheet.parent.mkdir(parents=True)
    sheet.write_text("</style><script>alert(1)</script>\n", "utf-8")
    out = tmp_path / "o.html"
    run_in(tmp_path, proven(), "paper", "care", "fig", "--out", out)
    assert out.read_text("utf-8").count("</style>") == 1
    assert "</script>" not in out.read_text("utf-8")


def test_a_notice_of_a_small_studio(tmp_path: Path) -> None:
    """Its own id, in capitals or with its folder."""
    files = {**proven(), "incidents/one.md": INCIDENT.format(what="It cracked.")}
    for asked in ("ONE", "incidents/one", "1"):
        out = tmp_path / "o.html"
        done = run_in(tmp_path, files, "paper", "notice", asked, "--out", out)
        assert done.exit_code == 0, done.output
