"""Every picture of a site made anew from its points alone: no place, no device, no time, no note.

A picture from a telephone knows where it was taken. Here it is turned upright, made no larger than
a page shows, and written anew; what else stood in its file is gone.
"""

import io
import struct
import warnings
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

from PIL import Image, ImageOps, UnidentifiedImageError

from handbook_builder.publish.refusals import Refusal, refusal
from handbook_builder.reading.pictures import can_convert

LONGEST_SIDE: Final = 1600
MOST_POINTS: Final = 100_000_000
MOST_BYTES: Final = 64_000_000

_FORMATS: Final = {
    ".apng": "PNG", ".avif": "AVIF", ".bmp": "BMP", ".gif": "GIF", ".jfif": "JPEG",
    ".jpe": "JPEG", ".jpeg": "JPEG", ".jpg": "JPEG", ".png": "PNG", ".tif": "TIFF",
    ".tiff": "TIFF", ".webp": "WEBP",
}  # fmt: skip
# What telephones write and few browsers show: converted, where the extra `heic` is installed.
_CONVERTED: Final = frozenset({".heic", ".heif"})
_UNKNOWN: Final = _CONVERTED | {".dng", ".jp2", ".jxl", ".psd", ".raw"}
PICTURES: Final = frozenset(_FORMATS)
_NO_GLASS: Final = frozenset({"JPEG", "BMP"})  # formats in which nothing shines through
_SAVED: Final[dict[str, dict[str, Any]]] = {
    "JPEG": {"quality": 85, "optimize": True},
    "WEBP": {"quality": 85},
    "AVIF": {"quality": 75},
    "PNG": {"optimize": False, "compress_level": 6},
    "TIFF": {"compression": "tiff_lzw"},
}


class _VastError(Exception):
    """The picture has more points than a page needs, or than a machine bears."""

    def __init__(self, wide: int, high: int) -> None:
        super().__init__(wide, high)
        self.wide, self.high = wide, high


def is_picture(path: Path) -> bool:
    """Return whether a file is a picture by its name, one that can be shown or one that cannot."""
    return path.suffix.lower() in PICTURES | _UNKNOWN


def is_converted(name: str) -> bool:
    """Return whether a picture of this name is shown as another kind than it is."""
    return Path(name).suffix.lower() in _CONVERTED


def media_type(path: Path) -> str:
    """Return the media type of a picture that can be shown, by its name."""
    return f"image/{_FORMATS.get(path.suffix.lower(), 'JPEG').lower()}"


def made_anew(file: Path, shown_as: str) -> Iterator[Refusal]:
    """Write a picture anew in its place, and yield what keeps it from being shown.

    It keeps its name, so that one of another kind cannot be written there.
    """
    is_of_its_name = file.suffix.lower() in PICTURES
    data = anew(file, shown_as) if is_of_its_name else refusal(shown_as, "picture_kind")
    if isinstance(data, Refusal):
        yield data
    else:
        file.write_bytes(data)


def anew(
    file: Path, shown_as: str, longest: int = LONGEST_SIDE, kind: str | None = None,
    quality: int | None = None,
) -> bytes | Refusal:  # fmt: skip
    """Return a picture made anew, its longer side `longest` points at the most, or why not.

    It stays of its own kind, unless another `kind` is asked for.
    """
    suffix = file.suffix.lower()
    if suffix in _UNKNOWN and not (suffix in _CONVERTED and _converts()):
        return refusal(shown_as, "picture_kind")
    try:
        return bare(file, kind or _FORMATS.get(suffix, "JPEG"), longest, quality)
    except (_VastError, Image.DecompressionBombError) as vast:
        wide, high = (vast.wide, vast.high) if isinstance(vast, _VastError) else (0, 0)
        return refusal(shown_as, "vast_picture", wide=wide or "too many", high=high or "too many")
    except _BROKEN as fault:
        return refusal(shown_as, "mangled_picture", reason=_reason(fault))


@cache
def _converts() -> bool:
    """Return whether pictures of telephones can be read here, and let Pillow read them then."""
    if not can_convert():
        return False
    from pillow_heif import register_heif_opener  # noqa: PLC0415 -- it may not be installed

    register_heif_opener()
    return True


# What Pillow's readers raise at bytes that are no picture, or only half of one.
_BROKEN: Final = (
    OSError,
    UnidentifiedImageError,
    SyntaxError,
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    AttributeError,
    EOFError,
    OverflowError,
    NotImplementedError,
    MemoryError,
    RuntimeError,
    struct.error,
    ZeroDivisionError,
)


def _reason(fault: BaseException) -> str:
    if isinstance(fault, UnidentifiedImageError) or not str(fault):
        return "it holds no picture"
    return " ".join(str(fault).split())[:80]


def bare(file: Path, kind: str, longest: int = LONGEST_SIDE, quality: int | None = None) -> bytes:
    """Return the points of a picture as a file of `kind`, upright and no larger than shown."""
    if file.stat().st_size > MOST_BYTES:
        raise _VastError(0, 0)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a broken datum of a picture is thrown away with the rest
        with Image.open(file) as picture:
            wide, high = picture.size
            if wide * high > MOST_POINTS:
                raise _VastError(wide, high)
            picture.draft("RGB", (longest, longest))
            picture.load()
            upright = ImageOps.exif_transpose(picture) or picture
            small = _small(_in_srgb(_plain(upright, kind), picture), longest)
            return _written(small, kind, quality)


def _plain(picture: Image.Image, kind: str) -> Image.Image:
    """Return a picture in a mode that its format can hold, without palette or more than 8 bits."""
    shines = "A" in picture.mode or "transparency" in picture.info
    if kind in _NO_GLASS or not shines:
        if shines:
            ground = Image.new("RGBA", picture.size, "white")
            return Image.alpha_composite(ground, picture.convert("RGBA")).convert("RGB")
        if picture.mode.startswith("I;16") or picture.mode in ("I", "F"):
            return picture.point(lambda value: value / 256).convert("L")
        return picture if picture.mode in ("L", "RGB") else picture.convert("RGB")
    return picture.convert("RGBA")


def _in_srgb(picture: Image.Image, original: Image.Image) -> Image.Image:
    """Return the picture in the colours of a screen: its own profile goes with the rest."""
    profile = original.info.get("icc_profile")
    if not isinstance(profile, bytes) or picture.mode not in ("RGB", "RGBA"):
        return picture
    if original.mode not in ("RGB", "RGBA"):
        return picture
    from PIL import ImageCms  # noqa: PLC0415 -- slow to load, and most pictures need it not

    try:
        own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return turned if turned is not None else picture


def _small(picture: Image.Image, longest: int) -> Image.Image:
    picture.thumbnail((longest, longest), Image.Resampling.LANCZOS)
    return picture


def _written(picture: Image.Image, kind: str, quality: int | None = None) -> bytes:
    """Return the points as a file; they are copied, so that nothing else comes along."""
    clean = Image.frombytes(picture.mode, picture.size, picture.tobytes())
    out = io.BytesIO()
    how = _SAVED.get(kind, {})
    clean.save(out, kind, **(how if quality is None else how | {"quality": quality}))
    return out.getvalue()
