"""A guide shows the limits in force: every placeholder has a value, and a protocol changes it."""

import re
from pathlib import Path

import pytest
from guides_of_studio import SHIPPED_GUIDES, guides_of, values_of
from mkdocs.exceptions import PluginError

from handbook_builder.publish.placeholders import PLACEHOLDER, filled

# The key of a protocol, how a guide asks for it, and how it is then written.
TIGHTER = {
    "rest": ("rest: 105 min", "limit.rest", "1 h 45 min"),
    "thermal_shock": ("thermal_shock: delta 61 degC", "limit.thermal_shock", "61 K (110 °F)"),
    "min_opening": ("min_opening: 83 %", "limit.min_opening", "83 %"),
    "test_candles": ("test_candles: 4", "limit.test_candles", "4"),
    "trim": ("trim: 5 mm", "limit.trim", "5 mm (0.20 in)"),
    "full_pool_by": ("full_pool_by: 2", "limit.full_pool_by", "2"),
    "min_wall": ("min_wall: 2.7 mm", "limit.min_wall", "2.7 mm (0.11 in)"),
}


def asked_for() -> set[str]:
    """Return every name that a shipped guide asks for."""
    return {name for text in SHIPPED_GUIDES.values() for name in PLACEHOLDER.findall(text)}


def test_every_placeholder_of_a_guide_has_a_value() -> None:
    """None is left in a guide, and each that stands there is known."""
    asked = asked_for()
    assert {"limit.wall_fail", "limit.rest", "limit.thermal_shock", "limit.min_opening",
            "limit.depth_fail", "limit.coverage_fail_least", "seen.smoking"} <= asked  # fmt: skip
    values = values_of()
    assert asked <= set(values)
    for text in guides_of().values():
        assert "{{" not in re.sub(r"`[^`]*`", "", text)


def test_the_shipped_protocol_needs_no_brackets() -> None:
    """In a studio that took the shipped protocol, no number has another beside it."""
    values = values_of("protocol: default")
    assert not [name for name, text in values.items() if "[" in text]
    assert values["limit.wall_fail"] == "80 °C (176 °F)"
    assert values["limit.rest"] == "1 h"
    assert values["limit.min_wall"] == values["limit.depth_fail"] == "no limit"
    assert not [name for name, text in values.items() if name.startswith("seen.") and text]


@pytest.mark.parametrize("key", TIGHTER)
def test_a_changed_protocol_changes_the_guides(key: str) -> None:
    """Each key that a guide tells of is told as the studio has it, the shipped one in brackets."""
    line, name, written = TIGHTER[key]
    before = values_of("protocol: default")[name]
    assert values_of("protocol: house", f"---\n{line}\n---\n")[name] == (
        f"{written} [as shipped: {before}]"
    )
    assert name in asked_for()


def test_a_tighter_limit_stands_where_a_helper_stops_the_test() -> None:
    """With a wall that fails at 71 °C, the guide says to put the candle out above 71 °C."""
    limit = "{measure: wall, at_most: 71 degC, on_breach: fail, published: no, source: own}"
    guides = guides_of("protocol: house", f"---\nlimits: [{limit}]\n---\n")
    wanted = "The wall is hotter than 71 °C (160 °F) [as shipped: 80 °C (176 °F)]."
    assert wanted in guides["running-a-burn-test.md"]
    assert "fails above 71 °C" in guides["hot-wax-and-flame.md"]


def test_a_limit_of_one_material_is_told_where_it_comes_to_bear() -> None:
    """One that is no tighter than the limit for all would only lead a helper astray."""
    limit = "measure: wall, on_breach: fail, published: no, source: own"
    for bound, told in ((64, "80 °C (176 °F), for metal 64 °C (147 °F)"), (85, "80 °C (176 °F)")):
        one = f"{{{limit}, at_most: {bound} degC, material: metal}}"
        values = values_of("protocol: house", f"---\nlimits: [{one}]\n---\n")
        assert values["limit.wall_fail"].partition(" [")[0] == told


def test_the_demo_is_told_by_its_house_rules() -> None:
    """75 °C, 90 min, 55 K, 82 %, 16 mm and 96 % stand in the guides of the demo."""
    guides = guides_of()
    text = " ".join(guides.values())
    for told in ("75 °C (167 °F)", "1 h 30 min", "55 K", "82 %", "16 mm", "96 %"):
        assert f"{told}" in text, told
    wall = "75 °C (167 °F), for metal 70 °C (158 °F) [as shipped: 80 °C (176 °F)]"
    assert f"The wall is hotter than {wall}." in guides["running-a-burn-test.md"]
    assert "Least wall in force: glass 2.5 mm (0.098 in), ceramic 2.5 mm" in text
    assert "`smoking`: the flame smokes while it burns. **Here: The candle fails.**" in text


def test_a_slip_in_a_name_is_said_with_its_line() -> None:
    """It stops the build: a guide with a hole is no guide."""
    with pytest.raises(PluginError, match=r"own\.md: line 2 .*'limit\.wal_fail' \(did you mean"):
        filled("# Own\n{{ limit.wal_fail }}\n", {"limit.wall_fail": "80"}, "guides/own.md")


@pytest.mark.parametrize(
    "text", ["{{ supplier }}", "{{ 7 * 7 }}", "{% if limit %}", "{{ limit.rest.__class__ }}"]
)
def test_nothing_is_run(text: str) -> None:
    """Other braces stay as they are, and a name that reaches further has no value."""
    values = {"limit.rest": "1 h"}
    if PLACEHOLDER.search(text):
        with pytest.raises(PluginError):
            filled(text, values, "a.md")
    else:
        assert filled(text, values, "a.md") == text


def test_a_value_is_not_filled_again() -> None:
    """What a value holds is text, even where it looks like a placeholder."""
    assert filled("{{ limit.rest }}", {"limit.rest": "{{ limit.trim }}"}, "a.md") == (
        "{{ limit.trim }}"
    )


def test_guides_have_no_number_of_a_limit_left(tmp_path: Path) -> None:
    """The guides that a helper works by name no wall, rest, shock or opening of their own."""
    del tmp_path
    for name in ("running-a-burn-test.md", "choosing-a-vessel.md", "hot-wax-and-flame.md"):
        text = SHIPPED_GUIDES[name]
        for number in ("80 °C", "60 °C", "1 h of rest", "**1 h**", "50 °C", "95 %", "75 mm"):
            assert number not in text, (name, number)
