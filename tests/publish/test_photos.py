"""Pictures beside a record: each does what it should in both editions, and none stops a reading."""

import io
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from handbook_builder.publish import photos, pictures
from handbook_builder.publish.photos import SMALL_SIDE, Album, Shown, Unshown
from handbook_builder.publish.refusals import Refusal
from tests.records_in_text import proven, write

FOLDER = "records/burns/fig-a"


def picture(file: Path, size: tuple[int, int] = (1200, 900), **more: object) -> Path:
    """Write a picture of two halves, left red and right blue, and return its file."""
    file.parent.mkdir(parents=True, exist_ok=True)
    drawn = Image.new("RGB", size, "red")
    drawn.paste("blue", (size[0] // 2, 0, *size))
    drawn.save(file, **more)  # type: ignore[arg-type]  # as Pillow takes them
    return file


def studio_in(folder: Path, **more: str) -> Path:
    """Return a studio with a proven product, and the records that are given."""
    write(folder / "records", {**proven(), **more})
    return folder


def run(studio: Path, command: str, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command on a studio, as a maker would."""
    line = [sys.executable, "-m", "handbook_builder", command, "--studio", str(studio), *words]
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    return subprocess.run(line, env=env, check=False, capture_output=True, text=True, timeout=300)


def heic(file: Path, size: tuple[int, int] = (1200, 900)) -> None:
    """Write a picture as a telephone does."""
    heif = pytest.importorskip("pillow_heif")
    heif.from_pillow(Image.new("RGB", size, "red")).save(file)


def test_every_odd_picture_does_what_it_should(tmp_path: Path) -> None:
    """Oddly named, broken, vast, a telephone's, of no cycle: shown, or said why not."""
    studio = studio_in(tmp_path)
    folder = studio / FOLDER
    for name in ("1.jpg", "2-von oben Höhe.JPG", "2.b.c.png", "3 Top.Jpeg", "9.jpg", "pool.webp"):
        picture(folder / name)
    heic(folder / "IMG_0001.HEIC")
    (folder / "4.jpg").write_bytes(b"no picture")
    (folder / "4-empty.png").write_bytes(b"")
    picture(folder / "4-half.jpg").write_bytes((folder / "1.jpg").read_bytes()[:900])
    Image.new("1", (20_000, 20_000)).save(folder / "4-vast.png")
    for name in ("Thumbs.db", "desktop.ini", ".DS_Store"):
        (folder / name).write_bytes(b"\0 what a file manager leaves")
    done = run(studio, "build")
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    left_out = [line for line in done.stderr.splitlines() if line.endswith("It is left out.")]
    assert sorted(line.partition(": ")[0].rpartition("/")[2] for line in left_out) == [
        "4-empty.png", "4-half.jpg", "4-vast.png", "4.jpg",
    ]  # fmt: skip
    for site in ("site", "site-floor"):
        page = (studio / site / "tests" / "fig-a.html").read_text("utf-8")
        strip = page.split('<ul class="strip"')[1].split("</ul>")[0]
        captions = re.findall(r"<figcaption>(?:<a[^>]*>)?([^<]+?)(?:</a>)? <span", strip)
        assert strip.count("<img") == 7
        assert strip.count("cannot be read") == 3
        assert "points large" in strip
        assert strip.count("No description.") == 11 + strip.count('No description."')
        assert captions == [
            "Cycle 1", *("Cycle 2",) * 2, "Cycle 3", *("Cycle 4",) * 4,
            *("Of no cycle on file",) * 3,
        ]  # fmt: skip
        assert strip.count("#cycle-2") == 2
        assert strip.count("Of no cycle on file") == 6  # 9, IMG_0001 and pool, as words and alt
        files = {one.name for one in (studio / site / "photos").rglob("*") if one.is_file()}
        assert {"2-von oben Höhe.JPG", "IMG_0001.HEIC.jpg", "2.b.c.png", "2.b.c.png.jpg"} <= files
        assert not {name for name in files if name.startswith("4") or "humbs" in name}
    told = run(studio, "check")
    assert told.returncode == 0, told.stderr
    assert told.stdout.count("The page says so in its place.") == 4
    assert "shows cycle 9 by its name, and the record has 4" in told.stdout
    assert told.stdout.count("nobody has said what is seen on") == 11


def test_a_broken_picture_of_a_note_leaves_its_words(tmp_path: Path) -> None:
    """The note is shown whole, with the words in the place of the picture, on the proof too."""
    body = "![The pool](fig-a/2.jpg) and ![the jar](jar.png)\n"
    files = {"burns/fig-a.md": proven()["burns/fig-a.md"] + body}
    studio = studio_in(tmp_path, **files)
    picture(studio / FOLDER / "2.jpg")
    (studio / "records/burns/jar.png").write_bytes(b"no picture")
    done = run(studio, "build")
    assert done.returncode == 0, done.stderr
    page = (studio / "site/tests/fig-a.html").read_text("utf-8")
    assert '<span class="no-photo">the jar</span>' in page
    assert page.count("photos/small/burns/fig-a/2.jpg") == 2  # in the note and in the strip
    assert 'alt="Cycle 2: The pool"' in page
    proof = (studio / "site/papers/fig/proof.html").read_text("utf-8")
    assert proof.count("data:image/jpeg;base64,") == 2
    assert '<a class="strip__open"' not in proof


def test_alt_texts_are_cleaned_on_the_floor(tmp_path: Path) -> None:
    """A supplier and a sum in the words for a picture, and a picture called by a supplier."""
    line = "{item: waxes/soy, quantity: 1 kg, price: 61.30}"
    bill = f"---\nsupplier: quayside-candle-goods\non: 2026-02-03\nlines: [{line}]\n---\n"
    record = proven()["burns/fig-a.md"].replace(
        "scale: 0.1 g",
        'photos: {1.jpg: "Wax of Quayside Candle Goods, 61.30 EUR the kilo"}\nscale: 0.1 g',
    )
    studio = studio_in(
        tmp_path,
        **{
            "purchases/one.md": bill,
            "suppliers/quayside-candle-goods.md": "---\nkind: general\n---\n",
            "burns/fig-a.md": record,
        },
    )
    picture(studio / FOLDER / "1.jpg")
    picture(studio / FOLDER / "2-quayside-candle-goods.jpg")
    done = run(studio, "build")
    assert done.returncode == 0, done.stderr
    owner, floor = ((studio / one / "tests/fig-a.html").read_text("utf-8")
                    for one in ("site", "site-floor"))  # fmt: skip
    assert "Quayside Candle Goods" in owner
    assert "2-quayside-candle-goods.jpg" in owner
    assert "quayside" not in floor.lower()
    assert "61.30" not in floor
    assert "photos/small/burns/fig-a/1.jpg" in floor
    assert not list((studio / "site-floor").rglob("*quayside*"))


def album(file: Path, path: str = "burns/fig-a/1.jpg") -> Album:
    """Return an album of one picture."""
    return Album({path: file})


def sized(data: bytes | Refusal) -> Image.Image:
    """Return a picture that was made."""
    assert isinstance(data, bytes)
    return Image.open(io.BytesIO(data))


def test_two_sizes_upright_and_bare(tmp_path: Path) -> None:
    """Taken on its side, with place and device: both sizes stand upright, and know neither."""
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = 6, "A telephone"  # EXIF 2.3: to be turned a quarter to the right
    file = picture(tmp_path / "1.jpg", (3000, 2000), exif=exif)
    made = album(file)
    small, large = (
        sized(made.data("burns/fig-a/1.jpg", side)) for side in (SMALL_SIDE, pictures.LONGEST_SIDE)
    )
    assert (small.size, large.size) == ((240, 360), (1067, 1600))
    for one in (small, large):
        assert dict(one.getexif()) == {}
        red, _, blue = one.getpixel((one.size[0] // 2, 9))  # type: ignore[misc]  # of RGB
        assert (red > 200, blue < 60) == (True, True)  # what was left is on top
    assert made.shown("tests/fig-a", "burns/fig-a/1.jpg") == Shown(
        "../photos/small/burns/fig-a/1.jpg", "../photos/burns/fig-a/1.jpg", 240, 360
    )
    assert made.shown("tests/fig-a", "burns/fig-a/2.jpg") is None
    assert set(made.files()) == {"photos/small/burns/fig-a/1.jpg", "photos/burns/fig-a/1.jpg"}


def test_a_picture_is_made_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By its content: under another name it is there already, and changed it is made anew."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    file = picture(tmp_path / "1.jpg")
    first = album(file).files()
    kept = list((tmp_path / "cache/handbook-builder/pictures").iterdir())
    assert len(kept) == 2
    monkeypatch.setattr(photos.pictures, "anew", lambda *_, **__: pytest.fail("made again"))
    other = file.rename(tmp_path / "2.jpg")
    assert list(album(other).files().values()) == list(first.values())
    monkeypatch.undo()
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    picture(other, (900, 900))
    assert list(album(other).files().values()) != list(first.values())


def test_no_cache_folder_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing can be kept, each build makes its pictures."""
    (tmp_path / "cache").write_text("a file in its place")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    assert len(album(picture(tmp_path / "1.jpg")).files()) == 2


def test_a_telephones_picture_is_converted_or_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With what converts it, it is a JPEG; without, its page says what to do."""
    heic(tmp_path / "1.HEIC")
    path = "burns/fig-a/1.HEIC"
    made = album(tmp_path / "1.HEIC", path)
    assert sized(made.data(path)).format == "JPEG"
    shown = made.shown("tests/fig-a", path)
    assert isinstance(shown, Shown)
    assert shown.large == "../photos/burns/fig-a/1.HEIC.jpg"
    assert shown.small == "../photos/small/burns/fig-a/1.HEIC.jpg"
    monkeypatch.setattr(pictures, "_converts", lambda: False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "none"))
    without = album(tmp_path / "1.HEIC", path)
    unshown = without.shown("tests/fig-a", path)
    assert isinstance(unshown, Unshown)
    assert "Save it as .jpg" in unshown.why
    assert (without.files(), without.paths()) == ({}, frozenset())
    assert without.at("burns/fig-a/1.HEIC.jpg", 900) is None


def test_what_is_gone_meanwhile_is_no_trace(tmp_path: Path) -> None:
    """A picture that is removed between reading and building is told as one that cannot be read."""
    (told,) = album(tmp_path / "gone.jpg").refused()
    assert "cannot be read" in told.message
