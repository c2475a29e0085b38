"""A picture that goes out is its points, upright and small, and nothing besides."""

from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin

from handbook_builder.publish import pictures
from handbook_builder.publish.pictures import made_anew

# Tags of EXIF 2.3: orientation, make, and the directory of the place.
_ORIENTATION, _MAKE, _PLACE = 0x0112, 0x010F, 0x8825


def test_place_device_and_size_are_gone(tmp_path: Path) -> None:
    """A photo of 3000 x 2000 points, taken on its side, with place and device."""
    file = tmp_path / "pool.jpg"
    exif = Image.Exif()
    exif[_ORIENTATION], exif[_MAKE] = 6, "A telephone"
    exif[_PLACE] = {1: "N", 2: (51.0, 30.0, 0.0)}
    sideways = Image.new("RGB", (3000, 2000), "red")
    sideways.paste("blue", (0, 0, 3000, 200))
    sideways.save(file, exif=exif, comment=b"for Marlene")
    assert list(made_anew(file, "records/burns/pool.jpg")) == []
    with Image.open(file) as made:
        assert dict(made.getexif()) == {}
        assert not {"exif", "comment", "xmp", "icc_profile", "photoshop"} & made.info.keys()
        # Orientation 6: what is stored as the top is the right-hand side.
        assert (made.size, made.format) == ((1067, 1600), "JPEG")
        assert made.getpixel((1050, 800))[2] > 200
    assert b"telephone" not in file.read_bytes()
    assert b"Marlene" not in file.read_bytes()


@pytest.mark.parametrize("ending", ["png", "webp", "gif", "tiff", "bmp", "avif", "jpeg"])
def test_every_kind_is_made_anew(tmp_path: Path, ending: str) -> None:
    """What was hidden behind the points of any kind is not there afterwards."""
    file = tmp_path / f"pool.{ending}"
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", "hidden words")
    rest = {"pnginfo": words} if ending == "png" else {}
    Image.new("RGB", (40, 30), "ivory").save(file, **rest)
    file.write_bytes(file.read_bytes() + b"hidden words")
    assert list(made_anew(file, "pool")) == []
    assert b"hidden words" not in file.read_bytes()
    with Image.open(file) as made:
        assert made.size == (40, 30)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.jpg", b"\x89PNG\r\n\x1a\n", "cannot be read"),
        ("a.png", b"", "cannot be read"),
        ("a.heic", b"\0\0\0\x18ftypheic", "Save it as .jpg"),
    ],
)
def test_what_is_no_picture_is_named(tmp_path: Path, name: str, data: bytes, said: str) -> None:
    """A broken file, an empty one and a kind that no page shows are told by their names."""
    (tmp_path / name).write_bytes(data)
    (told,) = made_anew(tmp_path / name, f"records/burns/{name}")
    assert str(told).startswith(f"records/burns/{name}: ")
    assert said in str(told)


def test_half_a_picture_is_named(tmp_path: Path) -> None:
    """A file that was cut short is no picture."""
    file = tmp_path / "a.png"
    Image.effect_noise((300, 300), 90).save(file)
    file.write_bytes(file.read_bytes()[:9000])
    (told,) = made_anew(file, "a.png")
    assert "cannot be read" in told.message


def test_a_picture_of_many_points_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A small file that would fill a machine's memory is never unpacked."""
    monkeypatch.setattr(pictures, "MOST_POINTS", 99)
    Image.new("1", (10, 10)).save(tmp_path / "a.png")
    (told,) = made_anew(tmp_path / "a.png", "a.png")
    assert "10 x 10 points" in told.message
