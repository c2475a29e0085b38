"""What must be counted, and misuse that must be shown."""

import pytest

from handbook_builder.faults.counts import miscounted, unshown
from handbook_builder.reading.records import read_texts
from handbook_builder.workshop import studio_from
from tests.records_in_text import BASE, RECIPE, STUDIO, as_bytes, burn, linked, proven, whole_life


def counts(count: str, *letters: str) -> list[tuple[str, str]]:
    """Return what is told of a recipe with a line of its count and candles of these letters."""
    recipe = RECIPE.replace("test_candles: as filed\n", count)
    burns = {f"burns/fig-{one.lower()}.md": burn(one) for one in letters}
    studio = linked({**BASE, "recipes/fig.md": recipe, **burns})
    return [(one.code, str(one.place)) for one in miscounted(studio)]


@pytest.mark.parametrize(
    ("count", "letters", "told"),
    [
        ("", "", []),
        ("", "A", [("candles_uncounted", "records/recipes/fig.md:2")]),
        ("test_candles: 0\n", "", []),
        ("test_candles: 1\n", "", [("candles_count", "records/recipes/fig.md:9")]),
        ("test_candles: 1\n", "A", []),
        ("test_candles: 2\n", "A", [("candles_count", "records/recipes/fig.md:9")]),
        ("test_candles: 1\n", "AB", [("candles_count", "records/recipes/fig.md:9")]),
    ],
)
def test_a_recipe_counts_its_candles(count: str, letters: str, told: list[tuple[str, str]]) -> None:
    """As they are on file, or the whole studio is at fault."""
    assert counts(count, *letters) == told


def test_one_removed_candle_of_another_recipe_approves_nothing() -> None:
    """What is gone may have been of any make-up: filed under one, weighed as the other."""
    other = {"recipes/other.md": RECIPE.replace("8 %", "4 %")}
    lost = burn("A", candles=1).replace("recipe: fig\n", "recipe: other\n")
    lost = lost.replace("400.0", "401.0").replace("374.0", "375.0").replace("348.0", "349.0")
    whole = as_bytes({**proven(), **other, "burns/other-a.md": lost})
    found, problems = studio_from(read_texts(whole, "records/"))
    assert found is not None, problems
    left = {path: data for path, data in whole.items() if path != "burns/other-a.md"}
    found, problems = studio_from(read_texts(left, "records/"))
    assert found is None
    assert [one.code for one in problems] == ["candles_count"]


def shown(how: str, burned: str, *, room: str = "", cycle_room: str = "") -> list[str]:
    """Return what is told of a misuse burn with one cycle changed."""
    life = whole_life()
    each = f", room: {cycle_room}" if cycle_room else ""
    life[1] = life[1].replace("burned: 4 h", f"burned: {burned}{each}")
    all_along = f"room: {room}\n" if room else ""
    text = burn(cycles=life, more=f"as: misuse\nhow: {how}\n{all_along}")
    return [one.code for one in unshown(linked({**BASE, "burns/fig-a.md": text}))]


@pytest.mark.parametrize(
    ("burned", "is_shown"), [("4 h 15 min", False), ("4 h 16 min", True), ("8 h", True)]
)
def test_a_long_burn_is_longer_than_a_cycle(burned: str, *, is_shown: bool) -> None:
    """4 h and the quarter of an hour that every cycle may be off."""
    assert shown("long", burned) == ([] if is_shown else ["misuse_unshown"])


def test_a_long_burn_is_long_by_the_studios_own_protocol() -> None:
    """Of 3 h and a half, 4 h 15 min are long."""
    text = burn(cycles=whole_life(), more="as: misuse\nhow: long\n")
    house = {"studio.md": STUDIO.replace("default", "house")}
    files = {**BASE, **house, "burns/fig-a.md": text}
    for cycle, told in (("3 h 30 min", []), ("3 h 45 min", ["misuse_unshown"])):
        files["protocols/house.md"] = f"---\ncycle: {cycle}\n---\n"
        assert [one.code for one in unshown(linked(files))] == told


@pytest.mark.parametrize(
    ("room", "cycle_room", "is_shown"),
    [
        ("", "", False),
        ("25 degC", "", False),
        ("25.1 degC", "", True),
        ("", "25 degC", False),
        ("", "25.1 degC", True),
        ("20 degC", "30 degC", True),
    ],
)
def test_a_hot_room_is_hot(room: str, cycle_room: str, *, is_shown: bool) -> None:
    """Above 25 °C, all along or in one cycle (EN 15426, 20 ± 5 °C, read second-hand)."""
    told = shown("hot_room", "4 h", room=room, cycle_room=cycle_room)
    assert told == ([] if is_shown else ["misuse_unshown"])


@pytest.mark.parametrize("how", ["untrimmed", "draught", "moved"])
def test_other_misuse_leaves_no_number(how: str) -> None:
    """It is taken at its word."""
    assert shown(how, "4 h") == []


@pytest.mark.parametrize("how", ["long", "hot_room"])
def test_misuse_is_asked_of_what_was_lit(how: str) -> None:
    """And a candle that was burned as it should be shows none."""
    text = burn(cycles=[], end="", more=f"as: misuse\nhow: {how}\n")
    assert list(unshown(linked({**BASE, "burns/fig-a.md": text}))) == []
    assert list(unshown(linked(proven()))) == []


def test_a_reading_that_is_missing_shows_nothing() -> None:
    """Its duration unsaid, a cycle was not long."""
    life = [one.replace("burned: 4 h, ", "") for one in whole_life()]
    text = burn(cycles=life, more="as: misuse\nhow: long\n")
    told = [str(one.place) for one in unshown(linked({**BASE, "burns/fig-a.md": text}))]
    assert told == ["records/burns/fig-a.md:23"]
