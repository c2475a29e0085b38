"""What a PDF's own page says: its boxes, words, lines and cut-off areas, in millimetres.

It reads the operators of the page and knows nothing of how they came about. Places are from the
top left corner.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from pypdf import PageObject, PdfReader

PdfFont = dict[str, Any]  # as pypdf gives a dictionary of a PDF
MM = 25.4 / 72  # a point is 1/72 of an inch of 25.4 mm


@dataclass(frozen=True)
class Words:
    """Words at the left end of their baseline."""

    text: str
    font: str
    size_pt: float
    x: float
    y: float


@dataclass(frozen=True)
class Path:
    """What was painted or cut off: its corners, its line's width and its colour."""

    painted: str
    points: tuple[tuple[float, float], ...]
    line: float
    colour: tuple[float, ...]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return the least and the greatest x and y of its points."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)


def opened(data: bytes) -> list[PageObject]:
    """Return the pages of a PDF."""
    return list(PdfReader(BytesIO(data)).pages)


def page_mm(page: PageObject, box: str = "mediabox") -> tuple[float, float]:
    """Return how wide and high one of a page's boxes is."""
    area = getattr(page, box)
    return float(area.width) * MM, float(area.height) * MM


def fonts(page: PageObject) -> dict[str, PdfFont]:
    """Return each font of a page, by its name there."""
    resources: Any = page["/Resources"]
    named = resources.get("/Font", {})
    return {name: font.get_object() for name, font in named.items()}


def descendant(font: PdfFont) -> PdfFont:
    """Return the one font that a composite font is made of."""
    (only,) = font["/DescendantFonts"]
    return only.get_object()


def _unicode(font: PdfFont) -> dict[bytes, str]:
    """Return what each two bytes of a font's text mean, by the font's own table."""
    text = font["/ToUnicode"].get_object().get_data().decode("ascii")
    table = {}
    for listed in re.findall(r"beginbfchar(.*?)endbfchar", text, re.DOTALL):
        for code, meaning in re.findall(r"<(\w+)>\s*<(\w+)>", listed):
            table[bytes.fromhex(code)] = bytes.fromhex(meaning).decode("utf-16-be")
    return table


def _ranges(numbers: Sequence[Any]) -> Iterator[tuple[int, float]]:
    """Yield code and width from the two forms of a PDF's table of widths."""
    at = 0
    while at < len(numbers):
        first, second = int(numbers[at]), numbers[at + 1]
        if isinstance(second, list):
            yield from ((first + more, float(width)) for more, width in enumerate(second))
            at += 2
        else:
            yield from ((code, float(numbers[at + 2])) for code in range(first, int(second) + 1))
            at += 3


def width_of_each(font: PdfFont) -> dict[str, float]:
    """Return how far each character of a font moves, in thousandths of the size."""
    codes = dict(_ranges(descendant(font)["/W"]))
    return {character: codes[int.from_bytes(code)] for code, character in _unicode(font).items()}


@dataclass
class _State:
    matrix: tuple[float, ...] = (1, 0, 0, 1, 0, 0)
    line: float = 1.0
    stroke: tuple[float, ...] = (0.0,)
    fill: tuple[float, ...] = (0.0,)
    font: str = ""
    size: float = 0.0


@dataclass
class Page:
    """A page that was read."""

    words: list[Words] = field(default_factory=list)
    paths: list[Path] = field(default_factory=list)


def _times(inner: Sequence[float], outer: Sequence[float]) -> tuple[float, ...]:
    a, b, c, d, e, f = inner
    p, q, r, s, t, u = outer
    return (
        a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s,
        e * p + f * r + t, e * q + f * s + u,
    )  # fmt: skip


class _Reading:
    def __init__(self, page: PageObject) -> None:
        self.page, self.read = page, Page()
        self.height = float(page.mediabox.height)
        self.state, self.kept = _State(), list[_State]()
        self.points: list[tuple[float, float]] = []
        self.at = (0.0, 0.0)
        self.unicode = {name: _unicode(font) for name, font in fonts(page).items()}

    def _place(self, x: float, y: float) -> tuple[float, float]:
        a, b, c, d, e, f = self.state.matrix
        return (a * x + c * y + e) * MM, (self.height - (b * x + d * y + f)) * MM

    def _style(self, name: str) -> None:
        resources: Any = self.page["/Resources"]
        style = resources["/ExtGState"][name].get_object()
        self.state.line = float(style.get("/LW", self.state.line))

    def _painted(self, how: str) -> None:
        scale = abs(self.state.matrix[0])
        colour = self.state.stroke if how == "S" else self.state.fill
        if self.points:
            width = self.state.line * scale * MM
            self.read.paths.append(Path(how, tuple(self.points), width, colour))
        self.points = []

    def _shown(self, shown: Any) -> None:  # noqa: ANN401 -- an object of a PDF
        data = shown.original_bytes
        table = self.unicode[self.state.font]
        text = "".join(table[data[at : at + 2]] for at in range(0, len(data), 2))
        x, y = self._place(*self.at)
        self.read.words.append(Words(text, self.state.font, self.state.size, x, y))

    def step(self, operands: list[Any], name: str) -> None:
        """Follow one operator; one that nobody here knows is no measure to go by."""
        if name in {"h", "W", "BT", "ET", "d", "J", "j", "M", "ri", "i"}:
            return
        text = {"Tf": self._font, "Tj": self._shown, "gs": self._style}
        if name in text:
            text[name](*operands)
        else:
            self._number_step([float(one) for one in operands], name)

    def _number_step(self, numbers: list[float], name: str) -> None:
        state = self.state
        if name in {"m", "l", "c"}:
            pairs = zip(numbers[::2], numbers[1::2], strict=True)
            self.points.extend(self._place(x, y) for x, y in pairs)
        elif name == "re":
            x, y, wide, high = numbers
            self.points.extend((self._place(x, y), self._place(x + wide, y + high)))
        elif name in {"S", "f", "f*", "n"}:
            self._painted(name)
        elif name == "Td":
            self.at = (numbers[0], numbers[1])
        elif name == "cm":
            state.matrix = _times(numbers, state.matrix)
        else:
            self._state_step(numbers, name)

    def _state_step(self, numbers: list[float], name: str) -> None:
        state = self.state
        match name:
            case "q":
                self.kept.append(_State(**vars(state)))
            case "Q":
                self.state = self.kept.pop()
            case "w":
                (state.line,) = numbers
            case "RG" | "G":
                state.stroke = tuple(numbers)
            case "rg" | "g":
                state.fill = tuple(numbers)
            case _:
                msg = f"no measure knows the operator {name}"
                raise AssertionError(msg)

    def _font(self, name: Any, size: Any) -> None:  # noqa: ANN401 -- an object of a PDF
        self.state.font, self.state.size = str(name), float(size)


def measured(page: PageObject) -> Page:
    """Return what stands on a page and where."""
    reading = _Reading(page)
    contents = page.get_contents()
    assert contents is not None
    for operands, operator in contents.operations:
        reading.step(list(operands), operator.decode("ascii"))
    return reading.read


def cut_off(page: Page) -> Iterator[tuple[float, float, float, float]]:
    """Yield each area that a label is cut off at: left, top, right, foot."""
    for path in page.paths:
        if path.painted == "n":
            yield path.box
