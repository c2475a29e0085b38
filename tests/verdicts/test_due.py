"""What a cycle must show, however few there are: the pool of a small candle, the smoke of each."""

from dataclasses import replace
from datetime import date

import pytest

from handbook_builder.verdicts.judge import judge
from tests.records_in_text import BASE, DAY, FULL_CYCLE, STUDIO, burn, linked, whole_life
from tests.verdicts.told import candle, codes, told, without

# --- The pool of a small candle ---

GONE = "{on: 2026-03-%d, burned: 3 h 10 min, before: %.1f g, after: %.1f g, flame: 15 mm, pool: %s}"


def short_life(*pools: str) -> list[str]:
    """Return a candle with one full cycle a pool, and a last one in which it went out."""
    full = [
        (FULL_CYCLE % (16 + n, 400.0 - 33 * n, 367.0 - 33 * n)).replace("70 mm", one)
        for n, one in enumerate(pools)
    ]
    left = 400.0 - 33 * len(pools)
    return [*full, GONE % (16 + len(pools), left, left - 33, "20 mm")]


@pytest.mark.parametrize(
    ("pools", "failing"),
    # 68.4 mm of 72 mm are 95 %.
    [
        (("70 mm",), []),
        (("68.4 mm",), []),
        (("68.3 mm",), [1]),
        (("60 mm", "70 mm"), []),
        (("70 mm", "60 mm"), [2]),
        (("60 mm", "60 mm"), [2]),
        (("60 mm", "60 mm", "70 mm"), []),
        (("70 mm", "70 mm", "60 mm"), [3]),
        (("60 mm", "60 mm", "60 mm"), [3]),
        (("60 mm", "60 mm", "60 mm", "70 mm"), [3]),
    ],
)
def test_a_candle_of_few_cycles_tunnels_too(pools: tuple[str, ...], failing: list[int]) -> None:
    """Gone before the third cycle comes, it must show a full pool in its last full one."""
    verdict = candle(cycles=short_life(*pools))
    assert [one.number for one in verdict.cycles if "coverage_under" in codes(one.failures)] == (
        failing
    )
    assert (verdict.verdict == "fail") == bool(failing)


def test_only_its_end_makes_a_cycle_the_last_full_one() -> None:
    """While it burns, and in a candle of a single cycle, there is none."""
    assert candle(cycles=short_life("60 mm")[:1], end="").verdict == "burning"
    assert candle(cycles=short_life("60 mm", "60 mm")[:2], end="").failures == ()
    assert candle(cycles=[short_life()[0]]).failures == ()
    early = candle(date(2026, 3, 16), cycles=short_life("60 mm"))
    assert (early.verdict, early.failures) == ("burning", ())


def test_the_pool_of_the_last_full_cycle_is_due_where_no_other_is() -> None:
    """A limit that can fail makes its reading due, also when the protocol needs no pool."""
    files = {
        **BASE,
        "studio.md": STUDIO.replace("default", "house"),
        "protocols/house.md": "---\nneeds: [before, after, burned, flame, tilt, cycles]\n---\n",
    }
    life = [without(one, "pool") for one in short_life("70 mm", "70 mm")]
    assert told(candle(files=files, cycles=life).gaps) == [
        ("reading_missing", 16, {"cycle": 2, "reading": "pool"})
    ]


# --- The smoke of each cycle ---


@pytest.mark.parametrize("index", [0, 1, 2, 3])
def test_one_smoke_that_was_not_timed(index: int) -> None:
    """The mean of those that are left would look better: due in each full cycle, not the last."""
    life = whole_life()
    life[index] = without(life[index], "after_smoke")
    missing = ("reading_missing", 15 + index, {"cycle": index + 1, "reading": "after_smoke"})
    assert told(candle(cycles=life).gaps) == ([missing] if index < 3 else [])


@pytest.mark.parametrize(
    ("breach", "material", "due"),
    [
        ("fail", None, True),
        ("watch", None, False),
        ("fail", "glass", True),
        ("fail", "metal", False),
        ("watch", "glass", False),
    ],
)
def test_a_smoke_is_due_while_its_mean_can_fail(
    breach: str, material: str | None, *, due: bool
) -> None:
    """By a limit of the candle's own material, or of none."""
    studio = linked({**BASE, "burns/fig-a.md": burn(cycles=_unsmoked())})
    limits = tuple(
        replace(one, on_breach=breach, material=material)
        if one.measure == "mean_after_smoke"
        else one
        for one in studio.protocol.limits
    )
    house = replace(studio, protocol=replace(studio.protocol, limits=limits))
    gaps = judge(house, DAY).burns["fig-a"].candle.gaps
    assert codes(gaps) == (["reading_missing"] * 3 + ["after_smoke_missing"] if due else [])


def _unsmoked() -> list[str]:
    return [without(one, "after_smoke") for one in whole_life()]
