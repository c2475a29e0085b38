"""Reads a square code back: its bars drawn as a picture, and another library's decoder."""

import re
from dataclasses import dataclass

import zxingcpp
from PIL import Image, ImageDraw

_TAG = re.compile(r'<svg class="square__code".*?</svg>', re.DOTALL)
_BAR = re.compile(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z")
_SCALE = 8  # points to a module


@dataclass(frozen=True)
class Drawn:
    """A code as it stands in a page: its title, its size, and the bars of its dark modules."""

    title: str
    width_mm: float
    side: int
    bars: tuple[tuple[int, int, int], ...]

    @property
    def module_mm(self) -> float:
        """Return how wide one module is."""
        return self.width_mm / self.side


def drawn_in(markup: str) -> list[Drawn]:
    """Return every square code of a page."""
    return [_drawn(tag) for tag in _TAG.findall(markup)]


def _drawn(tag: str) -> Drawn:
    size = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 (\d+) (\d+)"', tag)
    title = re.search(r'aria-label="([^"]*)"', tag)
    assert size is not None
    assert title is not None
    assert (size[1], size[3]) == (size[2], size[4])
    bars = [tuple(map(int, bar)) for bar in _BAR.findall(tag)]
    assert all(there == back for _, _, there, back in bars)
    found = tuple((x, y, wide) for x, y, wide, _ in bars)
    return Drawn(title[1], float(size[1]), int(size[3]), found)


def picture(code: Drawn) -> Image.Image:
    """Return the bars as points, black on white."""
    image = Image.new("L", (code.side * _SCALE, code.side * _SCALE), 255)
    pen = ImageDraw.Draw(image)
    for x, y, wide in code.bars:
        box = (x * _SCALE, y * _SCALE, (x + wide) * _SCALE - 1, (y + 1) * _SCALE - 1)
        pen.rectangle(box, fill=0)
    return image


def held(code: Drawn) -> str:
    """Return what a code holds, as a decoder reads it."""
    (found,) = zxingcpp.read_barcodes(picture(code))
    return str(found.text)


def texts_in(image: Image.Image) -> list[str]:
    """Return what every square code in a picture holds, in order of the alphabet."""
    return sorted(str(found.text) for found in zxingcpp.read_barcodes(image))
