"""Everything that a protocol asks for stands on the page of limits."""

from dataclasses import fields

import pytest

from handbook_builder.studio.protocol import Protocol
from tests.records_in_text import proven
from tests.told.rig import html, pages

OWN = """---
test_candles: 7
pourings: 6
cycle: 3 h 50 min
cycle_tolerance: 13 min
rest: 5 h 7 min
trim: 3 mm
load_tolerance: 0.31 %
fill_tolerance: 1.7 %
balance: 4.3 %
stop_at: 17 mm
min_wall: {glass: 1.9 mm, metal: 0.4 mm}
min_opening: 71 %
thermal_shock: delta 83 degC
full_pool_by: 5
needs: [before, after, burned, pool, flame, wall, tilt, cycles, after_smoke, room]
limits:
  - {measure: wall, at_most: 51 degC, source: own, published: no, on_breach: fail, material: metal}
observations: {frosting: fail}
---
"""
# What the page must show of each field.
SHOWN = {
    "test_candles": ["7"],
    "pourings": ["6"],
    "cycle_h": ["3 h 50 min"],
    "cycle_tolerance_h": ["13 min"],
    "rest_h": ["5 h 7 min"],
    "trim_mm": ["3 mm"],
    "load_tolerance": ["0.31 %"],
    "fill_tolerance": ["1.7 %"],
    "balance": ["4.3 %"],
    "stop_at_mm": ["17 mm"],
    "min_wall_mm": ["1.9 mm", "0.4 mm", "glass", "metal"],
    "min_opening": ["71 %"],
    "thermal_shock_k": ["83 K"],
    "full_pool_by": ["5"],
    "needs": ["after-smoke, room"],
    "limits": ["at most 51 °C", "metal"],
    "observations": ["frosting"],
}


def _files() -> dict[str, str]:
    files = proven()
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: own")
    return {**files, "protocols/own.md": OWN}


def test_no_field_is_left_out_here() -> None:
    """A new key of a protocol has to be added above, and so to the page."""
    assert {one.name for one in fields(Protocol)} == {*SHOWN, "id", "source", "limit_places"}


@pytest.mark.parametrize("field", SHOWN)
def test_the_page_shows_it(field: str) -> None:
    """Each with a value that no other key of this protocol has."""
    page = html(_files())["reference/limits"]
    assert [one for one in SHOWN[field] if one not in page] == []


def test_a_limit_of_one_material_says_so() -> None:
    """The one for metal stands beside the one for all."""
    rows = pages(_files())["reference/limits"].content.limits
    walls = {one.vessels for one in rows if one.measure == "Heat of the outer wall"}
    assert walls == {"metal", "all"}


def test_the_shipped_limits_of_the_room_have_a_name() -> None:
    """15 and 25 °C, each with its source."""
    rows = pages(proven())["reference/limits"].content.limits
    room = [one for one in rows if one.measure == "Temperature of the room"]
    assert len(room) == 2
    assert all("EN 15426" in one.source for one in room)
