"""What is seen of a test candle on a day: a mistyped year hides nothing."""

from datetime import date

import pytest

from handbook_builder.verdicts.seen import seen_on
from tests.records_in_text import BASE, burn, linked, proven, whole_life
from tests.verdicts.told import codes, judged


def numbers(life: list[str], day: date) -> list[int]:
    """Return the places of the cycles that are seen on `day`."""
    studio = linked({**BASE, "burns/fig-a.md": burn(cycles=life)})
    seen = seen_on(studio.burns["fig-a"], day)
    assert seen is not None
    return [one.index + 1 for one in seen.cycles]


@pytest.mark.parametrize(
    ("day", "seen"), [(15, []), (16, [1]), (17, [1, 2]), (18, [1, 2, 3]), (19, [1, 2, 3, 4])]
)
def test_a_life_is_seen_day_by_day(day: int, seen: list[int]) -> None:
    """Each cycle from its own day on."""
    assert numbers(whole_life(), date(2026, 3, day)) == seen


@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_later_date_in_the_middle_hides_nothing(index: int) -> None:
    """What stands before a cycle that is seen was burned before it."""
    life = whole_life()
    life[index] = life[index].replace("2026-03", "2026-06")
    assert numbers(life, date(2026, 5, 1)) == [1, 2, 3, 4]
    upto = date(2026, 3, 17 + index)
    assert numbers(life, upto) == list(range(1, index + 3))


def test_a_failing_cycle_with_a_mistyped_date_stays_a_failure() -> None:
    """It is judged on any day on which a later cycle is seen, and so is the order."""
    life = whole_life(2)
    life[1] = life[1].replace("22 mm", "80 mm").replace("2026-03-17", "2026-08-17")
    files = {**proven(), "burns/fig-c.md": burn("C", cycles=life)}
    for day in (date(2026, 3, 18), date(2026, 5, 1), date(2026, 12, 1)):
        found = judged(files, day)
        assert found.burns["fig-c"].candle.verdict == "fail"
        assert found.products["fig"].status == "failed"
    gaps = judged(files, date(2026, 5, 1)).burns["fig-c"].candle.gaps
    assert "dates_backwards" in codes(gaps)


def test_the_end_is_seen_with_the_last_cycle() -> None:
    """Not while a cycle is still to come."""
    studio = linked({**BASE, "burns/fig-a.md": burn()})
    early = seen_on(studio.burns["fig-a"], date(2026, 3, 18))
    late = seen_on(studio.burns["fig-a"], date(2026, 3, 19))
    assert early is not None
    assert late is not None
    assert early.end is None
    assert late.end is not None
