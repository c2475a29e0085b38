"""What the test candles showed: the demo by hand, and small studios at the edges."""

import pytest

from handbook_builder.derived.as_burned import AsBurned, FirstBurn, LongestBurn, as_burned
from tests.papers.rig import account
from tests.records_in_text import burn, proven, whole_life
from tests.told import rig

FULL = (
    "{on: 2026-03-16, burned: 4 h, before: %s g, after: %s g, pool: %s, depth: 8 mm, flame: 22 mm, "
    "wall: 52 degC, after_smoke: 8 s%s}"
)


def found(files: dict[str, str]) -> AsBurned:
    """Return what the candles of the recipe `fig` showed."""
    told = rig.account(files)
    return as_burned(told, told.judged.products["fig"])


def with_first(pool: str, more: str = "") -> dict[str, str]:
    """Return three candles that passed, of whose first burn the pool read so."""
    files = proven()
    for at, one in enumerate("ABC"):
        first, *rest = whole_life(at)
        mass = first.split("before: ")[1]
        before, after = mass.split(" g, after: ")[0], mass.split("after: ")[1].split(" g")[0]
        cycles = [FULL % (before, after, pool, more), *rest]
        files[f"burns/fig-{one.lower()}.md"] = burn(one, cycles=cycles)
    return files


def test_the_first_burns_of_the_pot_by_hand() -> None:
    """The wall of 60 mm is met at 57 mm, on a straight line between the readings around it.

    A: 54 mm at 3 h, 59 mm at 3 h 56 min. B: 56 and 58 mm at 3 h 52 min. C: 58 mm at 4 h 5 min.
    """
    first = as_burned(account(), account().judged.products["lemon-verbena-pot"]).first
    by_hand = (
        3 + (57 - 56) / (58 - 56) * (52 / 60),
        3 + (57 - 56) / (58 - 56) * (65 / 60),
        3 + (57 - 54) / (59 - 54) * (56 / 60),
    )
    assert first.met_h == pytest.approx(by_hand)
    assert (first.short_h, first.unread, first.by_burn, first.candles) == ((), 0, 1, 3)


def test_the_tumbler_by_hand() -> None:
    """72 mm are met at 68.4: first burns ended at 68, 64 and 67 mm, the second at 71 and 72.

    Longest: A 240 min, B 245 min, C 4 h 2 min. Hottest: A, cycle 8. Flames of 24 mm: A 7, B 2.
    """
    showed = as_burned(account(), account().judged.products["cedar-fig"])
    first = FirstBurn((), (pytest.approx(232 / 60), 4.0, pytest.approx(245 / 60)), 0, 2)  # type: ignore[arg-type]
    assert showed.first == first
    assert showed.longest == LongestBurn(4.0, pytest.approx(245 / 60))  # type: ignore[arg-type]
    assert (showed.candles, showed.hottest_wall_c, showed.highest_flame_mm) == (3, 64.0, 24.0)


def test_a_pool_that_was_there_at_the_first_look() -> None:
    """It had met the wall by then: 70 of 72 mm at the end of 4 h, and nobody had looked before."""
    showed = found(with_first("70 mm"))
    assert showed.first == FirstBurn((4.0, 4.0, 4.0), (), 0, 1)


def test_a_pool_between_two_looks() -> None:
    """66 mm at 2 h and 70.8 mm at 3 h: 68.4 mm is half the way."""
    showed = found(with_first("71 mm", ", checks: {2 h: 66 mm, 3 h: 70.8 mm}"))
    assert showed.first.met_h == pytest.approx((2.5, 2.5, 2.5))


def test_a_candle_that_never_met_the_wall_leaves_no_burn_to_name() -> None:
    """60 of 72 mm in every burn: short, and no burn by which all had met it."""
    files = with_first("60 mm")
    for one in "abc":
        files[f"burns/fig-{one}.md"] = files[f"burns/fig-{one}.md"].replace("70 mm", "60 mm")
    # A protocol that does not judge the pool: else none of them would pass.
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: wide")
    files["protocols/wide.md"] = (
        "---\nlimits:\n  - {measure: coverage, at_least: 50 %, source: own, published: no,"
        " on_breach: fail}\n---\n"
    )
    assert found(files).first == FirstBurn((), (4.0, 4.0, 4.0), 0, None)


def without(*, key: str, reading: str, cycle: str) -> dict[str, str]:
    """Return three candles that passed, of which one reading was not taken in a cycle."""
    files = proven()
    for one in "abc":
        text = files[f"burns/fig-{one}.md"]
        start = text.index(f"{{on: {cycle}")
        end = text.index("}", start)
        line = text[start:end].replace(f", {reading}", f", unread: [{key}]")
        files[f"burns/fig-{one}.md"] = text[:start] + line + text[end:]
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: own")
    return {**files, "protocols/own.md": "---\nneeds: [before, after]\n---\n"}


def test_a_pool_that_nobody_read_is_unread() -> None:
    """By a protocol of its own that does not ask for it before the third burn."""
    showed = found(without(key="pool", reading="pool: 70 mm", cycle="2026-03-16"))
    assert showed.candles == 3
    # The second burn's pool of 70 mm is past 68.4 mm.
    assert showed.first == FirstBurn((), (), 3, 2)


def test_the_longest_burn_is_as_long_as_it_was() -> None:
    """Every burn of 3 h 50 min: no card says 4 h, though a cycle is meant to be so long."""
    files = proven()
    for one in "abc":
        text = files[f"burns/fig-{one}.md"].replace("burned: 4 h", "burned: 3 h 50 min")
        files[f"burns/fig-{one}.md"] = text
    assert found(files).longest == LongestBurn(pytest.approx(23 / 6), pytest.approx(23 / 6))  # type: ignore[arg-type]


def test_nothing_is_told_of_no_candle() -> None:
    """A product without a test candle."""
    files = proven()
    for one in "abc":
        del files[f"burns/fig-{one}.md"]
    assert found(files) == AsBurned(0, FirstBurn((), (), 0, None), None, None, None)
