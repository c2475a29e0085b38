"""A protocol of the studio's own: what of it asks less than the shipped one is told."""

import pytest

from handbook_builder.studio.protocol import Looser, Protocol, in_force, looser_than_shipped
from tests.records_in_text import BASE, STUDIO, linked


def protocol(text: str) -> Protocol:
    """Return the protocol in force under a record with these keys."""
    files = {**BASE, "studio.md": STUDIO.replace("default", "house")}
    return linked({**files, "protocols/house.md": f"---\n{text}\n---\n"}).protocol


def test_the_shipped_protocol_is_no_looser_than_itself() -> None:
    """Nor is one that only repeats it."""
    assert looser_than_shipped(in_force(None)) == ()
    assert looser_than_shipped(linked(BASE).protocol) == ()
    same = "test_candles: 3\ncycle: 4 h\nrest: 60 min\nbalance: 5 %\nthermal_shock: delta 90 degF"
    assert looser_than_shipped(protocol(same)) == ()


@pytest.mark.parametrize(
    ("line", "tighter", "expected"),
    [
        ("test_candles: 2", "test_candles: 4", Looser("test_candles", "", 2, 3)),
        ("cycle_tolerance: 16 min", "cycle_tolerance: 14 min",
         Looser("cycle_tolerance_h", "", pytest.approx(16 / 60), 0.25)),
        ("load_tolerance: 0.3 %", "load_tolerance: 0.1 %",
         Looser("load_tolerance", "", pytest.approx(0.003), pytest.approx(0.002))),
        ("fill_tolerance: 3 %", "fill_tolerance: 1 %",
         Looser("fill_tolerance", "", pytest.approx(0.03), pytest.approx(0.02))),
        ("balance: 6 %", "balance: 4 %", Looser("balance", "", pytest.approx(0.06), 0.05)),
        ("rest: 59 min", "rest: 2 h", Looser("rest_h", "", pytest.approx(59 / 60), 1.0)),
        ("cycle: 3 h", "cycle: 5 h", Looser("cycle_h", "", 3.0, 4.0)),
        ("min_opening: 79 %", "min_opening: 81 %",
         Looser("min_opening", "", pytest.approx(0.79), pytest.approx(0.8))),
        ("thermal_shock: delta 49 degC", "thermal_shock: delta 60 degC",
         Looser("thermal_shock_k", "", 49.0, 50.0)),
        ("stop_at: 11 mm", "stop_at: 13 mm", Looser("stop_at_mm", "", 11.0, 12.0)),
        ("full_pool_by: 4", "full_pool_by: 2", Looser("full_pool_by", "", 4, 3)),
        ("needs: [before, after, burned, pool, flame, wall, cycles]",
         "needs: [before, after, burned, pool, flame, wall, tilt, cycles, room, depth]",
         Looser("needs", "tilt", None, None)),
        ("observations: {smoking: note}", "observations: {smoking: fail}",
         Looser("observations", "smoking", "note", "watch")),
        ("observations: {sooting: watch}", "observations: {frosting: fail}",
         Looser("observations", "sooting", "watch", "fail")),
        ("limits: [{measure: wall, at_most: 81 degC, on_breach: fail, published: no, source: s}]",
         "limits: [{measure: wall, at_most: 70 degC, on_breach: fail, published: no, source: s}]",
         Looser("limits", "wall", 81.0, 80.0)),
        ("limits: [{measure: coverage, at_least: 90 %, on_breach: fail, published: no, source: s}]",
         "limits: [{measure: coverage, at_least: 97 %, on_breach: fail, published: no, source: s}]",
         Looser("limits", "coverage", pytest.approx(0.9), pytest.approx(0.95))),
    ],
)  # fmt: skip
def test_what_asks_less_is_told(line: str, tighter: str, expected: Looser) -> None:
    """The key, what it is about, and both values; one that asks more is not told."""
    assert looser_than_shipped(protocol(line)) == (expected,)
    assert looser_than_shipped(protocol(tighter)) == ()


def test_everything_that_is_loosened_is_told() -> None:
    """Not only the first of it."""
    found = looser_than_shipped(
        protocol("test_candles: 1\nneeds: []\nbalance: 50 %\nobservations: {sooting: note}")
    )
    assert [(one.key, one.what) for one in found] == [
        ("test_candles", ""), ("balance", ""),
        *(("needs", word) for word in
          ("before", "after", "burned", "pool", "flame", "wall", "tilt", "cycles")),
        ("observations", "sooting"),
    ]  # fmt: skip


def test_a_limit_for_one_material_loosens_nothing() -> None:
    """It stands beside the limit for all, and cannot take its place."""
    lax = (
        "limits: [{measure: flame, at_most: 90 mm, on_breach: fail, published: no, source: s, "
        "material: metal}]"
    )
    found = protocol(lax)
    assert looser_than_shipped(found) == ()
    flames = [(one.bound, one.material) for one in found.limits if one.measure == "flame"]
    assert flames == [(75.0, None), (90.0, "metal")]


def test_a_watch_beside_a_limit_that_fails_takes_nothing_from_it() -> None:
    """It is another slot."""
    found = protocol(
        "limits: [{measure: coverage, at_least: 10 %, on_breach: watch, published: no, source: s}]"
    )
    assert looser_than_shipped(found) == ()
    assert len([one for one in found.limits if one.measure == "coverage"]) == 2


def test_the_least_wall() -> None:
    """None is shipped; one length is for every material, a map for those that it names."""
    assert in_force(None).min_wall_of("glass") is None
    every = protocol("min_wall: 3 mm")
    assert [every.min_wall_of(one) for one in ("glass", "metal", "other")] == [3.0, 3.0, 3.0]
    some = protocol("min_wall: {glass: 3 mm, ceramic: 0.5 cm}")
    assert [some.min_wall_of(one) for one in ("glass", "ceramic", "metal")] == [3.0, 5.0, None]


def test_what_the_shipped_protocol_asks() -> None:
    """The numbers of the second edition of the rules, from their text."""
    base = in_force(None)
    assert (base.pourings, base.stop_at_mm, base.balance) == (1, 12.0, pytest.approx(0.05))
    assert base.needs == ("before", "after", "burned", "pool", "flame", "wall", "tilt", "cycles")
    rooms = [(one.upper, one.bound, one.on_breach, one.published) for one in base.limits
             if one.measure == "room"]  # fmt: skip
    assert rooms == [(False, 15.0, "watch", True), (True, 25.0, "watch", True)]
