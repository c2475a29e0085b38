"""The table of what is asked at the bench, and the verdict: both ask the same of any cycle."""

import random
from dataclasses import replace
from datetime import date, time, timedelta
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import pytest

from handbook_builder.derived.at_bench import AtBench, told_whole
from handbook_builder.derived.slips import by_the_table, questions_of
from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import SEEN_WORDS, Cycle
from handbook_builder.reading.records import read_folder
from handbook_builder.studio.studio import Studio, link
from handbook_builder.verdicts.reason import Reason

ROOT: Final = Path(__file__).resolve().parents[2]
# No comparisons of two numbers: the verdict asks them alone, and the page by rules of its own.
_BESIDE: Final = {"seen", "rest_unknown", "rest_too_short", "dates_backwards"}


@pytest.fixture(scope="module")
def studio() -> Studio:
    """Return the demo."""
    found, problems = link(read_folder(ROOT / "records", "records"))
    assert found is not None, problems
    return found


def drawn(chance: random.Random, burn: Burn) -> Burn:
    """Return a burn with one more cycle of readings, good, bad and left out, and perhaps an end."""

    def some(low: float, high: float) -> float | None:
        return None if chance.random() < 0.15 else round(chance.uniform(low, high), 1)

    last = burn.cycles[-1].after_g if burn.cycles else None
    before = some(1, 600) if last is None or chance.random() < 0.3 else last
    after = None if before is None else round(before + chance.choice([0, 1, -20, -200, -25]), 1)
    values: dict[str, Any] = {
        "on": When(burn.made.on + timedelta(days=chance.randint(-3, 60)),
                chance.choice([None, time(9, 30)])),
        "burned_h": chance.choice([None, 0.0, 4.0, 3.75, 4.25, 4.3, some(0, 9)]),
        "before_g": before, "after_g": chance.choice([None, after, after]),
        "pool_mm": chance.choice([None, some(1, 120), 60.0]), "depth_mm": some(0, 90),
        "flame_mm": some(1, 100), "wall_c": some(0, 110), "after_smoke_s": some(0, 200),
        "room_c": chance.choice([None, 20.0, some(5, 40)]),
        "seen": tuple(chance.sample(SEEN_WORDS, chance.randint(0, 2))),
        "checks": MappingProxyType({1.0: 40.0}),
    }  # fmt: skip
    cycle = Cycle(**values)
    how = chance.choice([None, None, "went_out", "stopped"])
    ended: dict[str, Any] = {"how": how}
    end = None if how is None else End(**ended)
    return replace(burn, cycles=(*burn.cycles, cycle), end=end, void=None)


def details(reason: Reason) -> tuple[str, dict[str, object]]:
    """Return what the sentence of a reason is made of."""
    shown = {key: value for key, value in reason.details.items() if key not in {"source", "cycle"}}
    return reason.code, {k: str(v) if isinstance(v, date) else v for k, v in shown.items()}


def test_the_table_asks_what_the_verdict_asks(studio: Studio) -> None:
    """500 cycles on the candles of the demo: the same reasons, with the same numbers, in order."""
    chance, codes = random.Random(2026), set()  # noqa: S311 -- the same cycles each time
    burns = [burn for burn in studio.burns.values() if burn.made.on < date(2026, 5, 1)]
    for _ in range(500):
        burn = drawn(chance, chance.choice(burns))
        bench = AtBench(studio, burn, ())
        due = [one for one in questions_of(told_whole(bench, burn)) if one.code not in _BESIDE]
        told = by_the_table(bench, burn)
        assert [details(one) for one in told] == [details(one) for one in due], burn.source.id
        codes |= {one.code for one in told}
    assert codes >= {
        "flame_over", "wall_over", "coverage_under", "too_long", "too_short", "before_pouring",
        "mass_went_up", "nothing_burned", "pool_too_wide", "mass_jumped",
    }  # fmt: skip
