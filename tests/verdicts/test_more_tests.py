"""How many more test candles make sense."""

from collections.abc import Mapping

import pytest

from handbook_builder.verdicts.more_tests import MoreTests, Sense, more_tests
from tests.records_in_text import BASE, OIL, RECIPE, VESSEL, WAX, burn, proven
from tests.verdicts.told import judged

HOT = (
    "{on: 2026-03-16, burned: 4 h, before: 400.0 g, after: 374.0 g, pool: 70 mm, flame: 80 mm, "
    "wall: 52 degC, after_smoke: 8 s}"
)
INCIDENT = "---\nnumber: 1\non: 2026-04-01\nabout: recipes/fig\nwhat: it smelled odd\n---\n"
VOID = "void: {why: the wick came loose, by: the maker, on: 2026-04-01}\n"
STOPPED = "{how: stopped, why: nobody was in, vessel: sound, tilt: steady}"


def more(files: Mapping[str, str], needed: int = 3) -> MoreTests:
    """Return what makes sense for the recipe `fig`."""
    return more_tests(judged(files).products["fig"], needed)


def burns(**by_letter: str) -> dict[str, str]:
    """Return a studio with these test candles."""
    return {**BASE, **{f"burns/fig-{one}.md": text for one, text in by_letter.items()}}


def test_as_many_as_are_still_needed() -> None:
    """Three, less those that passed and those that may still pass."""
    assert more(dict(BASE)) == MoreTests(Sense.MORE, 3)
    assert more(burns(a=burn("A", candles=1))) == MoreTests(Sense.MORE, 2)
    two = burns(a=burn("A", candles=2), b=burn("B", candles=2, end=""))
    assert more(two) == MoreTests(Sense.MORE, 1)
    assert more(two, needed=5) == MoreTests(Sense.MORE, 3)


def test_what_was_set_aside_or_stopped_is_poured_again() -> None:
    """A void and an incomplete candle bring nothing nearer."""
    both = burns(a=burn("A", candles=2, more=VOID), b=burn("B", candles=2, end=STOPPED))
    assert more(both) == MoreTests(Sense.MORE, 3)


def test_enough_that_burn_are_waited_for() -> None:
    """With two passed and one alight nothing more is poured."""
    files = burns(a=burn("A"), b=burn("B"), c=burn("C", end=""))
    assert more(files) == MoreTests(Sense.BURNING, 0)
    assert more(files, needed=2) == MoreTests(Sense.ENOUGH, 0)


def test_enough_have_passed() -> None:
    """Paper is missing, and no candle is paper."""
    files = {**proven(), "fragrances/fig-oil.md": OIL.replace("certificate", "# certificate")}
    assert more(files) == MoreTests(Sense.ENOUGH, 0)
    assert more(files, needed=4) == MoreTests(Sense.MORE, 1)


@pytest.mark.parametrize(
    ("file", "text", "sense"),
    [
        ("recipes/fig.md", RECIPE.replace("fill:", "retired: 2026-04-01\nfill:"), Sense.RETIRED),
        ("incidents/one.md", INCIDENT, Sense.SUSPENDED),
        ("vessels/tumbler.md", VESSEL.replace("glass", "wood"), Sense.VESSEL),
        ("vessels/tumbler.md", VESSEL.partition("heat")[0] + "---\n", Sense.VESSEL),
        ("vessels/tumbler.md", VESSEL.replace("use: product", "use: practice"), Sense.PRACTICE),
        ("fragrances/fig-oil.md", OIL.replace("9 %", "6 %"), Sense.OVER),
        ("waxes/soy.md", WAX.replace("10 %", "6 %"), Sense.OVER),
    ],
)
def test_none_where_no_candle_mends_it(file: str, text: str, sense: Sense) -> None:
    """Retired, suspended, in a vessel that may not burn or counts for nothing, over a limit."""
    assert more({**BASE, file: text}) == MoreTests(sense, 0)


def test_none_after_a_failure() -> None:
    """One candle failed, however many are still to be burned."""
    assert more(burns(a=burn("A", candles=1, cycles=[HOT], end=""))) == MoreTests(Sense.FAILED, 0)


def test_the_first_that_holds_is_said() -> None:
    """Retired before suspended, suspended before failed, failed before the vessel, and so on."""
    files = burns(a=burn("A", candles=1, cycles=[HOT], end=""))
    files["vessels/tumbler.md"] = VESSEL.replace("glass", "wood").replace("product", "practice")
    assert more(files).sense is Sense.FAILED
    assert more({**files, "incidents/one.md": INCIDENT}).sense is Sense.SUSPENDED
    retired = RECIPE.replace("fill:", "retired: 2026-04-01\nfill:")
    both = {**files, "incidents/one.md": INCIDENT, "recipes/fig.md": retired}
    assert more(both).sense is Sense.RETIRED
    del files["burns/fig-a.md"]
    assert more(files).sense is Sense.VESSEL
    files["vessels/tumbler.md"] = VESSEL.replace("product", "practice")
    files["waxes/soy.md"] = WAX.replace("10 %", "6 %")
    assert more(files).sense is Sense.PRACTICE
    files["vessels/tumbler.md"] = VESSEL
    assert more(files, needed=0).sense is Sense.OVER
