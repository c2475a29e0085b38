"""What can hardly be in a cycle: each bound to either side, and no question to an honest cycle."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from types import MappingProxyType

import pytest

from handbook_builder.derived.at_bench import AtBench
from handbook_builder.derived.slips import slips
from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.workshop import studio_in
from tests.records_in_text import burn, linked, proven

DEMO = Path(__file__).parents[2] / "records"
CHECKS = MappingProxyType({1.0: 41.0, 2.0: 55.0})


def codes(
    cycle: Cycle, *, height: str = "", empty: str = "", wicks: int = 1, room: str = ""
) -> list[str]:
    """Return what is asked of a second cycle in a jar of 72 mm."""
    files = proven()
    keys = {"inside_height": height, "empty_mass": empty}
    told = "".join(f"{key}: {value}\n" for key, value in keys.items() if value)
    files["vessels/tumbler.md"] = files["vessels/tumbler.md"].replace("fill:", f"{told}fill:")
    more = f"room: {room}\n" if room else ""
    files["burns/fig-a.md"] = burn("A", made=f"  wicks: {wicks}\n", more=more)
    studio = linked(files)
    one = studio.burns["fig-a"]
    begun = replace(one, cycles=(one.cycles[0], cycle))
    return [each.code for each in slips(AtBench(studio, begun, ()), begun, None)]


def read(**readings: object) -> Cycle:
    """Return a cycle with these readings and no other."""
    return Cycle(on=When(date(2026, 3, 17)), **readings)  # type: ignore[arg-type]  # as named


@pytest.mark.parametrize(
    ("code", "within", "beyond", "told"),
    [
        ("wall_cold", {"wall_c": 15.0}, {"wall_c": 14.9}, {}),
        ("wall_below_room", {"wall_c": 12.0}, {"wall_c": 11.9}, {"room": "12 degC"}),
        ("wall_below_room", {"wall_c": 24.0, "room_c": 24.0}, {"wall_c": 24.0, "room_c": 24.5},
         {"room": "12 degC"}),
        ("flame_tiny", {"flame_mm": 4.0}, {"flame_mm": 3.9}, {}),
        ("smoke_long", {"after_smoke_s": 120.0}, {"after_smoke_s": 121.0}, {}),
        ("pool_shrank", {"pool_mm": 55.0, "checks": CHECKS}, {"pool_mm": 54.0, "checks": CHECKS},
         {}),
        ("pool_tiny", {"pool_mm": 7.2}, {"pool_mm": 7.1}, {}),
        ("depth_great", {"depth_mm": 60.0}, {"depth_mm": 60.5}, {}),
        ("depth_beyond", {"depth_mm": 40.0}, {"depth_mm": 41.0}, {"height": "40 mm"}),
        # 292 g less a tenth and 5 g is 257.8 g (by hand).
        ("below_empty", {"before_g": 257.8}, {"before_g": 257.7}, {"empty": "292 g"}),
        ("below_empty", {"after_g": 257.8}, {"after_g": 257.7}, {"empty": "292 g"}),
        # 25 g/h for each wick, for 4 h: 100 g, and 200 g of two wicks (by hand).
        ("rate_great", {"burned_h": 4.0, "before_g": 374.0, "after_g": 274.0},
         {"burned_h": 4.0, "before_g": 374.0, "after_g": 273.0}, {}),
        ("rate_great", {"burned_h": 4.0, "before_g": 374.0, "after_g": 174.0},
         {"burned_h": 4.0, "before_g": 374.0, "after_g": 173.0}, {"wicks": 2}),
    ],
)  # fmt: skip
def test_a_reading_is_asked_about_beyond_its_bound_alone(
    code: str, within: dict[str, object], beyond: dict[str, object], told: dict[str, str]
) -> None:
    """At the bound nothing is asked; a step beyond it one question is."""
    assert codes(read(**within), **told) == []  # type: ignore[arg-type]  # as named
    assert codes(read(**beyond), **told) == [code]  # type: ignore[arg-type]  # as named


def test_no_cycle_of_the_demo_is_asked_about() -> None:
    """Every cycle of every test candle, as if it were the newest: a sound reading is no slip."""
    studio, problems = studio_in(DEMO)
    assert studio is not None, problems
    told = [
        (one.source.id, number, each.code)
        for one in studio.burns.values()
        for number in range(1, len(one.cycles) + 1)
        for each in slips(AtBench(studio, one, ()), _until(one, number), None)
    ]
    assert told == []
    assert sum(len(one.cycles) for one in studio.burns.values()) > 300


def _until(one: Burn, number: int) -> Burn:
    """Return a burn as it was after so many cycles."""
    return replace(one, cycles=one.cycles[:number])
