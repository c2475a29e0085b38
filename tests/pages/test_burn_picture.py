"""A burn as one picture: to scale, small, with its numbers in a table and in words."""

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook_builder.figures.fill import cylinder_height_mm, cylinder_volume_ml
from handbook_builder.pages.page import Page
from handbook_builder.pages.tests.glance import BurnPicture, Level, Section
from handbook_builder.publish.burn_picture import burn_drawing, small_drawing
from tests.records_in_text import burn, proven, whole_life
from tests.told import rig

MOST_BYTES = 12_000


def picture(files: dict[str, str], candle: str = "fig-a") -> BurnPicture:
    """Return the picture on the page of a test candle."""
    found: BurnPicture = rig.pages(files)[f"tests/{candle}"].content.glance
    return found


def boxes(svg: str, kind: str) -> list[tuple[float, float]]:
    """Return the width and the height of each box of a kind in a drawing."""
    ways = "".join(
        path.attrib["d"]
        for path in ET.fromstring(svg).iter("path")  # noqa: S314 -- our own
        if kind in path.attrib["class"].split()
    )
    found = re.findall(r"M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)H[\d.]+Z", ways)
    places = [tuple(map(float, box)) for box in found]
    return [(right - left, bottom - top) for left, top, right, bottom in places]


@given(st.floats(1, 5000), st.floats(10, 400))
def test_a_height_is_the_inverse_of_a_volume(volume_ml: float, diameter_mm: float) -> None:
    """V = π d² h / 4, which any table of formulas has, solved for h."""
    height_mm = cylinder_height_mm(volume_ml, diameter_mm)
    assert cylinder_volume_ml(diameter_mm, height_mm) == pytest.approx(volume_ml)


def test_a_height_by_hand() -> None:
    """210 mL in 72 mm: 210,000 mm³ over π · 36² = 4071.504 mm² is 51.578 mm."""
    assert cylinder_height_mm(210, 72) == pytest.approx(51.578, abs=0.001)
    assert cylinder_height_mm(0, 72) == 0


def test_each_cycle_is_the_wax_that_it_burned() -> None:
    """Hand arithmetic: 26 g of 108 g is the share of 51.578 mm that the first band takes."""
    found = picture(proven())
    levels = [band.level for band in found.bands]
    assert levels[0] is not None
    assert levels[0].top_mm == pytest.approx(51.578, abs=0.001)
    assert levels[0].bottom_mm == pytest.approx(51.578 * (108 - 26) / 108, abs=0.001)
    assert levels[3] is not None
    assert levels[3].bottom_mm == pytest.approx(51.578 * (108 - 99) / 108, abs=0.001)
    assert [band.number for band in found.bands] == [1, 2, 3, 4]


def test_after_a_cycle_that_was_not_weighed_nobody_knows_the_level() -> None:
    """Neither its own band nor those after it are drawn; the readings are."""
    cycles = whole_life()
    cycles[1] = re.sub(r"after: [^,]*, ", "", cycles[1])
    found = picture({**proven(), "burns/fig-a.md": burn("A", cycles=cycles)})
    assert [band.level is None for band in found.bands] == [False, True, True, True]
    svg = burn_drawing(found)
    assert len(boxes(svg, "burn__band")) == 1
    assert svg.count('class="burn__number') == 4
    assert found.rows[1][1] is None


def test_it_is_drawn_to_scale() -> None:
    """The width and the height of the wax stand to each other as in the vessel, to a tenth."""
    found = picture(proven())
    for draw in (burn_drawing, small_drawing):
        svg = draw(found)
        wax = [*boxes(svg, "burn__band"), *boxes(svg, "burn__left")]
        height = sum(high for _, high in wax)
        assert wax[0][0] / height == pytest.approx(72 / 51.578, rel=0.01)


def test_a_vessel_without_a_height_is_drawn_open_and_says_so() -> None:
    """The rim stands where nobody measured it."""
    found = picture(proven())
    assert not found.section.is_high
    assert "rim" in found.note
    assert "burn__glass--open" in burn_drawing(found)
    high = proven()
    high["vessels/tumbler.md"] = high["vessels/tumbler.md"].replace(
        "opening:", "inside_height: 80 mm\nopening:"
    )
    known = picture(high)
    assert known.section == Section(72.0, 80.0, is_high=True, fill_mm=known.section.fill_mm,
                                    wall_mm=0.0)  # fmt: skip
    assert "burn__glass--open" not in burn_drawing(known)


def test_what_broke_a_limit_is_marked_and_said() -> None:
    """A cross and its value in the drawing, a word in the table, the reason in the sentence."""
    cycles = whole_life()
    cycles[2] = cycles[2].replace("wall: 52 degC", "wall: 91 degC")
    found = picture({**proven(), "burns/fig-a.md": burn("A", cycles=cycles)})
    svg = burn_drawing(found)
    assert found.bands[2].wall.broke
    assert "\N{MULTIPLICATION SIGN} 91" in svg
    assert "broke a limit" in (found.rows[2][4] or "")
    assert "No limit was broken" not in found.summary
    assert "91" in found.summary
    assert len(boxes(svg, "burn__band--bad")) == 1
    sound = picture(proven())
    assert "No limit was broken." in sound.summary
    assert "\N{MULTIPLICATION SIGN}" not in burn_drawing(sound)


def test_what_is_watched_is_no_failure() -> None:
    """A wall above what is watched and below what fails."""
    cycles = whole_life()
    cycles[1] = cycles[1].replace("wall: 52 degC", "wall: 65 degC")
    found = picture({**proven(), "burns/fig-a.md": burn("A", cycles=cycles)})
    assert found.bands[1].wall.watched
    assert not found.bands[1].wall.broke
    assert "burn__bar--watch" in burn_drawing(found)
    assert "(watched)" in (found.rows[1][4] or "")


def test_what_was_never_lit_has_no_picture() -> None:
    """There is nothing to see yet."""
    files = {**proven(), "burns/fig-c.md": burn("C", cycles=[], end="")}
    page = rig.pages(files)["tests/fig-c"]
    assert page.content.glance is None
    assert len(rig.pages(files)["products/fig"].content.evidence.glances) == 2


def test_the_fullest_burn_is_small() -> None:
    """Forty cycles, each with all readings and a broken limit, stay under 12 kB."""
    found = picture(proven())
    band = replace(found.bands[2], wall=replace(found.bands[2].wall, broke=True))
    many = tuple(
        replace(band, number=at + 1, level=Level(51.0 - at, 50.0 - at)) for at in range(40)
    )
    assert len(burn_drawing(replace(found, bands=many)).encode()) < MOST_BYTES


def test_every_picture_of_the_demo_is_small_still_and_told(pages: dict[str, Page]) -> None:
    """Under 12 kB, well-formed, nothing that runs or loads; its table has a row a cycle."""
    found = [
        page.content.glance
        for page in pages.values()
        if getattr(page.content, "glance", None) is not None
    ]
    assert len(found) > 50
    for each in found:
        svg = burn_drawing(each)
        assert len(svg.encode()) < MOST_BYTES
        tags = {part.tag for part in ET.fromstring(svg).iter()}  # noqa: S314 -- our own
        assert tags <= {"svg", "title", "desc", "path", "text"}
        assert not re.search(r"\son\w+=|href|url\(|style=|#[0-9a-f]{3}", svg)
        assert f'aria-labelledby="{each.id}-t {each.id}-d"' in svg
        assert len(each.rows) == len(each.bands)
