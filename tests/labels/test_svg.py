"""The SVG of a face: its size, its words' places, and what it says to who does not see it."""

import re
import xml.etree.ElementTree as ET

import pytest

from handbook_builder.labels.content import Role, Text
from handbook_builder.labels.layout import lay_out
from handbook_builder.labels.pdf import single_pdf
from handbook_builder.labels.placed import Layout, Panel
from handbook_builder.labels.svg import svg
from tests.labels.measured import measured, opened
from tests.labels.samples import FACES, IMPRINT, LABEL

NS = "{http://www.w3.org/2000/svg}"


def _layout(panel: Panel) -> Layout:
    laid = lay_out(LABEL.caution, panel, FACES)
    assert isinstance(laid, Layout)
    return laid


def _read(layout: Layout, **words: str) -> ET.Element:
    told = {"title": "A title", "description": "What it says", **words}
    return ET.fromstring(svg(layout, FACES, **told))  # noqa: S314 -- our own, made a line above


def test_its_size_is_the_panel_in_millimetres() -> None:
    """And so are its own coordinates."""
    root = _read(_layout(Panel(81.5, 80)))
    assert (root.get("width"), root.get("height")) == ("81.5mm", "80mm")
    assert root.get("viewBox") == "0 0 81.5 80"


def test_it_is_told_to_who_does_not_see_it() -> None:
    """With whatever characters."""
    root = _read(_layout(Panel(80, 80)), title="Fig & <Cedar>", prefix="a-")
    title, description = root.find(f"{NS}title"), root.find(f"{NS}desc")
    assert title is not None
    assert description is not None
    assert (title.text, description.text) == ("Fig & <Cedar>", "What it says")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"


def test_no_word_hangs_on_a_font() -> None:
    """Every letter is drawn, once, and used where it stands; every id begins as was asked."""
    root = _read(_layout(Panel(80, 80)), prefix="x-")
    assert root.find(f".//{NS}text") is None
    identities = [one.get("id") or "" for one in root.iter() if one.get("id")]
    assert len(identities) == len(set(identities))
    assert all(identity.startswith("x-") for identity in identities)
    used = {(one.get("href") or "")[1:] for one in root.iter(f"{NS}use")}
    assert used == set(identities) - {"x-title", "x-desc"}


def test_it_is_black_red_and_paper() -> None:
    """A label is printed in two inks at most."""
    printed = svg(_layout(Panel(80, 80)), FACES, title="t", description="d")
    assert set(re.findall(r"#[0-9a-f]{3,6}(?=\")", printed)) <= {"#000", "#e2001a", "#fff"}


def test_words_stand_where_they_stand_in_the_pdf() -> None:
    """The same baseline to a hundredth of a millimetre, the same size, as many letters."""
    layout = _layout(Panel(80, 80))
    (page,) = opened(single_pdf([layout], IMPRINT))
    lines = [one for one in _read(layout).iter(f"{NS}g") if one.get("transform")]
    words = measured(page).words
    assert len(lines) == len(words)
    for line, word in zip(lines, words, strict=True):
        x, y, size = (
            float(number) for number in re.findall(r"[-\d.]+", (line.get("transform") or ""))[:3]
        )
        assert (x, y) == pytest.approx((word.x, word.y), abs=0.01)
        assert size == pytest.approx(word.size_pt * 25.4 / 72, abs=0.001)
        assert len(line) == len(word.text.replace(" ", ""))
        assert re.search(r"scale\(([\d.]+e-3) -\1\)$", line.get("transform") or "")  # upright


def test_drawings_stand_where_they_stand_in_the_pdf() -> None:
    """Corner by corner."""
    layout = _layout(Panel(80, 80))
    (page,) = opened(single_pdf([layout], IMPRINT))
    painted = [path for path in measured(page).paths if path.painted in {"S", "f*"}]
    paths = [one for one in _read(layout) if one.tag == f"{NS}path"]
    assert len(paths) <= len(painted)
    for path, other in zip(paths, painted, strict=False):
        numbers = [float(number) for number in re.findall(r"-?[\d.]+", path.get("d") or "")]
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        assert len(points) == len(other.points)
        for mine, theirs in zip(points, other.points, strict=True):
            assert mine == pytest.approx(theirs, abs=0.01)


def test_it_is_small() -> None:
    """A letter is drawn once however often it stands; 200 words take less than 40 kB."""
    laid = lay_out((Text(Role.STATEMENT, "Burn within sight. " * 66),), Panel(150, 150), FACES)
    assert isinstance(laid, Layout)
    assert len(svg(laid, FACES, title="t", description="d")) < 40_000
