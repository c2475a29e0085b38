"""What is looked up once, and what is remembered of other days, changes no verdict."""

from dataclasses import replace
from datetime import date

import pytest

from handbook_builder.once import once
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.batches import batch_verdict
from handbook_builder.verdicts.combination import code_of_combination, combination_of_recipe
from handbook_builder.verdicts.judge import Memory, burned_of, judge
from handbook_builder.verdicts.unsaid import left_in_doubt
from tests.records_in_text import BASE, DAY, STUDIO, burn, linked, proven
from tests.verdicts.test_batches import INCIDENT, files

BEFORE = date(2026, 2, 1)  # nothing was poured yet


def test_candles_stand_by_the_recipe_that_they_name() -> None:
    """All three of the one recipe, in the order of their ids."""
    found = burned_of(judge(linked(proven()), DAY))
    assert {recipe: [each.candle.id for each in burns] for recipe, burns in found.items()} == {
        "fig": ["fig-a", "fig-b", "fig-c"]
    }


def test_a_memory_of_the_same_day_changes_nothing() -> None:
    """Judged twice with one memory, and once without any."""
    studio, memory = linked(proven()), Memory()
    first, again, alone = judge(studio, DAY, memory), judge(studio, DAY, memory), judge(studio, DAY)
    assert first.products == again.products == alone.products
    assert first.burns == again.burns == alone.burns


def test_a_recipe_that_is_not_on_file_is_combined_as_it_is_given() -> None:
    """Another wick makes another code, whatever is on file under the same id."""
    second = BASE["wicks/cotton-8.md"].replace('"8"', '"10"').replace("step: 3", "step: 4")
    studio = linked({**proven(), "wicks/cotton-10.md": second})
    recipe = studio.recipes["fig"]
    other = replace(recipe, wick="cotton-10")
    codes = {
        code_of_combination(combination_of_recipe(studio, each, DAY)) for each in (recipe, other)
    }
    assert len(codes) == 2


def test_nothing_is_in_doubt_of_a_candle_that_was_not_poured_yet() -> None:
    """A later day's record says nothing of an earlier day."""
    studio = linked({**BASE, "burns/fig-a.md": burn("A", candles=1)})
    assert list(left_in_doubt(studio, studio.burns["fig-a"], BEFORE)) == []


def test_an_incident_about_something_else_stops_no_pour() -> None:
    """Open on the day of the batch, and about an oil that is not in it."""
    oil = BASE["fragrances/fig-oil.md"]
    about = INCIDENT.format(about="fragrances/other-oil", more="").replace(
        "2026-04-10", "2026-04-01"
    )
    counted = STUDIO.replace("protocol:", "incidents: 1\nprotocol:")
    studio = linked(
        files(**{"fragrances/other-oil.md": oil, "incidents/one.md": about, "studio.md": counted})
    )
    verdict = batch_verdict(judge(studio, DAY), studio.batches["april"])
    assert verdict.incidents == ()
    assert "poured_while_suspended" not in {reason.code for reason in verdict.reasons}


def test_what_is_asked_once_is_asked_by_position() -> None:
    """A name would not tell one answer from another."""

    @once
    def doubled(subject: Studio, number: int) -> int:
        del subject
        return 2 * number

    studio = linked(BASE)
    assert doubled(studio, 2) == 4
    assert doubled(studio, 3) == 6
    with pytest.raises(TypeError, match="by position"):
        doubled(studio, number=3)
